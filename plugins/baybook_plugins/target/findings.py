"""What actual and target say together with what the control asks for and how well the pump is fed."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from baybook.api import Estimate, Finding, Message, SpecRange, Verdict

from .points import Point, Points

SUPPLY = Message("measure supply pressure and flow under load, then filter and lines")
CRANKING = Message("see how much the pump gives and where it goes: supply, the injectors' returns (calculator returns), "
                   "the shut rail (calculator hold)")  # fmt: skip
DRIVE = Message("read duty and current of the fitted valves in the same condition (calculator regulator)")
SENSOR = Message("look at the rail sensor first: what it shows after the rail was seen to fall to zero, its supply, its ground")
SENSOR_DRIVE = Message(
    "look at the rail sensor first: what it shows after the rail was seen to fall to zero, its supply, its ground; then read "
    "duty and current of the fitted valves (calculator regulator)"
)
ASKED = {
    "all": "all that it can", "most": "the most that it does in this log", "more": "more", "same": "the same as before",
    "less": "less", "least": "the least that it does in this log",
}  # fmt: skip
UNDRIVEN = "The {valve} gets {current} at a duty of {duty}: its coil is not driven, by wire, plug, coil or output stage."
COIL = Message(
    "engine stopped, rail seen to fall to zero, key off: coil at its own pins (calculator coil), both wires end to end "
    "(calculator drop)"
)
STARVED = (
    "The supply pressure is {supply}, outside {limit}, while actual pressure is {away} off its target: the pump is not fed as "
    "it should be."
)
UNLOGGED = (
    "For {missing} of the log there is no pressure: what it does then is not known, and a signal that drops out is a fault "
    "itself."
)
PLUG = Message("key off, look at the sensor's plug and wires; log again, while a loose contact would show")
FED = "The supply pressure stays at {supply} or above, within {limit}: the pump is fed, as far as a pressure tells."
FED_OPEN = "Whether the supply pressure of {supply} is within {limit} cannot be told."
SHORT = (
    "Actual pressure is {away} off its target and the control asks for {demand}: more is lost than the pump gives, or pump or "
    "supply give too little. Which of them, this test does not tell."
)
SHORT_NOT_ASKED = (
    "Actual pressure is {away} off its target, yet the control asks for {demand}: it does not see the fault, does not mean to "
    "correct it, or its drive stands at an end that this test does not know."
)
OVER = "Actual pressure is {away} off its target although the control asks for {demand}: it does not get off what it should."
STILL = (
    "Actual pressure is {away} off its target, and what the control asks for stands still: it is at an end that this test does "
    "not know, or the control does not mean to correct it. Neither side nor stage follows."
)
OVER_NOT_ASKED = (
    "Actual pressure is {away} off its target, and the control asks for {demand}: what it sees and drives comes first."
)
UNKNOWN = (
    "Actual pressure is {away} off its target. Whether the control asks for a correction is not known, so this tells neither "
    "side nor stage."
)
SWINGS = (
    "The mean is within {band}, {away} off its target, and with a swing of {swing} to either side the pressure goes beyond it: "
    "strokes and injections of a sound engine, a pump that delivers unevenly, air, or a valve that hunts."
)
HUNTS = (
    "The mean is within {band}, {away} off its target, and the pressure goes beyond it by a slow swing of {swing} to either "
    "side that takes {period}: it hunts, far slower than any stroke of the pump. Air in the fuel, an inlet valve that sticks, "
    "or a control that follows an engine which runs unevenly."
)
WHO_FIRST = Message(
    "look for bubbles in a clear hose on the low-pressure side, fitted with the engine stopped; log the valve's duty with "
    "pressure and speed: what moves first is the cause"
)
RIPPLE = Message("look at the order of the swing against the pump's speed (calculator ripple)")


def findings(
    points: Points, band: SpecRange | None, verdicts: list[Verdict], asked: str, supply: Verdict | None
) -> tuple[Finding, ...]:
    """Those that need more than one reading; none where the band alone says what there is to say."""
    if band is None:
        return tuple(_of_supply(points.supply, supply, None))
    out = [point for point, verdict in zip(points.each, verdicts, strict=True) if verdict.verdict == "outside"]
    if out:
        worst = max(out, key=lambda point: abs(point.deviation.value))
        low = worst.deviation.value < 0
        found = list(_of_supply(points.supply, supply, worst.deviation if low else None))
        if low and supply and supply.way == "below":
            return tuple(found)
        dead = tuple(_undriven(worst))
        return (*found, *(dead or (_beyond(worst, asked or worst.demand, low),)))
    if points.missing > 0.0:
        gap = Message(UNLOGGED, missing=Estimate.of(points.missing, "s", kind="time"))
        return (*_of_supply(points.supply, supply, None), Finding("storage", "control", gap, "undecided", PLUG))
    if all(verdict.verdict == "within" for verdict in verdicts):
        swinging = [point for point in points.each if point.swing is not None and beyond_band(point, band)]
        if swinging:
            worst = max(swinging, key=lambda point: point.swing.value if point.swing else 0.0)
            told: dict[str, Any] = {"away": worst.deviation, "swing": worst.swing, "band": band}
            statement, then = Message(SWINGS, **told), RIPPLE
            if worst.period is not None:
                statement, then = Message(HUNTS, period=worst.period, **told), WHO_FIRST
            return (*_of_supply(points.supply, supply, None), Finding("generation", "hydraulic", statement, "undecided", then))
    return ()


def _undriven(worst: Point) -> Iterator[Finding]:
    for valve, duty, current, none in worst.currents:
        if not none:
            continue
        told = Message(UNDRIVEN, valve=Message(valve), duty=duty, current=current)
        yield Finding("generation" if valve == "inlet valve" else "storage", "control", told, "indicated", COIL)


def _beyond(worst: Point, demand: str, low: bool) -> Finding:
    if not demand:
        return Finding(
            "generation", "hydraulic", Message(UNKNOWN, away=worst.deviation), "undecided", DRIVE if low else SENSOR_DRIVE
        )
    if demand == "same":
        told_still = Message(STILL, away=worst.deviation)
        return Finding("generation", "hydraulic", told_still, "undecided", DRIVE if low else SENSOR_DRIVE)
    told: dict[str, Estimate | Message] = {"away": worst.deviation, "demand": Message(ASKED[demand])}
    if low:
        if demand in ("all", "most", "more"):
            return Finding("generation", "hydraulic", Message(SHORT, **told), "undecided", CRANKING)
        return Finding("generation", "control", Message(SHORT_NOT_ASKED, **told), "undecided", DRIVE)
    if demand in ("less", "least"):
        return Finding("generation", "hydraulic", Message(OVER, **told), "undecided", SENSOR)
    return Finding("generation", "control", Message(OVER_NOT_ASKED, **told), "undecided", DRIVE)


def beyond_band(point: Point, band: SpecRange) -> bool:
    """Whether the swing reaches beyond the band, its mean where it is."""
    limits, swing, mean = band.to("bar"), point.swing, point.deviation.value
    if swing is None:
        return False
    low = limits.low is not None and mean - swing.low < limits.low
    return low or (limits.high is not None and mean + swing.low > limits.high)


def _of_supply(supply: Estimate | None, verdict: Verdict | None, away: Estimate | None) -> Iterator[Finding]:
    if supply is None or verdict is None:
        return
    told: dict[str, Estimate | SpecRange] = {"supply": supply, "limit": verdict.range}
    if away is not None and verdict.way == "below":
        yield Finding("supply", "hydraulic", Message(STARVED, away=away, **told), "indicated", SUPPLY)
    elif verdict.verdict == "outside":
        statement = Message("The supply pressure is {supply}, outside {limit}.", **told)
        yield Finding("supply", "hydraulic", statement, "indicated", SUPPLY)
    elif verdict.verdict == "within":
        yield Finding("supply", "hydraulic", Message(FED, **told), "cleared")
    else:
        yield Finding("supply", "hydraulic", Message(FED_OPEN, **told), "undecided", SUPPLY)
