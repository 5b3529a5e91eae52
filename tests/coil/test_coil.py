"""The coil calculator as a technician uses it."""

from __future__ import annotations

from collections.abc import Callable
from random import Random
from typing import Any

import pytest

from baybook import calculate
from baybook.errors import InputError

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
        ("2.6 to 2.9 ohm", "within", "cleared"),
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


def test_a_good_resistance_leaves_insulation_drive_and_moving_part() -> None:
    finding = run(limit="2.6 to 2.9 ohm").findings[0]
    assert "nothing about insulation, wiring, drive or a stuck part" in finding.statement
    assert finding.next_test.startswith("measure from each pin to the housing")


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


def test_the_meter_stands_in_for_the_last_digit_and_says_so() -> None:
    """Either part of a meter's specification is enough, for the reading or the leads; what was typed with ± needs no words."""
    said = "The meter's accuracy stands in for the last digit of what it showed."
    assert said in run(reading="3.42 ohm", meter_accuracy="1 %").notes
    assert said in run(leads="0.22 ohm", meter_digits=2, meter_resolution="0.01 ohm").notes
    assert said not in run(meter_accuracy="1 %").notes
    wide, narrow = run(reading="3.42 ohm", meter_accuracy="2 %"), run(reading="3.42 ohm", meter_accuracy="1 %")
    assert wide["resistance"].u > narrow["resistance"].u


def test_the_steps_can_be_followed() -> None:
    """Every step shows its formula with the numbers put in, wiring and driver included."""
    result = run(supply="13.8 ± 0.1 V", duty="30 ± 0 %", circuit="0.4 ± 0 ohm")
    assert [step.put_in() for step in result.steps] == [
        "3.420 ohm - 0.220 ohm",
        "3.200 ohm · (234.5 + 20) / (234.5 + 62)",
        "13.80 V / 3.6 ohm",
        "(0.3 · 13.80 V - (1 - 0.3) · 0.70 V) / 3.6 ohm",
    ]


def test_leads_that_were_not_taken_off_are_mentioned() -> None:
    result = calculate("coil", reading="3.42 ohm", temperature="20 ± 2 °C")
    assert any(note.startswith("No lead resistance was taken off.") for note in result.notes)


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


def test_intervals_hold_the_true_resistance_as_often_as_they_say() -> None:
    """Over 400 invented coils with every error drawn from what is stated, at least 95 % of the intervals hold the truth.

    The meter's error is drawn evenly within its specification, so the intervals may hold a little more.
    """
    random, held = Random(7), 0
    for _ in range(400):
        true, celsius, lead = random.uniform(2, 4), random.uniform(15, 80), 0.25
        shown = true * (234.5 + celsius) / 254.5 + lead
        shown += random.uniform(-1, 1) * (0.01 * shown + 0.03)
        found = calculate(
            "coil", reading=f"{shown:.4f} ohm", leads=f"{lead + random.gauss(0, 0.015):.4f} ± {1.96 * 0.015:.4f} ohm",
            temperature=f"{celsius + random.gauss(0, 3):.2f} ± {1.96 * 3:.2f} °C", meter_accuracy="1 %", meter_digits=3,
            meter_resolution="0.01 ohm",
        )["resistance_at_spec_temperature"]  # fmt: skip
        held += found.low <= true <= found.high
    assert 0.935 < held / 400 < 0.995


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


def test_cautions_come_before_numbers(command: Callable[..., Any]) -> None:
    ran = command("coil", "--reading", "3.2 ohm", "--temperature", "20 °C", "--leads", "0.2 ohm")
    assert ran.code == 0
    assert ran.out.index("DANGER") < ran.out.index("resistance_at_spec_temperature")


@pytest.mark.parametrize("limit", ["-2 to -1 ohm", "-1 to 3 ohm", "<= -1 mohm", "0.1 ± 0.2 ohm"])
def test_a_range_of_resistance_below_zero_is_refused(limit: str) -> None:
    with pytest.raises(InputError) as refusal:
        run(limit=limit)
    assert str(refusal.value) == f'limit: "{limit}" is not possible here; give limits of at least 0 ohm, such as <= 2.6 ohm'


def test_a_range_of_current_below_zero_is_refused() -> None:
    with pytest.raises(InputError, match='current_limit: "-1 to 2 A" is not possible here; give limits of at least 0 A'):
        run(supply="13.8 V", current_limit="-1 to 2 A")
    assert run(supply="13.8 V", current_limit="0 to 9 A").verdicts
