"""Work a job sheet out: every step's result, where the fault can be and how likely, what is untested, what to test next."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from functools import cached_property
from typing import TYPE_CHECKING, Any

from ..dataclass import dataclass, replace
from ..errors import BaybookError
from ..message import Message
from ..places.choice import NextTest
from ..places.conclusion import Conclusion
from ..places.outlook import looks_outside
from ..places.sentences import percent
from ..places.zero import zero_doubted
from ..placing import without_reading
from ..result import FORMAT, SIDES, STAGES
from .asked import asked_for
from .at_odds import at_odds
from .conclusion import command, concluded, grown, open_tests, withheld_tests
from .findings import NOT_LOOKED_AT, PARTLY, PLACE_WORDS, REPAIRED, Cell, cell_of, conclusions, failed
from .lacking import against, left_out, other_conditions, outcome_at_odds, unmet
from .messages import next_test, sentence
from .offered import offered_tests
from .retest import judged_alike
from .sheet import Sheet, SheetStep
from .worked import Worked, of_step, worked_out

if TYPE_CHECKING:
    from ..message import Said
    from .learned import Learned


@dataclass(frozen=True)
class Outcome:
    """A job worked out. conclusions: where the fault is, as far as the tests reach, sentence by sentence.

    found: the odds of all places and what follows from them. ranked: the tests that are open, the most worthwhile first.
    asked: what the steps' own findings ask for, and planned steps. lacking: what the sheet does not say. withheld: tests that
    have to wait for what comes first of all.
    """

    sheet: Sheet
    steps: tuple[Worked, ...]
    cells: tuple[Cell, ...]
    conclusions: tuple[str, ...]
    found: Conclusion
    ranked: tuple[NextTest, ...] = ()
    asked: tuple[str, ...] = ()
    lacking: tuple[str, ...] = ()
    withheld: tuple[NextTest, ...] = ()

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
        ranked = tuple(map(self.next_line, self.ranked))
        return (*self.at_once, *((*self.asked, *ranked) if self.asked_first else (*ranked, *self.asked)))

    @property
    def asked_first(self) -> bool:
        """Whether what the steps ask for comes before the tests by the odds: a place is likely and to be confirmed, something
        was measured bad at a place itself, or what is measured clears the fuel system."""
        there = any(item.bad and item.looks_at_places for item in self.found.history.epochs[-1].evidence)
        return there or self.found.standings[0].word in ("likely", "proven") or looks_outside(self.found)

    @property
    def at_once(self) -> tuple[str, ...]:
        """What comes before any further test, because hands or engine are in danger."""
        first = dict.fromkeys(halted.halt.first for halted in self.found.halts)
        return tuple(map(without_reading if self.zero_doubted else Message.of, first))

    @cached_property
    def zero_doubted(self) -> bool:
        """Whether the rail's reading cannot prove that the rail is empty."""
        return zero_doubted(self.found)

    def next_line(self, test: NextTest) -> Message:
        """An open test in a line, with what has to be so before in this job."""
        return without_reading(next_test(test)) if self.zero_doubted else next_test(test)

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
            "withheld": [test.test for test in self.withheld],
            "lacking": list(self.lacking),
            "job": dict(self.sheet.job),
            "findings": [_cell_dict(cell, said) for cell in self.cells if cell.findings or cell.word != "untested"],
            "untested": [{"stage": cell.stage, "side": cell.side} for cell in self.untested],
            "next_tests": list(self.next_tests),
            "specs": [vars(spec) for spec in self.sheet.specs],
            "instruments": [vars(tool) for tool in self.sheet.instruments],
            "steps": [worked.to_dict(said) for worked in self.steps],
        }  # fmt: skip


def _cell_dict(cell: Cell, said: Said) -> dict[str, Any]:
    findings = [{"step": number, **finding.to_dict(said)} for number, finding in cell.findings]
    return {"stage": cell.stage, "side": cell.side, "word": cell.word, "chance": cell.chance, "findings": findings}


def _next_dict(test: NextTest, sheet: Sheet) -> dict[str, Any]:
    from .cautions import cautions_of

    line = command(test, sheet.path)
    return {**test.to_dict(), "command": line, "cautions": [caution.to_dict() for caution in cautions_of(test)]}


def before_repair(sheet: Sheet) -> Conclusion:
    """What is concluded from the steps before anything was repaired, and nothing besides."""
    first = next((at for at, step in enumerate(sheet.steps) if step.repair), len(sheet.steps))
    return _concluded(replace(sheet, steps=sheet.steps[:first]), None)[1]


def _concluded(
    sheet: Sheet, outcomes: Mapping[str, int] | None, tell: Callable[[str], None] | None = None
) -> tuple[tuple[Worked, ...], Conclusion]:
    """Every step worked out, and what is concluded; a step on what is not fitted keeps that as its error."""
    steps = tuple(_told(step, sheet, tell) for step in sheet.steps)
    system = grown(sheet, steps)
    steps = tuple(_failed(w, at_odds(w, system)) for w in steps)
    steps = judged_alike(steps, sheet)
    return steps, concluded(sheet, steps, outcomes)


