"""What a job sheet's sentences and tables say of steps: nothing stale, nothing that was not so. Common practice, no source."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from baybook.errors import InputError
from baybook.jobs.evaluation import Outcome, work_out
from baybook.jobs.offered import senses
from baybook.jobs.report import report_data
from baybook.jobs.sheet import read_sheet
from baybook.jobs.text_report import outcome_lines
from baybook.language import language
from baybook.places.choice import next_tests
from baybook.text import said

SYSTEM = """
[system]
low_pressure = ["tank pump"]
filter = true
inlet_valve = true
outlet_valve = "rail"
pump_elements = 2
injectors = 4
returns = "separate"
injector_bleed = false
open_at_rest = ["outlet valve"]
"""


def step(calculator: str, **inputs: str | list[str]) -> str:
    given = "\n".join(f"{name} = {value!r}" for name, value in inputs.items())
    return f'\n[[steps]]\ncalculator = "{calculator}"\n[steps.inputs]\n{given}\n'


NO_CODE = step("observation", what="fault memory", code="none")
CORRECTIONS = step(
    "delivery", corrections=["-0.6 -0.5 +3.4 -1.0 mm3/stroke"], correction_limit="-2.5 to 2.5 mm3/stroke"
)  # fmt: skip
PEAKS = step("delivery", peaks=["312 308 241 310 A"], compression_limit="min 88 %")
HOLD = step("hold", start="300 bar", end="20 bar", time="3 s", volume="25 ± 2 mL", limit="max 4 mL/min")
LOAD = step("supply", load="2.1 bar", load_limit="3.5 to 5 bar", air="none", tank_pump="runs")
WHOLE = step(
    "supply", idle="3.7 bar", load="2.1 bar", idle_limit="3.5 to 5 bar", load_limit="3.5 to 5 bar", before_filter="2.25 bar",
    filter_limit="max 0.4 bar", air="none", pump_current="5.1 A", current_limit="4 to 7 A", battery_voltage="13.8 V",
    pump_voltage="13.5 V", voltage_limit="max 0.7 V", tank_pump="runs",
)  # fmt: skip
DELIVERY = step("reading", what="supply pump delivery", value="1.1 L/min", limit="min 1.8 L/min", place="tank pump")
FEED = step("reading", what="feed pressure", value="4.1 bar", limit="3.5 to 5 bar", load="yes")
CHARGE = step("reading", what="charge pressure", value="1.35 bar", limit="2.0 to 2.4 bar", place="charge air")
CLEAN = step("observation", what="milky, dark or smelling fuel", seen="no", sure="certain")
ON_TARGET = step(
    "regulator", where="inlet", pressure="278 bar", target="280 bar", inlet_usual_duty="28-34 %", inlet_commanded_duty="{} %"
)  # fmt: skip


def job(path: Path, *steps: str, kind: str = "lacks power", shows: str = "") -> Outcome:
    only = f'shows = ["{shows}"]\n' if shows else ""
    path.joinpath("job.toml").write_text(
        f'[job]\nnumber = "1"\n[complaint]\nkind = "{kind}"\n{only}{SYSTEM}{"".join(steps)}', encoding="utf-8"
    )
    outcome = work_out(read_sheet(path / "job.toml"))
    assert outcome.errors == ()
    return outcome


def shown(outcome: Outcome) -> str:
    return " ".join(" ".join(outcome_lines(outcome)).split())


def rows(outcome: Outcome) -> list[tuple[str, str]]:
    rows: list[dict[str, Any]] = report_data(outcome)["tested"]
    return [(str(row["title"]), str(row["word"])) for row in rows]


def test_a_step_says_nothing_of_what_another_step_read(tmp_path: Path) -> None:
    outcome = job(tmp_path, CORRECTIONS, PEAKS, kind="runs unevenly")
    assert "Cylinder 3 compresses 77.74 % only: the cylinder itself." in shown(outcome)
    assert "no correction shows it" not in shown(outcome)


def test_an_advice_is_gone_once_another_step_has_taken_it(tmp_path: Path) -> None:
    advice = "relative compression by starter current"
    assert any(advice in str(text) for text in job(tmp_path, CORRECTIONS, kind="runs unevenly").next_tests)
    assert not any(advice in str(text) for text in job(tmp_path, CORRECTIONS, PEAKS, kind="runs unevenly").next_tests)
    flow = "flow by timed volume"
    assert any(flow in str(text) for text in job(tmp_path, WHOLE).next_tests)
    assert not any(flow in str(text) for text in job(tmp_path, WHOLE, DELIVERY).next_tests)


def test_a_hold_with_the_valve_open_at_rest_is_to_be_repeated_with_it_driven_shut(tmp_path: Path) -> None:
    asked = [str(text) for text in job(tmp_path, HOLD, kind="does not start").lacking]
    assert any(text.startswith("step 1 (hold) says nothing as it was taken: repeat it") for text in asked)
    again = HOLD + 'outlet_valve = "driven-shut"\n'
    assert not any("says nothing" in str(text) for text in job(tmp_path, HOLD, again, kind="does not start").lacking)


def test_what_was_looked_for_and_not_seen_is_told_so_beside_a_place(tmp_path: Path) -> None:
    told = shown(job(tmp_path, WHOLE, CLEAN, DELIVERY))
    assert "milky, dark or smelling fuel (in order), step 2" in told
    assert "milky, dark or smelling fuel, step 2" not in told


def test_a_stage_with_some_places_untested_is_partly_tested_and_a_repaired_one_repaired(tmp_path: Path) -> None:
    outcome = job(tmp_path, LOAD, '\n[[steps]]\nrepair = ["tank pump"]\n', LOAD.replace("2.1", "4.1"),
                  ON_TARGET.format(30), '\n[[steps]]\ncomplaint = "gone"\n')  # fmt: skip
    words = {(cell.stage, cell.side): cell.word for cell in outcome.cells}
    assert words["supply", "hydraulic"] == "repaired" and words["delivery", "hydraulic"] == "partly tested"
    assert "partly tested step 4 untested: compression" in shown(outcome)


def test_the_complaint_stands_only_once_somebody_tried_it(tmp_path: Path) -> None:
    assert "The complaint stands." not in job(tmp_path, NO_CODE, FEED, kind="does not start").conclusion
    tried = job(tmp_path, NO_CODE, FEED, '\n[[steps]]\ncomplaint = "stands"\n', kind="does not start")
    assert "The complaint stands." in tried.conclusion


@pytest.mark.parametrize(("steps", "said"), [((NO_CODE, FEED), "step 2 was"), ((FEED, FEED), "steps 1 and 2 were")])
def test_one_step_is_one_step(tmp_path: Path, steps: tuple[str, ...], said: str) -> None:
    assert said in shown(job(tmp_path, *steps, shows="hot"))


def test_a_suction_system_is_asked_for_a_depression_and_not_for_a_feed_pressure(tmp_path: Path) -> None:
    """And one taken while cranking under another name is not asked for again; of a bad start cranking is the condition."""
    suction = step("supply", cranking="-0.02 bar", cranking_limit="-0.2 to 0 bar", air="none", suction_pump="fitted")
    path = tmp_path / "job.toml"
    head = '[job]\nnumber = "1"\n[complaint]\nkind = "starts badly"\n'
    for taken in ("", suction):
        path.write_text(head + SYSTEM.replace("tank pump", "suction pump") + taken, encoding="utf-8")
        asked = next_tests(work_out(read_sheet(path)).found, senses())
        names = {test.test for test in asked}
        assert "feed pressure" not in names and ("suction depression" in names) == (not taken)
    told = shown(job(tmp_path, NO_CODE, kind="starts badly"))
    assert "was it read under load" not in told and "was it read while cranking, where the complaint is?" in told


def test_refuelling_is_work_on_the_tanks_fuel(tmp_path: Path) -> None:
    head = '[job]\nnumber = "1"\n[complaint]\nkind = "starts badly"\nafter = ["{}"]\n'
    found = []
    for word in ("refuelling", "tank fuel"):
        (tmp_path / "job.toml").write_text(head.format(word) + SYSTEM, encoding="utf-8")
        found.append(work_out(read_sheet(tmp_path / "job.toml")).found.chances["tank fuel"])
    assert found[0] == found[1] > 0.05


@pytest.mark.parametrize("condition", ["cold, after the night", "hot, load"])
def test_any_words_may_stand_beside_a_condition_and_a_slip_may_not(tmp_path: Path, condition: str) -> None:
    taken = FEED.replace("[steps.inputs]", f'condition = "{condition}"\n[steps.inputs]')
    assert job(tmp_path, taken).sheet.steps[0].condition[0] == condition.partition(",")[0]
    with pytest.raises(InputError, match="is no condition that is known; use hot, cold"):
        job(tmp_path, taken.replace(condition, "cold, hto"))


def test_what_a_step_says_of_its_load_is_its_condition(tmp_path: Path) -> None:
    """A pressure under load says so by its name, and the starter's peaks are read in no other way than while cranking."""
    for step_ in (LOAD, PEAKS):
        assert "is not said (condition)" not in shown(job(tmp_path, step_, kind="runs unevenly", shows="load"))


def test_compression_is_told_in_german(tmp_path: Path) -> None:
    outcome = job(tmp_path, PEAKS, '\n[[steps]]\nrepair = ["compression"]\n', kind="runs unevenly")
    german = language("de", list(outcome.packages))
    assert "Kompression" in str(said(outcome.steps[1].title, german))


def test_what_is_to_be_mended_outside_is_named(tmp_path: Path) -> None:
    outcome = job(tmp_path, NO_CODE, FEED, CHARGE)
    assert str(outcome.next_tests[0]).startswith("mend charge air, mark it (baybook job mark: repair charge air)")


def test_a_report_says_what_was_observed_and_read(tmp_path: Path) -> None:
    outcome = job(tmp_path, NO_CODE, FEED, LOAD)
    assert [title for title, _ in rows(outcome)] == [
        "Observation: fault memory", "Reading: feed pressure", "Low-pressure supply"
    ]  # fmt: skip


@pytest.mark.parametrize(("duty", "word"), [("31", "in order"), ("36", "not decided")])
def test_a_drive_beyond_its_usual_range_is_not_in_order(tmp_path: Path, duty: str, word: str) -> None:
    assert rows(job(tmp_path, ON_TARGET.format(duty)))[0][1] == word
