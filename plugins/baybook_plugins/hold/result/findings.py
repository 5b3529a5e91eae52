"""What a hold says of the storage stage, and what to test next."""

from __future__ import annotations

from typing import NamedTuple

from baybook.api import Finding, Message, Verdict

from ..inputs.rail import Rail
from ..inputs.wanted import Wanted

NEXT_LEAKS = Message(
    "find the way out without opening anything: collect the injector returns (calculator returns), then the return of the "
    "pressure control, only the way the data give, fitted at zero, never closed; look "
    "from a distance for wetness with the rail seen to fall to zero, never by hand"
)
NEXT_LIMIT = Message("type in the limit from the maker's data; {then}", then=NEXT_LEAKS)
NEXT_TIGHT = Message(
    "where pressure is still lost, it is lost elsewhere: supply and generation, or what opens only while the engine turns"
)
NEXT_UNDECIDED = Message(
    "read the rail's temperature at the end, measure the rail's volume better, and hold for longer if pressure is left"
)
NEXT_TEMPERATURE = Message("read the rail's temperature at the end, and hold for longer if pressure is left")
NEXT_VOLUME = Message("measure the rail's volume better, and hold for longer if pressure is left")
NEXT_LONGER = Message("hold for longer if pressure is left")
NEXT_SOONER = Message(
    "hold again and read sooner, while the pressure is still far from zero, or log the whole fall from before the stop"
)
NEXT_PRESSURE = Message(
    "read the pressure more finely, at the very time that the limit is stated for, with the sensor's zero proven"
)
NEXT_RAISE = Message(
    "hold again from the pressure that the limit is stated for, made the way the maker describes; say it as reference"
)
NEXT_STOPS = Message(
    "see in the data at which pressure the relief valve lets go and what the outlet valve does at rest; collect the returns of "
    "both, only the way the data give, fitted at zero, never closed; then hold again from below that pressure"
)
NEXT_TYPED = Message(
    "see the readings and their times again, and type how far each may be off, such as 1000 ± 5 bar; or hold again with a "
    "capture"
)
NEXT_STUCK = Message("see the reading rise with the pump and fall to zero afterwards, then hold again")
NEXT_VALVE = Message(
    "find out from the maker's data whether a rail valve opens without current; if so, use the maker's routine that drives it "
    "shut, and hold again"
)
LEAKS = Message("the shut high-pressure side leaks: rail and joints, outlet valve, pump's outlet or an injector")
LEAKS_OR_COOLS = Message(
    "the pressure falls by more than the limit allows; the shut high-pressure side leaks, or cooling made the fall"
)
LEAKS_NO_LIMIT = Message("the shut high-pressure side leaks; without a limit this test cannot say whether too much")
LEAKS_BY_VALVE = Message(
    "the shut high-pressure side leaks; whether an outlet valve that opens without current empties it is not known"
)
BEYOND_BY_VALVE = Message(
    "the shut high-pressure side loses more than the limit; whether an outlet valve that opens without current empties it is "
    "not known"
)
HOLDS = Message("the shut high-pressure side holds within the limit")
HOLDS_IF_ALIVE = Message("nothing fell: the shut high-pressure side holds, if the reading is not stuck")
TIGHT = Message("no leak shows: cooling explains the fall")
OPEN = Message("this test cannot tell on which side of the limit the rail lies")
NOTHING_FELL = Message("nothing fell: no leak shows, or the reading is stuck")
COOLING_OR_LEAK = Message("whether the shut high-pressure side leaks cannot be told: cooling may explain the fall")
HELD_LOW = "the rail was held at {pressure} bar only, where a leak that pressure opens does not show"
LOW = 10.0
LOW_UNSAID = 20.0
"""MPa gauge: held below it a rail shows no leak that pressure opens, `LOW` where the limit's own pressure is known and low,
`LOW_UNSAID` where it is not. A starter has to bring a rail to some 10 to 20 MPa, and it stands at some 20 to 40 at idle (common
practice, no source)."""
_FAR = 0.5
"""Share of the limit's own pressure below which a hold says nothing of it (a judgement, no source)."""


class Doubt(NamedTuple):
    """Why the readings cannot carry a verdict, and what would."""

    words: Message
    next_test: Message
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
    low: Message | None
    """That the rail was held at too low a pressure to clear it."""
    next_undecided: Message
    stops: Message | None = None
    """That the fall was over before its record was, far above nothing."""


def low_pressure(mean: float, wanted: Wanted) -> Message | None:
    """That a hold at the mean pressure (MPa gauge) clears nothing, the limit being for a far higher one; None where it does."""
    least = LOW_UNSAID if wanted.reference is None else max(LOW, _FAR * wanted.reference.number("MPa"))
    return None if mean >= least else Message(HELD_LOW, pressure=round(10 * mean))


def next_undecided(rail: Rail, wanted: Wanted, *, empty: bool) -> Message:
    """What narrows the answer, but for what was given and what the limits do not need. empty: the rail may have been so."""
    if empty:
        return NEXT_SOONER
    if not wanted.flow:
        return NEXT_PRESSURE
    warm = rail.end_temperature is None and not rail.one_temperature
    if rail.known_volume is None:
        return NEXT_TEMPERATURE if warm else NEXT_LONGER
    return NEXT_UNDECIDED if warm else NEXT_VOLUME


def finding(verdicts: tuple[Verdict, ...], ground: Ground) -> Finding:
    """What the test says about the stage."""
    if ground.stops:
        unknown = ground.valve == "unknown"
        return _undecided(ground.stops, NEXT_VALVE) if unknown else Finding("", "", ground.stops, "indicated", NEXT_STOPS)
    words = {found.verdict for found in verdicts}
    if "outside" in words or (not words and ground.leaks and not ground.doubts):
        return _leaking(ground, limit=bool(words))
    if ground.doubts:
        return _undecided(ground.doubts[0].words, ground.doubts[0].next_test)
    if words == {"within"} or (not words and ground.tight):
        said = HOLDS_IF_ALIVE if not ground.fell else HOLDS if words else TIGHT
        return _undecided(ground.low, NEXT_RAISE) if ground.low else Finding("", "", said, "cleared", NEXT_TIGHT)
    if words:
        return _undecided(OPEN, ground.next_undecided)
    return _undecided(COOLING_OR_LEAK, ground.next_undecided) if ground.fell else _undecided(NOTHING_FELL, NEXT_STUCK)


def _leaking(ground: Ground, *, limit: bool) -> Finding:
    if ground.valve == "unknown":
        return _undecided(BEYOND_BY_VALVE if limit else LEAKS_BY_VALVE, NEXT_VALVE)
    if not limit:
        return _undecided(LEAKS_NO_LIMIT, NEXT_LIMIT)
    return Finding("", "", LEAKS if ground.leaks else LEAKS_OR_COOLS, "indicated", NEXT_LEAKS)


def _undecided(said: Message, next_test: Message) -> Finding:
    return Finding("", "", said, "undecided", next_test)
