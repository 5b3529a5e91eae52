"""Reaches that several tests share. The numbers are common practice, no source: held here level by level, so that none of
them is moved by mistake, and by the order in which the trade would name the places."""

from __future__ import annotations

import pytest
from tests.places.test_complaint import level

from baybook.estimate import Estimate
from baybook.places import reach
from baybook.places.reach import (
    ANY_PRESSURE,
    CIRCUIT,
    HIGHEST,
    HUNTING,
    NO_PRESSURE,
    PRESSURE_HIGH,
    PRESSURE_LOW,
    STARVED,
    UNDRIVEN,
    VALVE_RETURN,
    made,
)
from baybook.places.sense import Answer, Sense
from baybook.places.system import SystemMap

SUPPLY = """
    0.85 filter; tank pump
    0.8 feed line; tank pump wiring; intermediate pump
    0.75 intermediate pump wiring; suction pump
    0.7 overflow valve
    0.6 tank fuel
    0.4 air leak"""
DRIVEN = """
    0.75 inlet valve coil; inlet valve wiring; inlet valve driver
    0.75 outlet valve coil; outlet valve wiring; outlet valve driver"""
TABLES = {
    "starved": (STARVED, SUPPLY),
    "no current": (CIRCUIT, """
        0.95 {object} wiring; {object} driver
        0.92 {object} coil
        0.4 {all} driver
        0.2 control unit"""),
    "undriven": (UNDRIVEN, """
        0.9 {object} wiring; speed and phase sensors
        0.85 {object} coil
        0.6 injector driver
        0.3 control unit
        0.2 injector * coil; injector * wiring"""),
    "pressure low": (PRESSURE_LOW, SUPPLY + DRIVEN + """
        0.85 pump elements
        0.75 inlet valve; outlet valve
        0.7 rail and joints; relief valve
        0.6 pump drive; pump outlet; injector *; control unit
        0.35 rail sensor
        0.3 rail sensor wiring"""),
    "pressure high": (PRESSURE_HIGH, DRIVEN + """
        0.85 rail sensor
        0.75 rail sensor wiring
        0.6 inlet valve
        0.5 outlet valve; return line
        0.4 control unit"""),
    "highest pressure": (HIGHEST.reach, SUPPLY + """
        0.9 pump elements
        0.7 outlet valve; pump drive
        0.6 relief valve; injector *
        0.5 pump outlet; inlet valve
        0.4 rail and joints"""),
    "hunting": (HUNTING.reach, """
        0.5 air leak; inlet valve
        0.4 outlet valve
        0.3 overflow valve
        0.25 tank fuel
        0.2 feed line; suction pump; control unit
        0.15 filter; rail sensor wiring; inlet valve wiring; outlet valve wiring; injector *"""),
    "valve return": (VALVE_RETURN.reach, """
        0.9 outlet valve
        0.5 outlet valve coil; outlet valve wiring
        0.4 outlet valve driver"""),
    "any pressure": (ANY_PRESSURE.reach, """
        0.99 pump drive
        0.5 inlet valve; rail sensor wiring; speed and phase sensors
        0.4 outlet valve coil; outlet valve wiring; outlet valve driver
        0.3 tank fuel; air leak; feed line; tank pump; tank pump wiring; outlet valve; control unit
        0.2 pump outlet; rail sensor
        0.1 filter; intermediate pump; intermediate pump wiring; suction pump; overflow valve; pump elements; relief valve
        0.1 rail and joints; inlet valve coil; inlet valve wiring; inlet valve driver
        0.05 injector *"""),
}  # fmt: skip
"""What brings each of them out, and how often."""


@pytest.mark.parametrize("name", TABLES)
def test_each_place_brings_it_out_as_often_as_the_table_says(name: str) -> None:
    found, table = TABLES[name]
    assert dict(found) == level(table)


def test_how_often_they_come_out_bad_of_themselves() -> None:
    """What is measured at the place itself half as often as 2 of 100; what is not on the map half as often again, but where the
    pressure hunts, which the engine's own speed brings about too (common practice, no source)."""
    four = (HIGHEST, HUNTING, VALVE_RETURN, ANY_PRESSURE)
    assert [question.false_alarm for question in four] == [0.02, 0.03, 0.01, 0.005]
    assert reach.MEASURED == 0.01 and HUNTING.off_map == 0.1
    for question in (HIGHEST, VALVE_RETURN, ANY_PRESSURE):
        assert question.off_map == pytest.approx(1.5 * question.false_alarm)
    assert VALVE_RETURN.direct == ("outlet valve",) and not HIGHEST.direct
    assert (HIGHEST.sought, VALVE_RETURN.sought, HUNTING.sought, ANY_PRESSURE.sought) == (True, True, False, False)


def test_the_order_in_which_the_trade_names_the_places() -> None:
    """Starved by the filter or its pump rather than by air; no pressure at all by a drive that is broken rather than by wear;
    a closed return brings the pressure up and never down."""
    assert STARVED["filter"] > STARVED["overflow valve"] > STARVED["air leak"]
    none = ANY_PRESSURE.reach
    assert max(none, key=lambda place: none[place]) == "pump drive" and none["pump elements"] < none["tank fuel"]
    assert (
        PRESSURE_LOW["pump elements"] > PRESSURE_LOW["rail sensor"]
        and PRESSURE_HIGH["rail sensor"] > PRESSURE_HIGH["inlet valve"]
    )
    assert "return line" in PRESSURE_HIGH and "return line" not in PRESSURE_LOW
    assert max(HIGHEST.reach, key=lambda place: HIGHEST.reach[place]) == "pump elements"


def bar(low: float, high: float) -> Estimate:
    return Estimate((low + high) / 2.0, "bar", low, high, "pressure")


@pytest.mark.parametrize(
    ("pressure", "before", "conforms"),
    [
        (bar(30.0, 40.0), None, 0.98), (bar(29.9, 40.0), None, None), (bar(20.1, 29.0), None, None),
        (bar(10.0, 20.0), None, 0.02),
        (bar(10.0, 20.1), None, None), (bar(70.0, 75.0), bar(30.0, 40.0), 0.98), (bar(69.9, 75.0), bar(30.0, 40.0), None),
        (Estimate(4.0, "MPa", 3.0, 5.0, "pressure"), Estimate(0.0, "MPa", 0.0, 0.0, "pressure"), 0.98),
        (Estimate(4.0, "MPa", 3.0, 5.0, "pressure"), Estimate(1.0, "MPa", 0.9, 1.1, "pressure"), None),
        (bar(5.0, 15.0), bar(0.0, 5.0), 0.02),
    ],
)  # fmt: skip
def test_whether_any_pressure_is_made(pressure: Estimate, before: Estimate | None, conforms: float | None) -> None:
    """From 30 bar more than what stood there a pump is driven, for certain; up to 20 bar nothing is made (common practice, no
    source); between them nothing is said. 98 of 100 sure either way."""
    found = made(pressure, before)
    assert found == (() if conforms is None else (Answer(NO_PRESSURE, pytest.approx(conforms), said=NO_PRESSURE),))
    assert made(None) == () == made(None, bar(0.0, 1.0))


def test_all_that_is_named_is_a_place() -> None:
    from baybook.places.known import unknown_patterns

    for question in (HIGHEST, HUNTING, VALVE_RETURN, ANY_PRESSURE):
        assert not list(unknown_patterns(Sense({"": question}, 5.0)))
    names = {place.name for place in SystemMap.of().places} | {place.kind for place in SystemMap.of().places}
    assert set(PRESSURE_LOW) | set(PRESSURE_HIGH) | set(STARVED) <= names
