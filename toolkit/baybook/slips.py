"""Slips of the unit: a reading that was typed about ten times what it is judged against, where no fault brings that about."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, TypeVar

from .dataclass import replace
from .message import Message
from .reading import Reading
from .units import find

if TYPE_CHECKING:
    from .estimate import Estimate
    from .spec import SpecRange

LEVELS = ("pressure", "speed", "voltage", "current")
"""Families of what is fed, turned or switched on to a level that the data give: a fault brings less of it, or a little more.
What leaks, is lost, or resists may be many times its limit."""
TIMES_RANGE, TIMES_LEAST = 6.0, 8.0
"""Times the upper end of a range, and a least that has none: beyond it a slip is likelier than the reading (common practice, no
source). Between bar and MPa lies a factor of 10, between psi and bar one of 14.5."""
HIGH_PRESSURE = 50.0
"""bar: what should be above it is read in MPa by some tools, where a tenth is a slip; a feed pressure of a tenth is a fault."""
FED = 60.0
"""V: up to what a vehicle is fed with a voltage is no slip, which between mV and V is one of 1000: it is how a wire looks that
is shorted, or whose driver is dead."""
MANY = (
    "{value} is {times} times the limit, {limit}: is the unit right? It decides nothing until it is typed with its ±, which "
    "confirms it."
)
CONFIRM = Message("read it again with its unit, and type it with its ± once it is confirmed")
TENTH = "{value} is about a tenth of the limit, {limit}: is the unit right?"


Judged = TypeVar("Judged", bound=Any)


def slip_seen(verdict: Judged, limits: SpecRange) -> Judged:
    """The verdict with the doubt of a slip of the unit, where there is one; limits: its range, in the unit of what was judged.

    A typed value that is so many times its range decides nothing. One that was typed with its uncertainty was looked at twice,
    and counts as it stands.
    """
    found = verdict.measured
    if found is None or limits.low is None or limits.low <= 0.0 or not _typed(found):
        return verdict
    end, most = (limits.low, TIMES_LEAST) if limits.high is None else (limits.high, TIMES_RANGE)
    if found.value >= most * end and not _fed(found):
        doubt = Message(MANY, value=found, times=round(found.value / end), limit=verdict.range)
        return replace(verdict, verdict="undecided", probability=0.5, way="", doubt=doubt)
    if _high_pressure(found, limits.low) and limits.low <= 10.0 * found.value <= (limits.high or 1.5 * limits.low):
        return replace(verdict, doubt=Message(TENTH, value=found, limit=verdict.range))
    return verdict


def _high_pressure(found: Estimate, least: float) -> bool:
    """Whether what it should be at least, in its unit, is a pressure of the high-pressure side."""
    return found.unit.family == "pressure" and least * found.unit.factor >= HIGH_PRESSURE * find("bar", "pressure").factor


def _fed(found: Estimate) -> bool:
    """Whether it is a voltage that the vehicle has."""
    return found.unit.family == "voltage" and found.value * found.unit.factor <= FED * find("V", "voltage").factor


def _typed(found: Estimate) -> bool:
    """Whether it is a reading as it was typed, without an uncertainty, of what is brought to a level."""
    origin = found.origin
    return found.unit.family in LEVELS and isinstance(origin, Reading) and origin.assumed
