"""Work a job sheet out: every step's result, where the fault can be and how likely, what is untested, what to test next."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import TYPE_CHECKING, Any

from ..dataclass import dataclass, replace
from ..errors import BaybookError
from ..message import Message
from ..places.choice import NextTest
from ..places.complaint import NO_START
from ..places.conclusion import Conclusion
from ..places.evidence import Evidence
from ..places.hypotheses import WORN
from ..places.outlook import found_outside, looks_outside, outside_found, to_mend
from ..places.sentences import percent
from ..places.system import SystemMap
from ..placing import cautioned, mended_at
from ..result import FORMAT, SIDES, STAGES
from .conclusion import command, concluded, grown, off_the_map, open_tests, withheld_tests
from .findings import NOT_LOOKED_AT, PLACE_WORDS, Cell, cell_of, conclusions, failed, next_tests, planned_steps
from .lacking import against, left_out, other_conditions
from .messages import next_test, sentence, test
from .offered import offered_tests
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
        ranked = tuple(next_test(test) for test in self.ranked)
        return (*self.at_once, *((*self.asked, *ranked) if self.asked_first else (*ranked, *self.asked)))

    @property
    def asked_first(self) -> bool:
        """Whether what the steps ask for comes before the tests by the odds: a place is likely and is
        to be confirmed, something was measured bad at a place itself, or what is measured clears the fuel system."""
        measured_there = any(item.bad and item.looks_at_places for item in self.found.history.epochs[-1].evidence)
        return self.found.standings[0].word in ("likely", "proven") or measured_there or looks_outside(self.found)

    @property
    def at_once(self) -> tuple[str, ...]:
        """What comes before any further test, because hands or engine are in danger."""
        return tuple(dict.fromkeys(Message.of(halted.halt.first) for halted in self.found.halts))

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
    steps = tuple(replace(w, error=error, evidence=()) if (error := off_the_map(w, system)) else w for w in steps)
    return steps, concluded(sheet, steps, outcomes)


def work_out(sheet: Sheet, learned: Learned | None = None, tell: Callable[[str], None] | None = None) -> Outcome:
    """Every step in order. One that cannot be worked out keeps its error and takes nothing from the others.

    What the findings from before the last repair asked for is no longer asked for. learned: from finished jobs, whose base
    rates then count beforehand, and whose calibration is told. tell: is told which step is worked out.
    """
    steps, found = _concluded(sheet, learned.outcomes if learned else None, tell)
    others = tuple(w for w in steps if not w.evidence)
    told = tuple(cell_of(stage, side, others) for stage in STAGES for side in SIDES)
    cells = tuple(_with_odds(cell, cell_of(cell.stage, cell.side, steps), found) for cell in told)
    repaired = max((at for at, w in enumerate(steps, 1) if w.step.repair and not w.error), default=0)
    halted = {item.step for item in found.halts}  # what these ask for is said first of all
    asking = tuple(w for w in steps[repaired:] if w.step.number not in halted)
    open_ = {w.step.number for w in asking if not any(_decides(item, found.system) for item in w.evidence)}
    bad = tuple(_asking(cell_of(a, b, asking), open_) for a in STAGES for b in SIDES)
    mend = list(_mend(found))
    asked = [*mend, *planned_steps(steps)] if mend else dict.fromkeys([*next_tests(bad, steps), *next_tests(told, steps)])
    asked = [*([_outside(sheet)] if looks_outside(found) else []), *asked]
    said = (*_conclusions(found, told, steps), *(_beforehand(learned, sheet, steps) if learned else ()))
    lacking = (*against(found), *other_conditions(sheet, found), *left_out(sheet, steps))
    return Outcome(
        sheet, steps, cells, said, found, open_tests(sheet, found), tuple(asked), lacking, withheld_tests(sheet, found)
    )


def _told(step: SheetStep, sheet: Sheet, tell: Callable[[str], None] | None) -> Worked:
    if tell is not None:
        tell(f"{step.number}/{len(sheet.steps)} {step.calculator}")
    return worked_out(step, sheet)


def _with_odds(told: Cell, whole: Cell, found: Conclusion) -> Cell:
    """A cell with the chance of its places. told: with the findings that are in no odds, whole: with all."""
    standings = tuple(s for s in found.standings if (s.place.stage, s.place.side) == (told.stage, told.side))
    words = {standing.word for standing in standings}
    word = next((word for word in PLACE_WORDS if word in words), "untested")
    if told.findings and words <= {"untested"}:
        word = told.word
    return replace(whole, word=word, chance=found.sum(told.stage, told.side), standings=standings)


def _decides(item: Evidence, system: SystemMap) -> bool:
    return (item.bad or item.good) and not item.says_nothing(system)


def _asking(cell: Cell, open_: set[int]) -> Cell:
    """The findings whose next test is asked for: of what is bad, and of steps that decided nothing."""
    found = tuple((n, f) for n, f in cell.findings if f.strength in ("proven", "indicated") or n in open_)
    return replace(cell, findings=found)


def _conclusions(found: Conclusion, told: tuple[Cell, ...], steps: tuple[Worked, ...]) -> tuple[str, ...]:
    """What the odds say; then what the findings say that are in no odds, and what could not be worked out."""
    from ..places.sentences import headline

    if not any(item.is_test for epoch in found.history.epochs for item in epoch.evidence):
        return conclusions(told, steps)
    others = conclusions(told, steps) if any(cell.findings for cell in told) else failed(steps)
    return (*map(sentence, headline(found)), *(text for text in others if text.template != NOT_LOOKED_AT))


def _mend(found: Conclusion) -> Iterator[Message]:
    """What is left to do where nothing but what is to be mended is open: mend it, and repeat the test that showed it."""
    if found_outside(found) and not (found.complaint_tried_again and not found.complaint_stands):
        yield Message(MEND_OUTSIDE, part=[Message.numbered(name) for name in outside_found(found)])
    mended = to_mend(found)
    worn = [place for place in found.system.places if place.kind == WORN]
    if len(worn) > 1 and set(worn) <= {standing.place for standing in mended}:
        yield Message.of(WHOLE_SET)
    for standing in mended:
        at = found.system.places.index(standing.place)
        bad = [item for item in found.history.binding(at) if item.bad and item.looks_directly(standing.place)]
        told = {"place": Message.numbered(standing.place.name), "part": Message.numbered(standing.place.part)}
        if bad:
            last = max(bad, key=lambda item: item.provokes) if any(item.provokes for item in bad) else bad[-1]
            yield cautioned(Message(MEND, **told, test=test(last.test, last.object)), mended_at(standing.place))


MEND_OUTSIDE = (
    "mend what was found outside the fuel system, mark it (baybook job mark: repair {part}), then try the complaint again"
)
LOOK_OUTSIDE = "look outside the fuel system: {parts}; note what is found (observation, its place the part)"
OUTSIDE = "battery and starter, air filter, charge air and its hoses, boost, exhaust, compression"
OF_STARTING = "battery and starter, immobiliser, glow plugs, compression, valve timing, exhaust"
OUTSIDE_OF = {
    NO_START: OF_STARTING,
    "starts badly": OF_STARTING,
    "lacks power": "air filter, charge air and its hoses, boost and its control, air mass sensor, exhaust and particulate "
    "filter, exhaust gas recirculation, compression",
    "runs unevenly": "compression, valve clearance and timing, exhaust gas recirculation, glow plugs, engine mounts",
    "cuts out": "supply and ground of the control unit, its relay, immobiliser, ignition switch",
}
"""By complaint what brings it outside the fuel system, in the order in which it is looked at. common practice, no source"""


def _outside(sheet: Sheet) -> Message:
    kind = sheet.complaint.kind if sheet.complaint else ""
    return Message(LOOK_OUTSIDE, parts=Message.of(OUTSIDE_OF.get(kind, OUTSIDE)))


WHOLE_SET = (
    "before a set is condemned make sure of what all injectors share: rail pressure, time, fuel and temperature of the limit's "
    "condition, and whether their return needs pressure; then have the set tested on a bench"
)
MEND = "mend {place}, mark it (baybook job mark: repair {part}), then repeat {test}: that proves the repair"


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
