"""The coil calculator as a technician uses it."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from random import Random
from typing import Any

import pytest

from baybook import calculate
from baybook.errors import InputError
from baybook.jobs.evaluation import work_out
from baybook.jobs.sheet import read_sheet
from baybook.registry import registry

WARM = {"reading": "3.42 ± 0.02 ohm", "leads": "0.22 ± 0.02 ohm", "temperature": "62 ± 3 °C"}


def run(**inputs: Any) -> Any:
    return calculate("coil", **(WARM | {"part": "injector"} | inputs))


def test_no_stage_is_guessed_where_it_was_not_said_whose_coil_it_is() -> None:
    """The verdict stands; what would be a finding is a note."""
    result = run(part=None, limit="1.0 to 2.0 ohm")
    assert (result.findings, result.verdicts[0].verdict) == ((), "outside")
    assert any("too high" in note for note in result.notes)
    assert any("Whose coil it is was not said (part)" in note for note in result.notes)


def test_leads_and_warmth_are_taken_off() -> None:
    """3.42 less 0.22 is 3.20 ohm at 62 °C, and 3.20 × 254.5/296.5 = 2.747 ohm at 20 °C."""
    result = run()
    assert result["resistance"].value == pytest.approx(3.20)
    assert result["resistance_at_spec_temperature"].value == pytest.approx(3.20 * 254.5 / 296.5)
    assert result.outputs["state"] == "readable"


def test_the_uncertainty_has_reading_leads_and_temperature() -> None:
    """Half-widths 0.02, 0.02 and 3 K (1.01 % of 3.2 ohm) in squares, worked by hand: 0.0367 ohm at 20 °C."""
    found = run()["resistance_at_spec_temperature"]
    factor = 254.5 / 296.5
    by_hand = factor * (0.02**2 + 0.02**2 + (3.2 * 3 / 296.5) ** 2) ** 0.5
    assert (found.high - found.low) / 2 == pytest.approx(by_hand, rel=2e-3)


@pytest.mark.parametrize(
    ("limit", "verdict", "strength"),
    [
        ("2.6 to 2.9 ohm", "within", "undecided"),
        ("2.2 to 2.5 ohm", "outside", "indicated"),
        ("3.0 to 3.4 ohm", "outside", "indicated"),
        ("2.74 to 3.0 ohm", "undecided", "undecided"),
    ],
)
def test_verdict_and_finding_agree(limit: str, verdict: str, strength: str) -> None:
    result = run(limit=limit, part="inlet-valve")
    assert result.verdicts[0].verdict == verdict
    (finding,) = result.findings
    assert (finding.stage, finding.side, finding.strength) == ("generation", "control", strength)
    assert finding.next_test


def test_a_good_resistance_clears_the_coil_and_not_the_control_side() -> None:
    """common practice, no source: with a good coil, wiring and driver are still to be tested."""
    finding = run(limit="2.6 to 2.9 ohm").findings[0]
    assert "this coil's resistance is within 2.6 to 2.9 ohm" in finding.statement
    assert "Wiring, driver, insulation and the moving part are untested." in finding.statement
    assert finding.strength == "undecided"
    assert finding.next_test.startswith("measure from each pin to the housing")


def test_resistance_and_current_right_clear_the_control_side_at_this_coil() -> None:
    result = run(limit="2.6 to 2.9 ohm", supply="13.8 ± 0.1 V", duty="30 %", measured_current="1.15 ± 0.05 A")
    assert [finding.strength for finding in result.findings] == ["cleared", "cleared"]


def test_which_coil_it_is_stands_in_the_finding() -> None:
    third = run(limit="1.0 to 2.0 ohm", part="injector", number=3)
    assert third.findings[0].statement.startswith("Injector 3 coil: ")
    assert run(limit="1.0 to 2.0 ohm", part="inlet-valve").findings[0].statement.startswith("Inlet valve coil: ")
    with pytest.raises(InputError, match="part: is needed with number; give whose coil it is"):
        run(part=None, number=3)


def test_too_low_and_too_high_have_different_causes() -> None:
    assert "turns shorted" in run(limit="3.0 to 3.4 ohm").findings[0].statement
    assert "corroded pin" in run(limit="2.2 to 2.5 ohm").findings[0].statement


def test_the_usual_trap_is_pointed_out() -> None:
    """A warm coil with the leads left in would have been condemned: the note says what the bare reading would have shown."""
    result = run(limit="2.6 to 2.9 ohm")
    assert (
        "The bare reading of 3.42 ohm, leads and warmth left in and without its uncertainty, would have been called outside: "
        "it is within."
    ) in result.notes
    assert not any("bare reading" in note for note in run(limit="2.2 to 2.5 ohm").notes)


def test_the_trap_works_both_ways() -> None:
    """Against `at least 3 ohm` the bare 3.42 ohm would have passed, and the coil itself does not."""
    result = run(limit="at least 3 ohm")
    assert result.verdicts[0].verdict == "outside"
    assert any("would have been called within" in note for note in result.notes)
    assert not any("bare reading" in note for note in run().notes)


def half(found: Any) -> float:
    return float(found.high - found.low) / 2


METER = {"meter_accuracy": "1 %", "meter_digits": 3, "meter_resolution": "0.01 ohm"}


def test_the_error_of_one_meter_counts_once() -> None:
    """3.42 and 0.22 ohm on a meter of 1 % + 3 digits of 0.01 ohm: 3.20 ohm lie within ± (1 % of it + 0.03) = 0.062 ohm.

    95 % of that, all of it equally likely (JCGM 100:2008, 4.3.7), is 0.0589 ohm; counted twice and stretched it was 0.0792.
    """
    both = run(reading="3.42 ohm", leads="0.22 ohm", temperature="20 ± 0 °C", **METER)
    assert half(both["resistance"]) == pytest.approx(0.95 * 0.062, rel=0.005)
    assert any("same meter: its error counts once" in note for note in both.notes)


def test_a_limit_of_a_specification_is_not_stretched() -> None:
    """No leads, 1 % + 0 digits of 3.42 ohm: the coil lies within ± 0.0342 ohm for certain, so 95 % lie within it too."""
    alone = calculate(
        "coil", reading="3.42 ± 0 ohm", leads="0 ± 0 ohm", temperature="20 ± 0 °C", meter_accuracy="1 %"
    )["resistance"]  # fmt: skip
    assert half(alone) == pytest.approx(0.95 * 0.0342, rel=0.005)


def test_the_current_keeps_the_meter_s_error_too() -> None:
    sharp, coarse = (run(supply="13.8 ± 0 V", meter_accuracy=accuracy)["full_current"] for accuracy in ("0.1 %", "10 %"))
    assert half(coarse) > 3 * half(sharp)


def test_the_meter_stands_in_for_the_last_digit_and_says_so() -> None:
    """Where its digits are known they cover what was typed without ±; what was typed with ± needs no words."""
    said = "The meter's accuracy stands in for the last digit of what it showed."
    assert said in run(reading="3.4 ohm", meter_digits=2, meter_resolution="0.1 ohm").notes
    assert said in run(leads="0.22 ohm", meter_digits=2, meter_resolution="0.01 ohm").notes
    assert said not in run(meter_digits=2, meter_resolution="0.1 ohm").notes


def test_a_few_tenths_of_an_ohm_want_four_wires_and_a_piezo_is_no_coil() -> None:
    """common practice, no source."""
    fine = run(reading="0.6 ± 0.01 ohm", part="injector").notes
    assert any("four wires only" in note for note in fine) and any("Not for piezo injectors" in note for note in fine)
    assert not any("four wires" in note or "piezo" in note for note in run(part="inlet-valve").notes)


@pytest.mark.parametrize(("limit", "state"), [(None, "unresolved"), ("0.3 to 0.5 ohm", "short")])
def test_a_dead_short_without_uncertainty_is_an_answer(limit: str | None, state: str) -> None:
    given = {"reading": "0.2 ± 0 ohm", "leads": "0.2 ± 0 ohm", "temperature": "20 °C", "supply": "14 V", "part": "injector"}
    result = calculate("coil", **given, **({"limit": limit} if limit else {}))
    assert result.outputs["state"] == state
    assert "full_current" not in result.outputs


@pytest.mark.parametrize(("duty", "frequency"), [("25 ± 200 %", "200 Hz"), ("95 ± 20 %", "0.1 Hz"), ("50 %", "100 kHz")])
def test_a_wide_duty_stays_a_duty(duty: str, frequency: str) -> None:
    """Varied beyond 0 or 100 % the formulas have no value: lowest and highest current stay between none and U / R."""
    result = run(supply="14 V", duty=duty, coil_inductance="10 mH", frequency=frequency)
    full = result["full_current"].high
    for name in ("lowest_current", "mean_current", "highest_current"):
        assert -1e-9 <= result[name].low <= result[name].high <= 1.05 * full


def test_mean_current_and_duty_are_enough() -> None:
    """(0.25 × 13.8 − 0.75 × 0.7) / 0.975 is 3.0 ohm of coil and circuit together; the user's range judges the current."""
    given = {"supply": "13.8 ± 0 V", "duty": "25 %", "diode": "0.7 ± 0 V", "part": "injector", "number": 2}
    result = calculate("coil", **given, measured_current="0.975 ± 0.02 A", current_limit="0.9 to 1.1 A")
    assert result["circuit_resistance"].value == pytest.approx(3.0)
    assert [verdict.verdict for verdict in result.verdicts] == ["within"]
    assert result.findings[0].statement.startswith("Injector 2 coil: the measured current of 0.975 A is within")
    low = calculate("coil", **given, measured_current="0.5 ± 0.02 A", current_limit="0.9 to 1.1 A").findings[0]
    assert low.strength == "indicated" and "voltage drop" in low.next_test
    with pytest.raises(InputError, match="says no resistance at this duty"):
        calculate("coil", supply="13.8 V", duty="25 %", measured_current="0 ± 0 A")


