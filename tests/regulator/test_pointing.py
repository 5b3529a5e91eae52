"""Which side the readings point at: every combination, and the mirror of low and high."""

from __future__ import annotations

from itertools import product

import pytest

from baybook_physics.pressure_valve import Place, Rest, Valve
from baybook_plugins.regulator.pointers import Picture, Pointer, point
from baybook_plugins.regulator.states import (
    Asks,
    Current,
    Pressure,
    against,
    asks,
    current_state,
    pressure_state,
    together_asks,
    together_current,
)

INLET, OUTLET = Valve(Place.INLET), Valve(Place.OUTLET)


def pointer(
    valves: list[Valve], pressure: Pressure, asked: Asks, current: Current, bleed: bool = False, checked: bool = True
) -> Pointer:
    return point(Picture(valves, pressure, asked, current, bleed, checked, "inlet valve", ("find asks",), ("find current",)))


@pytest.mark.parametrize(
    ("measured", "u", "expected"),
    [
        (350, 0, "on target"), (333, 0, "on target"), (332, 0, "low"), (367, 0, "on target"), (368, 0, "high"),
        (325, 5, "undecided"), (327, 5, "undecided"), (340, 5, "undecided"), (342, 5, "on target"), (324, 5, "low"),
        (376, 5, "high"),
    ],
)  # fmt: skip
def test_a_tolerance_is_not_widened_by_the_reading(measured: float, u: float, expected: str) -> None:
    """5 % of 350 bar is 17.5 bar: on target, low and high need 95 %, that is 1.645 u, on their side of its end."""
    assert pressure_state(measured, u, 350, 17.5).partition(":")[0] == expected


def test_a_range_narrower_than_the_uncertainty_puts_nothing_outside() -> None:
    """In the middle of the span nothing is exceeded with 95 %, however bad the reading is."""
    assert against(0.0, 100.0, -1, 1) is None
    assert against(0.0, 100.0, None, None) == 0


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
    assert asks(valve, drive, (0.15, 0.25)) is expected


def test_without_a_usual_range_only_the_ends_say_anything() -> None:
    assert asks(OUTLET, 0.40, None) is Asks.UNKNOWN
    assert asks(OUTLET, 0.97, None) is Asks.MORE
    assert asks(INLET, 0.97, None) is Asks.LESS
    assert asks(INLET, 0.02, None) is Asks.MORE


def test_a_drive_at_the_end_of_the_usual_range_asks_for_nothing_certain() -> None:
    """25 ± 2 % against a usual 15 to 25 % is undecided; 28 ± 2 % lies above (95 %)."""
    assert asks(OUTLET, 0.25, (0.15, 0.25), 0.0102) is Asks.UNDECIDED
    assert asks(OUTLET, 0.28, (0.15, 0.25), 0.0102) is Asks.MORE


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


@pytest.mark.parametrize(
    ("measured", "expected"),
    [
        (0.31, Current.RAISES), (0.35, Current.UNDECIDED), (0.40, Current.AS_EXPECTED), (0.45, Current.UNDECIDED),
        (0.49, Current.LOWERS),
    ],
)  # fmt: skip
def test_an_uncertain_current_is_not_as_expected_by_its_uncertainty(measured: float, expected: Current) -> None:
    """Tolerance 0.04 A about 0.4 A, u 0.02 A: 0.31 A is 2.5 u beyond its end, 0.35 A half a u."""
    assert current_state(INLET, measured, 0.4, 0.02, 0.04) is expected


