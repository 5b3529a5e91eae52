"""Tests made in one other condition than the complaint's: the fault shows there in all of them, or in none.

Checked against drawing it out: both states of the fault listed, each with the product of its outcomes (Pearl 1988, a hidden
common cause).
"""

from __future__ import annotations

import pytest

from baybook.dataclass import replace
from baybook.places.conclusion import conclude
from baybook.places.evidence import Evidence
from baybook.places.hypotheses import Hypotheses
from baybook.places.joint import likelihoods, shown_in
from baybook.places.sense import Question, Sense
from baybook.places.system import SystemMap

LEFT = 0.4
PUMP, LEAK = (Sense({"": Question({place: 0.9}, 0.02, (place,))}, 5.0) for place in ("pump elements", "rail and joints"))


def taken(*bad: bool, where: str = "cold") -> list[Evidence]:
    return [Evidence(n, f"test {n}", 1e-9 if b else 1 - 1e-9, PUMP, left=LEFT, elsewhere=where) for n, b in enumerate(bad, 1)]


@pytest.mark.parametrize("bad", [(True,), (False, False), (True, False), (True, True, False)])
def test_the_two_states_are_weighed_as_they_are_listed(bad: tuple[bool, ...]) -> None:
    system = SystemMap.of()
    hypotheses = Hypotheses.on(system)
    [row] = likelihoods(taken(*bad), system, hypotheses)
    at = hypotheses.at[(next(n for n, place in enumerate(system.places) if place.name == "pump elements"),)]
    listed = 0.0
    for chance, reach in ((LEFT, 0.9), (1.0 - LEFT, 0.02)):
        for b in bad:
            chance *= reach if b else 1.0 - reach
        listed += chance
    assert row[at] == pytest.approx(listed, rel=1e-6)


def test_one_test_counts_as_it_does_alone_and_several_not_as_if_each_stood_for_itself() -> None:
    system = SystemMap.of()
    hypotheses = Hypotheses.on(system)
    together, apart = taken(False, False), taken(False, False, where="")
    [one], [alone] = (likelihoods(items[:1], system, hypotheses) for items in (together, apart))
    assert one == pytest.approx(alone)
    found, loose = conclude(together, system), conclude(apart, system)
    assert found.chances["pump elements"] > loose.chances["pump elements"]


def test_what_is_bad_there_lets_what_is_good_there_count_in_full() -> None:
    """Too little from the pump cold: a joint that holds cold is cleared nearly as if it had been tried in the complaint's."""
    system = SystemMap.of()
    leak = Evidence(9, "hold", 0.999, LEAK, left=LEFT, elsewhere="cold")
    both = Evidence(1, "pump", 0.001, Sense.one({"pump elements": 0.9, "rail and joints": 0.9}, 5.0), left=LEFT,
                    elsewhere="cold")  # fmt: skip
    found, full = conclude([both, leak], system), conclude([both, replace(leak, left=1.0, elsewhere="")], system)
    assert found.chances["rail and joints"] < 1.3 * full.chances["rail and joints"]
    last = found.history.epochs[-1]
    assert last.left(leak) > LEFT + 0.1
    assert conclude([leak], system).history.epochs[-1].left(leak) < LEFT + 0.01
    shown = shown_in(last.evidence, last.end.weights, system, found.history.hypotheses)
    assert all(0.0 <= chance <= 1.0 for chance in shown.values())
