"""Readings of one thing that were taken again: what lasts, what shares a cause, which one stands for all, and what differs."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from tests.places.test_by_hand import look, small

from baybook.places.conclusion import conclude
from baybook.places.contradiction import contradiction
from baybook.places.evidence import Evidence
from baybook.places.layout import drawn
from baybook.places.repeated import single
from baybook.places.system import Fitted


def lasting(step: int, conforms: float, **more: object) -> Evidence:
    item = look(step, conforms, test="t", **more)
    assert item.sense is not None
    return replace(item, sense=replace(item.sense, lasting=True))


def joined(*items: Evidence) -> Evidence:
    [found] = single(items)
    return found


def test_what_lasts_is_read_again_to_no_more_effect() -> None:
    """Four to one twice: sixteen to one of what is measured anew, four to one of a fault memory."""
    assert joined(look(1, 0.2, test="t"), look(2, 0.2, test="t")).conforms == pytest.approx(1 / 17)
    assert joined(lasting(1, 0.2), lasting(2, 0.2)).conforms == pytest.approx(0.2)
    assert joined(lasting(1, 0.8), lasting(2, 0.7)).conforms == pytest.approx(0.8)


def test_a_gauge_that_only_some_share_joins_none() -> None:
    """An even reading says nothing, and takes its gauge away from nobody's; all that were used are kept."""
    g, h = frozenset({"g"}), frozenset({"h"})
    one, other = look(1, 0.2, test="t", shares=g), look(2, 0.2, test="t", shares=h)
    assert joined(one, other).conforms == pytest.approx(1 / 17) and joined(one, other).shares == g | h
    both = joined(one, look(2, 0.2, test="t", shares=g | h), look(3, 0.5, test="t"))
    assert both.conforms == pytest.approx(0.2) and both.shares == g | h and both.steps == (1, 2, 3)
    assert joined(look(1, 0.5, test="t", shares=g), look(2, 0.5, test="t", shares=g)).shares == g


def test_the_one_that_speaks_plainest_for_the_outcome_stands_for_all() -> None:
    """Bad by 1/9 to 3: the worst of them; good by 9 to 1/3: the best; of equals the first. What was said is kept once."""
    said = [look(1, 0.9, test="t", said="a"), look(2, 0.75, test="t", said="b"), look(3, 0.01, test="t", said="a")]
    shown = [replace(item, shows={"p": float(item.step)}) for item in said]
    found = joined(*shown)
    assert (found.conforms < 0.5, found.shows, found.said, found.step, found.again) == (True, {"p": 3.0}, "a; b", 1, (2, 3))
    good = joined(replace(look(2, 0.9, test="t"), shows={"p": 2.0}), replace(look(1, 0.25, test="t"), shows={"p": 1.0}))
    assert good.conforms == pytest.approx(0.75) and (good.shows, good.steps) == ({"p": 2.0}, (1, 2))
    hardly = joined(replace(look(1, 0.55, test="t"), shows={"p": 1.0}), replace(look(2, 0.6, test="t"), shows={"p": 2.0}))
    assert 0.5 < hardly.conforms < 0.7 and hardly.shows == {"p": 2.0}
    even = joined(replace(look(4, 0.2, test="t"), shows={"p": 4.0}), replace(look(3, 0.2, test="t"), shows={"p": 3.0}))
    assert even.shows == {"p": 3.0}


def test_of_one_step_what_is_good_counts_only_as_far_as_nothing_is_bad() -> None:
    """The strongest for and against by their logits; with 4 to 1 against, two fifths of what is for it."""
    assert joined(look(1, 0.9, test="t"), look(1, 0.7, test="t")).conforms == pytest.approx(0.9)
    assert joined(look(1, 0.1, test="t"), look(1, 0.3, test="t")).conforms == pytest.approx(0.1)
    logit = -math.log(4.0) + math.log(3.0) * 2.0 / 5.0
    found = joined(look(1, 0.75, test="t"), look(1, 0.2, test="t")).conforms
    assert found == pytest.approx(1.0 / (1.0 + math.exp(-logit)))


def test_what_was_stated_by_factors_is_never_joined() -> None:
    stated = Evidence(1, "t", factors={"filter": 3.0})
    assert len(single([stated, replace(stated, step=2)])) == 2
    assert len(single([look(1, 0.2, test="t"), look(2, 0.2, test="t", left=0.5)])) == 2


@pytest.mark.parametrize(("bad", "good"), [(0.02, 0.98), (0.05, 0.95), (0.01, 0.96)])
def test_a_test_that_came_out_both_ways_contradicts_itself(bad: float, good: float) -> None:
    """As likely as both outcomes are alike: p q + (1 - p)(1 - q); of one step they are two looks and contradict nothing, nor
    where a third decides, nor where the fault is away at times."""
    system = small()

    def epoch(*items: Evidence):
        return conclude(list(items), system).history.epochs[0]

    one, other = look(1, bad, test="t"), look(2, good, test="t")
    found = contradiction(epoch(one, other), system)
    assert found is not None and found.fit == pytest.approx(bad * good + (1 - bad) * (1 - good))
    assert [item.step for item in found.repeat] == [1, 2]
    assert [item.step for item in contradiction(epoch(look(1, good, test="t"), look(2, bad, test="t")), system).repeat] == [
        2,
        1,
    ]
    assert contradiction(epoch(one, look(1, good, test="t")), system) is None
    assert contradiction(epoch(one, other, look(3, bad, test="t")), system) is None
    assert contradiction(epoch(one, other), system, away=True) is None
    assert contradiction(epoch(one, look(2, 0.9, test="t")), system) is None, "0.9 is not decided"


@pytest.mark.parametrize(("injectors", "count"), [(None, 4), (3, 3), (8, 8)])
def test_injectors_are_as_many_as_are_fitted(injectors: int | None, count: int) -> None:
    """Where nothing is said, four; each with its coil and its wiring, whose repair is that of the coil's own injector."""
    names = {place.name: place for place in drawn(Fitted(injectors=injectors)) if place.name.startswith("injector ")}
    wanted = {f"injector {n}{part}" for n in range(1, count + 1) for part in ("", " coil", " wiring")}
    assert set(names) == wanted | {"injector driver"} and all(place.known for place in names.values())
    assert names["injector 2 coil"].part == "injector 2" and names["injector 2 wiring"].number == 2
