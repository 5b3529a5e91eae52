"""What has to be done before any further test, because something that was found is dangerous to hands or engine."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TypeAlias

from ..dataclass import dataclass
from .evidence import Evidence
from .history import History
from .need import Halt
from .sense import Sense


@dataclass(frozen=True)
class Halted:
    """A halt that is in force, with the step and test that called it."""

    step: int
    test: str
    halt: Halt

    def withholds(self, sense: Sense) -> bool:
        """Whether a test has to wait."""
        return sense.turning or not self.halt.engine

    def to_dict(self) -> dict[str, object]:
        """For JSON."""
        return {"step": self.step, "test": self.test, "first": self.halt.first, "engine": self.halt.engine}


Called: TypeAlias = dict[tuple[str, str], tuple[Evidence, Halted | None]]


def halts(history: History) -> tuple[Halted, ...]:
    """The halts in force, those first that withhold every test.

    The last answer to a question counts, until a place that it looks at has been repaired.
    """
    last: Called = {}
    for last, _ in _called_by(history):  # noqa: B007
        pass
    return tuple(sorted({h for _, h in last.values() if h}, key=lambda h: (h.halt.engine, h.step, h.test)))


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
        for _, halted in called.values():
            if halted and item.sense.turning and not at_rest and item.step > halted.step:
                found.setdefault(item.step, halted)
    return {step: halted for step, halted in found.items() if step not in lifting}


def _called_by(history: History) -> Iterator[tuple[Called, Evidence | None]]:
    """Before each piece of evidence what is called, and at the end."""
    system = history.system
    called: Called = {}
    for epoch in history.epochs:
        if epoch.repair is not None:
            repair = epoch.repair
            called = {k: v for k, v in called.items() if not repair.mends(v[0], system)}
        for item in sorted(epoch.taken, key=lambda item: item.step):
            yield called, item
            halted = _called(item)
            if item.bad or item.good:
                called[item.looked_for] = (item, halted)
    yield called, None


def _called(item: Evidence) -> Halted | None:
    halt = item.sense.question(item.question, item.test).halt if item.sense else None
    if halt is None or not item.bad or item.answers.get(halt.lifted):
        return None
    return Halted(item.step, item.test, halt)
