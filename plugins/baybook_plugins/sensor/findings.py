"""What a signal says that no pressure gives, and what a zero does not prove."""

from __future__ import annotations

from baybook.api import RUNAWAY, Answer, Estimate, Finding, Message, Reading, Result, Word, propagate
from baybook.dataclass import replace
from baybook_physics.overpressure import largest_excess

from .method import BEYOND
from .model import Line

BROKEN = Message(
    "key off, rail seen to fall to zero: plug, wires and their insulation to ground and supply; then the sensor by exchange"
)
OUT_OF_RANGE = "The signal is {share} of the supply, {state}: no pressure gives that. A wire, a plug, or the sensor."
STUCK = Message(
    "A zero that stood there all along proves nothing of the sensor at pressure, and nothing of the rail: only a reading that "
    "was seen to fall does."
)


def placed(
    found: dict[str, Estimate], line: Line, volts: Reading | None, seen_by: Reading, *, standing: Reading | None
) -> Result:
    """With the signal's state: one that no pressure gives comes before every verdict."""
    if volts is None:
        return Result({**found, "state": "not measured"}, notes=(STUCK,) if standing else ())
    share = propagate(lambda u, ref: {"share": 100 * u / ref}, {"share": "%"}, u=volts.to("V"), ref=seen_by.to("V"))["share"]
    state = line.state(share.value / 100)
    if state == "in range":
        return Result({**found, "state": state}, notes=(STUCK,) if standing else ())
    statement = Message(OUT_OF_RANGE, share=share, state=Word(state, "state"))
    return Result({**found, "state": state}, findings=(Finding("storage", "control", statement, "indicated", BROKEN),))


SURE = 0.95


def beyond(result: Result, difference: Estimate, told: float) -> Result:
    """With what a second reading far above what is told (bar) means before anything else."""
    less = difference.to("bar")
    chance = less.below(-largest_excess(told))
    warnings = (*result.warnings, RUNAWAY.first) if chance >= SURE else result.warnings
    return replace(result, warnings=warnings, answers=(*result.answers, Answer(BEYOND, 1.0 - chance)))
