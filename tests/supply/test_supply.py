"""The supply as a technician reads it: what each combination of readings proves, and what it does not."""

from __future__ import annotations

from typing import Any

import pytest

from baybook import calculate
from baybook.errors import InputError

LOW = {"load": "2.1 ± 0.1 bar", "load_limit": ">= 3 bar"}
FEEDS = {"pump_current": "6.0 ± 0.1 A", "current_limit": "4 to 7 A", "battery_voltage": "13.8 ± 0.02 V",
         "pump_voltage": "13.4 ± 0.02 V", "voltage_limit": "<= 0.7 V"}  # fmt: skip


def said(**inputs: Any) -> list[tuple[str, str, str]]:
    """(side, strength, statement) of each finding, all at the supply."""
    found = calculate("supply", **inputs).findings
    assert {finding.stage for finding in found} <= {"supply"}
    return [(finding.side, finding.strength, str(finding.statement)) for finding in found]


def test_a_low_feed_pressure_alone_leaves_every_part_open() -> None:
    """Filter, pump, its supply, line, tank, holding valve or too great a draw: the pressure does not tell them apart."""
    (one,) = said(**LOW)
    assert one[:2] == ("hydraulic", "indicated")
    for part in ("tank (", "feed line", "filter", "tank pump", "valve that holds", "too great a draw", "air"):
        assert part in one[2]
    (finding,) = calculate("supply", **LOW).findings
    assert "voltage" in str(finding.next_test) and "current" in str(finding.next_test)  # nothing has to be opened for these


def test_a_filter_drop_beyond_its_limit_accounts_for_it() -> None:
    pressure, filter_ = said(**LOW, before_filter="4.8 ± 0.1 bar", filter_limit="<= 0.5 bar")
    assert "point at the filter" in pressure[2] and "Left to suspect" not in pressure[2]
    assert filter_[2].startswith("Filter drop: 2.70 bar is outside at most 0.5 bar")


def test_a_good_filter_is_taken_off_and_the_rest_stays() -> None:
    (one,) = said(**LOW, before_filter="2.3 ± 0.05 bar", filter_limit="<= 0.5 bar")
    assert "filter (" not in one[2] and "tank pump" in one[2] and "too great a draw" in one[2]


def test_good_at_idle_takes_off_the_holding_valve_and_not_the_pump() -> None:
    (one,) = said(**LOW, idle="3.8 ± 0.1 bar", idle_limit=">= 3 bar")
    assert "valve that holds" not in one[2] and "the tank pump" in one[2]


def test_wiring_is_taken_off_by_current_and_drop_and_the_pump_is_not() -> None:
    """A worn pump takes its usual current: the pump stays a suspect."""
    pressure, wiring = said(**LOW, **FEEDS)
    assert "tank pump's supply" not in pressure[2] and "the tank pump," in pressure[2]
    assert wiring[:2] == ("control", "cleared")


def test_a_drop_along_a_dead_wire_clears_nothing() -> None:
    """13.8 V at both ends and no current: the voltage drop is within its limit, and proves nothing."""
    dead = FEEDS | {"pump_current": "0.00 ± 0.02 A", "pump_voltage": "13.8 ± 0.02 V"}
    found = said(**LOW, **dead)
    assert not any(strength == "cleared" for _, strength, _ in found)
    assert any(side == "control" and "No current flows" in text for side, _, text in found)
    assert "point at the tank pump's supply" in found[0][2]
    only_drop = {key: dead[key] for key in ("battery_voltage", "pump_voltage", "voltage_limit")}
    assert "tank pump's supply" in said(**LOW, **only_drop)[0][2]
    assert said(**only_drop) == [
        (
            "control",
            "undecided",
            "A voltage drop says something only where current flows: read the current, or hear the pump run",
        )
    ]


def test_a_great_depression_is_a_restriction_before_the_gauge() -> None:
    """Not a worn suction pump, and not the holding valve: either would make the depression smaller."""
    (one,) = said(load="-0.45 ± 0.02 bar", load_limit="-0.3 to 0 bar")
    assert "held back before the gauge" in one[2] and "filter" in one[2]
    assert "suction pump" not in one[2] and "valve that holds" not in one[2]


def test_a_small_depression_is_a_suction_pump_or_air() -> None:
    (one,) = said(load="-0.02 ± 0.005 bar", load_limit="-0.3 to -0.1 bar")
    assert "suction pump on the high-pressure pump and air" in one[2] and "filter" not in one[2]


def test_too_high_a_feed_pressure_does_not_get_away() -> None:
    (one,) = said(load="7.5 ± 0.1 bar", load_limit="3 to 5 bar")
    assert "return line" in one[2] and "filter" not in one[2]
    assert calculate("supply", load="7.5 ± 0.1 bar", load_limit="3 to 5 bar").outputs["state"] == "too much"


@pytest.mark.parametrize("part", ["tank", "intermediate"])
def test_a_part_that_is_not_fitted_is_not_suspected(part: str) -> None:
    (one,) = said(**LOW, **{f"{part}_pump": "not-fitted"})
    assert f"{part} pump" not in one[2]


def test_a_pump_that_is_not_heard_is_named() -> None:
    """Of three that may be fitted, the finding names the one that does not run."""
    found = said(**LOW, tank_pump="silent", intermediate_pump="runs", suction_pump="fitted")
    assert "point at the tank pump and the tank pump's supply" in found[0][2]
    assert ("control", "indicated", "The tank pump does not run") in found


