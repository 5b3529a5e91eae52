"""Whole job sheets and what is concluded from them. What follows from which readings: common practice, no source."""

from __future__ import annotations

import ast
import json
import shlex
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from baybook.cautions import HIGH_VOLTAGE
from baybook.dataclass import replace
from baybook.errors import InputError
from baybook.jobs.cautions import cautions_of
from baybook.jobs.conclusion import command as command_of
from baybook.jobs.conclusion import concluded, open_tests
from baybook.jobs.evaluation import Outcome, work_out
from baybook.jobs.offered import offered_tests, senses
from baybook.jobs.sheet import read_sheet
from baybook.jobs.text_report import outcome_lines
from baybook.language import language
from baybook.message import Message
from baybook.places import sentences
from baybook.places.fitted import Fitted
from baybook.places.sense import HANDS
from baybook.places.system import SystemMap
from baybook.registry import registry

FITTED = """
[system]
low_pressure = ["tank pump"]
filter = true
inlet_valve = true
outlet_valve = "none"
injector_bleed = false
injectors = 4
"""
RETURNS = """
[[steps]]
calculator = "returns"
[steps.inputs]
volumes = ["{}", "{}", "{}", "{}"]
time = "1 min ± 1 s"
rail_pressure = "300 ± 10 bar"
median_limit = "<= 150 %"
"""
HOLD = """
[[steps]]
calculator = "hold"
[steps.inputs]
start = "1000 ± 5 bar"
end = "{} ± 5 bar"
time = "30 ± 0.2 s"
volume = "25 ± 1 mL"
outlet_valve = "{}"
limit = "<= 0.5 mL/min"
"""
COIL = """
[[steps]]
calculator = "coil"
{}
[steps.inputs]
reading = "{} ± 0.02 ohm"
leads = "0 ± 0 ohm"
temperature = "20 ± 1 °C"
limit = "0.4 to 0.8 ohm"
"""
LOW = """
[[steps]]
calculator = "regulator"
[steps.inputs]
where = "inlet"
meter_counts = "low"
pressure = "{} ± 10 bar"
target = "1200 ± 2 bar"
inlet_duty = "5 ± 0.5 %"
inlet_usual_duty = "18 to 30 %"
inlet_current = "{} ± 0.02 A"
inlet_expected_current = "0.20 ± 0.01 A"
"""
EVEN = RETURNS.format(*["30 ± 1 mL"] * 4)
UNEVEN = RETURNS.format("30 ± 1 mL", "31 ± 1 mL", "120 ± 1 mL", "29 ± 1 mL")


@pytest.fixture
def job(tmp_path: Path) -> Callable[..., Outcome]:
    """A sheet of these parts, worked out."""

    def made(*parts: str, kind: str = "lacks power", system: str = FITTED) -> Outcome:
        path = tmp_path / "job.toml"
        path.write_text(f'[complaint]\nkind = "{kind}"\n{system}{"".join(parts)}', encoding="utf-8")
        return work_out(read_sheet(path))

    return made


def chance(outcome: Outcome, name: str) -> float:
    return outcome.found.chances[name]


def word(outcome: Outcome, name: str) -> str:
    return next(standing.word for standing in outcome.found.standings if standing.place.name == name)


def shown(outcome: Outcome, code: str = "en") -> str:
    return "\n".join(outcome_lines(outcome, language=language(code, outcome.packages)))


def test_a_blocked_filter_is_not_called_a_worn_pump(job: Callable[..., Outcome]) -> None:
    """The control asks for more and gets its current, the pressure is low: supply before generation."""
    outcome = job(LOW.format(850, "0.20"))
    assert outcome.errors == ()
    assert outcome.found.standings[0].place.stage == "supply"
    assert chance(outcome, "filter") > chance(outcome, "pump elements")
    assert "pump elements" not in outcome.conclusion and "high-pressure pump" not in outcome.conclusion
    assert "generation" not in outcome.conclusion.partition("Not tested")[0]
    assert chance(outcome, "control unit") < 0.05
    asked = [test.test for test in open_tests(outcome.sheet, outcome.found, 12)]
    assert "feed pressure" in asked and "regulator" not in asked
    assert any("filter" in test.separates for test in outcome.ranked)


