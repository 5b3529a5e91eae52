"""Tests weighed together: those that share a cause of error, those made in one other condition than the complaint's, and bad
outcomes that one thing brings about at once."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from itertools import combinations
from typing import TypeAlias

from ..dataclass import replace
from .evidence import Evidence
from .hypotheses import Hypotheses
from .system import SystemMap

WRONG = 0.02  # how often a shared cause of error is wrong. Common practice, no source
WRONG_AT_ONCE = 3  # of the causes that tests share; more at once are left out of account
Rows: TypeAlias = tuple[list[float], list[float]]
"""How likely an outcome is under each hypothesis whose fault shows where the test was made, and does not show there."""


def likelihoods(evidence: Sequence[Evidence], system: SystemMap, hypotheses: Hypotheses) -> list[list[float]]:
    """How likely each of the `parts` of the evidence is under each hypothesis."""
    return [_joint([(item, _rows(item, system, hypotheses)) for item in part]) for part in parts(evidence)]


def _rows(item: Evidence, system: SystemMap, hypotheses: Hypotheses) -> Rows:
    """Alike where the condition is the complaint's, or each test stands for itself."""
    if not item.elsewhere or item.sense is None:
        row = item.likelihood(system, hypotheses)
        return row, row
    shown, hidden = (replace(item, left=left).likelihood(system, hypotheses) for left in (1.0, 0.0))
    return shown, hidden


def shown_in(
    evidence: Sequence[Evidence], weights: Sequence[float], system: SystemMap, hypotheses: Hypotheses
) -> dict[tuple[str, float], float]:
    """How likely it is that the fault shows there, by each other condition in which tests were made and what was left
    beforehand. weights: what is believed of the hypotheses after all."""
    found = {}
    for key, rows in _by_condition([(item, _rows(item, system, hypotheses)) for item in evidence if item.elsewhere]).items():
        shown, hidden = _both_ways(key[1], rows)
        found[key] = math.fsum(w * s / (s + h) for w, s, h in zip(weights, shown, hidden, strict=True) if s + h)
    return found


def _by_condition(group: Iterable[tuple[Evidence, Rows]]) -> dict[tuple[str, float], list[Rows]]:
    found: dict[tuple[str, float], list[Rows]] = {}
    for item, rows in group:
        found.setdefault((item.elsewhere, item.left) if item.elsewhere else ("", 1.0), []).append(rows)
    return found


def _both_ways(left: float, rows: Sequence[Rows]) -> tuple[list[float], list[float]]:
    """Of all tests in a condition under each hypothesis: that its fault shows there and they came out so, and that it does not
    and they did."""
    shown, hidden = (zip(*(row[way] for row in rows), strict=True) for way in (0, 1))
    return [left * math.prod(column) for column in shown], [(1.0 - left) * math.prod(column) for column in hidden]


def parts(evidence: Sequence[Evidence]) -> list[list[Evidence]]:
    """The evidence in parts that are independent of each other: within one, causes of error or another condition are shared,
    perhaps through others."""
    found: list[tuple[set[object], list[Evidence]]] = []
    for item in evidence:
        causes = {
            *item.shares,
            *((key, name) for key, name in (("elsewhere", item.elsewhere), ("at once", item.at_once)) if name),
        }
        joined = [part for part in found if part[0] & causes]
        found = [part for part in found if not part[0] & causes]
        members = [other for _, others in joined for other in others]
        found.append((causes.union(*(part[0] for part in joined)), [*members, item]))
    return [members for _, members in found]


def _joint(group: Sequence[tuple[Evidence, Rows]]) -> list[float]:
    """The causes are wrong independently of each other. The tests of one that is wrong come out alike, whatever is at fault;
    the others say what they say."""
    causes = sorted({cause for item, _ in group for cause in item.shares})
    total = [0.0] * len(group[0][1][0])
    for most in range(min(len(causes), WRONG_AT_ONCE) + 1):
        for wrong in combinations(causes, most):
            chance = WRONG**most * (1.0 - WRONG) ** (len(causes) - most) * _alike(group, wrong)
            product = _product(_at_once(each for each in group if each[0].shares.isdisjoint(wrong)), len(total))
            total = [t + chance * value for t, value in zip(total, product, strict=True)]
    return total


def _at_once(group: Iterable[tuple[Evidence, Rows]]) -> list[tuple[Evidence, Rows]]:
    """Bad outcomes that one thing brings about at once as a single one: together they are as likely as the least likely of them
    is by what is at fault; false alarms do not come together."""
    found: list[tuple[Evidence, Rows]] = []
    joined: dict[str, list[tuple[Evidence, Rows]]] = {}
    for item, rows in group:
        (joined.setdefault(item.at_once, []) if item.at_once else found).append((item, rows))
    for same in joined.values():
        shown, hidden = (_least([rows[way] for _, rows in same]) for way in (0, 1))
        found.append((min((item for item, _ in same), key=lambda item: not item.elsewhere), (shown, hidden)))
    return found


def _least(rows: Sequence[list[float]]) -> list[float]:
    alarms = [min(row) for row in rows]
    return [
        max(math.prod(column), min(chance - alarm for chance, alarm in zip(column, alarms, strict=True)))
        for column in zip(*rows, strict=True)
    ]


def _product(kept: Sequence[tuple[Evidence, Rows]], count: int) -> list[float]:
    """How likely these came out as they did under each of so many hypotheses: those of one condition together."""
    found = [1.0] * count
    for (_, left), rows in _by_condition(kept).items():
        shown, hidden = _both_ways(left, rows)
        found = [f * (s + h) for f, s, h in zip(found, shown, hidden, strict=True)]
    return found


def _alike(group: Sequence[tuple[Evidence, Rows]], wrong: Sequence[str]) -> float:
    """How likely the tests of causes that are wrong come out as they did: all good or all bad. A test belongs to its first."""
    chance, left = 1.0, [item for item, _ in group if item.factors is None]
    for cause in wrong:
        alike = [item.conforms for item in left if cause in item.shares]
        left = [item for item in left if cause not in item.shares]
        chance *= 0.5 * (math.prod(1.0 - p for p in alike) + math.prod(alike)) if alike else 1.0
    return chance
