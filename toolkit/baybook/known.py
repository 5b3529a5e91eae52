"""What is known of the vehicle where a calculator's chart is drawn, with the calculator whose inputs these are."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from .declare import Calculator


class Known(dict[str, Any]):
    """The inputs that are known, by name, as the calculator gets them. calculator: to work out the points of a chart with."""

    def __init__(self, calculator: Calculator, inputs: Mapping[str, Any]) -> None:
        super().__init__(inputs)
        self.calculator = calculator

    def taken(self, name: str) -> Any:
        """What is known of an input, else its default, else its usual value. Raises KeyError."""
        return self.calculator.taken(name, self)
