"""What has to be done before any further test, because something that was found is dangerous to hands or engine."""

from __future__ import annotations

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


def halts(history: History) -> tuple[Halted, ...]:
    """The halts in force. The last answer to a question counts, until a place that it looks at has been repaired."""
    system = history.system
    called: dict[tuple[str, str], tuple[Evidence, Halted | None]] = {}
    for epoch in history.epochs:
        if epoch.repair is not None:
            parts = epoch.repair.positions(system)
            called = {k: v for k, v in called.items() if not any(v[0].looked(at, system) > 0.0 for at in parts)}
        for item in sorted(epoch.taken, key=lambda item: item.step):
            halted = _called(item)
            if item.bad or item.good:
                called[item.looked_for] = (item, halted)
    return tuple(dict.fromkeys(halted for _, halted in called.values() if halted))


def _called(item: Evidence) -> Halted | None:
    halt = item.sense.question(item.question, item.test).halt if item.sense else None
    if halt is None or not item.bad or item.answers.get(halt.lifted):
        return None
    return Halted(item.step, item.test, halt)
