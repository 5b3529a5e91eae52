"""Proof of repair: the same reading of the same test of the same place, bad before and good after."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ..dataclass import dataclass
from .evidence import Evidence
from .history import Epoch, History, Repair
from .repeated import single

Key = tuple[str, str, str]


@dataclass(frozen=True)
class Proof:
    """One test that looked at a repaired place. word: `proved`, `still bad`, `undecided` or `not repeated`.

    A stored code or any other reading is repeated by that reading alone, in the condition in which it was taken: another test
    that looks at the same places, or the same pressure in another way, is no repetition. otherwise: the same reading, good
    after the repair, but not taken as it was before it, as with warm fuel after frost: that proves nothing.
    """

    repair: Repair
    before: Evidence
    after: Evidence | None
    otherwise: Evidence | None = None

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
    """For each repair the tests that had come out bad on what was repaired, each with its repetition where there is one.

    Of several tests that look at one thing those that were made again are named; one where none was.
    """
    found: list[Proof] = []
    epochs = history.epochs
    earlier = epochs[0]
    for epoch in epochs:
        if epoch.repair is not None:
            found += _of_repair(epoch.repair, earlier, epoch, history)
        if any(item.is_test for item in epoch.taken):  # (two repairs with nothing tested between them have one before)
            earlier = epoch
    return tuple(found)


def _of_repair(repair: Repair, earlier: Epoch, later: Epoch, history: History) -> Iterator[Proof]:
    bad = [item for item in earlier.evidence if item.bad and item.is_test and repair.mends(item, history.system)]
    moved = [item for item in bad if item.provokes]  # what comes and goes is proved by moving it again alone
    for thing in moved or bad:
        taken = [item for item in earlier.taken if item.bad and item.is_test and item.looked_for == thing.looked_for]
        tests = [[item for item in taken if _test(item) == test] for test in dict.fromkeys(map(_test, taken))]
        pairs = [Proof(repair, single(before)[0], *_repetition(before, later)) for before in tests]
        made = [proof for proof in pairs if proof.after is not None]
        yield from made or sorted(pairs, key=_told_from_before)[:1]


def _told_from_before(proof: Proof) -> bool:
    """Whether it is history, as a stored code is, which is not what is to be repeated first."""
    return proof.before.sense is not None and proof.before.sense.lasting


def _test(item: Evidence) -> Key:
    """The same test: by its name, what it measures, and on which object where that matters."""
    return (item.test, *item.looked_for)


def _repetition(before: Sequence[Evidence], later: Epoch) -> tuple[Evidence | None, Evidence | None]:
    """The same readings of the same test, taken again as they were taken; and where they were not, a good one of another way
    of taking it."""
    again = [item for item in later.taken if any(_repeats(item, bad) for bad in before)]
    alike = [item for item in again if any(_repeats(item, bad) and _as_taken(item, bad) for bad in before)]
    good = [item for item in again if item.good]
    return (single(alike)[-1], None) if alike else (None, good[-1] if good else None)


def _repeats(item: Evidence, bad: Evidence) -> bool:
    return item.is_test and _test(item) in (_test(bad), (*_test(bad)[:2], "")) and _same_question(item, bad)


TO_BE_SAID = "temperature"
"""Where the condition of before is said of this, it has to be said as well that it was the same after the repair."""


def _as_taken(item: Evidence, bad: Evidence) -> bool:
    """At least as well, in the same condition, and not known to be in another than the complaint's where that was not."""
    well = all(item.answers.get(need, True) for need, met in bad.answers.items() if met)
    lasting = item.sense is not None and (item.sense.lasting or item.sense.question(item.question, item.test).lasting)
    same = (words & item.made_in[kind] if kind in item.made_in else lasting or kind != TO_BE_SAID
            for kind, words in bad.made_in.items())  # fmt: skip
    return well and all(same) and not (item.elsewhere and not bad.elsewhere)


def _same_question(item: Evidence, bad: Evidence) -> bool:
    """Whether both answer one question, or one of them a closer form of it, that nobody is sent to look for by itself."""
    closer = any(e.sense is not None and not e.sense.question(e.question, e.test).sought for e in (item, bad))
    return closer or item.question == bad.question
