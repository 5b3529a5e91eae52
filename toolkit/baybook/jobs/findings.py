"""What findings say by stage and side, without odds: those of calculators that declare no sense; and what all ask for."""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping

from ..dataclass import dataclass
from ..message import Message
from ..places.conclusion import Standing
from ..placing import NAMED
from ..result import SIDES, STRENGTHS, Finding
from .worked import Worked


@dataclass(frozen=True)
class Cell:
    """What is known of one stage on one side: the strongest word, and every finding with the number of its step.

    word: the first of `PLACE_WORDS` that a place of it has. Where only findings that are in no odds speak of it: as their
    strength, or `contradictory` where one step clears what another calls faulty. chance: that a place of it is at fault.
    standings: its places, the most likely first.
    """

    stage: str
    side: str
    word: str
    findings: tuple[tuple[int, Finding], ...]
    chance: float = 0.0
    standings: tuple[Standing, ...] = ()


PLACE_WORDS = ("proven", "likely", "open", "unlikely", "not seen here", "untested")
PARTLY, REPAIRED = "partly tested", "repaired"
"""Words of places, in the order in which one stands for a stage and side; where some of its places are looked at and others
untested, it is partly tested, and where one was repaired and nothing points there any more, repaired."""


def cell_of(stage: str, side: str, worked: tuple[Worked, ...]) -> Cell:
    """What the findings of these steps say of a stage and side."""
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


def conclusions(cells: tuple[Cell, ...], worked: tuple[Worked, ...]) -> tuple[Message, ...]:
    """Where the fault is, as far as the tests reach; what was looked at without finding one, what is open, what not done."""
    told = []
    if proven := _places(cells, "proven"):
        told.append(Message("Proven: a fault in {places}.", places=proven))
    told += [_differing(cell) for cell in cells if cell.word == "contradictory"]
    if indicated := _places(cells, "indicated"):
        told.append(Message("The readings point to {places}, which is not yet proof.", places=indicated))
    if (cleared := _places(cells, "cleared")) and not told:
        told.append(Message("No fault was found in {places}, as far as these tests reach.", places=cleared))
    if undecided := _places(cells, "undecided"):
        told.append(Message("Undecided: {places}.", places=undecided))
    if not any(cell.findings for cell in cells):
        if any(w.result for w in worked):
            told.append(Message("No test taken so far says anything of a stage."))
        elif not failed(worked):
            told.append(Message("No test has been taken yet."))
    elif untested := _places(cells, "untested"):
        told.append(Message(NOT_LOOKED_AT, places=untested))
    return (*told, *failed(worked))


NOT_LOOKED_AT = "Not looked at yet: {places}."


def failed(worked: tuple[Worked, ...]) -> tuple[Message, ...]:
    """Which steps could not be worked out."""
    steps = [w.step.number for w in worked if w.error]
    return (Message("Could not be worked out: step {steps}.", steps=steps),) if steps else ()


def _differing(cell: Cell) -> Message:
    """Steps of one cell with and without a fault: of different parts, before and after a repair, or contradictory."""
    bad, good = _faulty_and_good(cell.findings)
    return Message(DIFFERING, place=_place(cell), bad=bad, good=good)


DIFFERING = (
    "In {place} step {bad} points to a fault and step {good} to none: unless they are of different parts, or from before and "
    "after a repair, repeat them before a part is changed."
)


def _faulty_and_good(findings: tuple[tuple[int, Finding], ...]) -> tuple[list[int], list[int]]:
    """The numbers of the steps that find a fault, and of those that find none."""
    bad = {number for number, finding in findings if finding.strength in ("proven", "indicated")}
    good = {number for number, finding in findings if finding.strength == "cleared"} - bad
    return sorted(bad), sorted(good)


def _places(cells: tuple[Cell, ...], word: str) -> list[Message]:
    """The stages and sides of that word; a stage alone where both its sides have it."""
    found = [cell for cell in cells if cell.word == word]
    of = {stage: [cell for cell in found if cell.stage == stage] for stage in dict.fromkeys(cell.stage for cell in found)}
    return [Message.of(stage) if len(both) == len(SIDES) else _place(both[0]) for stage, both in of.items()]


