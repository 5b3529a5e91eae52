"""What outcomes of the same time say beside each other: void readings, one end of a range, what lies ahead of a bad reading.

Each outcome is weighed by itself elsewhere; here it is seen what one makes of another. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from ..dataclass import replace
from .current import currents, hidden
from .evidence import Evidence

if TYPE_CHECKING:
    from .history import Repair
    from .sense import Question

SEEN_TWICE = 0.95
"""How surely a fault that is seen at one point of the way is seen at another behind the same place."""
BETWEEN = 10.0
"""How much likelier a place is at fault that lies between what is good and what is bad behind it than what lies further on."""


def together(part: Sequence[Evidence | Repair]) -> list[Evidence | Repair]:
    """The outcomes between the same two repairs, each as far as the others let it speak."""
    kept = _without_void(part)
    taken = [item for item in kept if isinstance(item, Evidence)]
    come_and_go = frozenset(place for item in taken for place in item.provoked)
    flows = currents(taken)
    return _at_one_end(_in_series([_sparing(item, taken, come_and_go, flows) for item in kept]))


def fleeting(item: Evidence) -> Evidence:
    """A good outcome with what is left of its reach on a fault that comes and goes."""
    question = item.sense.question(item.question, item.test) if item.sense and item.conforms > 0.5 else None
    if question is None or question.fleeting == 1.0:
        return item
    return _asked(item, replace(question, reach={p: question.fleeting * chance for p, chance in question.reach.items()}))


def _in_series(part: Sequence[Evidence | Repair]) -> list[Evidence | Repair]:
    """What is good ahead of something bad clears what it looks at: a fault there would be seen here as well as there."""
    bad = {item.looked_for[0] for item in part if isinstance(item, Evidence) and item.bad}
    return [told for item in part for told in (_parting(item, bad) if isinstance(item, Evidence) else (item,))]


ENDS = {"low": "high", "high": "low", "below": "above", "above": "below"}


def _at_one_end(part: Sequence[Evidence | Repair]) -> list[Evidence | Repair]:
    """What is good only because the other end is bad says nothing: what sticks too low is not cleared of sticking too high."""
    bad = {(item.step, item.test, item.object, item.question) for item in part if isinstance(item, Evidence) and item.bad}
    return [_silent(item) if isinstance(item, Evidence) and item.good and _other_end(item) in bad else item for item in part]


def _other_end(item: Evidence) -> tuple[int, str, str, str]:
    words = item.question.split(" ")
    other = "" if ENDS.keys().isdisjoint(words) else " ".join(ENDS.get(word, word) for word in words)
    return item.step, item.test, item.object, other


def _silent(item: Evidence) -> Evidence:
    """The same, answered and without a reach."""
    assert item.sense is not None
    question = item.sense.questions[item.question]
    return _asked(item, replace(question, reach={}, direct=(), off_map=question.false_alarm))


def _asked(item: Evidence, question: Question) -> Evidence:
    assert item.sense is not None
    return replace(item, sense=replace(item.sense, questions={**item.sense.questions, item.question: question}))


def _parting(item: Evidence, bad: set[str]) -> tuple[Evidence, ...]:
    if item.sense is None or not item.good or item.sense.questions[item.question].ahead_of not in bad:
        return (item,)
    question = item.sense.questions[item.question]
    sure = replace(question, reach={place: max(chance, SEEN_TWICE) for place, chance in question.reach.items()})
    cleared = _asked(item, sure)
    between = Evidence(item.step, item.test, factors=dict.fromkeys(question.between, BETWEEN), said="lost between the two")
    return (cleared, between) if question.between else (cleared,)


def _without_void(part: Sequence[Evidence | Repair]) -> list[Evidence | Repair]:
    taken = [item for item in part if isinstance(item, Evidence)]
    void = {name for item in taken if item.bad and item.sense for name in item.sense.question(item.question, item.test).voids}
    return [
        replace(item, conforms=0.5, void=True) if isinstance(item, Evidence) and item.is_test and item.looked_for[0] in void
        else item
        for item in part
    ]  # fmt: skip


def _sparing(
    item: Evidence | Repair, part: Sequence[Evidence], come_and_go: frozenset[str], flows: Mapping[str, bool]
) -> Evidence | Repair:
    """A good outcome that does not clear what comes and goes, nor what a control hides (where it met its target at both ends),
    nor what the current hides."""
    if not isinstance(item, Evidence) or not item.is_test or item.conforms <= 0.5:
        return item
    beside = (other for other in part if other.step == item.step and _spares(other))
    met = () if any(other.conforms < 0.5 for other in beside) else _spares(item)
    question = item.sense.question(item.question, item.test) if item.sense else None
    by_current = hidden(question, item.object, flows) if question else ()
    return replace(item, spared=item.spared.union(met, by_current, () if item.provokes else come_and_go))


def _spares(item: Evidence | Repair) -> tuple[str, ...]:
    return item.sense.question(item.question, item.test).spares if isinstance(item, Evidence) and item.sense else ()
