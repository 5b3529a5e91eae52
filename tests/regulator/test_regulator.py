"""The regulator calculator as a technician uses it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from baybook import calculate
from baybook.errors import InputError

LOW = {"pressure": "250 bar", "target": "350 bar"}
OUTLET = {"where": "outlet", "meter_counts": "low", "outlet_duty": "45 %", "outlet_usual_duty": "18 to 24 %"}


def run(**inputs: Any) -> Any:
    return calculate("regulator", **inputs)


def sides(result: Any) -> list[tuple[str, str]]:
    return [(finding.side, finding.strength) for finding in result.findings]


def test_what_both_usual_valves_do() -> None:
    """Full pressure is inlet fully open without current and outlet fully closed with all of it."""
    outputs = run(where="both").outputs
    assert outputs["inlet_effect"] == "more current drives it closed: pressure falls"
    assert outputs["outlet_effect"] == "more current drives it closed: pressure rises"
    assert outputs["inlet_full_pressure"] == "fully open: no current, 0 % on"
    assert outputs["outlet_full_pressure"] == "fully closed: full current, 100 % on"
    assert outputs["inlet_loss_of_current"].endswith("dangerous")
    assert "never take the current away" in outputs["loss_of_all_current"].lower()


def test_the_switched_wire_at_full_pressure() -> None:
    """Ground-switched, 14 V: an inlet at full pressure is not driven (14 V, high 100 %), an outlet fully (0 V, low 100 %)."""
    ground = run(where="both", supply="14 V").outputs
    assert ground["inlet_wire_at_full_pressure"] == "about 14 V mean; a duty meter 100 % high time, 0 % low time"
    assert ground["outlet_wire_at_full_pressure"] == "about 0 V mean; a duty meter 0 % high time, 100 % low time"
    supply = run(where="both", supply="14 V", switched="supply").outputs
    assert supply["inlet_wire_at_full_pressure"] == "about 0 V mean; a duty meter 0 % high time, 100 % low time"
    assert supply["outlet_wire_at_full_pressure"] == "about 14 V mean; a duty meter 100 % high time, 0 % low time"


def test_only_the_fitted_valve_is_spoken_of() -> None:
    assert not [name for name in run(where="inlet").outputs if name.startswith("outlet")]


def test_asked_and_carried_out_is_hydraulic_and_clears_the_control() -> None:
    result = run(**OUTLET, **LOW, outlet_current="1.2 ± 0.05 A", outlet_expected_current="1.25 ± 0.05 A")
    assert result.outputs["points_at"] == "hydraulic"
    assert sides(result) == [("hydraulic", "indicated"), ("control", "cleared")]
    assert "calculator returns" in result.findings[0].next_test
    assert "not yet the stage" in result.findings[0].statement


def test_asked_and_not_carried_out_is_control() -> None:
    result = run(**OUTLET, **LOW, outlet_current="0.4 ± 0.02 A", outlet_expected_current="1.25 ± 0.05 A")
    assert result.outputs["points_at"] == "control"
    assert "calculator coil" in result.findings[-1].next_test


def test_not_asked_leads_to_what_the_controller_sees() -> None:
    result = run(**(OUTLET | {"outlet_duty": "20 %"}), **LOW)
    assert result.outputs["points_at"] == "control"
    assert "rail sensor with an independent gauge" in result.findings[0].next_test


def test_without_the_current_the_sides_stay_open() -> None:
    result = run(**OUTLET, **LOW)
    assert result.outputs["points_at"] == "neither yet"
    assert sides(result) == [("control", "undecided")]
    assert result.findings[0].next_test.startswith("measure the coil's current")


def test_the_same_duty_means_the_opposite_at_the_inlet() -> None:
    """45 % against a usual 18 to 24 %: an outlet asks for more pressure, an inlet for less."""
    outlet = run(**OUTLET, **LOW)
    inlet = run(where="inlet", meter_counts="low", inlet_duty="45 %", inlet_usual_duty="18 to 24 %", **LOW)
    assert outlet.outputs["outlet_asks"] == "more pressure"
    assert inlet.outputs["inlet_asks"] == "less pressure"
    assert inlet.outputs["points_at"] == "control"


def test_a_duty_read_in_the_wrong_polarity_is_recognised() -> None:
    """Said to count low it shows 60 %; live data ask for 40 %, 14 V average 8.4 V: it counts high, and 40 % is used."""
    result = run(
        **(OUTLET | {"outlet_duty": "60 %"}), **LOW, outlet_commanded_duty="40 %", supply="14 V", outlet_wire_voltage="8.4 V"
    )  # fmt: skip
    assert result["outlet_drive"].value == pytest.approx(40)
    assert "fits the wrong polarity" in result.findings[0].statement
    assert result["outlet_mean_voltage"].value == pytest.approx(14 * 0.6)


def test_the_drive_keeps_the_duty_s_uncertainty() -> None:
    """45 ± 2 % stays 45 ± 2 %, and 14 V at that drive is 7.7 ± 0.28 V on the wire, worked out in a step."""
    result = run(**(OUTLET | {"outlet_duty": "45 ± 2 %"}), supply="14 ± 0 V")
    assert (result["outlet_drive"].low, result["outlet_drive"].high) == (pytest.approx(43), pytest.approx(47))
    assert result["outlet_mean_voltage"].high == pytest.approx(7.7 + 0.28)
    assert [step.put_in() for step in result.steps] == ["14 V · (1 - 0.45)"]


def test_an_unknown_polarity_without_clues_concludes_nothing() -> None:
    result = run(where="outlet", outlet_duty="60 %", outlet_usual_duty="18 to 24 %", **LOW)
    assert "outlet_drive" not in result.outputs
    assert result.outputs["points_at"] == "neither yet"
    assert any("60 % means on for 60 % or for 40 %" in note for note in result.notes)


@pytest.mark.parametrize(
    ("switched", "volts", "words"),
    [
        ("ground", "0.1 V", "near 0 V although it should pulse: coil, its supply or the wire to it is open"),
        ("ground", "13.9 V", "near supply voltage although it should pulse: the control unit does not switch it"),
        ("supply", "0.1 V", "near 0 V although it should pulse: the control unit does not switch it"),
        ("supply", "13.9 V", "near supply voltage although it should pulse: the wire is shorted to supply"),
    ],
)
def test_a_wire_that_does_not_pulse(switched: str, volts: str, words: str) -> None:
    result = run(where="outlet", switched=switched, supply="14 V", outlet_commanded_duty="40 %", outlet_wire_voltage=volts)
    (finding,) = result.findings
    assert (finding.side, finding.strength) == ("control", "indicated")
    assert words in finding.statement


def test_a_stuck_wire_turns_no_duty_over() -> None:
    """A wire stuck at 0 V would read as always on; it is reported as stuck and not used against the duty meter."""
    result = run(
        where="outlet", meter_counts="low", outlet_duty="30 %", outlet_commanded_duty="30 %", supply="14 V",
        outlet_wire_voltage="0 V",
    )  # fmt: skip
    assert result["outlet_drive"].value == pytest.approx(30)
    assert ["stays near 0 V" in finding.statement for finding in result.findings] == [True]


@pytest.mark.parametrize(("commanded", "stuck"), [("5 %", False), ("50 %", True), ("95 %", False)])
def test_a_wire_at_its_end_is_stuck_only_where_it_should_pulse(commanded: str, stuck: bool) -> None:
    for volts in ("0 V", "14 V"):
        result = run(where="outlet", supply="14 V", outlet_commanded_duty=commanded, outlet_wire_voltage=volts)
        assert bool(result.findings) is stuck


@pytest.mark.parametrize(("amperes", "none"), [("0.04 A", True), ("0.10 A", False)])
def test_a_trickle_is_no_current(amperes: str, none: bool) -> None:
    """Below 3 % of the expected current none flows."""
    result = run(where="inlet", inlet_current=amperes, inlet_expected_current="1.8 A")
    assert any("No current flows" in finding.statement for finding in result.findings) is none


def test_no_current_at_all_is_said_as_such() -> None:
    result = run(
        where="inlet", inlet_current="0.00 A", inlet_expected_current="1.8 A", pressure="450 bar", target="350 bar"
    )
    assert "No current flows where one is due" in result.findings[0].statement
    assert result.outputs["points_at"] == "control"


def test_injector_bleed_is_remembered() -> None:
    """Where the control bleeds through the injectors, the returns rise while it does."""
    notes = " ".join(run(where="inlet", bleed="yes").notes)
    assert "return balance has to be taken while it does not" in notes
    assert "return balance" not in " ".join(run(where="inlet").notes)


def test_tolerances_are_the_users() -> None:
    near = {"pressure": "335 ± 1 bar", "target": "350 ± 0 bar"}
    assert run(where="inlet", **near).outputs["pressure_state"] == "on target"
    assert run(where="inlet", **near, pressure_tolerance="2 %").outputs["pressure_state"] == "low"


def test_pressure_units_do_not_matter() -> None:
    assert run(where="inlet", pressure="25 MPa", target="350 bar").outputs["pressure_state"] == "low"


def test_what_does_not_go_together_is_told_at_once() -> None:
    with pytest.raises(InputError) as refused:
        run(where="inlet", outlet_duty="30 %", pressure="250 bar", inlet_wire_voltage="4 V")
    assert [problem.input for problem in refused.value.problems] == ["outlet_duty", "target", "supply"]


def test_mistyped_inputs_are_told_at_once(command: Callable[..., Any]) -> None:
    ran = command("regulator", "--where", "midle", "--inlet-duty", "130 %", "--supply", "14 bar", "--target", "350 C")
    assert ran.code == 2
    lines = [line.partition(":")[0] for line in ran.err.splitlines() if line.startswith("--")]
    assert lines == ["--where", "--target", "--inlet-duty", "--supply"]


def test_cautions_come_before_everything(command: Callable[..., Any]) -> None:
    ran = command("regulator", "--where", "both")
    assert ran.code == 0
    assert ran.out.index("DANGER") < ran.out.index("inlet_effect")
    assert "Do not unplug a pressure control on a running engine" in " ".join(ran.out.split())
