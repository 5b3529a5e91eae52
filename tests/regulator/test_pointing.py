"""Which side the readings point at: every combination, and the mirror of low and high."""

from __future__ import annotations

from itertools import product

import pytest

from baybook_plugins.regulator.model import Place, Rest, Valve
from baybook_plugins.regulator.pointing import (
    Asks,
    Current,
    Pressure,
    Span,
    asks,
    current_state,
    point,
    pressure_state,
    together_asks,
    together_current,
)

INLET, OUTLET = Valve(Place.INLET), Valve(Place.OUTLET)


@pytest.mark.parametrize(
    ("measured", "u", "expected"),
    [
        (350, 0, "on target"), (333, 0, "on target"), (332, 0, "low"), (367, 0, "on target"), (368, 0, "high"),
        (325, 5, "on target"), (320, 5, "low"),
    ],
)  # fmt: skip
def test_pressure_is_away_beyond_tolerance_and_uncertainty(measured: float, u: float, expected: str) -> None:
    """5 % of 350 bar is 17.5 bar; an uncertain reading must lie 1.96 u further out."""
    assert pressure_state(measured, u, 350, 17.5) == expected


@pytest.mark.parametrize(
    ("valve", "drive", "expected"),
    [
        (OUTLET, 0.40, Asks.MORE), (OUTLET, 0.10, Asks.LESS), (OUTLET, 0.20, Asks.USUAL),
        (INLET, 0.40, Asks.LESS), (INLET, 0.10, Asks.MORE), (INLET, 0.25, Asks.USUAL), (INLET, 0.15, Asks.USUAL),
        (Valve(Place.INLET, Rest.CLOSED), 0.40, Asks.MORE), (Valve(Place.OUTLET, Rest.CLOSED), 0.40, Asks.LESS),
        (OUTLET, None, Asks.UNKNOWN),
    ],
)  # fmt: skip
def test_what_a_drive_asks_for(valve: Valve, drive: float | None, expected: Asks) -> None:
    """Against a usual 15 to 25 %: more drive closes an outlet (more pressure) and restricts an inlet (less)."""
    assert asks(valve, drive, Span(0.15, 0.25)) is expected


def test_without_a_usual_range_only_the_ends_say_anything() -> None:
    assert asks(OUTLET, 0.40, None) is Asks.UNKNOWN
    assert asks(OUTLET, 0.97, None) is Asks.MORE
    assert asks(INLET, 0.97, None) is Asks.LESS
    assert asks(INLET, 0.02, None) is Asks.MORE


@pytest.mark.parametrize(
    ("valve", "measured", "expected"),
    [
        (OUTLET, 0.5, Current.LOWERS), (OUTLET, 1.5, Current.RAISES),
        (INLET, 0.5, Current.RAISES), (INLET, 1.5, Current.LOWERS),
        (INLET, 1.05, Current.AS_EXPECTED), (INLET, None, Current.UNKNOWN),
    ],
)  # fmt: skip
def test_what_a_wrong_current_does(valve: Valve, measured: float | None, expected: Current) -> None:
    """Against 1.0 A expected: too little lets an outlet open and an inlet open."""
    assert current_state(valve, measured, 1.0, 0.0, 0.1) is expected


def test_two_valves_are_read_together() -> None:
    assert together_asks([Asks.USUAL, Asks.MORE]) is Asks.MORE
    assert together_asks([Asks.UNKNOWN, Asks.USUAL]) is Asks.USUAL
    assert together_asks([Asks.LESS, Asks.MORE]) is Asks.CONFLICT
    both = [Current.AS_EXPECTED, Current.LOWERS]
    assert together_current(both, Pressure.LOW) is Current.LOWERS
    assert together_current([Current.AS_EXPECTED, Current.UNKNOWN], Pressure.LOW) is Current.UNKNOWN


