"""A promise of the interface: how a check looks whether a calculator keeps it, and how that came out.

A check takes a Calculator and returns a line for every fault; none means that the promise is kept.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from ..declare import Calculator
from ..errors import BaybookError
from ..plugins.loader import place


class NotChecked(Exception):
    """A check that cannot be made here; the text says why."""


def answer(of: str, check: str, faults: list[str], state: str = "") -> dict[str, Any]:
    """How a check of something came out: kept, broken or not checked, which the faults explain."""
    return {"of": of, "check": check, "state": state or ("broken" if faults else "kept"), "faults": faults}


@dataclass(frozen=True)
class Check:
    """A promise: its name, what it promises, and the function that looks."""

    name: str
    promise: str
    look: Callable[[Calculator], list[str]]

    def faults(self, calculator: Calculator) -> list[str]:
        """A line for every fault; an error that escapes the calculator is one too. Raises NotChecked."""
        try:
            return self.look(calculator)
        except NotChecked:
            raise
        except BaybookError as error:
            *first, last = str(error).splitlines() or [""]
            return [*first, last + place(error.__cause__ or error)]
        except Exception as error:
            return [f"{type(error).__name__}: {error}{place(error)}"]
