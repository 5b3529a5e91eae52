"""The rail pressure sensor: line, zero, supply, ground and a second reading, by plain arithmetic."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from baybook.api import InputError
from baybook.jobs.evaluation import work_out
from baybook.jobs.sheet import read_sheet
from baybook.testing import conformance
from baybook_plugins.sensor.calculator import sensor
from baybook_plugins.sensor.model import Line

FULL = {"full_scale": "200 MPa"}

test_conformance = conformance(sensor)


@pytest.mark.parametrize(("volts", "pressure"), [(0.55, 2.5), (4.60, 205.0)])
def test_ratiometric_line(volts: float, pressure: float) -> None:
    """p = FS (U/Us - 0.1)/0.8, 200 MPa at 5 V: published in the project's reference table, plain arithmetic."""
    assert Line(0.1, 0.9, 200.0).pressure(volts, 5.0) == pytest.approx(pressure, rel=1e-12)


def test_sensitivity() -> None:
    """200 MPa over 4 V: 10 mV is 0.5 MPa (same table)."""
    wide = sensor(signal="2.50 ± 0.01 V", supply="5 ± 0 V", **FULL)["pressure"].to("MPa")
    assert (wide.high - wide.low) / 2 == pytest.approx(0.5, rel=1e-9)


def test_a_ratiometric_sensor_follows_its_supply_and_an_absolute_one_does_not() -> None:
    """2.40 V of 4.8 V is half; of 5 V it is less."""
    follows = sensor(signal="2.40 ± 0 V", supply="4.8 ± 0 V", **FULL)["pressure"].to("MPa").value
    absolute = sensor(signal="2.40 ± 0 V", supply="4.8 ± 0 V", kind="absolute", **FULL)["pressure"].to("MPa").value
    assert follows == pytest.approx(100.0) and absolute == pytest.approx(95.0)


def test_drops_along_supply_and_ground() -> None:
    """Supply 4.8 V of 5 V: half scale is told as 2.40/5: 95, not 100 MPa. 0.04 V along the ground: 2 MPa at zero."""
    found = sensor(signal="2.40 ± 0 V", supply="4.8 ± 0 V", reference="5 ± 0 V", ground_drop="0.04 ± 0 V", **FULL)
    assert found["supply_error"].to("MPa").value == pytest.approx(-5.0)
    assert found["ground_error"].to("MPa").value == pytest.approx(2.0)
    assert found["seen_pressure"].to("MPa").value == pytest.approx(97.0)


def test_one_meter_s_error_cancels_in_the_ratio() -> None:
    """Signal and supply on one meter that is 2 % off: the share is right. With two meters it would be 2.5 MPa and more."""
    found = sensor(signal="2.50 ± 0 V", supply="5.00 ± 0 V", meter_accuracy="2 %", **FULL)["pressure"].to("MPa")
    assert found.high - found.low < 0.01


def test_zero_off_is_said_of_sensor_or_wiring() -> None:
    found = sensor(standing="24 ± 1 bar", zero_limit="-10 to 10 bar")
    [finding] = found.findings
    assert (finding.stage, finding.side, finding.strength) == ("storage", "control", "indicated")
    assert "still holds pressure" in finding.statement


@pytest.mark.parametrize("zero", ["24 ± 1 bar", "-24 ± 1 bar"])
def test_of_a_rail_that_was_proven_empty_it_is_not_said_that_it_holds_pressure(zero: str) -> None:
    found = sensor(standing=zero, zero_limit="-10 to 10 bar", emptied="yes")
    [finding] = found.findings
    assert finding.statement.endswith("sensor, ground or reference off")
    assert "sensor last" in finding.next_test and "as loaded" not in finding.next_test


def test_zero_right_clears_zero_alone() -> None:
    found = sensor(standing="3 ± 1 bar", zero_limit="-10 to 10 bar")
    assert [finding.strength for finding in found.findings] == ["cleared"]
    assert "higher up it is not proven" in found.findings[0].statement
    assert any("seen to fall" in note for note in found.notes)


@pytest.mark.parametrize(("volts", "state"), [("0.02 V", "near ground"), ("4.98 V", "near supply"), ("0.51 V", "in range")])
def test_a_signal_that_no_pressure_gives(volts: str, state: str) -> None:
    found = sensor(standing_signal=volts, supply="5.00 V", zero_limit="-10 to 10 bar", full_scale="1800 bar")
    assert found.outputs["state"] == state
    assert ("no pressure gives that" in found.findings[0].statement) == (state != "in range")


def test_a_second_reading_names_no_culprit() -> None:
    found = sensor(shown="410 ± 2 bar", second="370 ± 5 bar", agreement="-20 to 20 bar")
    assert found["difference"].value == pytest.approx(40.0)
    assert "which, the difference does not tell" in found.findings[0].statement


