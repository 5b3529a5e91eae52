"""The answer where a fall was over before its record was: what its two ends say, as of two readings; nothing of a law."""

from __future__ import annotations

import math

import numpy as np

from baybook.api import Message, Result

from ..inputs.rail import Rail
from ..inputs.wanted import Wanted
from ..result.findings import NEXT_RAISE, Doubt
from ..result.steps import rounded
from ..two_point.outcome import Also, from_two, leaks
from .falls import Fall
from .recording import Held
from .seen import cut_notes

GONE = (
    "The pressure fell to nothing within {seconds} s, more quickly than the readings follow: no more than the least of the "
    "leak is known, and nothing of its law."
)
STOPS = (
    "the pressure falls by {fall} bar within {seconds} s, to about {rest} bar, and stays there: neither cooling nor a leak "
    "falls so. A valve does that opens above that pressure and shuts there, or shuts late: a relief valve or an outlet valve"
)
OF_THE_FALL = "Leak and cooling are those of the fall alone, the first {seconds} s. A leak that stops follows no law."
BELOW = Message(
    "the limit is stated for a lower pressure than that at which the fall stopped, and of that the fall says nothing"
)
_ABOUT = 1.02  # times a record: so little behind its end, what was read at its end is still there


def emptied(hold: Held, top: int, end: int, rail: Rail, wanted: Wanted, u: float) -> Result:
    """Of a rail that had its pressure in the row `top` and nothing left in the row `end`."""
    took, back = float(hold.time[end] - hold.time[top]), rail.back_pressure.number("MPa")
    note = Message(GONE, seconds=rounded(took, 2))
    ends = (float(hold.pressure[top]), u), (back, u), (took, _clock(hold))
    return from_two(*ends, rail, wanted, Also(notes=(note, *cut_notes(hold))))


def stopped(hold: Held, fall: Fall, rail: Rail, wanted: Wanted, u: float) -> Result | None:
    """Of a rail whose pressure stopped to fall; None where cooling may have made all of it."""
    ends = (fall.start, u), (fall.end, u), (fall.time, _clock(hold))
    if not leaks(*ends, rail):
        return None
    time, pressure = hold.whole
    reference, _, after = wanted.in_units()
    seconds, rest = rounded(fall.time, 2), rounded(10.0 * fall.rest, 2 if fall.rest < 100.0 else 3)
    length = float(time[-1] - time[0])
    at = None if after is None else after if after < _ABOUT * length else length
    below = reference is not None and reference < fall.rest
    also = Also(
        notes=(Message(OF_THE_FALL, seconds=seconds), *cut_notes(hold)),
        doubts=(Doubt(BELOW, NEXT_RAISE, False),) if below else (),
        stops=Message(STOPS, fall=round(10.0 * (fall.start - fall.rest)), seconds=seconds, rest=rest),
        later=None if at is None else ((float(np.interp(at, time - time[0], pressure)), u), (at, 0.0)),
    )
    return from_two(*ends, rail, wanted, also)


def _clock(hold: Held) -> float:
    """Standard uncertainty of a time between two rows, s."""
    if hold.clock is not None:
        return math.sqrt(2.0) * float(np.sqrt(np.mean(hold.clock**2)))
    return float(np.diff(hold.time).min()) / math.sqrt(12.0)
