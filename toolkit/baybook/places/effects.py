"""A cause has to explain what was seen, in sign and size.

A ground that makes the rail sensor tell too much is no cause of a sensor that tells too little, and a wire that takes a tenth
of the current is none of a current that is a third. Tests say of a quantity what was seen of it (`shows`), and what the fault
that they found makes of it (`brings`). What makes less than half of what was seen, or the contrary, counts that much less: its
verdict moves towards the open one, which says nothing. Common practice, no source.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from ..dataclass import replace
from .evidence import Evidence

if TYPE_CHECKING:
    from .history import Repair
    from .sense import Question

SEEN_TWICE = 0.95
"""How surely a fault that is seen at one point of the way is seen at another behind the same place."""
BETWEEN = 10.0
"""How much likelier a place is at fault that lies between what is good and what is bad behind it than what lies further on."""
IN_FULL = 0.5
"""Of what was seen: a cause that makes as much of it explains it, since both are read roughly."""


def weighed(steps: Sequence[Evidence | Repair]) -> tuple[Evidence | Repair, ...]:
    """The steps, each bad outcome as far as it explains what was seen between the same two repairs."""
    found: list[Evidence | Repair] = []
    for part in map(_at_one_end, map(_in_series, _parted(steps))):
        seen = [item for item in part if isinstance(item, Evidence) and item.shows]
        found += [_as_far(item, seen) if isinstance(item, Evidence) and item.brings else item for item in part]
    return tuple(found)


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
    if item.sense is None:
        return item
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


def share(brought: float, shown: float) -> float:
    """How much of what was seen a cause makes, from 0 (none of it, or the contrary) to 1.

    An infinite `shown` is a direction alone, which a cause of the same sign explains.
    """
    if brought * shown <= 0.0:
        return 0.0
    return 1.0 if math.isinf(shown) else min(1.0, brought / shown / IN_FULL)


def _as_far(item: Evidence, seen: Sequence[Evidence]) -> Evidence:
    if item.conforms >= 0.5:
        return item
    shares = [
        share(size, other.shows[quantity])
        for quantity, size in item.brings.items()
        for other in seen if quantity in other.shows and other.conforms < 0.5 and other is not item
    ]  # fmt: skip
    least = min(shares, default=1.0)
    return replace(item, explains=least, conforms=0.5 - (0.5 - item.conforms) * least)


def _parted(steps: Sequence[Evidence | Repair]) -> Iterator[list[Evidence | Repair]]:
    part: list[Evidence | Repair] = []
    for step in steps:
        if not isinstance(step, Evidence):
            yield part
            part = []
        part.append(step)
    yield part