def test_the_procedure_says_where_the_ohmmeter_ends() -> None:
    """common practice, no source: piezo, four wires, one conductor in the clamp, key off before and after."""
    how = registry().calculator("coil").how
    entry, steps = [condition.text for condition in how.conditions], [action.text for action in how.actions]
    assert entry[0] == "No piezo element." and "Below 1 ohm: four wires." in entry
    assert "Fit supply leads; clamp one wire, zeroed; tie clear." in steps
    assert steps.index("Lock out: off, take key; DO NOT START on wheel; wait.") < steps.index("Unplug; measure coil pins.")
    assert steps[-2] == "Lock out; take clamp, leads off." and steps[-3] == "Stop; prove zero."


def test_the_steps_can_be_followed() -> None:
    """Every step shows its formula with the numbers put in, wiring and driver included."""
    result = run(supply="13.8 ± 0.1 V", duty="30 ± 0 %", circuit="0.4 ± 0 ohm")
    assert [step.put_in() for step in result.steps] == [
        "3.420 ohm − 0.220 ohm",
        "3.200 ohm · (234.5 + 20) / (234.5 + 62)",
        "13.80 V / 3.6 ohm",
        "(0.3 · 13.80 V − (1 − 0.3) · 0.70 V) / 3.6 ohm",
    ]


