"""Why a unit that is not known is refused, and what would do."""

from __future__ import annotations

from . import units
from .errors import Refused

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Sequence

MASS_PER_STROKE = ("mg/stroke", "mg/str", "mg/inj", "mg/injection", "mg/hub", "mg/h", "mg/cp", "mg/st")


def refusal(text: str, family: str | None, near: Sequence[str]) -> Refused:
    """For the unit that was written, where one of the family is wanted. near: known units that are spelled almost so."""
    if units.tidy(text).casefold() in MASS_PER_STROKE:
        why = f"is a mass for each stroke ({text}), and a volume is wanted"
        return Refused(why, "divide by the fuel's density, about 0.83 mg/mm3 for diesel: 10 mg is 12 mm3/stroke")
    known = ", ".join(unit.symbol for unit in (units.in_family(family or "") or units.in_family("pressure"))[:12])
    hint = f"did you mean {' or '.join(near)}?" if near else f"use {known}"
    return Refused(f'has a unit that is not known, "{text}"', hint)