@settings(max_examples=25, deadline=None)
@given(st.integers(60, 440), st.integers(470, 520))
def test_units_and_a_decimal_comma_change_nothing(signal: int, supply: int) -> None:
    one = sensor(signal=f"{signal / 100:.2f} V", supply=f"{supply / 100:.2f} V", full_scale="1800 bar")["pressure"]
    other = sensor(signal=f"{signal * 10} mV", supply=f"{supply / 100:.2f} V".replace(".", ","), full_scale="180 MPa")[
        "pressure"
    ]
    assert other.to("bar").value == pytest.approx(one.to("bar").value, rel=1e-9)


@pytest.mark.parametrize(
    ("inputs", "wrong"),
    [
        ({}, "signal"),
        ({"signal": "2.5 V"}, "full_scale"),
        ({"supply": "5.0 V", "second": "300 bar"}, "second"),
        ({"signal": "2.5 V", "low_point": "90 %", "high_point": "10 %", **FULL}, "high_point"),
    ],
)
def test_what_does_not_go_together_is_said(inputs: dict[str, Any], wrong: str) -> None:
    with pytest.raises(InputError) as refused:
        sensor(**inputs)
    assert wrong in {problem.input for problem in refused.value.problems}


def test_the_command_in_german(command: Callable[..., Any]) -> None:
    done = command("sensor", "--standing", "24 bar", "--zero-limit=-10 to 10 bar", "--language", "de")
    assert done.code == 0 and "Nullpunktfehler" in done.out


def test_a_drop_along_the_ground_needs_no_full_scale() -> None:
    found = sensor(ground_drop="4 mV", ground_limit="-50 to 50 mV")
    assert [v.verdict for v in found.verdicts] == ["within"] and "ground_error" not in found.outputs


def test_what_is_shown_and_what_the_plug_gives_part_the_sensor_from_its_wires() -> None:
    """By hand: 1800 bar x (1.32 V / 5 V - 0.1) / 0.8 = 369 bar at the plug, 41 bar less than is shown."""
    found = sensor(signal="1.32 ± 0.005 V", full_scale="1800 bar", shown="410 ± 2 bar", agreement="-20 to 20 bar")
    assert found["plug_difference"].value == pytest.approx(41.0)
    (verdict,) = found.verdicts
    assert (verdict.output, verdict.verdict) == ("plug_difference", "outside")
    assert "the signal changes on its way" in found.findings[0].statement
    (answer,) = [answer for answer in found.answers if answer.question == "plug_difference"]
    assert answer.conforms < 0.01


def test_shown_and_read_at_the_plug_after_standing_go_together() -> None:
    """By hand: 0.50 V of 5 V is 0 bar at the plug, 62 bar are shown: 62 bar come about between them."""
    found = sensor(standing="62 ± 2 bar", standing_signal="0.50 ± 0.002 V", supply="5.00 ± 0.005 V", full_scale="1800 bar",
                   zero_limit="-10 to 10 bar")  # fmt: skip
    assert found["plug_difference"].value == pytest.approx(62.0) and found["zero_error"].value == pytest.approx(62.0)
    assert {v.output: v.verdict for v in found.verdicts} == {"zero_error": "outside", "plug_difference": "outside"}


@pytest.mark.parametrize("emptied", [{}, {"emptied": "yes"}])
def test_a_signal_above_its_supply_is_a_short_to_the_battery_and_no_zero_error(emptied: dict[str, str]) -> None:
    """A sensor that is fed with 5 V gives no 12.4 V: common practice, no source."""
    given = {"standing_signal": "12.4 V", "supply": "5.01 V", "reference": "5.02 V", "zero_limit": "-10 to 10 bar"}
    found = sensor(**given, full_scale="1800 bar", **emptied)
    (one,) = found.findings
    assert (one.stage, one.side, one.strength) == ("storage", "control", "indicated")
    assert "12.4 V" in one.statement and "shorted to the battery" in one.statement
    assert found.outputs["state"] == "above supply" and "zero_error" not in found.outputs and found.verdicts == ()
    assert "signal wire" in one.next_test and one.next_test.startswith("this sensor cannot prove zero")


@pytest.mark.parametrize("volts", ["12.4 V", "0.00 V"])
def test_a_signal_that_no_pressure_gives_is_placed_at_sensor_and_wiring(tmp_path: Path, volts: str) -> None:
    """Whether the rail was proven empty is nothing to it; above the supply it is the wiring."""
    path = tmp_path / "job.toml"
    head = '[complaint]\nkind = "cuts out"\n[system]\ninjectors = 4\n[[steps]]\ncalculator = "sensor"\n[steps.inputs]\n'
    path.write_text(f'{head}standing_signal = "{volts}"\nsupply = "5.01 V"\nfull_scale = "1800 bar"\n', encoding="utf-8")
    chances = work_out(read_sheet(path)).found.chances
    assert chances["rail sensor"] + chances["rail sensor wiring"] > 0.8
    if volts == "12.4 V":
        assert chances["rail sensor wiring"] > 10 * chances["rail sensor"]
