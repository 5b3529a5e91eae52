"""Proof of repair: the same test of the same place, bad before and good after."""

from __future__ import annotations

from ..dataclass import dataclass
from .evidence import Evidence
from .history import History, Repair


@dataclass(frozen=True)
class Proof:
    """One test that looked at a repaired place. word: `proved`, `still bad`, `undecided` or `not repeated`."""

    repair: Repair
    before: Evidence
    after: Evidence | None

    @property
    def word(self) -> str:
        """What the pair says."""
        if self.after is None:
            return "not repeated"
        return "proved" if self.after.good else "still bad" if self.after.bad else "undecided"

    def to_dict(self) -> dict[str, object]:
        """For JSON."""
        return {
            "repair": {"step": self.repair.step, "parts": list(self.repair.parts)}, "test": self.before.test,
            "object": self.before.object,
            "before": self.before.step, "after": self.after.step if self.after else None, "word": self.word,
        }  # fmt: skip


def proofs(history: History) -> tuple[Proof, ...]:
    """For each repair the tests that had come out bad on what was repaired, each with its repetition where there is one."""
    found = []
    epochs = history.epochs
    for number, epoch in enumerate(epochs):
        if epoch.repair is None:
            continue
        later = {item.looked_for: item for item in epoch.evidence}
        bad = [
            item
            for item in epochs[number - 1].evidence
            if item.bad and item.is_test and epoch.repair.mends(item, history.system)
        ]
        moved = [item for item in bad if item.provokes]  # what comes and goes is proved by moving it again alone
        found += [
            Proof(epoch.repair, item, later.get(item.looked_for) or later.get((item.looked_for[0], "")))
            for item in moved or bad
        ]
    return tuple(found)