def test_two_valves_are_read_together() -> None:
    assert together_asks([Asks.USUAL, Asks.MORE]) is Asks.MORE
    assert together_asks([Asks.USUAL, Asks.USUAL]) is Asks.USUAL
    assert together_asks([Asks.UNKNOWN, Asks.USUAL]) is Asks.UNKNOWN  # the other valve may be the one that leads
    assert together_asks([Asks.UNDECIDED, Asks.USUAL]) is Asks.UNDECIDED
    assert together_asks([Asks.LESS, Asks.MORE]) is Asks.CONFLICT
    both = [Current.AS_EXPECTED, Current.LOWERS]
    assert together_current(both, Pressure.LOW) is Current.LOWERS
    assert together_current([Current.AS_EXPECTED, Current.UNKNOWN], Pressure.LOW) is Current.UNKNOWN
    assert together_current([Current.UNKNOWN, Current.UNDECIDED], Pressure.LOW) is Current.UNDECIDED
    both = [Current.LOWERS, Current.RAISES]
    assert together_current(both, Pressure.LOW) is Current.LOWERS
    assert together_current(both, Pressure.HIGH) is Current.RAISES


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
    low = pointer([OUTLET], Pressure.LOW, asked, current)
    high = pointer([OUTLET], Pressure.HIGH, MIRROR.get(asked, asked), MIRROR.get(current, current))
    assert (low.side, low.strength) == expected
    assert (high.side, high.strength) == expected
    assert low.test_next and high.test_next


def test_only_what_was_carried_out_clears_the_control() -> None:
    for pressure, asked, current in product(Pressure, Asks, Current):
        found = pointer([INLET, OUTLET], pressure, asked, current)
        if found.control_does_its_part:
            assert (found.side, current) == ("hydraulic", Current.AS_EXPECTED)
            assert asked is (Asks.MORE if pressure is Pressure.LOW else Asks.LESS)


def test_too_high_is_hydraulic_only_with_a_sensor_that_was_looked_at() -> None:
    """common practice, no source: a sensor or its ground that shows too much looks the same, and costs nothing to look at."""
    for asked, current in product(Asks, Current):
        found = pointer([INLET, OUTLET], Pressure.HIGH, asked, current, checked=False)
        assert not (found.side == "hydraulic" and found.strength == "indicates")
        if asked is Asks.LESS and current is not Current.RAISES:
            assert any("rail sensor" in test for test in found.test_next[:2])
    doubted = pointer([INLET], Pressure.HIGH, Asks.LESS, Current.AS_EXPECTED, checked=False)
    assert (doubted.side, doubted.sensor_open, doubted.control_does_its_part) == (None, True, False)
    assert "if the pressure is really there" in doubted.statement


def test_what_is_stuck_is_said_by_the_valve_that_is_fitted() -> None:
    """Too high: an inlet valve does not close, an outlet valve does not open."""
    said = [
        pointer(valves, Pressure.HIGH, Asks.LESS, Current.AS_EXPECTED).statement
        for valves in ([INLET], [OUTLET], [INLET, OUTLET])
    ]
    assert ["the inlet valve does not close" in text for text in said] == [True, False, True]
    assert ["the outlet valve does not open" in text for text in said] == [False, True, True]
    assert all("or the return is blocked" in text for text in said)


def test_pressure_out_of_control_is_stopped_first() -> None:
    """High, and the current is off in the sense that raises pressure: the engine is stopped before anything is measured."""
    high = pointer([INLET], Pressure.HIGH, Asks.LESS, Current.RAISES)
    assert high.test_next[0].startswith("stop the engine")
    assert not pointer([INLET], Pressure.LOW, Asks.MORE, Current.LOWERS).test_next[0].startswith("stop")


def test_low_pressure_that_is_asked_for_and_carried_out_is_fed_first() -> None:
    """A starved pump cannot make pressure: the supply is the first test, and the stage stays open."""
    found = pointer([INLET], Pressure.LOW, Asks.MORE, Current.AS_EXPECTED)
    assert found.stage_open
    assert "feed pressure" in found.test_next[0]


@pytest.mark.parametrize("current", [Current.UNKNOWN, Current.UNDECIDED])
def test_what_is_not_known_is_found_out_first(current: Current) -> None:
    assert pointer([INLET], Pressure.LOW, Asks.MORE, current).test_next[0] == "find current"
    for asked in (Asks.UNKNOWN, Asks.UNDECIDED):
        assert pointer([INLET], Pressure.LOW, asked, current).test_next == ("find asks", "find current")


