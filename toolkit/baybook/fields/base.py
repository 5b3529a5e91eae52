"""What every field is: the second half of a parameter's `Annotated[type, field]`."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Self

from ..dataclass import dataclass, field, replace


@dataclass(frozen=True)
class Field:
    """The base of all fields. help: what is given, for a person; symbol: for formulas and cards.

    default: what is taken where nothing is given, as a person would type it; without one the input has to be given, but for
    one that is annotated `… | None`.

    unnamed: on the command line it may be typed without its option, and is known by its unit. aliases: earlier names of the
    input, still taken. group: of the command's help ("usual", "if known", "capture"); left out, the core decides.
    of_vehicle: a limit or a size of the vehicle, which a test that is made again has alike, and not what is read.
    """

    help: str
    symbol: str = field(default="", kw_only=True)
    positional: bool = field(default=False, kw_only=True)
    unnamed: bool = field(default=False, kw_only=True)
    aliases: tuple[str, ...] = field(default=(), kw_only=True)
    group: str = field(default="", kw_only=True)
    of_vehicle: bool = field(default=False, kw_only=True)
    default: Any = field(default=None, kw_only=True)

    many = False  # a field that takes several values

    def but(self, **changes: Any) -> Self:
        """The same field with another help, default, limit or what else it takes; for an input that is declared for several."""
        return replace(self, **changes)

    def parse(self, raw: Any) -> Any:
        """The value of text or JSON. Raises Refused."""
        raise NotImplementedError

    def moved(self, raw: Any, way: Callable[[str], str]) -> Any:
        """The raw value with the name of each file in it as `way` gives it: as seen from a sheet, or from where one works."""
        return raw

    def record(self, value: Any) -> dict[str, Any]:
        """What a result's JSON tells about this input."""
        return {"text": str(value), "value": value, "unit": "", "low": None, "high": None, "assumed": False}

    def doubts(self, value: Any) -> list[str]:
        """What to say before the answer because the value, though possible, is far from what is usual."""
        return []

    def example(self) -> str:
        """Text that would do."""
        return ""

    def schema(self) -> dict[str, Any]:
        """The JSON Schema of the input."""
        return {"type": "string", "description": self.help}
