"""Proof of repair: the same reading of the same test of the same place, bad before and good after."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ..dataclass import dataclass
from .evidence import Evidence
from .history import Epoch, History, Repair
from .repeated import closer, single

Key = tuple[str, str, str]


@dataclass(frozen=True)
class Proof:
    """One test that looked at a repaired place. word: `proved`, `still bad`, `undecided` or `not repeated`.

    A stored code or any other reading is repeated by that reading alone, in the condition in which it was taken: another test
    that looks at the same places, or the same pressure in another way, is no repetition; and a look at the part itself shows
    that it is a new one, not that it was the fault.
    """

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
    proving = [item for item in earlier.evidence if item.bad and item.is_test and not item.is_look]
    bad = [item for item in proving if repair.mends(item, history.system)]
    moved = [item for item in bad if item.provokes]  # what comes and goes is proved by moving it again alone
    for thing in moved or bad:
        taken = [item for item in earlier.taken if item.bad and item.is_test and item.looked_for == thing.looked_for]
        tests = [[item for item in taken if _test(item) == test] for test in dict.fromkeys(map(_test, taken))]
        pairs = [(single(before)[0], _repetition(before, later)) for before in tests]
        made = [(before, after) for before, after in pairs if after is not None]
        yield from (Proof(repair, before, after) for before, after in made or sorted(pairs, key=_told_from_before)[:1])


def _told_from_before(pair: tuple[Evidence, Evidence | None]) -> bool:
    """Whether it is history, as a stored code is, which is not what is to be repeated first."""
    return pair[0].sense is not None and pair[0].sense.lasting


def _test(item: Evidence) -> Key:
    """The same test: by its name, what it measures, and on which object where that matters."""
    return (item.test, *item.looked_for)


def _repetition(before: Sequence[Evidence], later: Epoch) -> Evidence | None:
    """The same readings of the same test, taken again as they were taken; None where they were not."""
    again = [item for item in later.taken if any(_repeats(item, bad) for bad in before)]
    return single(again)[-1] if again else None


def _repeats(item: Evidence, bad: Evidence) -> bool:
    if not item.is_test or _test(item) not in (_test(bad), (*_test(bad)[:2], "")) or not _same_question(item, bad):
        return False
    alike = all(item.answers.get(need, True) for need, met in bad.answers.items() if met)  # (at least as well taken)
    return alike and all(
        not words.isdisjoint(item.made_in[kind]) for kind, words in bad.made_in.items() if kind in item.made_in
    )


def _same_question(item: Evidence, bad: Evidence) -> bool:
    """Whether both answer one question, or one of them a closer form of it, that nobody is sent to look for by itself."""
    return closer(item) or closer(bad) or item.question == bad.question