def test_opposite_commands_point_at_the_readings() -> None:
    found = pointer([INLET, OUTLET], Pressure.LOW, Asks.CONFLICT, Current.AS_EXPECTED)
    assert found.side is None
    assert "wrong polarity" in found.statement


def test_the_sentence_follows_what_is_asked_for() -> None:
    """Not carried out: only where the right correction is asked for is that said; the coil's current is wrong either way."""
    asked = pointer([INLET], Pressure.LOW, Asks.MORE, Current.LOWERS).statement
    assert asked.startswith("The drive asks for the right correction, but the coil's current is not what its drive should give")
    for other in (Asks.LESS, Asks.USUAL, Asks.UNKNOWN):
        said = pointer([INLET], Pressure.LOW, other, Current.LOWERS).statement
        assert said.startswith("The coil's current is not what its drive should give (inlet valve), in the very sense")
        mirror = pointer([INLET], Pressure.HIGH, MIRROR.get(other, other), Current.RAISES).statement
        assert mirror.startswith("The coil's current") and "makes pressure high" in mirror


def test_on_target_by_effort_is_not_healthy() -> None:
    """Pressure held only by asking for more than usual: something hydraulic is being made up for."""
    found = pointer([OUTLET], Pressure.ON_TARGET, Asks.MORE, Current.AS_EXPECTED)
    assert (found.side, found.strength) == ("hydraulic", "consistent with")
    assert pointer([OUTLET], Pressure.ON_TARGET, Asks.USUAL, Current.AS_EXPECTED).side is None


def test_a_pressure_that_is_not_known_to_be_off_accuses_nobody() -> None:
    for asked, current in product((Asks.MORE, Asks.USUAL, Asks.UNKNOWN), (Current.AS_EXPECTED, Current.UNKNOWN)):
        assert pointer([INLET], Pressure.UNDECIDED, asked, current).side is None
    off = pointer([INLET], Pressure.UNDECIDED, Asks.USUAL, Current.LOWERS)
    assert (off.side, off.strength) == ("control", "consistent with")


def test_high_pressure_asks_after_the_bleed_where_there_is_one() -> None:
    tests = pointer([INLET], Pressure.HIGH, Asks.LESS, Current.AS_EXPECTED, True).test_next
    assert any("injector bleed" in test for test in tests)
    without = pointer([INLET], Pressure.HIGH, Asks.LESS, Current.AS_EXPECTED).test_next
    assert not any("injector bleed" in test for test in without)


def test_only_a_fitted_valve_is_to_be_tested() -> None:
    inlet, outlet = (pointer([v], Pressure.HIGH, Asks.LESS, Current.AS_EXPECTED).test_next for v in (INLET, OUTLET))
    assert any("inlet valve" in test for test in inlet)
    assert not any("inlet valve" in test for test in outlet)
    low = pointer([INLET], Pressure.LOW, Asks.MORE, Current.AS_EXPECTED).test_next
    assert not any("outlet valve" in test for test in low)


def test_nothing_said_is_dangerous_to_do() -> None:
    """No text of any combination tells anyone to unplug, open a line or feel for a leak; a valve is tested engine stopped."""
    for pressure, asked, current, bleed, checked in product(Pressure, Asks, Current, (False, True), (False, True)):
        found = pointer([INLET, OUTLET], pressure, asked, current, bleed, checked)
        for text in (found.statement, *found.test_next):
            lowered = text.lower()
            assert not any(word in lowered for word in ("unplug", "disconnect", "loosen", "by hand", "feel for", "gauge"))
            assert "moves freely" not in lowered or "engine stopped and pressure proved zero" in lowered
            assert "oscilloscope" not in lowered or "key off" in lowered