def _failed(worked: Worked, error: BaybookError | None) -> Worked:
    return worked if error is None else replace(worked, result=None, error=error, evidence=())


def work_out(sheet: Sheet, learned: Learned | None = None, tell: Callable[[str], None] | None = None) -> Outcome:
    """Every step in order. One that cannot be worked out keeps its error and takes nothing from the others.

    What the findings from before the last repair asked for is no longer asked for. learned: from finished jobs, whose base
    rates then count beforehand, and whose calibration is told. tell: is told which step is worked out.
    """
    steps, found = _concluded(sheet, learned.outcomes if learned else None, tell)
    doubted = zero_doubted(found)
    steps = tuple(_without_reading(w) for w in steps) if doubted else steps
    others = tuple(w for w in steps if not w.evidence)
    told = tuple(cell_of(stage, side, others) for stage in STAGES for side in SIDES)
    cells = tuple(_with_odds(cell, cell_of(cell.stage, cell.side, steps), found) for cell in told)
    asked = asked_for(sheet, found, steps, told)
    asked = tuple(map(without_reading, asked)) if doubted else asked
    said = (*_conclusions(found, told, steps), *(_beforehand(learned, sheet, steps) if learned else ()))
    lacking = (*against(found), *outcome_at_odds(sheet, found), *unmet(found, steps), *other_conditions(sheet, found),
               *left_out(sheet, steps))  # fmt: skip
    return Outcome(sheet, steps, cells, said, found, open_tests(sheet, found), asked, lacking, withheld_tests(sheet, found))


def _without_reading(worked: Worked) -> Worked:
    """The step with what its findings ask for said as where the rail's reading cannot prove zero."""
    if worked.result is None:
        return worked
    told = tuple(replace(each, next_test=without_reading(each.next_test)) for each in worked.result.findings)
    return replace(worked, result=replace(worked.result, findings=told))


def _told(step: SheetStep, sheet: Sheet, tell: Callable[[str], None] | None) -> Worked:
    if tell is not None:
        tell(f"{step.number}/{len(sheet.steps)} {step.calculator}")
    return worked_out(step, sheet)


def _with_odds(told: Cell, whole: Cell, found: Conclusion) -> Cell:
    """A cell with the chance of its places. told: with the findings that are in no odds, whole: with all."""
    standings = tuple(s for s in found.standings if (s.place.stage, s.place.side) == (told.stage, told.side))
    words = {standing.word for standing in standings}
    word = next((word for word in PLACE_WORDS if word in words), "untested")
    repairs = [epoch.repair for epoch in found.history.epochs if epoch.repair]
    mended = {found.system.places[at].name for repair in repairs for at in repair.positions(found.system)}
    word = told.word if told.findings and words <= {"untested"} else word
    if word in ("unlikely", "not seen here"):
        word = REPAIRED if mended & {s.place.name for s in standings} else PARTLY if "untested" in words else word
    return replace(whole, word=word, chance=found.sum(told.stage, told.side), standings=standings)


def _conclusions(found: Conclusion, told: tuple[Cell, ...], steps: tuple[Worked, ...]) -> tuple[str, ...]:
    """What the odds say; then what the findings say that are in no odds, and what could not be worked out."""
    from ..places.sentences import headline

    if not any(item.is_test for epoch in found.history.epochs for item in epoch.evidence):
        return conclusions(told, steps)
    others = conclusions(told, steps) if any(cell.findings for cell in told) else failed(steps)
    return (*map(sentence, headline(found)), *(text for text in others if text.template != NOT_LOOKED_AT))


def _beforehand(learned: Learned, sheet: Sheet, steps: tuple[Worked, ...]) -> Iterator[Message]:
    """What the workshop's own finished jobs had to say, and of how many.

    Their stated chances are those without base rates, so it is such a chance that is looked up among them.
    """
    yield Message("Beforehand the outcomes of {n} finished jobs counted.", n=sum(learned.outcomes.values()))
    first = concluded(sheet, steps).standings[0]
    row = learned.bin_of(first.chance)
    if row is not None:
        yield Message(
            CALIBRATION, place=Message.numbered(first.place.name), chance=Message.of(percent(first.chance)), n=row.count,
            low=round(100 * row.low), high=round(100 * row.high), share=Message.of(percent(row.true)),
        )  # fmt: skip


CALIBRATION = (
    "Without them {place} would stand first with {chance}; of {n} finished jobs that were stated with {low} to {high} %, it "
    "was the place stated in {share}."
)


def told_against(sheet: Sheet, number: int) -> list[Message]:
    """What is to be said of a step that was just added: that it turned the engine against what comes first."""
    found = _concluded(sheet, None)[1]
    return [text for text, step in zip(against(found), found.against, strict=True) if step == number]


def told_of_outcome(sheet: Sheet) -> list[Message]:
    """What is to be said of an outcome that was just written: that the repair of another place is proved."""
    return list(outcome_at_odds(sheet, _concluded(sheet, None)[1]))
