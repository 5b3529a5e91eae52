"""Voltage drop as a technician reads it; copper against IEC 60028."""

from __future__ import annotations

import csv
from pathlib import Path
from typing import Any

import pytest

from baybook import calculate
from baybook.errors import InputError
from baybook.registry import registry
from baybook_physics.wire import resistance

DATA = Path(__file__).parents[1] / "published" / "data"
VALVE = {"part": "inlet-valve", "current": "2.0 ± 0.02 A", "drops": ["0.05 ± 0.005 V", "0.04 ± 0.005 V", "0.06 ± 0.005 V"]}


def drop(**inputs: Any) -> Any:
    return calculate("drop", **inputs)


def said(**inputs: Any) -> list[tuple[str, str, str, str]]:
    return [(f.stage, f.side, f.strength, str(f.statement)) for f in drop(**inputs).findings]


@pytest.mark.parametrize("row", list(csv.DictReader(
    line for line in (DATA / "copper_resistance.csv").read_text(encoding="utf-8").splitlines() if line[0] != "#"
)), ids=lambda row: f"{row['T_C']} C")  # fmt: skip
def test_copper(row: dict[str, str]) -> None:
    """1 m of 1 mm2 has 1/58 ohm at 20 °C (IEC 60028:1925, 0.017241); over temperature the copper handbooks' ratio."""
    wanted = float(row["ratio_234.5"]) / 58
    assert resistance(1.0, 1.0, float(row["T_C"])) == pytest.approx(wanted, rel=1e-6)
    assert resistance(1.0, 1.0, 20.0) == pytest.approx(0.017241, abs=5e-7)


def test_drops_add_up_and_the_rest_is_where_nothing_was_read() -> None:
    """Kirchhoff, by hand: 0.05 + 0.04 + 0.06 V; 13.80 - 13.35 V are lost; 0.30 V lie elsewhere."""
    found = drop(**VALVE, battery="13.80 ± 0.01 V", at_part="13.35 ± 0.01 V", limit="<= 0.1 V")
    assert found["total_drop"].value == pytest.approx(0.15) and found["unexplained"].value == pytest.approx(0.30)
    assert any("lies in no section that was read" in str(f.statement) for f in found.findings)


def test_a_drop_beyond_the_limit_is_found_at_the_parts_own_stage() -> None:
    (one,) = said(**VALVE, limit="<= 0.1 V")
    assert one[:3] == ("generation", "control", "indicated") and one[3].startswith("Inlet valve: Drop at work: 0.1500 V")
    (pump,) = said(**(VALVE | {"part": "tank-pump"}), limit="<= 0.1 V")
    (sensor,) = said(**(VALVE | {"part": "rail-sensor"}), limit="<= 0.1 V")
    (injector,) = said(**(VALVE | {"part": "injector", "number": 3}), limit="<= 0.1 V")
    assert [pump[0], sensor[0], injector[0]] == ["supply", "storage", "delivery"]
    assert injector[3].startswith("Injector 3:")


def test_the_section_with_the_resistance_is_named() -> None:
    read = VALVE | {"drops": ["0.05 ± 0.005 V", "-", "0.42 ± 0.005 V"]}
    found = drop(**read, section_limit="<= 0.1 V")
    assert [f.statement for f in found.findings if "section 3" in f.statement] and len(found.findings) == 1
    assert found.vector("section_resistance")[1] is None
    assert found.vector("section_resistance")[2].value == pytest.approx(210.0)


def test_within_and_under_current_clears_the_wiring() -> None:
    (one,) = said(**VALVE, limit="<= 0.5 V")
    assert one[2] == "cleared" and "supply and ground arrive" in one[3]


@pytest.mark.parametrize("current", [None, "0.00 ± 0.01 A"])
def test_a_drop_along_a_dead_wire_clears_nothing(current: str | None) -> None:
    """No current known, or none: a drop of 0 V is within every limit and says nothing."""
    found = drop(part="inlet-valve", drops=["0.00 ± 0.005 V"], limit="<= 0.5 V", **({"current": current} if current else {}))
    assert [v.verdict for v in found.verdicts] == ["undecided"]
    assert not any(f.strength == "cleared" for f in found.findings)
    assert all(answer.conforms <= 0.5 for answer in found.answers)


def test_a_sum_with_a_section_missing_clears_nothing() -> None:
    (one,) = said(**(VALVE | {"drops": ["0.05 ± 0.005 V", "-", "0.06 ± 0.005 V"]}), limit="<= 0.5 V")
    assert one[2] == "undecided" and "a section was not read" in one[3]