def _place(cell: Cell) -> Message:
    template = "{stage} (hydraulic side)" if cell.side == "hydraulic" else "{stage} (control side)"
    return Message(template, stage=Message.of(cell.stage))


PLANNED = "Step {number}, {title}: planned, not taken yet."
BARRED = "Step {number}, {title}: barred until what comes first of all is settled."
TAKEN = "{test}; already taken: {steps}"


def next_tests(cells: tuple[Cell, ...], worked: tuple[Worked, ...]) -> tuple[str, ...]:
    """What to test next: what the findings ask for, the most serious first. Of a test that has been taken it is said."""
    ranked = sorted(cells, key=lambda cell: _RANK[cell.word])
    said = [(n, finding.next_test) for cell in ranked for n, finding in cell.findings if finding.next_test]
    asked = [left for n, test in said if (left := _left(test, _done(n, worked)))]
    return tuple(dict.fromkeys(_as_taken(test, worked) for test in asked))


_IN_BRACKETS = re.compile(r"\(([^()]+)\)")


def _done(number: int, worked: tuple[Worked, ...]) -> set[str]:
    """What was taken beside a step: the inputs that other steps of its calculator gave, and the tests by their names."""
    name = next((w.step.calculator for w in worked if w.step.number == number), "")
    others = [w for w in worked if w.result and w.step.number != number]
    inputs = {key for w in others if w.step.calculator == name for key in w.step.inputs}
    return inputs | {item.test for w in others for item in w.evidence if item.test != w.step.calculator}


def _left(test: str, done: set[str]) -> str:
    """What is left of an advice: without tests that name in brackets what was taken since; "" where nothing is left."""
    if isinstance(test, Message) and "tests" in test.arguments:
        tests = test.arguments["tests"]
        left = [one for one in (tests if isinstance(tests, list) else [tests]) if not _is_done(str(one), done)]
        return Message(test.template, **{**test.arguments, "tests": left}) if left else ""
    if isinstance(test, Message) and isinstance(inner := test.arguments.get("test"), str):
        left_of = _left(inner, done)
        return Message(test.template, **{**test.arguments, "test": left_of}) if left_of else ""
    return "" if _is_done(test, done) else test


def _is_done(test: str, done: set[str]) -> bool:
    named = [name.strip() for part in _IN_BRACKETS.findall(test) for name in part.replace("; or reading ", ",").split(",")]
    return not done.isdisjoint(named)


def planned_steps(worked: tuple[Worked, ...], barred: Collection[int] = ()) -> tuple[Message, ...]:
    """The steps that are planned and not taken; one that has been taken since, by its title, is left out.

    barred: the numbers of those that have to wait for what comes first of all.
    """
    taken = [w for w in worked if w.result]
    done = {(w.step.calculator, w.title.casefold()) for w in taken}
    done |= {(w.step.calculator, w.calculator.title.casefold()) for w in taken if w.calculator and not w.step.title}
    return tuple(
        Message(BARRED if w.step.number in barred else PLANNED, number=w.step.number, title=w.step.title or Message.of(w.title))
        for w in worked if w.planned and (w.step.calculator, w.title.casefold()) not in done
    )  # fmt: skip


def _as_taken(test: str, worked: tuple[Worked, ...]) -> str:
    """The test with the steps that took it, where it names calculators: "collect the returns (calculator returns)".

    One that is to be repeated says so itself.
    """
    named = [] if re.search(r"\b(again|repeat)\b", test) else NAMED.findall(test)
    steps = [
        Message("step {number}, {title}", number=w.step.number, title=w.step.title or Message.of(w.title))
        for w in worked if w.result and w.step.calculator in named
    ]  # fmt: skip
    return Message(TAKEN, test=Message.of(test), steps=steps) if steps else test
