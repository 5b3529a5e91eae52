"""Work a job sheet out: every step's result, what they say of each stage and side, what is untested, what to test next."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from ..declare import Calculator
from ..errors import BaybookError, InputError, Problem
from ..message import Message
from ..registry import registry
from ..result import FORMAT, SIDES, STAGES, STRENGTHS, Finding, Result
from ..running import run
from .sheet import Sheet, SheetStep

if TYPE_CHECKING:
    from ..message import Said


@dataclass(frozen=True)
class Worked:
    """A step with its result, or with the error that kept it from having one; neither where it is planned and not taken yet.

    calculator: None where it is not on offer.
    """

    step: SheetStep
    calculator: Calculator | None
    result: Result | None = None
    error: BaybookError | None = None

    @property
    def title(self) -> str:
        """The step's own title, or the calculator's, or its name where there is no more."""
        return self.step.title or (self.calculator.title if self.calculator else self.step.calculator)

    @property
    def planned(self) -> bool:
        """Whether it is not taken yet."""
        return self.result is None and self.error is None

    def to_dict(self, said: Said = Message.to_dict) -> dict[str, Any]:
        """For JSON; said: what stands there for a message."""
        return {
            "number": self.step.number, "title": self.title, "note": self.step.note, "taken": self.result is not None,
            "result": self.result.to_dict(said) if self.result else None,
            "error": self.error.to_dict()["error"] if self.error else None,
        }  # fmt: skip


@dataclass(frozen=True)
class Cell:
    """What is known of one stage on one side: the strongest word, and every finding with the number of its step.

    word: as a finding's strength, or `untested`, or `contradictory` where one step clears what another calls faulty.
    """

    stage: str
    side: str
    word: str
    findings: tuple[tuple[int, Finding], ...]


@dataclass(frozen=True)
class Outcome:
    """A job worked out. conclusions: where the fault is, as far as the tests reach, sentence by sentence."""

    sheet: Sheet
    steps: tuple[Worked, ...]
    cells: tuple[Cell, ...]
    conclusions: tuple[str, ...]
    next_tests: tuple[str, ...]

    @property
    def conclusion(self) -> str:
        """The sentences in a row."""
        return " ".join(self.conclusions)

    @property
    def untested(self) -> tuple[Cell, ...]:
        """Stages and sides that no result says anything about."""
        return tuple(cell for cell in self.cells if cell.word == "untested")

    @property
    def errors(self) -> tuple[BaybookError, ...]:
        """What kept steps from being worked out, each problem named by its step."""
        return tuple(_of_step(w.step, w.error) for w in self.steps if w.error)

    @property
    def exit_code(self) -> int:
        """0; 2 where a step's inputs cannot be used, 1 where only a plugin failed."""
        return max((error.exit_code for error in self.errors), default=0)

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
            "steps": [worked.to_dict(said) for worked in self.steps],
        }  # fmt: skip


def _cell_dict(cell: Cell, said: Said) -> dict[str, Any]:
    findings = [{"step": number, **finding.to_dict(said)} for number, finding in cell.findings]
    return {"stage": cell.stage, "side": cell.side, "word": cell.word, "findings": findings}


def work_out(sheet: Sheet) -> Outcome:
    """Every step in order. One that cannot be worked out keeps its error and takes nothing from the others."""
    worked = tuple(map(_worked, sheet.steps))
    cells = tuple(_cell(stage, side, worked) for stage in STAGES for side in SIDES)
    return Outcome(sheet, worked, cells, conclusions(cells, worked), next_tests(cells, worked))


def _worked(step: SheetStep) -> Worked:
    calculator = None
    try:
        calculator = registry().calculator(step.calculator)
        return Worked(step, calculator, run(calculator, step.inputs) if step.inputs else None)
    except BaybookError as error:
        return Worked(step, calculator, error=error)


def _of_step(step: SheetStep, error: BaybookError) -> BaybookError:
    where = f"step {step.number} ({step.calculator})"
    if not isinstance(error, InputError):
        return BaybookError(f"{where}: {error}")
    return InputError(
        Problem(f"{where}, {p.input}" if p.input else where, p.given, p.why, p.would_do) for p in error.problems
    )


def _cell(stage: str, side: str, worked: tuple[Worked, ...]) -> Cell:
    found = tuple(
        (w.step.number, finding)
        for w in worked if w.result
        for finding in w.result.findings if (finding.stage, finding.side) == (stage, side)
    )  # fmt: skip
    words = {finding.strength for _, finding in found}
    if all(_faulty_and_good(found)):
        return Cell(stage, side, "contradictory", found)
    return Cell(stage, side, next((word for word in STRENGTHS if word in words), "untested"), found)


