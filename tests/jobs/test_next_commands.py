"""Every test that is proposed has a command line that can be pasted: it parses, asks for readings, and adds the step.

What is typed in for the readings is what the calculator's own declaration shows as usual.
"""

from __future__ import annotations

import itertools
import shlex
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from baybook.jobs.conclusion import command as command_of
from baybook.jobs.conclusion import open_tests
from baybook.jobs.evaluation import work_out
from baybook.jobs.offered import offered_tests
from baybook.jobs.sheet import read_sheet
from baybook.places.choice import NextTest
from baybook.places.complaint import COMPLAINTS
from baybook_plugins.reading.known import FAMILIES

SYSTEMS = {
    "nothing known": "",
    "inlet": '[system]\nlow_pressure = ["tank pump"]\nfilter = true\ninlet_valve = true\n'
    'outlet_valve = "none"\ninjectors = 4\n',
    "outlet": '[system]\nlow_pressure = ["suction pump"]\ninlet_valve = false\noutlet_valve = "pump"\ninjectors = 3\n',
    "both": '[system]\nlow_pressure = ["tank pump", "intermediate pump"]\ninlet_valve = true\noutlet_valve = "rail"\n'
    'open_at_rest = ["outlet valve"]\ninjectors = 6\nreturns = "common"\n',
}


def proposed(folder: Path) -> Iterator[tuple[Path, NextTest]]:
    """Each test once that any of these jobs proposes, on the first sheet that does."""
    seen: set[tuple[str, str]] = set()
    for kind, (name, system) in itertools.product(("", *COMPLAINTS), SYSTEMS.items()):
        sheet = folder / f"{kind} {name}.toml".strip().replace(" ", "_")
        sheet.write_text(f'[complaint]\nkind = "{kind}"\n{system}', encoding="utf-8")
        read = read_sheet(sheet)
        for test in open_tests(read, work_out(read).found, 99):
            if (test.test, test.object) not in seen:
                seen.add((test.test, test.object))
                yield sheet, test


READ = {
    "current": ("6 A", "4 to 8 A"),
    "voltage": ("0.2 V", "max 0.5 V"),
    "flow": ("30 mL/min", "20 to 60 mL/min"),
    "resistance": ("0.3 ohm", "max 0.5 ohm"),
    "ratio": ("30 %", "20 to 40 %"),
}
"""A reading of that family and its range; those of a pressure stand in the declaration's example."""


def values(test: NextTest, typed: list[str], system: str) -> list[str]:
    """What a person would fill in: for all that the line leaves open, what the declaration's first example shows.

    How the outlet valve stood, of a vehicle that has none, is answered with that.
    """
    calculator = offered_tests()[test.test].calculator
    if test.test == "fault memory":
        return ["--code", "none"]
    family = FAMILIES.get(test.test, ("pressure",))[0]
    if calculator.name == "reading" and family in READ:
        return [READ[family][0], "--limit", READ[family][1]]
    words: list[str] = []
    for parameter in calculator.parameters:
        spelled = f"--{parameter.name.replace('_', '-')}"
        given = calculator.examples[0].inputs.get(parameter.name)
        if given is None or spelled in typed or (calculator.name == "observation" or parameter.name == "what"):
            continue
        if parameter.name == "outlet_shut" and 'outlet_valve = "none"' in system:
            given = "not-fitted"
        for one in given if isinstance(given, list | tuple) else [given]:
            words += [str(one)] if parameter.field.positional else [spelled, str(one)]
    return words


def test_every_proposed_test_of_every_complaint_and_system_is_added_by_its_line(
    tmp_path: Path, command: Callable[..., Any]
) -> None:
    tried = set()
    for sheet, test in proposed(tmp_path):
        line = shlex.split(command_of(test, sheet))
        assert line[:3] == ["baybook", "job", "add"] and line[-1] == "--ask", line
        typed = [*line[1:-1], *values(test, line, sheet.read_text("utf-8"))]
        ran = command(*typed)
        against_a_halt = ran.err.startswith("Step ") and "comes first" in ran.err  # what was seen before may forbid it
        assert ran.code == 0 and (not ran.err or against_a_halt), (typed, ran.err)
        outcome = work_out(read_sheet(sheet))
        assert outcome.errors == (), typed
        assert outcome.steps[-1].step.calculator == offered_tests()[test.test].calculator.name
        tried.add(test.test)
    assert tried >= {"hold", "coil", "regulator", "returns", "feed pressure", "fault memory", "supply"}
    assert len(tried) > 30


def test_the_lines_that_next_shows_are_those_lines(tmp_path: Path, command: Callable[..., Any]) -> None:
    sheet = tmp_path / "job.toml"
    sheet.write_text('[complaint]\nkind = "lacks power"\n' + SYSTEMS["inlet"], encoding="utf-8")
    read = read_sheet(sheet)
    lines = [line.strip() for line in command("job", "next", sheet).out.splitlines() if "baybook job add" in line]
    assert lines == [command_of(test, sheet) for test in open_tests(read, work_out(read).found)]
    assert len(lines) == 5


@pytest.mark.parametrize("kind", ["does not start", "runs unevenly"])
def test_an_engine_that_does_not_start_runs_for_no_test(tmp_path: Path, kind: str) -> None:
    sheet = tmp_path / "job.toml"
    sheet.write_text(f'[complaint]\nkind = "{kind}"\n', encoding="utf-8")
    read = read_sheet(sheet)
    asked = {test.test for test in open_tests(read, work_out(read).found, 99)}
    running = {name for name, test in offered_tests().items() if test.sense.running}
    assert "injector quantity correction" in running
    assert bool(asked & running) == (kind != "does not start")