# what the readings point at while pressure is low: rows asked, columns the current
LOW_TABLE = {
    (Asks.MORE, Current.AS_EXPECTED): ("hydraulic", "indicates"),
    (Asks.MORE, Current.LOWERS): ("control", "indicates"),
    (Asks.MORE, Current.RAISES): ("hydraulic", "consistent with"),
    (Asks.MORE, Current.UNKNOWN): (None, "open"),
    (Asks.USUAL, Current.AS_EXPECTED): ("control", "consistent with"),
    (Asks.USUAL, Current.LOWERS): ("control", "indicates"),
    (Asks.USUAL, Current.RAISES): ("control", "consistent with"),
    (Asks.USUAL, Current.UNKNOWN): ("control", "consistent with"),
    (Asks.LESS, Current.AS_EXPECTED): ("control", "consistent with"),
    (Asks.LESS, Current.LOWERS): ("control", "indicates"),
    (Asks.LESS, Current.RAISES): ("control", "consistent with"),
    (Asks.LESS, Current.UNKNOWN): ("control", "consistent with"),
    (Asks.UNKNOWN, Current.AS_EXPECTED): (None, "open"),
    (Asks.UNKNOWN, Current.LOWERS): ("control", "indicates"),
    (Asks.UNKNOWN, Current.RAISES): (None, "open"),
    (Asks.UNKNOWN, Current.UNKNOWN): (None, "open"),
}
MIRROR = {Asks.MORE: Asks.LESS, Asks.LESS: Asks.MORE, Current.LOWERS: Current.RAISES, Current.RAISES: Current.LOWERS}


@pytest.mark.parametrize(("asked", "current"), LOW_TABLE)
def test_low_pressure_and_its_mirror(asked: Asks, current: Current) -> None:
    """common practice, no source: asked and carried out is hydraulic, not carried out or not asked control; high mirrors it."""
    expected = LOW_TABLE[asked, current]
    low = point([OUTLET], Pressure.LOW, asked, current, False)
    high = point([OUTLET], Pressure.HIGH, MIRROR.get(asked, asked), MIRROR.get(current, current), False)
    assert (low.side, low.strength) == expected
    assert (high.side, high.strength) == expected
    assert low.test_next and high.test_next


def test_only_what_was_carried_out_clears_the_control() -> None:
    for pressure, asked, current in product(Pressure, Asks, Current):
        pointer = point([INLET, OUTLET], pressure, asked, current, False)
        if pointer.control_does_its_part:
            assert (pointer.side, current) == ("hydraulic", Current.AS_EXPECTED)
            assert asked is (Asks.MORE if pressure is Pressure.LOW else Asks.LESS)


def test_opposite_commands_point_at_the_readings() -> None:
    pointer = point([INLET, OUTLET], Pressure.LOW, Asks.CONFLICT, Current.AS_EXPECTED, False)
    assert pointer.side is None
    assert "wrong polarity" in pointer.statement


def test_on_target_by_effort_is_not_healthy() -> None:
    """Pressure held only by asking for more than usual: something hydraulic is being made up for."""
    pointer = point([OUTLET], Pressure.ON_TARGET, Asks.MORE, Current.AS_EXPECTED, False)
    assert (pointer.side, pointer.strength) == ("hydraulic", "consistent with")
    assert point([OUTLET], Pressure.ON_TARGET, Asks.USUAL, Current.AS_EXPECTED, False).side is None


def test_high_pressure_asks_after_the_bleed_where_there_is_one() -> None:
    tests = point([INLET], Pressure.HIGH, Asks.LESS, Current.AS_EXPECTED, True).test_next
    assert any("injector bleed" in test for test in tests)
    assert not any(
        "injector bleed" in test for test in point([INLET], Pressure.HIGH, Asks.LESS, Current.AS_EXPECTED, False).test_next
    )


def test_only_a_fitted_valve_is_to_be_tested() -> None:
    inlet, outlet = (point([v], Pressure.HIGH, Asks.LESS, Current.AS_EXPECTED, False).test_next for v in (INLET, OUTLET))
    assert any("inlet valve" in test for test in inlet)
    assert not any("inlet valve" in test for test in outlet)
    low = point([INLET], Pressure.LOW, Asks.MORE, Current.AS_EXPECTED, False).test_next
    assert not any("outlet valve" in test for test in low)


def test_nothing_said_is_dangerous_to_do() -> None:
    """No text of any combination tells anyone to unplug, open a line or feel for a leak; a valve is tested engine stopped."""
    for pressure, asked, current, bleed in product(Pressure, Asks, Current, (False, True)):
        pointer = point([INLET, OUTLET], pressure, asked, current, bleed)
        for text in (pointer.statement, *pointer.test_next):
            lowered = text.lower()
            assert not any(word in lowered for word in ("unplug", "disconnect", "loosen", "by hand", "feel for"))
            assert "moves freely" not in lowered or "engine stopped and pressure proved zero" in lowered