def test_leads_that_were_not_said_are_mentioned_and_counted() -> None:
    """common practice, no source: 0 to 0.3 ohm, so 3.42 ohm are 3.12 to 3.42 ohm of coil."""
    result = calculate("coil", reading="3.42 ± 0 ohm", temperature="20 ± 0 °C")
    assert any(note.startswith("What the leads have was not said: 0 to 0.3 ohm was taken") for note in result.notes)
    found = result["resistance"]
    assert 3.12 <= found.low < 3.14 and found.value == pytest.approx(3.27) and 3.40 < found.high <= 3.42
    assert result.steps[0].put_in() == "3.42 ohm − 0.15 ohm"


@pytest.mark.parametrize(
    ("part", "reading", "limit"),
    [
        ("inlet-valve", "3.20 ohm", "2.6 to 3.15 ohm"),
        ("injector", "0.40 ohm", "0.35 to 0.50 ohm"),
        ("injector", "0.60 ohm", "0.35 to 0.50 ohm"),
    ],
)
def test_a_coil_read_with_the_leads_left_in_is_neither_accused_nor_passed(part: str, reading: str, limit: str) -> None:
    """common practice, no source: two leads have 0 to 0.3 ohm, which is all of the difference here."""
    result = calculate("coil", part=part, reading=reading, limit=limit, temperature="20 ± 1 °C")
    assert result.verdicts[0].verdict == "undecided"
    assert result.findings[0].next_test.startswith("touch the lead tips together, read, and give it as leads")


