"""Work a job sheet out: every step's result, what they say of each stage and side, what is untested, what to test next."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from ..declare import Calculator
from ..errors import InputError, Problem
from ..message import Message
from ..registry import registry
from ..result import FORMAT, SIDES, STAGES, STRENGTHS, Finding, Result
from ..running import run
from .sheet import Sheet, SheetStep

if TYPE_CHECKING:
    from ..message import Said


@dataclass(frozen=True)
class Worked:
    """A step with its result; None for one that is planned and not taken yet."""

    step: SheetStep
    calculator: Calculator
    result: Result | None

    @property
    def title(self) -> str:
        """The step's own title, or the calculator's."""
        return self.step.title or self.calculator.title


@dataclass(frozen=True)
class Cell:
    """What is known of one stage on one side: the strongest word, and every finding with the number of its step.

    word: as a finding's strength, or `untested`, or `contradictory` where one test clears what another calls faulty.
    """

    stage: str
    side: str
    word: str
    findings: tuple[tuple[int, Finding], ...]


@dataclass(frozen=True)
class Outcome:
    """A job worked out."""

    sheet: Sheet
    steps: tuple[Worked, ...]
    cells: tuple[Cell, ...]
    conclusion: str
    next_tests: tuple[str, ...]

    @property
    def untested(self) -> tuple[Cell, ...]:
        """Stages and sides that no result says anything about."""
        return tuple(cell for cell in self.cells if cell.word == "untested")

    def to_dict(self, said: Said = Message.to_dict) -> dict[str, Any]:
        """For JSON; said: what stands there for a message."""
        return {
            "format": FORMAT,
            "job": dict(self.sheet.job),
            "conclusion": self.conclusion,
            "findings": [_cell_dict(cell, said) for cell in self.cells if cell.findings],
            "untested": [{"stage": cell.stage, "side": cell.side} for cell in self.untested],
            "next_tests": list(self.next_tests),
            "specs": [vars(spec) for spec in self.sheet.specs],
            "instruments": [vars(tool) for tool in self.sheet.instruments],
            "steps": [
                {"number": w.step.number, "title": w.title, "note": w.step.note, "taken": w.result is not None,
                 "result": w.result.to_dict(said) if w.result else None}
                for w in self.steps
            ],
        }  # fmt: skip


def _cell_dict(cell: Cell, said: Said) -> dict[str, Any]:
    findings = [{"step": number, **finding.to_dict(said)} for number, finding in cell.findings]
    return {"stage": cell.stage, "side": cell.side, "word": cell.word, "findings": findings}


def work_out(sheet: Sheet) -> Outcome:
    """Every step in order. Raises InputError with the problems of all steps, each named by its step."""
    problems: list[Problem] = []
    worked: list[Worked] = []
    for step in sheet.steps:
        try:
            calculator = registry().calculator(step.calculator)
            worked.append(Worked(step, calculator, run(calculator, step.inputs) if step.inputs else None))
        except InputError as error:
            problems += [_of_step(step, problem) for problem in error.problems]
    if problems:
        raise InputError(problems)
    cells = tuple(_cell(stage, side, worked) for stage in STAGES for side in SIDES)
    taken = any(w.result for w in worked)
    return Outcome(sheet, tuple(worked), cells, conclusion(cells, taken), next_tests(cells, worked))


def _of_step(step: SheetStep, problem: Problem) -> Problem:
    where = f"step {step.number} ({step.calculator})"
    return Problem(f"{where}, {problem.input}" if problem.input else where, problem.given, problem.why, problem.would_do)


def _cell(stage: str, side: str, worked: list[Worked]) -> Cell:
    found = tuple(
        (w.step.number, finding)
        for w in worked if w.result
        for finding in w.result.findings if (finding.stage, finding.side) == (stage, side)
    )  # fmt: skip
    words = {finding.strength for _, finding in found}
    if "cleared" in words and words & {"proven", "indicated"}:
        return Cell(stage, side, "contradictory", found)
    return Cell(stage, side, next((word for word in STRENGTHS if word in words), "untested"), found)


_RANK: Mapping[str, int] = {"proven": 0, "contradictory": 1, "indicated": 2, "undecided": 3, "untested": 4, "cleared": 5}


def conclusion(cells: tuple[Cell, ...], taken: bool) -> str:
    """Where the fault is, as far as the tests reach, in a sentence or two; `taken`: whether there is any result."""
    proven = [cell for cell in cells if cell.word == "proven"]
    indicated = [cell for cell in cells if cell.word == "indicated"]
    contradictory = [cell for cell in cells if cell.word == "contradictory"]
    parts = []
    if proven:
        parts.append(f"Proven: a fault in {_places(proven)}.")
    if contradictory:
        parts.append(f"The tests contradict each other on {_places(contradictory)}: repeat them before a part is changed.")
    if indicated:
        parts.append(f"The readings point to {_places(indicated)}, which is not yet proof.")
    if not parts:
        if any(cell.findings for cell in cells):
            parts.append("No fault has been found by the tests taken so far.")
        else:
            parts.append("No test taken so far says anything of a stage." if taken else "No test has been taken yet.")
    return " ".join(parts)


def _places(cells: list[Cell]) -> str:
    return " and ".join(f"{cell.stage} ({cell.side} side)" for cell in cells)


def next_tests(cells: tuple[Cell, ...], worked: list[Worked]) -> tuple[str, ...]:
    """What to test next: what the findings ask for, the most serious first, then steps that are planned and not taken."""
    ranked = sorted(cells, key=lambda cell: _RANK[cell.word])
    asked = [finding.next_test for cell in ranked for _, finding in cell.findings if finding.next_test]
    planned = [f"Step {w.step.number}, {w.title}: planned, not taken yet." for w in worked if w.result is None]
    return tuple(dict.fromkeys([*asked, *planned]))