def test_a_hold_that_fails_and_an_injector_that_returns_four_times_the_others_is_that_injector(
    job: Callable[..., Outcome],
) -> None:
    outcome = job(HOLD.format(700, "none"), UNEVEN, kind="starts badly")
    assert outcome.found.standings[0].place.name == "injector 3"
    assert chance(outcome, "injector 3") > 0.9
    assert "injector 3" in outcome.conclusion
    assert "storage" not in outcome.conclusion and "rail" not in outcome.conclusion
    assert not [s for s in outcome.found.standings if s.place.stage == "storage" and s.word in ("proven", "likely")]
    assert outcome.found.contradiction is None
    assert not [test for test in outcome.ranked if test.test in ("hold", "returns")]


def test_three_good_coils_and_a_bad_one_are_no_contradiction(job: Callable[..., Outcome]) -> None:
    coils = [COIL.format(f'object = "injector {n}"', "0.2" if n == 3 else "0.6") for n in (1, 2, 3, 4)]
    outcome = job(*coils, kind="runs unevenly")
    assert outcome.conclusion.startswith("Proven: the fault lies in the coil of injector 3 (")
    assert outcome.found.contradiction is None
    assert word(outcome, "injector 1 coil") == "not seen here"
    assert not [test for test in outcome.ranked if test.test == "coil" and test.object.startswith("injector")]
    cell = next(c for c in outcome.cells if (c.stage, c.side) == ("delivery", "control"))
    assert (cell.word, cell.chance > 0.95) == ("proven", True)
    assert "injector 3 coil" in shown(outcome)


def test_a_coil_is_placed_by_its_own_inputs_too(job: Callable[..., Outcome]) -> None:
    outcome = job(COIL.format("", "0.2") + 'part = "injector"\nnumber = 2\n', kind="runs unevenly")
    assert outcome.found.standings[0].place.name == "injector 2 coil"


def test_a_coil_of_nobody_counts_for_none_and_it_is_said(job: Callable[..., Outcome]) -> None:
    outcome = job(COIL.format("", "0.2"))
    assert any("Step 1 does not say which part was measured" in text for text in outcome.lacking)
    assert not any(standing.steps for standing in outcome.found.standings)


def test_a_repair_is_proved_by_the_same_test_after_it(job: Callable[..., Outcome]) -> None:
    repair = '\n[[steps]]\nrepair = ["injector 3"]\n'
    outcome = job(UNEVEN, repair, EVEN, '\n[[steps]]\ncomplaint = "gone"\n', kind="starts badly")
    assert [proof.word for proof in outcome.found.proofs] == ["proved"]
    assert outcome.conclusion.startswith("The repair of injector 3 is proved: returns (injector 3) was outside before it (st")
    assert outcome.found.contradiction is None
    assert chance(outcome, "no fault") > 0.9
    assert outcome.next_tests == ()  # nothing is left to look for, and what step 1 asked for is done
    asked = job(UNEVEN, repair, kind="starts badly")
    assert "The repair of injector 3 is not proved yet" in asked.conclusion
    assert ("returns", "after repair") in [(test.test, test.reason) for test in asked.ranked]


def test_a_hold_with_an_outlet_valve_open_at_rest_says_nothing_of_the_rail(job: Callable[..., Outcome]) -> None:
    system = '[system]\noutlet_valve = "rail"\nopen_at_rest = ["outlet valve"]\ninjectors = 4\n'
    before, after = (job(*steps, system=system) for steps in ((), (HOLD.format(700, "open-at-rest"),)))
    assert after.found.chances == pytest.approx(before.found.chances)
    assert word(after, "rail and joints") == "untested"
    shut = job(HOLD.format(700, "driven-shut"), system=system)
    assert chance(shut, "rail and joints") > 3 * chance(before, "rail and joints")
    assert not shut.found.unsettled
    unknown = job(HOLD.format(700, "unknown"), system="")
    assert [item.need.name for item in unknown.found.unsettled] == ["shut"]
    assert "Settle first\n  - step 1 (hold): was the outlet valve driven shut" in shown(unknown)


