"""What has to be done before any further test, because something that was found is dangerous to hands or engine."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from typing import TypeAlias

from ..dataclass import dataclass
from .evidence import CERTAIN, DECIDED, Evidence
from .history import History
from .need import Halt
from .sense import Answer, Sense


@dataclass(frozen=True)
class Halted:
    """A halt that is in force, with the step and test that called it. suspected: whether it was only thought to be seen."""

    step: int
    test: str
    halt: Halt
    suspected: bool = False

    def withholds(self, sense: Sense) -> bool:
        """Whether a test has to wait."""
        return bool(sense.turning) or not self.halt.engine or (self.halt.off and sense.powered)

    def to_dict(self) -> dict[str, object]:
        """For JSON."""
        return {
            "step": self.step, "test": self.test, "first": self.halt.first, "engine": self.halt.engine,
            "reason": self.halt.reason, "off": self.halt.off, "suspected": self.suspected,
        }  # fmt: skip


Called: TypeAlias = dict[tuple[str, str], tuple[Evidence, Halt | None]]


def halts(history: History) -> tuple[Halted, ...]:
    """The halts in force, those first that withhold every test.

    The last answer to a question counts, until a place that it looks at has been repaired.
    """
    last: Called = {}
    for last, _ in _called_by(history):  # noqa: B007
        pass
    return tuple(sorted(_in_force(last), key=lambda h: (h.halt.engine, h.step, h.test)))


def against(history: History) -> Mapping[int, Halted]:
    """By its number, each step for which the engine was turned while a halt was in force, and that halt.

    A step that answers the halt's own question again is how it is lifted.
    """
    found: dict[int, Halted] = {}
    lifting: set[int] = set()
    for called, item in _called_by(history):
        if item is None or item.sense is None:
            continue
        if called.get(item.looked_for, (item, None))[1]:
            lifting.add(item.step)
        at_rest = item.sense.question(item.question, item.test).at_rest
        for halted in _in_force(called):
            if item.sense.turning and not at_rest and item.step > halted.step:
                found.setdefault(item.step, halted)
    return {step: halted for step, halted in found.items() if step not in lifting}


def _called_by(history: History) -> Iterator[tuple[Called, Evidence | None]]:
    """Before each piece of evidence what was answered and which halt it calls, and at the end."""
    system = history.system
    called: Called = {}
    for epoch in history.epochs:
        if epoch.repair is not None:
            repair = epoch.repair
            called = {k: v for k, v in called.items() if not repair.mends(v[0], system)}
        for item in sorted(epoch.taken, key=lambda item: item.step):
            yield called, item
            halt = _called(item)
            if halt or item.bad or item.good:
                called[item.looked_for] = (item, halt)
    yield called, None


def _called(item: Evidence) -> Halt | None:
    halt = item.sense.question(item.question, item.test).halt if item.sense else None
    return halt if halt and calls(halt, item.conforms, item.answers, bad=item.bad) else None


def called_by(sense: Sense, answer: Answer, met: Mapping[str, bool]) -> Halt | None:
    """The halt that an answer of a test calls by itself, whatever else was found; met: which of the test's needs."""
    halt = sense.questions[answer.question].halt
    if halt is None or halt.beside:
        return None
    return halt if calls(halt, answer.conforms, met, bad=answer.conforms <= DECIDED + CERTAIN) else None


def calls(halt: Halt, conforms: float, met: Mapping[str, bool], *, bad: bool) -> bool:
    """Whether an answer that conforms with that chance calls it, whatever else was found. bad: whether it is decidedly bad."""
    return (bad or (halt.suspected and conforms < 0.5)) and not met.get(halt.lifted)


def _in_force(called: Called) -> Iterator[Halted]:
    """Those of the halts that are called which need nothing beside them, or have it."""
    for key, (item, halt) in called.items():
        if halt and (not halt.beside or re.search(halt.beside, _beside(called, key))):
            yield Halted(item.step, item.test, halt, suspected=not item.bad)


def _beside(called: Called, but: tuple[str, str]) -> str:
    """What else was found bad, a complaint that stands among it, in its own words."""
    others: Iterable[Evidence] = (item for key, (item, _) in called.items() if key != but)
    return "; ".join(f"{item.test}: {item.said}" for item in others if item.bad).casefold()