_RANK: Mapping[str, int] = {"proven": 0, "contradictory": 1, "indicated": 2, "undecided": 3, "untested": 4, "cleared": 5}


def conclusions(cells: tuple[Cell, ...], worked: tuple[Worked, ...]) -> tuple[str, ...]:
    """Where the fault is, as far as the tests reach; what was looked at without finding one, what is open, what not done."""
    told = []
    if proven := _places(cells, "proven"):
        told.append(f"Proven: a fault in {proven}.")
    told += [_differing(cell) for cell in cells if cell.word == "contradictory"]
    if indicated := _places(cells, "indicated"):
        told.append(f"The readings point to {indicated}, which is not yet proof.")
    if (cleared := _places(cells, "cleared")) and not told:
        told.append(f"No fault was found in {cleared}, as far as these tests reach.")
    if undecided := _places(cells, "undecided"):
        told.append(f"Undecided: {undecided}.")
    if not any(cell.findings for cell in cells):
        taken = any(w.result for w in worked)
        told.append("No test taken so far says anything of a stage." if taken else "No test has been taken yet.")
    elif untested := _places(cells, "untested"):
        told.append(f"Not looked at yet: {untested}.")
    if failed := _listed([str(w.step.number) for w in worked if w.error]):
        told.append(f"Could not be worked out: step {failed}.")
    return tuple(told)


def _differing(cell: Cell) -> str:
    """Steps of one cell with and without a fault: of different parts, before and after a repair, or contradictory."""
    bad, good = (_listed(list(map(str, steps))) for steps in _faulty_and_good(cell.findings))
    return (
        f"In {cell.stage} ({cell.side} side) step {bad} points to a fault and step {good} to none: unless they are of "
        "different parts, or from before and after a repair, repeat them before a part is changed."
    )


def _faulty_and_good(findings: tuple[tuple[int, Finding], ...]) -> tuple[list[int], list[int]]:
    """The numbers of the steps that find a fault, and of those that find none."""
    bad = {number for number, finding in findings if finding.strength in ("proven", "indicated")}
    good = {number for number, finding in findings if finding.strength == "cleared"} - bad
    return sorted(bad), sorted(good)


def _places(cells: tuple[Cell, ...], word: str) -> str:
    """The stages and sides of that word; a stage alone where both its sides have it."""
    found = [cell for cell in cells if cell.word == word]
    sides = {stage: [cell.side for cell in found if cell.stage == stage] for stage in dict.fromkeys(c.stage for c in found)}
    return _listed([stage if len(of) == len(SIDES) else f"{stage} ({of[0]} side)" for stage, of in sides.items()])


def _listed(words: list[str]) -> str:
    return " and ".join(filter(None, (", ".join(words[:-1]), *words[-1:])))


def next_tests(cells: tuple[Cell, ...], worked: tuple[Worked, ...]) -> tuple[str, ...]:
    """What to test next: what the findings ask for, the most serious first, then steps that are planned and not taken.

    Of a test that has been taken it is said; a planned step that has been taken since, by its title, is left out.
    """
    ranked = sorted(cells, key=lambda cell: _RANK[cell.word])
    asked = [finding.next_test for cell in ranked for _, finding in cell.findings if finding.next_test]
    done = {(w.step.calculator, w.title.casefold()) for w in worked if w.result}
    planned = [
        f"Step {w.step.number}, {w.title}: planned, not taken yet."
        for w in worked if w.planned and (w.step.calculator, w.title.casefold()) not in done
    ]  # fmt: skip
    return tuple(dict.fromkeys([*(_as_taken(test, worked) for test in asked), *planned]))


def _as_taken(test: str, worked: tuple[Worked, ...]) -> str:
    """The test with the steps that took it, where it names calculators: "collect the returns (calculator returns)".

    One that is to be repeated says so itself.
    """
    named = [] if re.search(r"\b(again|repeat)\b", test) else re.findall(r"\(calculator ([a-z0-9-]+)\)", test)
    steps = [
        Message("step {number}, {title}", number=w.step.number, title=w.step.title or Message.of(w.title))
        for w in worked if w.result and w.step.calculator in named
    ]  # fmt: skip
    return Message("{test}; already taken: {steps}", test=Message.of(test), steps=steps) if steps else test
