"""What looks at one thing is one outcome, however often it was read."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from ..dataclass import replace
from .evidence import Evidence


def single(evidence: Iterable[Evidence]) -> list[Evidence]:
    """What looks at one thing made one, in the order of steps.

    Verdicts of one step share their readings: it came out bad where one of them did, else the one that says most counts. A test
    that is made again reads the same state again: that makes the state surer and not the reach wider, so the readings' logits
    add, and where they share a cause of error, or read what lasts (a fault memory), again only the strongest count.
    """
    groups: dict[tuple[object, ...], list[Evidence]] = {}
    for at, item in enumerate(evidence):
        key = (*item.looked_for, *sorted(item.answers.items()), item.left, item.elsewhere) if item.factors is None else (at,)
        groups.setdefault(key, []).append(item)
    return [items[0] if len(items) == 1 else _single(items) for items in groups.values()]


def _single(items: Sequence[Evidence]) -> Evidence:
    telling = [item for item in items if item.conforms != 0.5] or items
    shared = frozenset.intersection(*(item.shares for item in telling))
    lasting = all(item.sense is not None and item.sense.lasting for item in items)
    by_step: dict[int, list[float]] = {}
    for item in items:
        by_step.setdefault(0 if shared or lasting else item.step, []).append(_logit(item.conforms))
    logit = math.fsum(_strongest(logits) for logits in by_step.values())
    steps = sorted({item.step for item in items})
    said = "; ".join(dict.fromkeys(item.said for item in items if item.said))
    shares = frozenset().union(*(item.shares for item in telling))
    conforms = 1.0 / (1.0 + math.exp(-min(max(logit, -500.0), 500.0)))
    base = min(items, key=lambda item: (-_weight(item, good=logit >= 0.0), not closer(item), item.step, item.test))
    return replace(base, step=steps[0], again=tuple(steps[1:]), conforms=conforms, shares=shares, said=said)


def _weight(item: Evidence, *, good: bool) -> float:
    """How much it says beside the others: the surer, the more; and of good ones that which looks at most."""
    surely = round(item.conforms - 0.5, 6) if good else 0.5 - item.conforms
    return surely * (math.fsum(item.sense.question(item.question, item.test).reach.values()) if good and item.sense else 1.0)


def closer(item: Evidence) -> bool:
    """Whether it answers a closer form of what was asked, that nobody is sent to look for by itself."""
    return item.sense is not None and not item.sense.question(item.question, item.test).sought


def _strongest(logits: Sequence[float]) -> float:
    """The strongest against; the strongest for beside it only as far as the other is open."""
    against, good = min(0.0, *logits), max(0.0, *logits)
    return against + good * 2.0 / (1.0 + math.exp(-against))


def _logit(chance: float) -> float:
    return math.log(chance / (1.0 - chance))