def test_the_contact_of_two_tips_counts_below_an_ohm() -> None:
    """common practice, no source: 0.1 ohm from one touch to the next. Four wires have none of it."""
    given = {"part": "injector", "reading": "0.62 ohm", "limit": "0.35 to 0.50 ohm", "temperature": "20 ± 1 °C"}
    assert calculate("coil", **given, leads="0.18 ohm").verdicts[0].verdict == "undecided"
    four = calculate("coil", **(given | {"reading": "0.44 ohm"}), leads="0 ± 0 ohm")
    assert four.verdicts[0].verdict == "within"
    assert not any("four wires" in note for note in four.notes)
    assert half(run(reading="3.42 ohm", leads="0 ohm", temperature="20 ± 0 °C")["resistance"]) < 0.01


def test_a_zero_that_is_good_to_half_an_ohm_is_no_short() -> None:
    """Verdict and finding agree: `0 ohm` may be 0.5 ohm, `0.00 ohm` is below 0.3 ohm for certain."""
    given = {"part": "injector", "limit": "0.3 to 0.5 ohm", "temperature": "20 °C"}
    vague = calculate("coil", reading="0 ohm", **given)
    assert (vague.verdicts[0].verdict, vague.outputs["state"], vague.findings[0].strength) == (
        "undecided", "unresolved", "undecided",
    )  # fmt: skip
    assert vague.findings[0].next_test.startswith("type in every digit that the meter shows")
    sharp = calculate("coil", reading="0.00 ohm", **given)
    assert (sharp.verdicts[0].verdict, sharp.outputs["state"], sharp.findings[0].strength) == ("outside", "short", "indicated")


def test_a_piezo_injector_is_not_called_broken() -> None:
    """common practice, no source: a sound one reads some 100 to 250 kohm. A limit in ohm says that it is a coil."""
    for reads in ({"reading": "180 kohm", "temperature": "20 °C"}, {"over_range": True}):
        (finding,) = calculate("coil", part="injector", **reads).findings
        assert finding.strength == "undecided" and "piezo injector reads so when it is sound" in finding.statement
        assert finding.next_test.startswith("find out in the maker's data whether it is a piezo injector")
        (coil,) = calculate("coil", part="injector", limit="0.3 to 0.5 ohm", **reads).findings
        assert coil.strength == "indicated" and "broken" in coil.statement


def test_no_current_at_all_is_an_open_circuit_before_it_is_a_resistance() -> None:
    """common practice, no source: along a dead wire a voltage drop reads 0 V whatever the wire is like."""
    result = run(supply="13.8 V", duty="31.0 %", measured_current="0.00 A", current_limit="0.7 to 1.4 A")
    for finding in result.findings[1:]:
        assert "voltage drop along both wires" not in finding.next_test
        assert finding.next_test.startswith("key off") and "reads 0 V and clears nothing" in finding.next_test
    assert "no current flows where 1.186 A is due: an open circuit" in result.findings[1].statement
    assert "load the circuit" in run(supply="13.8 V", duty="31.0 %", measured_current="0.50 A").findings[1].next_test


def test_the_range_may_hold_for_another_temperature() -> None:
    """A range given for 25 °C: 3.20 × 259.5/296.5."""
    assert run(spec_temperature="25 °C")["resistance_at_spec_temperature"].value == pytest.approx(3.20 * 259.5 / 296.5)


def test_degrees_and_milliohms_give_the_same() -> None:
    """62 °C is 143.6 °F, 3.42 ohm is 3420 mohm."""
    other = run(reading="3420 ± 20 mohm", leads="220 ± 20 mohm", temperature="143.6 ± 5.4 °F")
    for name in ("resistance", "resistance_at_spec_temperature"):
        assert other[name].value == pytest.approx(run()[name].value)
        assert other[name].high == pytest.approx(run()[name].high)


