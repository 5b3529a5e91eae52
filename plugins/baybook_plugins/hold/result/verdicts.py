"""What the draws say against the limits: verdict, chance and finding from the same draws."""

from __future__ import annotations

from typing import NamedTuple

from baybook.api import Draws, Finding, SpecRange, Verdict, judge

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
_DOUBT = 0.2
"""Where the readings cannot carry a verdict (a fit that does not fit, pressures near the sensor's zero), so much of the belief
is that they say nothing: half of it far below, half far above. A verdict takes 95 %."""


def verdict(what: str, draws: Draws, limit: SpecRange, *, doubt: bool) -> Verdict:
    """The verdict on a quantity from its draws; with `doubt` it stays undecided."""
    if not doubt:
        return judge(what, draws, limit)
    weights = list(draws.weights or [1.0] * len(draws.values))
    far = 0.5 * _DOUBT / (1.0 - _DOUBT) * sum(weights)
    most = 10.0 * max(map(abs, (*draws.values, limit.to(draws.unit).high or 0.0, limit.to(draws.unit).low or 0.0))) + 1.0
    return judge(what, Draws([*draws.values, -most, most], draws.unit, [*weights, far, far], draws.kind), limit)


class Ground(NamedTuple):
    """What a finding stands on beside the verdicts."""

    valve: str
    leaks: bool
    """A tight rail is next to impossible."""
    tight: bool
    """No leak shows at all."""
    doubts: tuple[str, ...] = ()
    """Why the readings cannot carry a verdict."""


def findings(verdicts: tuple[Verdict, ...], ground: Ground) -> tuple[Finding, ...]:
    """What the test says about the stage; nothing where the outlet valve empties the rail by design."""
    if ground.valve == "open-at-rest":
        return ()
    words = {found.verdict for found in verdicts}
    if ground.doubts:
        return (_undecided(ground.doubts[0], NEXT_UNDECIDED),)
    if "outside" in words and not ground.leaks:
        said = "the pressure falls by more than the limit, but cooling may explain the whole fall"
        return (_undecided(said, NEXT_UNDECIDED),)
    if "outside" in words or (not words and ground.leaks):
        return (_leaking(ground.valve, limit=bool(words)),)
    if words == {"within"}:
        said = "the shut high-pressure side holds within the limit"
        return (Finding("storage", "hydraulic", said, "cleared", NEXT_TIGHT),)
    if words:
        return (_undecided("this test cannot tell on which side of the limit the rail lies", NEXT_UNDECIDED),)
    if ground.tight:
        return (Finding("storage", "hydraulic", "no leak shows: cooling explains the fall", "cleared", NEXT_TIGHT),)
    said = "whether the shut high-pressure side leaks cannot be told: cooling may explain the fall"
    return (_undecided(said, NEXT_UNDECIDED),)


def _leaking(valve: str, *, limit: bool) -> Finding:
    if valve == "unknown":
        how = "loses more than the limit" if limit else "leaks"
        return _undecided(
            f"the shut high-pressure side {how}; whether an outlet valve that opens without current empties it is not known",
            NEXT_VALVE,
        )
    if not limit:
        said = "the shut high-pressure side leaks; without a limit this test cannot say whether too much"
        return _undecided(said, "type in the limit from the maker's data; " + NEXT_LEAKS)
    return Finding("storage", "hydraulic", LEAKS, "indicated", NEXT_LEAKS)


def _undecided(said: str, next_test: str) -> Finding:
    return Finding("storage", "hydraulic", said, "undecided", next_test)
