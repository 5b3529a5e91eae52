"""What stops a job is said first of all, with its reason; a rail reading that is found false proves no zero to anyone.

Sheets of an invented workshop. All facts: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from baybook import calculate
from baybook.action import Action, HoldPoint
from baybook.jobs.evaluation import Outcome, work_out
from baybook.jobs.offered import offered_tests
from baybook.jobs.report import report_data
from baybook.jobs.sheet import read_sheet
from baybook.jobs.text_report import next_lines, outcome_lines
from baybook.language import ENGLISH, language
from baybook.placing import NO_PROOF
from baybook.procedure import TO_ZERO

HEAD = """
[job]
number = "D-9"
[complaint]
kind = "runs unevenly"
text = "{text}"
[system]
low_pressure = ["tank pump"]
filter = true
inlet_valve = true
outlet_valve = "rail"
injectors = 4
"""
STEP = """
[[steps]]
calculator = "{calculator}"
"""
KEY_OUT = "Key off and out, no flame: do not switch on, start or crank."


def step(calculator: str, **inputs: str) -> str:
    rows = "".join(f'{name} = "{value}"\n' for name, value in inputs.items())
    return STEP.format(calculator=calculator) + (f"[steps.inputs]\n{rows}" if rows else "")


WET = step("observation", what="wetness at the high-pressure side", sure="maybe")
LOW_WET = step("observation", what="wetness at the low-pressure side")
PETROL = step("fuel", smell="petrol")
WATER = step("fuel", look="water")
FALSE_SENSOR = step("sensor", standing="-40 ± 2 bar", zero_limit="-10 to 10 bar; sheet 4")
TAKEN_AWAY = step("reading", what="injector quantity correction", value="-4.9 mm3/stroke", limit="-3 to 3 mm3/stroke",
                  place="injector 3")  # fmt: skip


@pytest.fixture
def job(tmp_path: Path) -> Callable[..., Outcome]:
    def made(*steps: str, text: str = "") -> Outcome:
        sheet = tmp_path / "job.toml"
        sheet.write_text(HEAD.format(text=text) + "".join(steps), encoding="utf-8")
        return work_out(read_sheet(str(sheet)))

    return made


def screen(outcome: Outcome) -> str:
    return " ".join(" ".join(next_lines(outcome, ENGLISH)).split())


def withheld(outcome: Outcome) -> set[str]:
    return {test.test for test in outcome.withheld}


def test_a_sensor_that_is_false_proves_no_zero_and_every_line_of_its_job_says_so(job: Callable[..., Outcome]) -> None:
    """It reads nothing at 40 bar: who waits for its zero opens a rail that holds 40 bar."""
    outcome = job(FALSE_SENSOR, step("returns", volumes="30 mL; 31 mL; 95 mL; 29 mL", time="60 s", median_limit="max 150 %"))
    told = screen(outcome)
    assert told.startswith("First of all ! Rail reading not to be trusted: it cannot prove zero.")
    assert "this sensor cannot prove zero: key off, full waiting time, empty it the maker's way, a second means" in told
    assert "a second means shows zero; only then exchange it" in told
    assert "[first: rail seen" not in told and "rail at zero" not in told
    assert told.count("seen to fall to zero") == 2 * told.count('in place of "rail seen to fall to zero"): rail seen') == 2
    assert told.count(f"[first: {NO_PROOF}") >= 3
    found = [finding.next_test for worked in outcome.steps if worked.result for finding in worked.result.findings]
    assert found and not any("[first: rail seen" in text for text in found)


def test_a_sensor_that_was_exchanged_proves_zero_again(job: Callable[..., Outcome]) -> None:
    good = FALSE_SENSOR.replace("-40 ± 2", "1 ± 2")
    outcome = job(FALSE_SENSOR, '\n[[steps]]\nrepair = ["rail sensor"]\n', good)
    assert not outcome.zero_doubted and "cannot prove zero" not in screen(outcome)


def test_a_sensor_is_doubted_by_its_odds_alone(job: Callable[..., Outcome]) -> None:
    """A wire of it that came and went when it was moved."""
    plug = step("observation", what="damaged or loose plug", place="rail sensor")
    assert job(plug).zero_doubted
    assert not job(WATER).zero_doubted


def test_the_bare_sensor_says_it_of_itself() -> None:
    found = calculate("sensor", standing="-40 ± 2 bar", zero_limit="-10 to 10 bar").findings
    assert len(found) == 1
    assert found[0].next_test.startswith("this sensor cannot prove zero: key off, full waiting time")
    assert "[first" not in found[0].next_test


@pytest.mark.parametrize("sure", ["maybe", "likely", "certain"])
@pytest.mark.parametrize(
    ("what", "first"),
    [
        ("wetness at the high-pressure side", "do not start or crank"),
        ("wetness at the low-pressure side", "key off and out, no flame, do not switch on, start or crank"),
        ("milky, dark or smelling fuel", "key off and out, no flame, do not switch on, start or crank"),
        ("fuel in the oil, or oil level rising", "engine off, and do not start or crank it"),
    ],
)
def test_however_sure_it_was_seen_it_stops_the_engine(what: str, first: str, sure: str, job: Callable[..., Outcome]) -> None:
    warned = calculate("observation", what=what, sure=sure).warnings
    assert str(warned[0]).startswith(first)
    outcome = job(step("observation", what=what, sure=sure))
    assert str(outcome.at_once[0]).startswith(first)
    assert not [test for test in outcome.ranked if offered_tests()[test.test].sense.turning]


def test_what_was_looked_for_and_not_seen_lifts_it(job: Callable[..., Outcome]) -> None:
    dry = step("observation", what="wetness at the high-pressure side", seen="no", sure="certain")
    assert job(WET).found.halts and not job(WET, dry).found.halts
    assert calculate("observation", what="wetness at the high-pressure side", seen="no").warnings == ()
    hardly = dry.replace("certain", "maybe")
    assert job(WET, hardly).found.halts


@pytest.mark.parametrize("found", [PETROL, LOW_WET])
def test_where_fuel_burns_nothing_is_switched_on_either(found: str, job: Callable[..., Outcome]) -> None:
    """The ignition runs the pump of the low-pressure side."""
    outcome = job(found)
    assert "fault memory" in withheld(outcome)
    assert not [test for test in outcome.ranked if offered_tests()[test.test].sense.powered]


@pytest.mark.parametrize("found", [WATER, WET])
def test_where_nothing_burns_a_memory_may_be_read(found: str, job: Callable[..., Outcome]) -> None:
    """The fall of the rail to zero is read with the ignition on, too."""
    (halted,) = job(found).found.halts
    assert not halted.halt.off
    assert not halted.withholds(offered_tests()["fault memory"].sense)


@pytest.mark.parametrize("name", ["supply pump delivery", "supply pump current", "control unit supply", "fault memory"])
def test_a_test_that_needs_the_ignition_or_an_electric_pump_says_so(name: str) -> None:
    assert offered_tests()[name].sense.powered


def test_the_fuel_card_keeps_the_key_off_before_its_first_step() -> None:
    """Also before the ignition goes on to prove zero, which is step 1 and skipped then."""
    steps = offered_tests()["fuel"].calculator.how.steps
    (bar,) = [step for step in steps if isinstance(step, HoldPoint) and step.text.startswith("Petrol suspected: key stays off")]
    first = next(step for step in steps if isinstance(step, Action))
    assert first == TO_ZERO and bar.danger and "skip step 1" in bar.text and steps.index(bar) < steps.index(first)


@pytest.mark.parametrize(
    ("found", "danger"),
    [
        (PETROL, "DANGER: Fuel and its vapour catch fire from any spark."),
        (LOW_WET, "DANGER: Fuel and its vapour catch fire from any spark."),
        (WET, "DANGER: Fuel at rail pressure goes through skin and gloves."),
    ],
)
def test_the_stop_stands_first_with_its_reason_and_its_own_danger(found: str, danger: str, job: Callable[..., Outcome]) -> None:
    told = screen(job(found, step("cranking")))
    at = [told.index(text) for text in ("First of all !", "job step 1).", danger, "Settle first", "Test next")]
    assert at == sorted(at) and at[0] == 0
    assert told.count("DANGER") == 1


def test_what_is_planned_and_has_to_wait_is_marked_and_not_explained(job: Callable[..., Outcome]) -> None:
    outcome = job(WET, step("cranking"), step("coil"))
    told = screen(outcome)
    assert "Step 2, Cranking: barred until what comes first of all is settled." in told
    assert "Step 3, Coil resistance and current: planned, not taken yet." in told
    whole = " ".join(" ".join(outcome_lines(outcome)).split())
    assert "Crank within data" not in whole
    assert whole.index("First of all !") < whole.index("Step 1:")
    free = " ".join(" ".join(outcome_lines(job(step("cranking")))).split())
    assert "Crank within data" in free


def test_the_report_says_on_its_first_page_why(job: Callable[..., Outcome]) -> None:
    data = report_data(job(WET))
    means = str(data["plain"]["means"])
    assert "It is not safe to run the engine before this is put right: Fuel under pressure escapes (suspected)." in means
    (tested,) = data["tested"]
    assert str(tested["title"]) == "Observation: wetness at the high-pressure side" and tested["word"] == "suspected"
    seen = [str(f["statement"]) for cell in data["findings"] for f in cell["findings"]]
    assert seen == ["wetness at the high-pressure side: it was seen"]
    both = str(report_data(job(PETROL, LOW_WET))["plain"]["means"])
    assert "There is petrol or another fuel in the tank; Fuel leaks out, and can burn." in both


@pytest.mark.parametrize(
    ("text", "beside", "stopped"),
    [
        ("Knocks hard, white smoke, oil level rising", "", True),
        ("Nagelt und raucht weiß", "", True),
        ("Motoröl wird mehr", "", True),
        ("rough at idle", "", False),
        ("braucht mehr, hoher Verbrauch", "", False),
        ("rough at idle", step("observation", what="cylinder that knocks, smokes or runs hot", place="injector 3"), True),
        ("rough at idle", step("observation", what="cylinder 3 knocks hard", place="injector 3", sure="certain"), True),
    ],
)
def test_an_injector_that_seems_to_overfuel_stops_the_engine(
    text: str, beside: str, stopped: bool, job: Callable[..., Outcome]
) -> None:
    """It burns a piston, and on thinned oil the engine may run away: taken out, not run again for its returns."""
    outcome = job(beside, TAKEN_AWAY, text=text)
    assert bool(outcome.found.halts) == stopped
    if stopped:
        assert "have the injector tested on a bench" in str(outcome.at_once[0])
        assert not [test for test in outcome.ranked if offered_tests()[test.test].sense.turning]
        assert "returns" in withheld(outcome) | {test.test for test in outcome.withheld}


def test_a_correction_within_the_band_or_upwards_stops_nothing(job: Callable[..., Outcome]) -> None:
    for value in ("-2.1", "4.9"):
        assert not job(TAKEN_AWAY.replace("-4.9", value), text="Knocks hard, white smoke").found.halts


def test_an_injector_that_was_exchanged_may_run_again(job: Callable[..., Outcome]) -> None:
    repaired = '\n[[steps]]\nrepair = ["injector 3"]\n'
    assert not job(TAKEN_AWAY, repaired, text="Knocks hard, white smoke").found.halts


def test_german_says_it_whole(job: Callable[..., Outcome]) -> None:
    outcome = job(PETROL, WET, FALSE_SENSOR, step("cranking"))
    told = " ".join(" ".join(next_lines(outcome, language("de", list(outcome.packages)))).split())
    assert told.startswith("Zuallererst ! Im Tank ist Benzin oder ein anderer Kraftstoff (festgestellt, Auftragsschritt 1).")
    assert "Kraftstoff tritt unter Druck aus (vermutet, Auftragsschritt 2)." in told
    assert "Raildruckanzeige nicht trauen: sie beweist keine Drucklosigkeit" in told
    assert "Kraftstoff und sein Dampf entzünden sich" in told
    for english in ("do not", "barred", "cannot prove", "First of all", "job step"):
        assert english not in told