def test_bubbles_prove_a_leak_only_where_no_depression_brings_them_out() -> None:
    assert said(load="-0.02 ± 0.005 bar", air="many")[0][1:2] == ("indicated",)
    assert said(load="-0.30 ± 0.01 bar", air="many")[0][1] == "undecided"


def test_idle_alone_clears_nothing_and_load_does() -> None:
    assert [s for _, s, _ in said(idle="3.8 ± 0.1 bar", idle_limit=">= 3 bar")] == ["undecided"]
    assert [s for _, s, _ in said(load="3.8 ± 0.1 bar", load_limit=">= 3 bar", air="none")] == ["cleared"]
    assert [s for _, s, _ in said(load="3.8 ± 0.1 bar", load_limit=">= 3 bar", air="many")] == ["indicated"]


def test_free_delivery_clears_nothing_and_says_why() -> None:
    found = calculate("supply", volume="1000 ± 5 mL", time="30 ± 0.3 s", flow_limit=">= 90 L/h")
    assert [finding.strength for finding in found.findings] == ["undecided"]
    assert any("delivers freely need not deliver against" in note for note in found.notes)


def test_what_the_engine_takes_is_set_against_what_flows() -> None:
    """By hand: 500 mL in 30 s is 60 L/h; 25 + 15 + 40 L/h are taken; 20 L/h lack."""
    found = calculate("supply", volume="500 ± 5 mL", time="30 ± 0.2 s", collected="loaded", injected="25 ± 1 L/h",
                      returned="15 ± 1 L/h", pump_own="40 ± 2 L/h")  # fmt: skip
    assert found["surplus"].value == pytest.approx(-20.0)
    assert [finding.strength for finding in found.findings] == ["indicated"] and found.outputs["state"] == "too little"


def test_fuel_that_comes_back_at_low_pressure_accuses_the_holding_valve() -> None:
    (one,) = said(**LOW, volume="500 ± 5 mL", time="60 ± 1 s", collected="return", flow_limit=">= 10 L/h")
    assert "point at the valve that holds the feed pressure" in one[2]


def test_what_is_collected_in_the_return_is_no_surplus() -> None:
    """What comes back has been through the pump: 25 + 15 L/h are taken, and nothing is left of them to be set against it."""
    found = calculate("supply", volume="500 ± 5 mL", time="60 ± 1 s", collected="return", flow_limit=">= 10 L/h",
                      injected="25 ± 1 L/h", returned="15 ± 1 L/h")  # fmt: skip
    assert found["engine_takes"].value == pytest.approx(40.0) and "surplus" not in found.outputs


def test_in_the_cold_wax_is_thought_of_first() -> None:
    read = {"load": "3.8 ± 0.1 bar", "load_limit": ">= 3 bar"}
    warm, cold = (calculate("supply", **read, temperature=f"{t} ± 1 °C") for t in (20, -5))
    assert [any("wax may have come out" in note for note in found.notes) for found in (warm, cold)] == [False, True]


def test_before_the_filter_a_limit_with_one_end_is_answered_at_that_end() -> None:
    """4.2 ± 0.1 bar before the filter against at most 5 bar: certainly not high; too low is not asked."""
    read = {"load": "3.8 ± 0.1 bar", "before_filter": "4.2 ± 0.1 bar", "filter_limit": "<= 0.5 bar"}
    high = {a.question: a.conforms for a in calculate("supply", **read, load_limit="<= 5 bar").answers}
    assert high["before high"] > 0.99 and "before low" not in high
    low = {a.question: a.conforms for a in calculate("supply", **read, load_limit=">= 3 bar").answers}
    assert low["before low"] > 0.99 and "before high" not in low


def test_a_limit_within_the_uncertainty_is_left_open() -> None:
    assert [s for _, s, _ in said(load="3.0 ± 0.2 bar", load_limit=">= 3 bar")] == ["undecided"]


def test_a_decimal_comma_and_another_unit_change_nothing() -> None:
    plain = calculate("supply", load="-0.45 ± 0.02 bar", load_limit="-0.3 to 0 bar")
    comma = calculate("supply", load="-0,45 ± 0,02 bar", load_limit="-0,3 to 0 bar")
    other = calculate("supply", load="-45 ± 2 kPa", load_limit="-30 to 0 kPa")
    for found in (comma, other):
        assert found["load_pressure"].value == pytest.approx(plain["load_pressure"].value)
        assert found["released_air"].high == pytest.approx(plain["released_air"].high)
        assert found.verdicts[0].probability == pytest.approx(plain.verdicts[0].probability)


@pytest.mark.parametrize(
    ("inputs", "named"),
    [
        ({}, "load"),
        ({"before_filter": "4 bar"}, "load"),
        ({"volume": "1 L"}, "time"),
        ({"pump_voltage": "12 V"}, "battery_voltage"),
        ({"load": "350 L"}, "load"),
        ({"load": "3.0 bar", "before_filter": "2.0 bar"}, "before_filter"),
        ({"battery_voltage": "12.0 V", "pump_voltage": "13.0 V"}, "pump_voltage"),
        ({"load": "-2 bar"}, "load"),
        ({"flow_limit": ">= 90 L/h", "air": "none"}, "volume"),
    ],
)
def test_what_does_not_fit_is_said_in_a_line(inputs: dict[str, str], named: str) -> None:
    with pytest.raises(InputError) as caught:
        calculate("supply", **inputs)
    assert named in [problem.input for problem in caught.value.problems]