def test_a_circuit_without_its_current_is_open_or_not_driven() -> None:
    found = drop(part="inlet-valve", drops=["0.00 ± 0.005 V"], limit="<= 0.5 V", current="0.01 ± 0.01 A", work_current="1.2 A")
    assert "no current flows where 1.2 A is due" in found.findings[0].statement
    assert "rail seen to fall to zero" in found.findings[0].next_test


def test_a_drop_read_at_a_small_current_is_told_for_the_large_one() -> None:
    """0.15 V at 2 A is 1.35 V at 18 A (Ohm's law): within the limit as read, outside at work."""
    found = drop(**VALVE, limit="<= 0.5 V", work_current="18 ± 0 A")
    assert found["drop_at_work"].value == pytest.approx(1.35)
    assert [v.verdict for v in found.verdicts] == ["outside"]


def test_insulation() -> None:
    (bad,) = said(part="rail-sensor", insulation="3.2 ± 0.1 kohm", insulation_limit=">= 1 Mohm")
    assert bad[:3] == ("storage", "control", "indicated") and "leads to the housing" in bad[3]
    (good,) = said(part="rail-sensor", over_range="yes")
    assert good[2] == "undecided" and "cold and dry" in good[3]


def test_an_output_stage_that_drops_too_much() -> None:
    (one,) = said(part="outlet-valve", driver="2.4 ± 0.05 V", driver_limit="<= 0.8 V", current="1.1 ± 0.01 A")
    assert "output stage or its ground drops too much" in one[3]


@pytest.mark.parametrize(
    "given",
    [
        {"part": "outlet-valve", "driver": "9.2 V"},  # 13.7 V · (1 - 0.33): what a plain meter shows of a sound stage
        {"part": "outlet-valve", "driver": "9.2 V", "duty": "33 %"},
        {"part": "outlet-valve", "driver": "2.1 V", "duty": "85 %"},
        {"part": "injector", "number": 2, "driver": "12.9 V"},
    ],
)
def test_the_mean_of_a_pulsed_wire_is_no_drop(given: dict[str, Any]) -> None:
    """A wire switched to ground is at the supply while it is off: its mean is U (1 - D) (circuit theory)."""
    found = drop(**given, driver_limit="max 0.8 V", current="1.6 A")
    (one,) = found.findings
    assert one.strength == "undecided" and "the mean of a wire that pulses" in one.statement
    assert "low level of the pulse by oscilloscope" in one.next_test
    assert [verdict.verdict for verdict in found.verdicts] == ["undecided"] and found.answers == ()


@pytest.mark.parametrize(
    "given",
    [
        {"part": "outlet-valve", "driver": "4.0 V", "duty": "33 %"},  # no mean of 33 %: a low level that is far too high
        {"part": "outlet-valve", "driver": "2.4 ± 0.05 V"},
        {"part": "outlet-valve", "driver": "9.2 V", "duty": "100 %"},
        {"part": "tank-pump", "driver": "9.2 V"},
    ],
)
def test_a_level_that_is_no_mean_counts(given: dict[str, Any]) -> None:
    (one,) = drop(**given, driver_limit="max 0.8 V", current="1.6 A").findings
    assert one.strength == "indicated" and "drops too much" in one.statement


def test_a_decimal_comma_and_other_units_change_nothing() -> None:
    plain = drop(**VALVE, limit="<= 0.1 V")
    comma = drop(part="inlet-valve", current="2,0 ± 0,02 A", limit="<= 0,1 V",
                 drops=["0,05 ± 0,005 V", "0,04 ± 0,005 V", "0,06 ± 0,005 V"])  # fmt: skip
    milli = drop(part="inlet-valve", current="2000 ± 20 mA", limit="<= 100 mV", drops=["50 ± 5 mV", "40 ± 5 mV", "60 ± 5 mV"])
    for found in (comma, milli):
        for name in ("total_drop", "drop_at_work"):
            assert (found[name].value, found[name].high) == pytest.approx((plain[name].value, plain[name].high))
        assert found.verdicts[0].probability == pytest.approx(plain.verdicts[0].probability)


@pytest.mark.parametrize(
    ("inputs", "named"),
    [({"part": "inlet-valve"}, "drops"), ({"part": "injector", "drops": ["0.1 V"]}, "number"), ({"drops": ["0.1 V"]}, "part"),
     ({"part": "tank-pump", "battery": "13 V"}, "at_part"),
     ({"part": "tank-pump", "drops": ["-0.4 V"]}, "drops"),
     ({"part": "tank-pump", "battery": "12.0 V", "at_part": "13.0 V"}, "at_part"),
     ({"part": "tank-pump", "drops": ["0.1 A"]}, "drops"),
     ({"part": "tank-pump", "drops": ["0.1 V"], "work_current": "5 A"}, "current")],
)  # fmt: skip
def test_what_does_not_fit_is_said_in_a_line(inputs: dict[str, Any], named: str) -> None:
    with pytest.raises(InputError) as caught:
        drop(**inputs)
    assert named in [problem.input for problem in caught.value.problems]