def test_all_within_and_the_complaint_stands_ranks_what_is_untested(job: Callable[..., Outcome]) -> None:
    again = '\n[[steps]]\ncomplaint = "stands"\n'
    outcome = job(HOLD.format(990, "none"), EVEN, LOW.format(1200, "0.20"), again, kind="starts badly")
    assert "The complaint stands." in outcome.conclusion and "Not tested yet:" in outcome.conclusion
    assert outcome.found.standings[0].tried < 0.5  # air shows little in a pressure that is on target: as good as untested
    assert "untested" in [standing.word for standing in outcome.found.standings[:6]]  # faults outside weigh more than they did
    assert outcome.ranked and not {"hold", "returns"} & {test.test for test in outcome.ranked}


def test_json_has_the_conclusion_first_and_a_command_for_each_test_that_a_calculator_takes(
    job: Callable[..., Outcome], tmp_path: Path, command: Callable[..., Any]
) -> None:
    outcome = job(COIL.format('object = "inlet valve"', "0.6"))
    ran = command("job", "run", tmp_path / "job.toml", "--json")
    told = json.loads(ran.out)
    assert next(iter(told)) == "conclusion"
    places = {found["place"]["name"]: found["chance"] for found in told["places"]["places"]}
    assert told["places"]["no_fault"] + told["places"]["off_map"] + outcome.found.of_any(places) == pytest.approx(1.0)
    assert sum(places.values()) >= outcome.found.of_any(places)  # what is at fault together counts for each of its places
    assert {"test", "reason", "gain", "minutes", "hands", "command", "cautions"} <= set(told["next"][0])
    for test in told["next"]:
        assert test["cautions"]
        words = shlex.split(test["command"])
        assert words[:4] == ["baybook", "job", "add", str(tmp_path / "job.toml")]
        assert test["test"] in words[4:6] and words[-1] == "--ask"


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ("[system]\ninjectors = 99\n", '[system], injectors: "99" is not a possible number'),
        ('[complaint]\nkind = "does not strat"\n', "did you mean does not start?"),
        ("[[steps]]\nrepair = []\n", 'names no part; give repair = ["injector 3"]'),
        ('[[steps]]\ncomplaint = "maybe"\n', "use gone or stands"),
        ('[[steps]]\nrepair = "injector 3"\ncomplaint = "gone"\n', "stands in one step with a repair"),
    ],
)
def test_what_the_sheet_says_wrongly_of_the_vehicle_is_one_line(tmp_path: Path, text: str, line: str) -> None:
    path = tmp_path / "job.toml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(InputError) as refused:
        read_sheet(path)
    assert len(str(refused.value).splitlines()) == 1
    assert line in str(refused.value)


def test_a_part_that_is_not_fitted_is_named_and_takes_nothing_from_the_others(job: Callable[..., Outcome]) -> None:
    outcome = job(COIL.format('object = "injector 7"', "0.2"), UNEVEN, '\n[[steps]]\nrepair = ["injektor 3"]\n')
    lines = [str(error) for error in outcome.errors]
    assert [line.partition(":")[0] for line in lines] == ["step 1 (coil), object", "step 3, repair"]
    assert "did you mean" in lines[1]
    assert outcome.exit_code == 2
    assert outcome.found.standings[0].place.name == "injector 3"


def test_twenty_steps_conclude_in_a_tenth_of_a_second(job: Callable[..., Outcome]) -> None:
    """On top of the calculators."""
    coils = [COIL.format(f'object = "injector {n}"', "0.6") for n in (1, 2, 3, 4)]
    outcome = job(HOLD.format(700, "none"), UNEVEN, *coils * 4, LOW.format(850, "0.20"), EVEN)
    assert len(outcome.steps) == 20
    taken = []
    for _ in range(3):
        begin = time.process_time()
        found = concluded(outcome.sheet, outcome.steps)
        assert found.standings and found.open
        taken.append(time.process_time() - begin)
    assert min(taken) <= 0.1


