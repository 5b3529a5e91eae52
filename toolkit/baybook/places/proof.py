"""Proof of repair: the same reading of the same test of the same place, bad before and good after."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ..dataclass import dataclass
from .evidence import Evidence
from .history import Epoch, History, Repair
from .repeated import closer, single

Key = tuple[str, str, str]
REPEAT = ("not repeated", "judged otherwise", "moved")
"""Words of a proof of a test that is to be made again."""


@dataclass(frozen=True)
class Proof:
    """One test that looked at a repaired place.

    word: `proved`, `still bad`, `undecided`, `not repeated`, `judged otherwise` (by another limit or size of the vehicle), or
    `moved`: good there, and bad on others (`elsewhere`) that were good before, as where hoses or plugs are exchanged.

    A stored code or any other reading is repeated by that reading alone, in the condition in which it was taken: another test
    that looks at the same places, or the same pressure in another way, is no repetition; and a look at the part itself shows
    that it is a new one, not that it was the fault. otherwise: the same reading, good after the repair, but not taken as it was
    before it, as with warm fuel after frost: that proves nothing.
    """

    repair: Repair
    before: Evidence
    after: Evidence | None
    elsewhere: tuple[str, ...] = ()
    otherwise: Evidence | None = None

    @property
    def word(self) -> str:
        """What the pair says."""
        if self.after is None:
            return "not repeated"
        if self.after.unlike:
            return "judged otherwise"
        if self.after.good and self.elsewhere:
            return "moved"
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

    Of several tests that look at one thing those that were made again are named; one where none was. Repairs with nothing
    between them have one before and one after; the same noted again is one.
    """
    found: list[Proof] = []
    epochs = history.epochs
    earlier = epochs[0]
    for at, epoch in enumerate(epochs):
        last = next((n for n in range(at, len(epochs)) if epochs[n].taken), len(epochs) - 1)
        with_it = [each.repair.parts for each in epochs[at + 1 : last + 1] if each.repair]
        if epoch.repair is not None and epoch.repair.parts not in with_it:
            found += _of_repair(epoch.repair, earlier, epochs[last], history)
        if any(item.is_test for item in epoch.taken):
            earlier = epoch
    return tuple(found)


def _of_repair(repair: Repair, earlier: Epoch, later: Epoch, history: History) -> Iterator[Proof]:
    proving = [item for item in earlier.evidence if item.bad and item.is_test and not item.is_look]
    bad = [item for item in proving if repair.mends(item, history.system)]
    moved = [item for item in bad if item.provokes]  # what comes and goes is proved by moving it again alone
    for thing in moved or bad:
        taken = [item for item in earlier.taken if item.bad and item.is_test and item.looked_for == thing.looked_for]
        tests = [[item for item in taken if _test(item) == test] for test in dict.fromkeys(map(_test, taken))]
        pairs = [(single(before)[0], *_repetition(before, later)) for before in tests]
        made = [pair for pair in pairs if pair[1] is not None]
        for before, after, otherwise in made or sorted(pairs, key=_told_from_before)[:1]:
            yield Proof(repair, before, after, _elsewhere(before, earlier, later, history) if after else (), otherwise)


def _elsewhere(before: Evidence, earlier: Epoch, later: Epoch, history: History) -> tuple[str, ...]:
    """The other objects on which the same test was good before the repair, came out bad after it, and was not good since."""
    alike = [item for item in earlier.evidence if _test(item)[:2] == _test(before)[:2] and item.object != before.object]
    good = {item.looked_for for item in alike if item.good}
    found = {item.looked_for for item in later.evidence if item.bad} & good
    since = history.epochs[history.epochs.index(later) :]
    last = {item.looked_for: item for epoch in since for item in epoch.evidence if item.looked_for in found}
    return tuple(item.object for item in last.values() if item.bad)


def _told_from_before(pair: tuple[Evidence, Evidence | None, Evidence | None]) -> bool:
    """Whether it is history, as a stored code is, which is not what is to be repeated first."""
    return pair[0].sense is not None and pair[0].sense.lasting


def _test(item: Evidence) -> Key:
    """The same test: by its name, what it measures, and on which object where that matters."""
    return (item.test, *item.looked_for)


def _repetition(before: Sequence[Evidence], later: Epoch) -> tuple[Evidence | None, Evidence | None]:
    """The same readings of the same test, taken again as they were taken; and where they were not, a good one of another way
    of taking it."""
    again = [item for item in later.taken if any(_repeats(item, bad) for bad in before)]
    again = [item for item in again if not item.unlike] or again
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
    return closer(item) or closer(bad) or item.question == bad.question
