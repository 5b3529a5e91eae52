"""When cautions are said: in full before hands go anywhere, once in a job's run, else in one line at the end.

What is always there in full is not read (common practice, no source); signal words and their order: ANSI Z535.4.
"""

from __future__ import annotations

import json
import shlex
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from baybook.cards.build import card_of
from baybook.cautions import MAKERS_DATA, SIGNALS, Caution
from baybook.declare import Calculator
from baybook.jobs.evaluation import work_out
from baybook.jobs.report import report_data
from baybook.jobs.sheet import read_sheet
from baybook.registry import registry

from .test_screen_of_24_lines import LINES

Command = Callable[..., Any]
CALCULATORS = {name: registry().calculator(name) for name in LINES}
WITH = [name for name, found in CALCULATORS.items() if found.cautions]
DEMO = Path(__file__).parents[2] / "data_demo"


def flat(text: str) -> str:
    return " ".join(text.split())


def in_full(calculator: Calculator, text: str) -> bool:
    """Whether every caution stands in it with its signal word, the worst first."""
    places = [flat(text).find(f"{caution.signal.upper()}: {caution.text}") for caution in calculator.cautions]
    return -1 not in places and places == sorted(places)


def test_all_but_a_conversion_have_cautions() -> None:
    assert sorted(CALCULATORS) == sorted([*WITH, "convert"])


@pytest.mark.parametrize("name", WITH)
def test_they_stand_the_worst_first(name: str) -> None:
    signals = [SIGNALS.index(caution.signal) for caution in CALCULATORS[name].cautions]
    assert signals == sorted(signals)


@pytest.mark.parametrize("name", WITH)
def test_help_and_how_have_all_of_them_in_full(name: str, command: Command) -> None:
    for option in ("--help", "--how"):
        assert in_full(CALCULATORS[name], command(name, option).out), option


@pytest.mark.parametrize("name", WITH)
def test_they_come_before_the_first_question(name: str, process: Command, tmp_path: Path) -> None:
    asked = process(name, "--ask", stdin="")
    assert in_full(CALCULATORS[name], asked.err.partition("Enter leaves out")[0])
    sheet = tmp_path / "job.toml"
    assert process("job", "new", sheet).code == 0
    added = process("job", "add", sheet, name, "--ask", stdin="")  # as `job next` says it
    assert in_full(CALCULATORS[name], added.err.partition("Enter leaves out")[0])


@pytest.mark.parametrize("name", WITH)
def test_the_card_has_all_of_them(name: str) -> None:
    assert {*card_of(CALCULATORS[name]).cautions, MAKERS_DATA} >= set(map(_as_on_card, CALCULATORS[name].cautions))


def _as_on_card(caution: Caution) -> Caution:
    return caution if caution == MAKERS_DATA else Caution(caution.signal, caution.text, caution.symbols, caution.brief)


@pytest.mark.parametrize("name", WITH)
def test_a_result_ends_with_the_worst_in_one_line_and_where_the_rest_stands(name: str, command: Command) -> None:
    found = CALCULATORS[name]
    out = command(*shlex.split(LINES[name][0])).out
    worst = found.cautions[0]
    head = worst.text.partition(". ")[0].rstrip(".")
    assert flat(out).endswith(f"{worst.signal.upper()}: {head}. All cautions: baybook {name} --how")
    assert sum(flat(out).count(f"{signal.upper()}: ") for signal in SIGNALS) == 1
    told = json.loads(command(*shlex.split(LINES[name][0]), "--json").out)
    assert [caution["text"] for caution in told["cautions"]] == [caution.text for caution in found.cautions]


@pytest.mark.parametrize("name", WITH)
def test_a_planned_step_has_all_of_them_in_full(name: str, command: Command, tmp_path: Path) -> None:
    sheet = tmp_path / "job.toml"
    assert command("job", "new", sheet).code == command("job", "add", sheet, name).code == 0
    planned = command("job", "run", sheet).out.partition("planned, not taken yet")[2].partition("By stage and side")[0]
    assert in_full(CALCULATORS[name], planned)


@pytest.mark.parametrize("sheet", sorted(DEMO.glob("*.toml")), ids=lambda path: path.stem)
def test_a_run_has_each_once_in_full_and_what_to_test_next_one_line_at_the_end(sheet: Path, command: Command) -> None:
    run = command("job", "run", sheet).out
    top = flat(run.partition("\nStep 1")[0])
    done = [step.calculator for step in read_sheet(str(sheet)).steps if step.calculator]
    wanted = {caution for name in done for caution in CALCULATORS[name].cautions}
    assert all(top.count(f"{caution.signal.upper()}: {caution.text}") == 1 for caution in wanted)
    signals = [SIGNALS.index(line.partition(":")[0].lower()) for line in run.partition("\nStep 1")[0].splitlines()
               if line.partition(":")[0].lower() in SIGNALS]  # fmt: skip
    assert signals == sorted(signals)
    told = command("job", "next", sheet).out
    assert not any(told.startswith(signal.upper()) for signal in SIGNALS)
    end = flat(told[told.index("DANGER: ") :].partition("\n\n")[0])  # at its end, or first of all where it must not run
    assert end.startswith("DANGER: Fuel at rail pressure goes through skin and gloves. All cautions: baybook ")
    where = end.split()[-2]
    assert end.endswith(f"baybook {where} --how") and flat(command(where, "--how").out).count("An injection injury") == 1
    report = report_data(work_out(read_sheet(str(sheet))))
    assert wanted == {
        Caution(each["signal"], each["text"], tuple(each["symbols"]), next(c.short for c in wanted if c.text == each["text"]))
        for step in report["steps"]
        if step["result"]
        for each in step["result"]["cautions"]
    } | {c for s in read_sheet(str(sheet)).steps if s.calculator and not s.inputs for c in CALCULATORS[s.calculator].cautions}
