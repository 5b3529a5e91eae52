"""What a conclusion asks for next, at exactly the chances from which it does."""

from __future__ import annotations

import pytest
from tests.places.conftest import believing
from tests.places.test_by_hand import small
from tests.places.test_conclusion import OFF, given, seen
from tests.places.test_sentences import ALL, MAP

from baybook.places.complaint import complaint
from baybook.places.conclusion import conclude
from baybook.places.evidence import Evidence
from baybook.places.history import Repair
from baybook.places.outlook import found_outside, looks_outside, seen_outside, to_mend
from baybook.places.sense import Question, Sense


def outside(step: int, conforms: float = 0.001) -> Evidence:
    return Evidence(step, "boost", conforms, Sense({"": Question({}, 0.01, off_map=0.9)}, 5.0))


def test_when_a_fault_is_found_outside() -> None:
    """From 0.9 on, and only where something was seen there since the last repair (common practice, no source)."""
    for chance, found in ((0.9, True), (0.89, False), (1.0, True)):
        assert found_outside(given({OFF: chance, (): 1.0 - chance}, outside(1))) == found
    assert not found_outside(given({OFF: 1.0})) and not found_outside(given({OFF: 1.0}, outside(1, 0.999)))
    assert seen_outside(conclude([outside(1)], small())) and not seen_outside(
        conclude([outside(1), Repair(2, ("battery",))], small())
    )


@pytest.mark.parametrize(
    ("chances", "looks"),
    [
        ({OFF: 0.25, (): 0.5, ("filter",): 0.25}, True), ({OFF: 0.74, ("filter",): 0.26}, False),
        ({OFF: 0.75, ("filter",): 0.25}, True),
        ({(): 0.4, ("filter",): 0.24, ("pump",): 0.12, ("injector 1",): 0.12, ("injector 2",): 0.12}, False),
        ({OFF: 0.4, (): 0.2, ("filter",): 0.1, ("pump",): 0.1, ("injector 1",): 0.1, ("injector 2",): 0.1}, True),
    ],
)  # fmt: skip
def test_when_to_look_outside(chances: dict[tuple[str, ...], float], looks: bool) -> None:
    """Two fifths of no place, and three times the likeliest (common practice, no source); while the complaint stands, after a
    repair only where it was tried again."""
    stands = complaint(small(), step=1)
    assert looks_outside(given(chances, stands)) == looks
    assert not looks_outside(given(chances)) and not looks_outside(given(chances, stands, outside(2)))
    assert not looks_outside(given(chances, stands, Repair(2, ("filter",))))
    again = complaint(small(), again=True, step=3)
    assert looks_outside(given(chances, stands, Repair(2, ("filter",)), again)) == looks
    assert not looks_outside(given(chances, stands, complaint(small(), stands=False, step=3)))


def test_somewhat_more_than_a_third_is_enough() -> None:
    """Of eighteen places of which the likeliest has a tenth."""
    for outside_, looks in ((0.35, True), (0.34, False)):
        left = {(name,): (1.0 - outside_) / 10.0 for name in ALL[:10]}
        found = believing({OFF: 0.2, (): outside_ - 0.2, **left}, conclude([complaint(MAP, step=1)], MAP))
        assert looks_outside(found) == looks


def test_what_is_mended_next() -> None:
    """What is proven, where nothing else is open; else one place that was seen at fault, from 0.9 on."""
    sure, plain = seen(1, 0.0005, 0.001), seen(1, 0.001, 0.1)
    assert [s.place.name for s in to_mend(given({("filter",): 0.95, (): 0.05}, plain))] == ["filter"]
    assert to_mend(given({("filter",): 0.94, (): 0.06}, plain)) == ()
    assert [s.place.name for s in to_mend(given({("filter",): 0.94, (): 0.06}, sure))] == ["filter"]
    assert [s.place.name for s in to_mend(given({("filter",): 0.9, (): 0.1}, sure))] == ["filter"]
    assert to_mend(given({("filter",): 0.89, (): 0.11}, sure)) == () == to_mend(given({("pump",): 0.92, (): 0.08}, sure))
    both = given({("filter", "pump"): 0.96, (): 0.04}, seen(1), seen(2, place="pump"))
    assert [s.place.name for s in to_mend(both)] == ["filter", "pump"]
    one_open = given({("filter", "pump"): 0.96, (): 0.04}, seen(1))
    assert to_mend(one_open) == () and to_mend(given({("filter",): 1.0})) == ()