def test_two_readings_are_a_drop() -> None:
    """By hand: 12.4 - 11.6 V is 0.8 V, which is more than 0.5 V; no section has to be read for it."""
    found = drop(part="tank-pump", battery="12.4 ± 0.02 V", at_part="11.6 ± 0.02 V", current="5 ± 0.1 A", limit="max 0.5 V")
    assert found["drop_at_work"].value == pytest.approx(0.8)
    assert [v.verdict for v in found.verdicts] == ["outside"]
    work = drop(part="tank-pump", battery="12.4 V", at_part="11.6 V", current="5 A", work_current="10 A", limit="max 0.5 V")
    assert work["drop_at_work"].value == pytest.approx(1.6)


def test_no_voltage_at_the_part_is_no_drop_along_its_wire() -> None:
    found = drop(part="outlet-valve", battery="12.3 V", at_part="0.0 V", limit="max 0.5 V")
    (one,) = found.findings
    assert "of 12.3 V at the battery 0.0 V stand across its own pins" in one.statement
    assert {a.question: a.conforms for a in found.answers}["drop_at_work"] == 0.5


def test_a_limit_alone_names_what_is_missing() -> None:
    with pytest.raises(InputError, match="is needed with limit; give them, or the voltage at the battery and at_part"):
        drop(part="tank-pump", insulation="2 Mohm", limit="max 0.5 V")


@pytest.mark.parametrize(
    ("name", "given"),
    [
        ("drop", {"insulation": "5 Mohm", "part": "rail-sensor"}),
        ("coil", {"reading": "3 ohm", "temperature": "20 °C"}),
        ("reading", {"what": "valve coil", "value": "3 ohm", "limit": "max 4 ohm"}),
    ],
)
def test_a_meter_that_shows_a_number_is_not_beyond_its_range(name: str, given: dict[str, Any]) -> None:
    with pytest.raises(InputError, match=r"over_range: .* cannot both be"):
        calculate(name, **given, over_range="yes")


def test_over_range_is_typed_as_the_meter_shows_it() -> None:
    found = drop(part="rail-sensor", insulation="OL")
    assert "no pin leads to the housing" in found.findings[0].statement


def test_what_has_no_winding_is_not_sent_to_have_its_resistance_read() -> None:
    (one,) = drop(part="control-unit", current="0.0 A", battery="12.4 V", at_part="12.2 V").findings
    assert "the part itself is open" in one.statement and "resistance" not in one.next_test


@pytest.mark.parametrize(
    ("name", "given"),
    [
        (
            "coil",
            {
                "part": "inlet-valve",
                "reading": "3.2 ohm",
                "leads": "0.2 ohm",
                "temperature": "20 °C",
                "limit": "2.5 to 3.5 ohm",
            },
        ),
        ("drive", {"part": "inlet-valve", "mean_current": "0.4 A", "current_limit": "0.8 to 1.2 A"}),
        ("regulator", {"where": "outlet", "outlet_current": "0.00 A", "outlet_expected_current": "1.5 A"}),
        ("sensor", {"standing_signal": "0.00 V", "supply": "5.01 V", "full_scale": "1800 bar"}),
    ],
)
def test_nobody_is_sent_to_a_wire_without_being_told_which_meter(name: str, given: dict[str, Any]) -> None:
    """The high voltage of an insulation tester destroys a control unit: common practice, no source."""
    (found,) = calculate(name, **given).findings
    assert "with an ohmmeter, never an insulation tester" in found.next_test


@pytest.mark.parametrize("name", ["coil", "drop"])
def test_what_measures_to_the_housing_forbids_the_insulation_tester(name: str) -> None:
    how = registry().calculator(name).how
    assert any("pins to housing" in action.text for action in how.actions)
    assert "No insulation tester." in [condition.text for condition in how.conditions]


def test_a_drop_that_a_few_milliamperes_make_clears_nothing() -> None:
    """No injector, valve or pump draws so little; a sensor does."""
    given = {"drops": ["0.01 V", "0.01 V"], "limit": "max 0.5 V", "current": "5 mA"}
    (valve,) = drop(part="inlet-valve", **given).findings
    assert valve.strength == "undecided" and "only under load" in str(valve.statement)
    assert drop(part="rail-sensor", **given).findings[0].strength == "cleared"