def test_over_range_is_open_and_outside() -> None:
    result = calculate("coil", over_range="yes", limit="2.6 to 2.9 ohm", part="outlet-valve")
    assert result.outputs == {"state": "open"}
    assert [verdict.verdict for verdict in result.verdicts] == ["outside"]
    assert "No current path" in result.findings[0].statement


def test_a_reading_far_above_the_range_is_open() -> None:
    result = run(reading="48 ± 1 ohm", limit="2.6 to 2.9 ohm")
    assert (result.outputs["state"], result.verdicts[0].verdict) == ("open", "outside")


def test_next_to_nothing_is_a_short_only_where_the_meter_can_tell() -> None:
    """0.3 ohm with leads of 0.2: a short on a 2.6 ohm coil; with a coarse meter on a 0.3 ohm coil nothing is known."""
    short = run(reading="0.3 ± 0.02 ohm", leads="0.2 ± 0.02 ohm", limit="2.6 to 2.9 ohm")
    assert (short.outputs["state"], short.findings[0].strength) == ("short", "indicated")
    coarse = run(
        reading="0.3 ohm", leads="0.2 ohm", limit="0.25 to 0.40 ohm", meter_accuracy="1 %", meter_digits=3,
        meter_resolution="0.1 ohm",
    )  # fmt: skip
    assert (coarse.outputs["state"], coarse.findings[0].strength) == ("unresolved", "undecided")
    assert coarse.verdicts[0].verdict == "undecided"


def test_leads_above_the_whole_reading_are_refused() -> None:
    with pytest.raises(InputError, match=r"leads: .* is more than the coil and its leads together read"):
        run(reading="0.2 ± 0.02 ohm", leads="0.6 ± 0.02 ohm")


def test_current_by_hand() -> None:
    """13.8 V on 3.20 ohm: 4.3125 A held on; at 30 % with 0.7 V in the diode (0.3·13.8 - 0.7·0.7)/3.2 = 1.1406 A."""
    result = run(supply="13.8 ± 0.1 V", duty="30 %")
    assert result["full_current"].value == pytest.approx(4.3125)
    assert result["mean_current"].value == pytest.approx((0.3 * 13.8 - 0.7 * 0.7) / 3.2)
    assert any("give coil_inductance and frequency" in note for note in result.notes)


def test_wiring_and_driver_are_in_series() -> None:
    """0.4 ohm more in the circuit: 13.8/3.6."""
    assert run(supply="13.8 V", circuit="0.4 ohm")["full_current"].value == pytest.approx(13.8 / 3.6)


@pytest.mark.parametrize(
    ("measured", "strength", "word"),
    [("1.15 ± 0.05 A", "cleared", "agrees"), ("0.8 ± 0.05 A", "indicated", "less"), ("1.6 ± 0.05 A", "indicated", "more")],
)
def test_measured_current_against_the_expected_one(measured: str, strength: str, word: str) -> None:
    """Less than expected points at the circuit, more at shorted turns or the duty; agreement clears the drive."""
    result = run(limit="2.6 to 2.9 ohm", supply="13.8 ± 0.1 V", duty="30 %", measured_current=measured)
    finding = result.findings[1]
    assert (finding.side, finding.strength) == ("control", strength)
    assert word in finding.statement
    assert result["current_difference"].value == pytest.approx(float(measured.split()[0]) - (0.3 * 13.8 - 0.49) / 3.2)


def test_current_against_a_range_of_the_user() -> None:
    """The measured current is judged where there is one, the expected one otherwise."""
    drive = {"supply": "13.8 V", "duty": "30 %", "current_limit": "0.7 to 0.9 A"}
    assert [(v.what, v.verdict) for v in run(**drive).verdicts] == [("expected mean current", "outside")]
    measured = run(**drive, measured_current="0.8 ± 0.02 A")
    assert [(v.what, v.verdict) for v in measured.verdicts] == [("measured current", "within")]


def test_pulses_too_short_for_the_mean_formula_are_not_given_a_mean() -> None:
    """At 4 % the formula would go negative: without inductance and frequency there is no mean current; the note says why."""
    result = run(supply="13.8 V", duty="4 %")
    assert "mean_current" not in result.outputs
    assert any("too short" in note for note in result.notes)
    known = run(supply="13.8 V", duty="4 %", coil_inductance="10 mH", frequency="200 Hz")
    assert 0 < known["mean_current"].value < 0.1
    assert known["lowest_current"].value == 0
    assert any("falls to zero between pulses" in note for note in known.notes)


