"""Facts of the trade on inlet and outlet pressure control. common practice, no source: every one of them."""

from __future__ import annotations

import pytest

from baybook_physics.pressure_valve import Counts, Place, Rest, Switched, Valve, mean_voltage, on_share
from baybook_plugins.regulator.texts import loss_of_all_current

INLET, OUTLET = Valve(Place.INLET), Valve(Place.OUTLET)


@pytest.mark.parametrize(
    ("valve", "moves", "raises", "full"),
    [
        (INLET, "closed", False, ("open", "no current")),
        (OUTLET, "closed", True, ("closed", "full current")),
        (Valve(Place.INLET, Rest.CLOSED), "open", True, ("open", "full current")),
        (Valve(Place.OUTLET, Rest.CLOSED), "open", False, ("closed", "no current")),
    ],
    ids=["inlet open at rest", "outlet open at rest", "inlet closed at rest", "outlet closed at rest"],
)
def test_what_current_does(valve: Valve, moves: str, raises: bool, full: tuple[str, str]) -> None:
    """Current drives the usual valve in: that restricts the inlet (pressure falls) and closes the escape (pressure rises)."""
    assert valve.current_moves_it == moves
    assert valve.current_raises_pressure is raises
    assert (valve.full_pressure_position, valve.full_pressure_current) == full


def test_full_pressure_is_inlet_open_and_outlet_closed() -> None:
    """Whatever stands at rest, full pressure is inlet fully open and outlet fully closed."""
    for rest in Rest:
        assert Valve(Place.INLET, rest).full_pressure_position == "open"
        assert Valve(Place.OUTLET, rest).full_pressure_position == "closed"


def test_the_usual_inlet_valve_without_current_delivers_all() -> None:
    """Inlet open at rest: loss of current lets pressure run up to the relief valve, and the words warn."""
    assert INLET.loss_of_current == "rises"
    words = loss_of_all_current([INLET])
    assert "relief valve" in words and "never take the current away" in words


def test_the_usual_outlet_valve_without_current_lets_pressure_go() -> None:
    """Outlet open at rest: loss of current means no pressure, no start."""
    assert OUTLET.loss_of_current == "falls"
    assert "does not start" in loss_of_all_current([OUTLET])


def test_both_of_the_usual_kind_without_current() -> None:
    """The open escape wins over the filling pump; the inlet alone without current may let pressure run up."""
    words = loss_of_all_current([INLET, OUTLET])
    assert "collapses" in words and "inlet valve alone loses its current" in words


def test_ground_switched_means_on_is_low() -> None:
    """Switched to ground, the wire is low while the coil is on: 14 V at 25 % on averages 10.5 V, low time is the duty."""
    assert mean_voltage(0.25, 14.0, Switched.GROUND) == pytest.approx(10.5)
    assert mean_voltage(0.25, 14.0, Switched.SUPPLY) == pytest.approx(3.5)
    assert on_share(0.25, Counts.LOW, Switched.GROUND) == 0.25
    assert on_share(0.25, Counts.HIGH, Switched.GROUND) == 0.75
    assert on_share(0.25, Counts.HIGH, Switched.SUPPLY) == 0.25
