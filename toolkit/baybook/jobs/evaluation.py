"""Work a job sheet out: every step's result, where the fault can be and how likely, what is untested, what to test next."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from ..errors import BaybookError
from ..message import Message
from ..places.choice import NextTest
from ..places.conclusion import Conclusion
from ..result import FORMAT, SIDES, STAGES
from .conclusion import command, concluded, grown, off_the_map, open_tests, proven
from .findings import NOT_LOOKED_AT, PLACE_WORDS, Cell, cell_of, conclusions, failed, next_tests
from .messages import next_test, numbered, sentence, test
from .offered import offered_tests
from .sheet import Sheet, SheetStep
from .worked import Worked, of_step, worked_out

if TYPE_CHECKING:
    from ..message import Said


@dataclass(frozen=True)
class Outcome:
    """A job worked out. conclusions: where the fault is, as far as the tests reach, sentence by sentence.

    found: the odds of all places and what follows from them. ranked: the tests that are open, the most worthwhile first.
    asked: what the steps' own findings ask for, and planned steps. lacking: what the sheet does not say.
    """

    sheet: Sheet
    steps: tuple[Worked, ...]
    cells: tuple[Cell, ...]
    conclusions: tuple[str, ...]
    found: Conclusion
    ranked: tuple[NextTest, ...] = ()
    asked: tuple[str, ...] = ()
    lacking: tuple[str, ...] = ()

    @property
    def packages(self) -> tuple[str, ...]:
        """The packages whose catalogues hold its texts: of its calculators, and of the tests that it names."""
        named = [offered_tests()[test.test].calculator for test in self.ranked if test.test in offered_tests()]
        taken = [worked.calculator for worked in self.steps if worked.calculator]
        return tuple(dict.fromkeys(calculator.package for calculator in (*taken, *named)))

    @property
    def conclusion(self) -> str:
        """The sentences in a row."""
        return " ".join(self.conclusions)

    @property
    def next_tests(self) -> tuple[str, ...]:
        """What to do next in sentences: what is to be done at once, the tests by the odds, what else the steps ask for."""
        rest = self.asked[len(self.at_once) :]
        return (*self.at_once, *(next_test(test) for test in self.ranked), *rest)

    @property
    def at_once(self) -> tuple[str, ...]:
        """What the steps ask for before any test."""
        return tuple(text for text in self.asked if _at_once(text))

    @property
    def untested(self) -> tuple[Cell, ...]:
        """Stages and sides that no result says anything about."""
        return tuple(cell for cell in self.cells if cell.word == "untested")

    @property
    def errors(self) -> tuple[BaybookError, ...]:
        """What kept steps from being worked out, each problem named by its step."""
        return tuple(of_step(w.step, w.error) for w in self.steps if w.error)

    @property
    def exit_code(self) -> int:
        """0; 2 where a step's inputs cannot be used, 1 where only a plugin failed."""
        return max((error.exit_code for error in self.errors), default=0)

    def to_dict(self, said: Said = Message.to_dict) -> dict[str, Any]:
        """For JSON; said: what stands there for a message.

        conclusion: the sentences. places: the odds, as `Conclusion.to_dict`. next: the open tests, as `NextTest.to_dict`, each
        with the `command` that adds it ("" where no calculator takes it yet) and its `cautions`. lacking: what the sheet does
        not say. findings: by stage and side, with the word, the chance and the steps' findings. next_tests: in sentences.
        """
        return {
            "conclusion": self.conclusion,
            "format": FORMAT,
            "places": self.found.to_dict(),
            "next": [_next_dict(test, self.sheet) for test in self.ranked],
            "lacking": list(self.lacking),
            "job": dict(self.sheet.job),
            "findings": [_cell_dict(cell, said) for cell in self.cells if cell.findings or cell.word != "untested"],
            "untested": [{"stage": cell.stage, "side": cell.side} for cell in self.untested],
            "next_tests": list(self.next_tests),
            "specs": [vars(spec) for spec in self.sheet.specs],
            "instruments": [vars(tool) for tool in self.sheet.instruments],
            "steps": [worked.to_dict(said) for worked in self.steps],
        }  # fmt: skip


def _at_once(text: str) -> bool:
    return text.startswith("stop the engine")


def _cell_dict(cell: Cell, said: Said) -> dict[str, Any]:
    findings = [{"step": number, **finding.to_dict(said)} for number, finding in cell.findings]
    return {"stage": cell.stage, "side": cell.side, "word": cell.word, "chance": cell.chance, "findings": findings}


def _next_dict(test: NextTest, sheet: Sheet) -> dict[str, Any]:
    from .cautions import cautions_of

    line = command(test, sheet.path)
    return {**test.to_dict(), "command": line, "cautions": [caution.to_dict() for caution in cautions_of(test)]}