def test_ripple_of_a_coil_with_known_inductance() -> None:
    """10 mH and 3.2 ohm at 1 kHz: the current swings about its mean and never reaches zero."""
    result = run(supply="13.8 V", duty="30 %", coil_inductance="10 ± 0.1 mH", frequency="1 kHz")
    low, mean, high = (result[name].value for name in ("lowest_current", "mean_current", "highest_current"))
    assert 0 < low < mean < high
    assert mean == pytest.approx((0.3 * 13.8 - 0.49) / 3.2)


def test_an_open_coil_has_no_expected_current() -> None:
    assert "full_current" not in run(reading="48 ± 1 ohm", limit="2.6 to 2.9 ohm", supply="13.8 V").outputs


@pytest.mark.parametrize("lead_error", ["typed", "shared"])
def test_intervals_hold_the_true_resistance_as_often_as_they_say(lead_error: str) -> None:
    """Over 500 invented coils at least 93 % of the intervals hold the truth, and not nearly all: they are not too wide either.

    The meter's error is drawn evenly within its specification. The leads have an error of their own, typed; or they are read
    on the same meter with a gain and an offset in common, where the digits cancel and the intervals hold a little more.
    """
    random, held = Random(7), 0
    for _ in range(500):
        true, celsius, lead = random.uniform(2, 4), random.uniform(15, 80), 0.25
        warm = true * (234.5 + celsius) / 254.5 + lead
        if lead_error == "typed":
            shown = warm + random.uniform(-1, 1) * (0.01 * warm + 0.03)
            leads = f"{lead + random.gauss(0, 0.015):.4f} ± 0.0294 ohm"
        else:
            gain, offset = random.uniform(-0.01, 0.01), random.uniform(-0.03, 0.03)
            shown, leads = (1 + gain) * warm + offset, f"{(1 + gain) * lead + offset:.2f} ohm"
        found = calculate(
            "coil", reading=f"{shown:.2f} ohm", leads=leads,
            temperature=f"{celsius + random.gauss(0, 3):.2f} ± {1.96 * 3:.2f} °C", meter_accuracy="1 %", meter_digits=3,
            meter_resolution="0.01 ohm",
        )["resistance_at_spec_temperature"]  # fmt: skip
        held += found.low <= true <= found.high
    assert 0.93 < held / 500 < 0.99


def test_all_that_does_not_go_together_is_told_at_once() -> None:
    with pytest.raises(InputError) as refused:
        calculate("coil", reading="3 ohm", over_range="yes", meter_digits=2, measured_current="1 A")
    assert [problem.input for problem in refused.value.problems] == [
        "over_range", "temperature", "meter_resolution", "supply",
    ]  # fmt: skip


def test_mistyped_inputs_are_told_at_once(command: Callable[..., Any]) -> None:
    """A pressure for a resistance, an impossible temperature, a duty above 100 %, half a digit: a line each, exit code 2."""
    ran = command(
        "coil", "--reading", "3 bar", "--temperature", "400 °C", "--duty", "130 %", "--meter-digits", "1.5", "--part", "pump"
    )  # fmt: skip
    assert ran.code == 2
    lines = {line.partition(":")[0] for line in ran.err.splitlines() if line.startswith("--")}
    assert lines == {"--reading", "--temperature", "--duty", "--meter-digits", "--part"}
    assert ran.out == ""


def test_the_worst_caution_is_the_last_line(command: Callable[..., Any]) -> None:
    ran = command("coil", "--reading", "3.2 ohm", "--temperature", "20 °C", "--leads", "0.2 ohm")
    assert ran.code == 0
    assert ran.out.splitlines()[-2].startswith("DANGER: ")


@pytest.mark.parametrize("limit", ["-2 to -1 ohm", "-1 to 3 ohm", "<= -1 mohm", "0.1 ± 0.2 ohm"])
def test_a_range_of_resistance_below_zero_is_refused(limit: str) -> None:
    with pytest.raises(InputError) as refusal:
        run(limit=limit)
    assert str(refusal.value) == f'limit: "{limit}" is not possible here; give limits of at least 0 ohm, such as 2.2 to 3.2 ohm'


