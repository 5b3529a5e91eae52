"""What the draws say against the limits: verdict, chance and finding from the same draws."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, NamedTuple

from baybook.api import Draws, Finding, SpecRange, Verdict, judge

if TYPE_CHECKING:
    from ..inputs.measured import Inputs

NEXT_LEAKS = (
    "find the way out without opening anything: collect the injector returns (calculator returns), then the return of the "
    "pressure control, only the way the data give, fitted at zero, never closed; look "
    "from a distance for wetness with the rail at zero, never by hand"
)
NEXT_TIGHT = (
    "where pressure is still lost, it is lost elsewhere: supply and generation, or what opens only while the engine turns"
)
NEXT_UNDECIDED = (
    "read the rail's temperature at the end, measure the rail's volume better, and hold for longer if pressure is left"
)
NEXT_TEMPERATURE = "read the rail's temperature at the end, and hold for longer if pressure is left"
NEXT_VOLUME = "measure the rail's volume better, and hold for longer if pressure is left"
NEXT_LONGER = "hold for longer if pressure is left"
NEXT_PRESSURE = "read the pressure more finely, at the very time that the limit is stated for, with the sensor's zero proven"
NEXT_CUT = (
    "cut the hold out of the capture with begin and finish: from after the pump's stop until before anything opens; or hold "
    "again"
)
NEXT_STOP = "hold again with a capture that begins before the stop, with the engine's speed in it"
NEXT_RAISE = "hold again from the pressure that the limit is stated for, made the way the maker describes; say it as reference"
NEXT_STUCK = "see the reading rise with the pump and fall to zero afterwards, then hold again"
NEXT_VALVE = (
    "find out from the maker's data whether a rail valve opens without current; if so, use the maker's routine that drives it "
    "shut, and hold again"
)
VALVES = {
    "unknown": "nobody has looked yet: a rail that loses too much stays undecided",
    "none": "no valve lets fuel out of the rail but the injectors",
    "shut-at-rest": "fitted, and shut without current",
    "driven-shut": "opens without current, and the maker's routine held it shut",
    "open-at-rest": "opens without current, and was not held shut: it empties the rail by design",
}
LEAKS = "the shut high-pressure side leaks: rail and joints, outlet valve, pump's outlet or an injector"
LOW = 10.0
LOW_UNSAID = 20.0
"""MPa gauge: held below it a rail shows no leak that pressure opens, `LOW` where the limit's own pressure is known and low,
`LOW_UNSAID` where it is not. A starter has to bring a rail to some 10 to 20 MPa, and it stands at some 20 to 40 at idle (common
practice, no source)."""
_FAR = 0.5
"""Share of the limit's own pressure below which a hold says nothing of it (a judgement, no source)."""


class Doubt(NamedTuple):
    """Why the readings cannot carry a verdict, and what would."""

    words: str
    next_test: str
    pressure: bool
    """Not even one on a pressure that was read."""


class Ground(NamedTuple):
    """What a finding stands on beside the verdicts."""

    valve: str
    leaks: bool
    """A tight rail is next to impossible."""
    tight: bool
    """No leak shows at all."""
    doubts: tuple[Doubt, ...]
    fell: bool
    """The pressure fell at all."""
    low: str
    """That the rail was held at too low a pressure to clear it, in words; "" where it was not."""
    next_undecided: str


def verdict(what: str, draws: Draws, limit: SpecRange, *, doubt: bool) -> Verdict:
    """The verdict on a quantity from its draws; with `doubt` it stays undecided, and no chance is told."""
    found = judge(what, draws, limit)
    return replace(found, verdict="undecided", probability=None) if doubt else found


def low_pressure(mean: float, inputs: Inputs) -> str:
    """In words that a hold at the mean pressure (MPa gauge) clears nothing, the limit being for a far higher one; or ""."""
    least = LOW_UNSAID if inputs.reference is None else max(LOW, _FAR * inputs.reference.number("MPa"))
    if mean >= least:
        return ""
    return f"the rail was held at {10 * mean:.0f} bar only, where a leak that pressure opens does not show"


def next_undecided(inputs: Inputs) -> str:
    """What narrows the answer, but for what was given and what the limits do not need."""
    if not inputs.judges_flow:
        return NEXT_PRESSURE
    warm = inputs.end_temperature is None and not inputs.one_temperature
    if inputs.known_volume is None:
        return NEXT_TEMPERATURE if warm else NEXT_LONGER
    return NEXT_UNDECIDED if warm else NEXT_VOLUME


def findings(verdicts: tuple[Verdict, ...], ground: Ground) -> tuple[Finding, ...]:
    """What the test says about the stage; nothing where the outlet valve empties the rail by design."""
    if ground.valve == "open-at-rest":
        return ()
    words = {found.verdict for found in verdicts}
    if "outside" in words or (not words and ground.leaks and not ground.doubts):
        return (_leaking(ground, limit=bool(words)),)
    if ground.doubts:
        return (_undecided(ground.doubts[0].words, ground.doubts[0].next_test),)
    if words == {"within"} or (not words and ground.tight):
        return (_holding(ground, limit=bool(words)),)
    if words:
        return (_undecided("this test cannot tell on which side of the limit the rail lies", ground.next_undecided),)
    if not ground.fell:
        return (_undecided("nothing fell: no leak shows, or the reading is stuck", NEXT_STUCK),)
    said = "whether the shut high-pressure side leaks cannot be told: cooling may explain the fall"
    return (_undecided(said, ground.next_undecided),)


def _holding(ground: Ground, *, limit: bool) -> Finding:
    if ground.low:
        return _undecided(ground.low, NEXT_RAISE)
    if not ground.fell:
        said = "nothing fell: the shut high-pressure side holds, if the reading is not stuck"
    elif limit:
        said = "the shut high-pressure side holds within the limit"
    else:
        said = "no leak shows: cooling explains the fall"
    return Finding("storage", "hydraulic", said, "cleared", NEXT_TIGHT)


def _leaking(ground: Ground, *, limit: bool) -> Finding:
    if ground.valve == "unknown":
        how = "loses more than the limit" if limit else "leaks"
        return _undecided(
            f"the shut high-pressure side {how}; whether an outlet valve that opens without current empties it is not known",
            NEXT_VALVE,
        )
    if not limit:
        said = "the shut high-pressure side leaks; without a limit this test cannot say whether too much"
        return _undecided(said, "type in the limit from the maker's data; " + NEXT_LEAKS)
    if not ground.leaks:
        said = "the pressure falls by more than the limit allows; the shut high-pressure side leaks, or cooling made the fall"
        return Finding("storage", "hydraulic", said, "indicated", NEXT_LEAKS)
    return Finding("storage", "hydraulic", LEAKS, "indicated", NEXT_LEAKS)


def _undecided(said: str, next_test: str) -> Finding:
    return Finding("storage", "hydraulic", said, "undecided", next_test)
