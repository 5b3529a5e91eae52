"""What the readings at pressure, drive and current say of the places. All reaches are common practice, no source."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import hypot

from baybook.api import (
    CIRCUIT,
    PRESSURE_HIGH,
    PRESSURE_LOW,
    REGULATED,
    RUNAWAY,
    Answer,
    Estimate,
    Message,
    Question,
    Reading,
    Sense,
    Word,
)
from baybook_physics.overpressure import largest_excess

from .fitted import Fitted
from .states import Asks, Current, Pressure

FAR_ABOVE = "rail pressure far above"
CHECKED = "sensor checked"
SENSE = Sense(
    {
        "low": Question(PRESSURE_LOW, measures="rail pressure low", spares=REGULATED),
        "high": Question(PRESSURE_HIGH, measures="rail pressure high", spares=REGULATED),
        "control": Question({"control unit": 0.8, "rail sensor": 0.1, "rail sensor wiring": 0.2}, spares=REGULATED),
        "current": Question(CIRCUIT, false_alarm=0.005, measures="coil current"),
        CHECKED: Question(
            {"rail sensor": 0.95, "rail sensor wiring": 0.92}, sought=False, measures="rail sensor against gauge or zero"
        ),
        "runaway": Question(dict.fromkeys(CIRCUIT, 0.02), off_map=0.02, sought=False, halt=RUNAWAY),
        "far above": Question(dict.fromkeys(PRESSURE_HIGH, 0.02), off_map=0.02, sought=False, measures=FAR_ABOVE, halt=RUNAWAY),
    },
    10.0, objects=("inlet valve", "outlet valve"), together=True, turning=True,
)  # fmt: skip
"""low, high: the pressure against its target. control: whether the drive works against it. current: what the valve gets.
runaway, far above: that nothing holds the pressure down, which says no more of the places than the others do and comes before
any test.
"""
SURE = 0.95
"""How sure it is which way a drive works that was decided with 95 %."""


def answers(
    fitted: Sequence[Fitted], pressure: Reading | None, target: Reading | None, tolerance: Reading, state: Pressure | None,
    *, sensor_checked: bool = False,
) -> Iterator[Answer]:  # fmt: skip
    """To each question that the readings answer. sensor_checked: the rail sensor was looked at and is right."""
    if sensor_checked:
        yield Answer(CHECKED, SURE, said=CHECKED)
    if pressure and target and state:
        low, high = _beyond(pressure, target, tolerance, "bar")
        said = Message("pressure {state}", state=Word(state, "pressure_state"))
        yield Answer("low", 1.0 - low, said=said)
        yield Answer("high", 1.0 - high, said=said)
        away = pressure.to("bar"), target.to("bar")
        excess = Estimate.of(away[0].value - away[1].value, "bar", hypot(away[0].u, away[1].u))
        yield Answer("far above", 1.0 - excess.above(largest_excess(away[1].value)), said=said)
    for each in fitted:
        place = f"{each.valve.place} valve"
        if state in (Pressure.LOW, Pressure.HIGH) and each.asks in (Asks.MORE, Asks.LESS):
            right = each.asks is (Asks.MORE if state is Pressure.LOW else Asks.LESS)
            asks = Message("asks for {asks}", asks=Word(each.asks, "inlet_asks"))
            yield Answer("control", SURE if right else 1.0 - SURE, place, asks)
        if each.current is not Current.UNKNOWN and each.read.current and each.read.expected_current:
            off = sum(_beyond(each.read.current, each.read.expected_current, each.tolerance, "A"))
            current = Message("current {state}", state=Word(each.current, "inlet_current_state"))
            due = each.read.expected_current.number("A")
            shows = {f"current of {place}": 100 * (each.read.current.number("A") - due) / due} if due else {}
            yield Answer("current", max(1.0 - off, 0.0), place, current, shows=shows)
        if state is Pressure.HIGH and each.current is Current.RAISES:
            yield Answer("runaway", 1.0 - SURE, place, Message("pressure {state}", state=Word(state, "pressure_state")))


def _beyond(measured: Reading, wanted: Reading, tolerance: Reading, unit: str) -> tuple[float, float]:
    """The chances that a reading's true value lies below, and above, what is wanted by more than a share of it; normal."""
    found, want = measured.to(unit), wanted.to(unit)
    u, off, allowed = hypot(found.u, want.u), found.value - want.value, abs(want.value) * tolerance.number("1")
    beside = Estimate.of(off, "1", u)
    return beside.below(-allowed), beside.above(allowed)
