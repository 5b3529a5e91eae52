"""The regulator calculator as a technician uses it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from baybook import calculate
from baybook.api import CONTROL_LOSS
from baybook.errors import InputError
from baybook.registry import registry

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


def test_asked_and_carried_out_leaves_the_stage_open_and_clears_drive_and_coil() -> None:
    """common practice, no source: a blocked filter gives this picture too: no stage is accused, the supply comes first."""
    result = run(**OUTLET, **LOW, outlet_current="1.25 ± 0.05 A", outlet_expected_current="1.25 ± 0.05 A")
    assert result.outputs["points_at"] == "hydraulic"
    assert sides(result) == [("hydraulic", "undecided"), ("control", "cleared")]
    assert result.findings[0].statement.endswith("Hydraulic side, stage open: supply, generation, storage, delivery.")
    sensor, supply, *_ = result.findings[0].next_test.split("; ")
    assert sensor.startswith("look at the rail sensor first")
    assert supply.startswith("measure the feed pressure and the feed flow")
    assert "calculator returns" in result.findings[0].next_test


def test_asked_and_not_carried_out_is_control() -> None:
    result = run(**OUTLET, **LOW, outlet_current="0.4 ± 0.02 A", outlet_expected_current="1.25 ± 0.05 A")
    assert result.outputs["points_at"] == "control"
    assert "(outlet valve)" in result.findings[-1].statement
    assert "calculator coil" in result.findings[-1].next_test


TOO_HIGH = {
    "where": "inlet", "pressure": "1800 bar", "target": "300 bar", "inlet_duty": "60 %", "meter_counts": "low",
    "inlet_usual_duty": "18 - 30 %", "inlet_current": "2.40 A", "inlet_expected_current": "2.40 A",
}  # fmt: skip


def test_too_high_doubts_the_sensor_before_anything_hydraulic() -> None:
    result = run(**TOO_HIGH)
    assert result.outputs["points_at"] == "neither yet"
    found = [(finding.stage, finding.side, finding.strength) for finding in result.findings]
    assert found == [("storage", "control", "undecided"), ("generation", "hydraulic", "undecided")]
    assert all(finding.next_test.startswith("look at the rail sensor first") for finding in result.findings)
    assert "if the pressure is really there, the inlet valve does not close" in result.findings[1].statement


def test_too_high_with_a_good_sensor_is_hydraulic() -> None:
    result = run(**TOO_HIGH, sensor_checked="yes")
    assert result.outputs["points_at"] == "hydraulic"
    assert sides(result) == [("hydraulic", "indicated"), ("control", "cleared")]
    assert "sensor" not in result.findings[0].next_test


def test_a_pressure_within_its_own_uncertainty_of_the_tolerance_is_undecided() -> None:
    """285 ± 20 bar against 300 bar, 5 % being 15 bar: it may be on target or low."""
    result = run(where="inlet", pressure="285 ± 20 bar", target="300 bar")
    assert result.outputs["pressure_state"] == "undecided: the tolerance ends within the uncertainty"
    assert sides(result) == [("control", "undecided")]


@pytest.mark.parametrize(
    ("current", "state"),
    [
        ("0.31 A", "off in the sense that raises pressure"), ("0.35 A", "undecided: the tolerance ends within the uncertainty"),
        ("0.40 A", "as expected"), ("0.49 A", "off in the sense that lowers pressure"),
    ],
)  # fmt: skip
def test_a_current_is_judged_by_its_tolerance_and_not_by_how_badly_it_is_known(current: str, state: str) -> None:
    """0.4 ± 0.02 A expected, 10 % allowed: a quarter less is off, at the inlet in the sense that raises pressure."""
    result = run(where="inlet", inlet_current=current, inlet_expected_current="0.4 ± 0.02 A")
    assert result.outputs["inlet_current_state"] == state
    outlet = run(where="outlet", outlet_current="0.31 A", outlet_expected_current="0.4 ± 0.02 A")
    assert outlet.outputs["outlet_current_state"] == "off in the sense that lowers pressure"
    assert "outlet_current_state" not in run(where="outlet", outlet_current="0.31 A").outputs
    assert "outlet_current_state" not in run(where="outlet", outlet_expected_current="0.31 A").outputs


def test_a_coarse_expected_current_does_not_clear_the_control() -> None:
    """Expected 0.4 A typed to one digit, measured 0.31 A: a quarter too little stays off."""
    result = run(
        where="inlet", pressure="700 bar", target="1300 bar", inlet_duty="12 %", meter_counts="low",
        inlet_usual_duty="18 to 30 %", inlet_current="0,31 A", inlet_expected_current="0,4 A",
    )  # fmt: skip
    assert result.outputs["inlet_current_state"] == "off in the sense that raises pressure"
    assert "cleared" not in [finding.strength for finding in result.findings]


@pytest.mark.parametrize("duty", ["45 %", "20 %"])
def test_what_is_only_consistent_is_not_indicated(duty: str) -> None:
    """On target by asking for more than usual, or low without asking: neither side is more than a possibility."""
    given = OUTLET | {"outlet_duty": duty} | (LOW if duty == "20 %" else {"pressure": "350 bar", "target": "350 bar"})
    result = run(**given, sensor_checked="yes")
    assert result.outputs["points_at"] == ("perhaps control" if duty == "20 %" else "perhaps hydraulic")
    assert {strength for _, strength in sides(result)} == {"undecided"}


def test_on_target_by_a_sensor_that_nobody_checked_names_the_sensor_as_a_way() -> None:
    """A sensor that shows too much has the drive hold the pressure below its target, with a duty beyond the usual."""
    result = run(**OUTLET | {"outlet_duty": "45 %", "pressure": "350 bar", "target": "350 bar"})
    assert result.outputs["points_at"] == "neither yet"
    assert "the sensor shows another pressure than there is" in str(result.findings[0].statement)
    assert str(result.findings[0].next_test).startswith("look at the rail sensor first")


@pytest.mark.parametrize(
    ("switched", "counts", "duty", "usual", "here"),
    [
        ("ground", "high", "75 %", "70 - 80 %", "from 20 % up to 30 %"),
        ("supply", "low", "75 %", ">= 70 %", "up to 30 %"),
        ("ground", "high", "20 %", "<= 30 %", "from 70 %"),
    ],
)
def test_a_usual_range_in_the_meter_s_polarity_is_asked_about(
    switched: str, counts: str, duty: str, usual: str, here: str
) -> None:
    """The range holds what the meter shows and not the share of time on: it would turn every conclusion over."""
    with pytest.raises(InputError) as refused:
        run(where="inlet", switched=switched, meter_counts=counts, inlet_duty=duty, inlet_usual_duty=usual)
    (problem,) = refused.value.problems
    assert problem.input == "inlet_usual_duty"
    assert f"fits what the meter shows ({duty}) and not the share of time on" in problem.why
    assert f"here {here};" in problem.hint


def test_a_usual_range_in_share_of_time_on_is_taken() -> None:
    """75 % high on a ground-switched wire is 25 % on: within 20 to 30 %; a drive far off its usual is no polarity."""
    good = run(where="inlet", meter_counts="high", inlet_duty="75 %", inlet_usual_duty="20 to 30 %")
    assert good.outputs["inlet_asks"] == "no more and no less than usual"
    far = run(where="outlet", meter_counts="low", outlet_duty="75 %", outlet_usual_duty="20 to 30 %")
    assert far.outputs["outlet_asks"] == "more pressure"


def test_a_duty_at_the_very_end_of_what_is_usual_is_to_be_read_more_closely() -> None:
    """40 ± 1 % where 10 to 40 % are usual: more than usual or not, the reading does not tell."""
    result = run(where="outlet", meter_counts="low", outlet_duty="40 ± 1 %", outlet_usual_duty="10 to 40 %", **LOW)
    assert result.outputs["outlet_asks"].startswith("undecided")
    assert str(result.findings[0].next_test).startswith("read the duty of the outlet valve more closely: it lies at an end")


def test_not_asked_leads_to_what_the_controller_sees() -> None:
    result = run(**(OUTLET | {"outlet_duty": "20 %"}), **LOW)
    assert result.outputs["points_at"] == "perhaps control"
    assert result.findings[0].next_test.startswith("look at the rail sensor first")


def test_without_the_current_the_sides_stay_open() -> None:
    result = run(**OUTLET, **LOW)
    assert result.outputs["points_at"] == "neither yet"
    assert sides(result) == [("control", "undecided")]
    sensor, current, *_ = result.findings[0].next_test.split("; ")
    assert sensor.startswith("look at the rail sensor first")
    assert current.startswith("measure the current of the outlet valve with a clamp round one wire")


@pytest.mark.parametrize(
    ("given", "asked", "not_asked"),
    [
        ({"inlet_current": "1.0 A"}, ["read the duty of the inlet valve", "find the usual duty", "find the current that its"],
         ["measure the current"]),
        ({"inlet_duty": "12 %", "meter_counts": "low", "inlet_current": "1.0 A", "inlet_expected_current": "1.00 A"},
         ["find the usual duty of the inlet valve"], ["measure the current", "read the duty", "find the current"]),
        ({"inlet_duty": "12 %", "inlet_usual_duty": "18 to 30 %"}, ["which part of the period", "measure the current"],
         ["find the usual duty", "read the duty"]),
        ({"inlet_duty": "12 %", "meter_counts": "low", "inlet_usual_duty": "18 to 30 %", "inlet_current": "1.0 A"},
         ["find the current that its drive should give the inlet valve"], ["measure the current"]),
    ],
)  # fmt: skip
def test_the_next_test_never_asks_for_what_was_typed(given: dict[str, str], asked: list[str], not_asked: list[str]) -> None:
    (finding,) = run(where="inlet", **LOW, **given).findings
    assert all(text in finding.next_test for text in asked)
    assert not any(text in finding.next_test for text in not_asked)


def test_with_both_valves_it_is_said_which_one_s() -> None:
    """The outlet's current is off and the inlet's right: the statement and the tests name the outlet valve alone."""
    both = {"where": "both", "meter_counts": "low", "inlet_duty": "25 %", "inlet_usual_duty": "18 to 30 %"} | LOW
    outlet = {"outlet_duty": "45 %", "outlet_usual_duty": "18 to 24 %"}
    wrong = run(
        **both, **outlet, inlet_current="1.00 A", inlet_expected_current="1.00 A", outlet_current="0.4 A",
        outlet_expected_current="1.25 A",
    )  # fmt: skip
    assert "(outlet valve)" in wrong.findings[-1].statement
    missing = run(**both, **outlet, inlet_current="1.00 A", inlet_expected_current="1.00 A").findings[-1].next_test
    assert "measure the current of the outlet valve" in missing and "current of the inlet valve" not in missing


def test_the_same_duty_means_the_opposite_at_the_inlet() -> None:
    """45 % against a usual 18 to 24 %: an outlet asks for more pressure, an inlet for less."""
    outlet = run(**OUTLET, **LOW)
    inlet = run(where="inlet", meter_counts="low", inlet_duty="45 %", inlet_usual_duty="18 to 24 %", **LOW)
    assert outlet.outputs["outlet_asks"] == "more pressure"
    assert inlet.outputs["inlet_asks"] == "less pressure"
    assert inlet.outputs["points_at"] == "perhaps control"


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
    result = run(where="inlet", inlet_current="0.00 A", inlet_expected_current="1.8 A", pressure="450 bar", target="350 bar")
    stopped, none = result.findings
    assert "in the very sense that makes pressure high" in stopped.statement
    assert "No current flows where one is due" in none.statement
    assert result.outputs["points_at"] == "control"


NOT_DRIVEN = {"inlet_current": "0.00 A", "inlet_expected_current": "1.2 ± 0.1 A"}
RUN_AGAIN = ("same running condition", "under current", "under load")


@pytest.mark.parametrize("current", ["0.00 A", "0.12 ± 0.05 A"])
@pytest.mark.parametrize("commanded", [None, "70 %"])
def test_pressure_that_is_not_under_control_is_stopped_before_anything_and_not_run_again(
    current: str, commanded: str | None
) -> None:
    """common practice, no source: an inlet valve without its current lets the pump deliver all; no test runs that engine."""
    result = run(
        where="inlet", pressure="520 bar", target="300 bar", inlet_duty="31 %", meter_counts="low",
        inlet_commanded_duty=commanded, **(NOT_DRIVEN | {"inlet_current": current}),
    )  # fmt: skip
    first, *others = [test for finding in result.findings for test in finding.next_test.split("; ") if test]
    assert first.startswith("stop the engine") and first.endswith("do not run it again until the drive is right")
    assert others[0].startswith("engine stopped, rail seen to fall to zero, key off: measure the coil")
    assert not [test for test in others for text in RUN_AGAIN if text in test]
    assert all("engine stopped" in test or "key off" in test for test in others)


@pytest.mark.parametrize("pressure", ["300 bar", "200 bar", None])
def test_no_drop_is_sought_along_a_wire_without_current(pressure: str | None) -> None:
    """common practice, no source: without current nothing drops, however bad the wire is; the open place is sought first."""
    given = {"pressure": pressure, "target": "300 bar"} if pressure else {}
    result = run(where="inlet", inlet_current="0.00 A", inlet_expected_current="1.2 A", **given)
    asked = [finding.next_test for finding in result.findings if finding.side == "control"]
    assert asked and all("voltage drop" not in test for test in asked)
    assert "both wires end to end and to ground" in asked[0] and "whether the coil has its supply" in asked[0]
    some = run(where="outlet", outlet_current="0.4 A", outlet_expected_current="1.2 A", pressure="200 bar", target="300 bar")
    assert "voltage drop along the wiring and plugs of the coil under current" in some.findings[-1].next_test


ASKED = {
    "where": "inlet", "pressure": "700 bar", "target": "1300 bar", "inlet_duty": "12 %", "meter_counts": "low",
    "inlet_usual_duty": "18 to 30 %",
}  # fmt: skip


def test_equal_currents_do_not_differ_but_were_typed_too_coarsely() -> None:
    """0.6 A against 0.6 A, each taken as ± 0.05 A, where 10 % are 0.06 A: what was assumed, and what to type."""
    (finding,) = run(**ASKED, inlet_current="0.6 A", inlet_expected_current="0.6 A", sensor_checked=True).findings
    assert "differ" not in finding.next_test and "without its current" not in finding.statement
    assert "0.6 A (± 0.05 A) and 0.6 A (± 0.05 A) do not tell whether they agree within 10 %" in finding.next_test
    assert "type 0.60 A for 0.6 A" in finding.next_test
    assert "rail sensor" not in finding.next_test
    close = run(**ASKED, inlet_current="0.60 A", inlet_expected_current="0.60 A", sensor_checked=True)
    assert close.outputs["inlet_current_state"] == "as expected"


@pytest.mark.parametrize(("checked", "judged"), [(True, False), (False, True)])
def test_a_sensor_that_was_looked_at_is_not_sent_to_again(checked: bool, judged: bool) -> None:
    """Neither as a next test nor as what was not judged; unseen it is the first thing to look at."""
    result = run(**ASKED, inlet_current="0.60 A", inlet_expected_current="0.60 A", sensor_checked=checked)
    assert ("The sensor is not judged here." in result.findings[-1].statement) is judged
    assert result.findings[0].next_test.startswith("look at the rail sensor first") is judged
    not_asked = run(**(ASKED | {"inlet_duty": "40 %"}), sensor_checked=checked)
    assert ("rail sensor" in not_asked.findings[0].next_test) is judged


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


def test_the_procedure_comes_with_all_cautions(command: Callable[..., Any]) -> None:
    ran = command("regulator", "--how")
    assert ran.code == 0
    assert ran.out.index("DANGER") < ran.out.index("  1 [ ]")
    assert "Do not unplug a pressure control on a running engine" in " ".join(ran.out.split())


def test_the_textbook_is_shown_where_it_is_asked_for(command: Callable[..., Any]) -> None:
    """Pressure, side, what is asked for and the current are the answer; what such a valve does in general is for a class."""
    typed = [f"--{name.replace('_', '-')}={value}" for name, value in TOO_HIGH.items()]
    ran, explained = command("regulator", *typed), command("regulator", *typed, "--explain")
    for name in ("pressure state", "points at", "inlet asks", "inlet current state"):
        assert f"  {name} " in ran.out and f"  {name} " in explained.out
    assert "inlet effect" not in ran.out and "  inlet effect " in explained.out


def test_which_kind_of_valve_comes_before_any_lead() -> None:
    """common practice, no source: the data first, then the leads; what a slipping pin does stands beside its step."""
    found = registry().calculator("regulator")
    assert "where" in found.how.conditions[0].reads and "unpowered" in found.how.conditions[0].text
    probing = next(action for action in found.how.actions if action.drawing == "back-probe")
    assert "insulated pins" in probing.text and probing.caution and "drives a valve fully on" in probing.caution.text
    assert any("engine off from where you sit" in caution.text for caution in found.how.cautions)
    assert CONTROL_LOSS in found.cautions and "Do not unplug" in CONTROL_LOSS.text
    assert [action.text for action in found.how.actions][-2] == "Lock out; leads off, check seals."


def test_meanings_have_the_rows_that_are_dangerous_to_miss() -> None:
    """common practice, no source."""
    rows = {meaning.seen: meaning for meaning in registry().calculator("regulator").meanings}
    uncontrolled = rows["pressure high, less is asked for, current wrong"]
    assert "control side" in uncontrolled.says and uncontrolled.next_test.startswith("engine off")
    assert "sensor or target" in rows["pressure high, less is not asked for"].says
    stuck = rows["pressure high, less is asked for, current as expected"]
    assert "inlet valve does not close, outlet valve does not open" in stuck.says
    assert stuck.next_test.startswith("engine off, do not restart: rail sensor")


@pytest.mark.parametrize("current", ["1.20 ± 0.03 A", "0.20 ± 0.03 A"])
def test_a_current_that_the_loop_makes_up_for_comes_before_any_hydraulic_part(current: str) -> None:
    """More duty than usual, less current than it should give, pressure on target: an early sign of a bad ground, plug or
    supply (common practice, no source)."""
    given = {
        "where": "outlet", "switched": "supply", "meter_counts": "high", "outlet_duty": "38 %", "outlet_commanded_duty": "38 %",
        "outlet_usual_duty": "24 to 30 %", "outlet_current": current, "outlet_expected_current": "1.62 ± 0.05 A",
        "pressure": "300 bar", "target": "300 bar", "sensor_checked": "yes", "supply": "13.7 V",
    }  # fmt: skip
    result = calculate("regulator", **given)
    (found,) = result.findings
    assert (found.side, found.strength, result.outputs["points_at"]) == ("control", "indicated", "control")
    assert "current is not what its drive should give" in found.statement and "Hydraulic side" not in found.statement
    assert found.next_test.startswith("measure the voltage drop along the wiring and plugs of the coil under current")
    assert found.next_test.index("voltage drop") < found.next_test.index("measure the coil's resistance")
    right = calculate("regulator", **given | {"outlet_current": "1.62 ± 0.03 A"}).findings[0]
    assert (right.side, right.strength) == ("hydraulic", "undecided")