def work_out(sheet: Sheet, outcomes: Mapping[str, int] | None = None, tell: Callable[[str], None] | None = None) -> Outcome:
    """Every step in order. One that cannot be worked out keeps its error and takes nothing from the others.

    What the findings from before the last repair asked for is no longer asked for. outcomes: of finished jobs by place, whose
    base rates then count beforehand. tell: is told which step is worked out.
    """
    steps = tuple(_told(step, sheet, tell) for step in sheet.steps)
    system = grown(sheet, steps)
    steps = tuple(replace(w, error=error, evidence=()) if (error := off_the_map(w, system)) else w for w in steps)
    found = concluded(sheet, steps, outcomes)
    others = tuple(w for w in steps if not w.evidence)
    told = tuple(cell_of(stage, side, others) for stage in STAGES for side in SIDES)
    cells = tuple(_with_odds(cell, cell_of(cell.stage, cell.side, steps), found) for cell in told)
    repaired = max((at for at, w in enumerate(steps, 1) if w.step.repair and not w.error), default=0)
    bad = tuple(_bad(cell_of(a, b, steps[repaired:])) for a in STAGES for b in SIDES)
    asked = sorted(dict.fromkeys([*next_tests(bad, steps), *next_tests(told, steps)]), key=lambda text: not _at_once(text))
    asked = [*_mend(found), *asked]
    said = (*_conclusions(found, told, steps), *_beforehand(outcomes))
    return Outcome(sheet, steps, cells, said, found, open_tests(sheet, found), tuple(asked), _lacking(sheet, steps))


def _told(step: SheetStep, sheet: Sheet, tell: Callable[[str], None] | None) -> Worked:
    if tell is not None:
        tell(f"{step.number}/{len(sheet.steps)} {step.calculator}")
    return worked_out(step, sheet.reach)


def _with_odds(told: Cell, whole: Cell, found: Conclusion) -> Cell:
    """A cell with the chance of its places. told: with the findings that are in no odds, whole: with all."""
    standings = tuple(s for s in found.standings if (s.place.stage, s.place.side) == (told.stage, told.side))
    words = {standing.word for standing in standings}
    word = next((word for word in PLACE_WORDS if word in words), "untested")
    if told.findings and words <= {"untested"}:
        word = told.word
    return replace(whole, word=word, chance=found.sum(told.stage, told.side), standings=standings)


def _bad(cell: Cell) -> Cell:
    findings = tuple((n, finding) for n, finding in cell.findings if finding.strength in ("proven", "indicated"))
    return replace(cell, findings=findings)


def _conclusions(found: Conclusion, told: tuple[Cell, ...], steps: tuple[Worked, ...]) -> tuple[str, ...]:
    """What the odds say; then what the findings say that are in no odds, and what could not be worked out."""
    from ..places.sentences import headline

    if not any(item.is_test for epoch in found.history.epochs for item in epoch.evidence):
        return conclusions(told, steps)
    others = conclusions(told, steps) if any(cell.findings for cell in told) else failed(steps)
    return (*map(sentence, headline(found)), *(text for text in others if text.template != NOT_LOOKED_AT))


def _mend(found: Conclusion) -> Iterator[Message]:
    """What is left to do where one place is proven: mend it, and repeat the test that showed it."""
    if (standing := proven(found)) is None:
        return
    at = found.system.places.index(standing.place)
    bad = [item for item in found.history.binding(at) if item.bad and item.looks_directly(standing.place)]
    told = {"place": numbered(standing.place.name), "part": numbered(standing.place.part)}
    if bad:
        yield Message(MEND, **told, test=test(bad[-1].test, bad[-1].object))


MEND = "mend {place}, mark it (baybook job mark: repair {part}), then repeat {test}: that proves the repair"


def _beforehand(outcomes: Mapping[str, int] | None) -> Iterator[Message]:
    if outcomes is not None:
        yield Message("Beforehand the outcomes of {n} finished jobs counted.", n=sum(outcomes.values()))


def _lacking(sheet: Sheet, steps: tuple[Worked, ...]) -> tuple[str, ...]:
    """What the sheet does not say and the odds would be surer by."""
    told: list[str] = [
        Message(
            'Step {n} does not say which part was measured, so it counts for none: give its part, or object = "injector 3".',
            n=w.step.number,
        )
        for w in steps if w.unplaced
    ]  # fmt: skip
    if sheet.complaint is None:
        told.append(Message.of("The sheet has no complaint: give [complaint] kind and text."))
    elif not sheet.complaint.kind:
        told.append(Message.of("The kind of complaint is not said: give [complaint] kind."))
    if unknown := sheet.system.unknown():
        told.append(Message("Not known to be fitted, see [system]: {keys}.", keys=list(unknown)))
    return tuple(told)