def test_a_job_in_german_has_no_english_sentence_of_the_conclusion(job: Callable[..., Outcome]) -> None:
    repair = '\n[[steps]]\nrepair = ["injector 3"]\n'
    outcome = job(HOLD.format(700, "unknown"), UNEVEN, repair, EVEN, COIL.format("", "0.2"), system="")
    _, head, text = shown(outcome, "de").partition(language("de", []).text("By stage and side"))
    text = "\n".join(line for line in text.splitlines() if "baybook job add" not in line)
    assert head and len(text) > 1500
    for english in (" the ", " of ", "untested", "tells", "looks at", "nothing opened", "without it", "Settle", " is "):
        assert english not in text, english
    assert "Die Reparatur (Injektor 3) ist bewiesen" in shown(outcome, "de")


def test_next_says_what_to_test_with_command_and_caution(
    job: Callable[..., Outcome], tmp_path: Path, command: Callable[..., Any]
) -> None:
    job(LOW.format(850, "0.20"))
    ran = command("job", "next", tmp_path / "job.toml")
    assert ran.code == 0
    assert ran.out.index("Test next") < ran.out.index("Conclusion") < ran.out.index("DANGER: Fuel at rail pressure")
    assert "Step 1" not in ran.out
    told = json.loads(command("job", "next", tmp_path / "job.toml", "--json").out)
    assert list(told) == ["conclusion", "next", "asked"]
    assert "regulator" not in [test["test"] for test in told["next"]]


def test_a_test_that_no_calculator_takes_has_the_usual_cautions_and_no_command(job: Callable[..., Outcome]) -> None:
    """A plugin may have been taken out since: its test is still told, and what can hurt there first."""
    outcome = job()
    first = replace(outcome.ranked[0], test="oscillogram of the driver", hands="live wiring", separates=(), object="")
    assert cautions_of(first)[0].signal == "danger"
    assert HIGH_VOLTAGE in cautions_of(first) and HIGH_VOLTAGE not in cautions_of(replace(first, hands="none"))
    assert command_of(first, outcome.sheet.path) == ""
    alone = replace(outcome, ranked=(first,), steps=())
    told = shown(alone)
    assert "oscillogram of the driver" in told and "baybook job add" not in told and "looks at: " not in told
    aimed = command_of(replace(first, test="hold", object="rail and joints"), Path("job.toml"))
    assert aimed == 'baybook job add job.toml hold --object "rail and joints" --ask'


def test_why_follows_the_odds_of_a_place_test_by_test(
    job: Callable[..., Outcome], tmp_path: Path, command: Callable[..., Any]
) -> None:
    job(HOLD.format(700, "none"), UNEVEN)
    sheet = tmp_path / "job.toml"
    told = json.loads(command("job", "run", sheet, "--why", "injector 3", "--json").out)
    odds = told["start"]
    for factor in told["factors"]:
        odds *= factor["factor"]
    assert odds == pytest.approx(told["odds"])
    assert {test["step"] for factor in told["factors"] for test in factor["tests"]} == {0, 1, 2}
    shown = command("job", "run", sheet, "--why", "injector 3").out
    assert "hold, step 1" in shown and "returns (injector 3), step 2" in shown
    wrong = command("job", "run", sheet, "--why", "injektor 3")
    assert (wrong.code, wrong.out, len(wrong.err.splitlines())) == (2, "", 1)
    assert wrong.err.startswith('--why: "injektor 3" is not on this vehicle')


def test_every_place_test_and_sentence_of_the_engine_is_told_in_german() -> None:
    tests_on_offer = offered_tests().values()
    german = language("de", [test.calculator.package for test in tests_on_offer]).messages
    maps = [SystemMap.of(), SystemMap.of(Fitted(outlet_valve="pump", pump_elements=3))]
    said = {Message.numbered(text).template for each in maps for p in each.places for text in (p.name, p.label)}
    said |= {name for name in senses() if name not in {listed.name for listed in registry().listed()}} | set(HANDS)
    said |= {need.question for sense in senses().values() for need in sense.needs if need.question}
    said |= {q.halt.first for sense in senses().values() for q in sense.questions.values() if q.halt}
    tree = ast.parse(Path(sentences.__file__).read_text(encoding="utf-8"))
    docstrings = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
    texts = [n.value for n in ast.walk(tree) if isinstance(n, ast.Constant) and id(n) not in docstrings]
    templates = {text for text in texts if isinstance(text, str) and text[:1].isupper() and text.endswith(".")}
    assert len(templates) > 12
    assert sorted((said | templates) - set(german)) == []