def test_a_range_of_current_below_zero_is_refused() -> None:
    with pytest.raises(InputError, match='current_limit: "-1 to 2 A" is not possible here; give limits of at least 0 A'):
        run(supply="13.8 V", current_limit="-1 to 2 A")
    assert run(supply="13.8 V", current_limit="0 to 9 A").verdicts


def test_a_temperature_without_its_uncertainty_is_known_to_5_degrees_at_most() -> None:
    """Nobody knows a coil's temperature to half a degree: common practice, no source."""
    given = {"reading": "3.1 ± 0.01 ohm", "leads": "0.2 ± 0.01 ohm", "limit": "2.72 to 3.5 ohm"}
    plain = calculate("coil", temperature="40 °C", **given)
    stated = calculate("coil", temperature="40 ± 5 °C", **given)
    sure = calculate("coil", temperature="40 ± 0.5 °C", **given)
    name = "resistance_at_spec_temperature"
    assert (plain[name].low, plain[name].high) == pytest.approx((stated[name].low, stated[name].high))
    assert sure.verdicts[0].verdict == "outside" and plain.verdicts[0].verdict == "undecided"
    assert any("± 5 °C" in note for note in plain.notes) and not any("± 5 °C" in note for note in stated.notes)


FEW = {"part": "injector", "number": 3, "reading": "0.41 ± 0.02 ohm", "temperature": "35 ± 6 °C", "limit": "0.35 to 0.50 ohm"}


def chance_of_coil(tmp_path: Path, leads: str) -> float:
    """That the coil is at fault, in a job with this test alone."""
    given = "".join(f"{name} = {value if isinstance(value, int) else repr(value)}\n" for name, value in FEW.items())
    path = tmp_path / "job.toml"
    head = '[complaint]\nkind = "runs unevenly"\n[system]\ninjectors = 4\n[[steps]]\ncalculator = "coil"\n[steps.inputs]\n'
    path.write_text(f"{head}{given}leads = {leads!r}\n", encoding="utf-8")
    return work_out(read_sheet(path)).found.chances["injector 3 coil"]


def test_two_wires_on_so_few_ohm_prove_nothing(tmp_path: Path) -> None:
    """Contacts of two tips differ by 0.1 ohm from touch to touch: common practice, no source. Four wires have none of it."""
    (found,) = calculate("coil", **FEW, leads="0.20 ± 0.02 ohm").findings
    assert found.strength == "indicated" and found.next_test.startswith("measure again with four wires")
    (four,) = calculate("coil", **(FEW | {"reading": "0.21 ± 0.02 ohm"}), leads="0 ± 0 ohm").findings
    assert four.next_test.startswith("touch the lead tips")
    assert chance_of_coil(tmp_path, "0.20 ± 0.02 ohm") < 0.9
    assert chance_of_coil(tmp_path, "0 ± 0 ohm") < 0.5  # (0.41 ohm with four wires is right)


def test_a_coil_outside_its_range_clears_nothing() -> None:
    """Its current agrees with what its own resistance gives: that says nothing for the coil."""
    given = {
        "part": "outlet-valve",
        "reading": "3.4 ohm",
        "leads": "0.2 ohm",
        "temperature": "60 °C",
        "limit": "2.9 to 3.5 ohm",
    }
    driven = {"supply": "13.9 V", "circuit": "0.3 ohm", "duty": "30 %", "measured_current": "1.0 A"}
    found = calculate("coil", **given, **driven).findings
    assert [finding.strength for finding in found] == ["indicated", "undecided"]
    assert "the moving part" not in " ".join(finding.next_test for finding in found)


def test_hundreds_of_ohm_are_no_lead_tips_that_touch() -> None:
    given = {"part": "injector", "number": 2, "leads": "0.2 ohm", "temperature": "20 °C", "limit": "150 to 200 kohm"}
    (found,) = calculate("coil", reading="400 ohm", **given).findings
    assert "outside 150 to 200 kohm: too low" in found.statement and "tips touch" not in found.statement
    (short,) = calculate("coil", reading="0.3 ohm", **(given | {"limit": "15 to 20 ohm"})).findings
    assert "tips touch" in short.statement
