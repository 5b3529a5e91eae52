"""Proof of repair: the same test of the same place, bad before and good after.

What lasts, as a stored code or a sample does, tells what was: it is no proof for what was measured, nor that for it.
"""

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
        later = {(*item.looked_for, _lasts(item)): item for item in epoch.evidence}
        bad = [
            item
            for item in epochs[number - 1].evidence
            if item.bad and item.is_test and epoch.repair.mends(item, history.system)
        ]
        moved = [item for item in bad if item.provokes]  # what comes and goes is proved by moving it again alone
        measured = [item for item in bad if not _lasts(item) or item.looks_at_places]  # a stored code is history
        for item in moved or measured or bad:
            what, on, lasts = *item.looked_for, _lasts(item)
            found.append(Proof(epoch.repair, item, later.get((what, on, lasts)) or later.get((what, "", lasts))))
    return tuple(found)


def _lasts(item: Evidence) -> bool:
    return item.sense is not None and item.sense.lasting
