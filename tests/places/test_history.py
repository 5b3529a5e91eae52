"""Steps in their order: what a repair does to what is believed, by enumeration, and which parts it touches."""

from __future__ import annotations

import math

import pytest
from tests.places.test_by_hand import look, small

from baybook.errors import InputError
from baybook.places.conclusion import conclude
from baybook.places.evidence import Evidence
from baybook.places.fitted import Fitted
from baybook.places.history import Repair
from baybook.places.hypotheses import OFF
from baybook.places.place import NO_FAULT, OFF_MAP, Place
from baybook.places.sense import Question, Sense
from baybook.places.system import SystemMap

THREE = SystemMap(
    Fitted(injectors=3),
    (
        Place("filter", "supply", "hydraulic", "the filter"),
        Place("air leak", "supply", "hydraulic", "air", also=("filter",)),
        *(Place(f"injector {n}", "delivery", "hydraulic", f"injector {n}", n) for n in (1, 2, 3)),
        Place("injector 2 coil", "delivery", "control", "its coil", 2, part="injector 2"),
    ),
)


def believed(*steps: Evidence | Repair, system: SystemMap = THREE) -> dict[tuple[int, ...], float]:
    belief = conclude(steps, system).belief
    return dict(zip(belief.hypotheses.sets, belief.weights, strict=True))


@pytest.mark.parametrize(
    ("parts", "positions"),
    [
        (("filter",), {0, 1}), (("air leak",), {1}), (("injector 2",), {3, 5}), (("injector 2 coil",), {5}),
        (("injector 1", "filter"), {0, 1, 2}), (("battery",), set()), ((f"{OFF_MAP}: fuel filler flap", "injector 3"), {4}),
    ],
)  # fmt: skip
def test_which_places_a_repair_touches(parts: tuple[str, ...], positions: set[int]) -> None:
    """A part with what belongs to it, and what its work may have mended; none of what is outside."""
    repair = Repair(1, parts)
    assert repair.positions(THREE) == positions
    assert repair.outside == any(part == "battery" or part.startswith(OFF_MAP) for part in parts)


def test_a_repair_of_what_is_not_on_the_map() -> None:
    with pytest.raises(InputError, match="is not on this vehicle's map"):
        conclude([Repair(1, ("turbine",))], THREE)
    with pytest.raises(InputError, match="is not on this vehicle's map"):
        Repair(1, ("filter", "turbine")).positions(THREE)


@pytest.mark.parametrize("parts", [("filter",), ("injector 2",), ("injector 1", "filter"), ("air leak",)])
def test_what_a_repair_leaves_by_enumeration(parts: tuple[str, ...]) -> None:
    """Where one of the places was at fault, all of them are well with 0.95, where such a state is known; where none was, one of
    them has a new fault with 0.01 in all, alike (common practice, no source)."""
    was, now = believed(), believed(Repair(1, parts))
    mended = Repair(1, parts).positions(THREE)
    expected = dict(was)
    for members, weight in was.items():
        if members == (OFF,):
            continue
        if mended & set(members):
            left = tuple(n for n in members if n not in mended)
            if left in was:
                expected[members] -= 0.95 * weight
                expected[left] += 0.95 * weight
        else:
            ways = [tuple(sorted((*members, n))) for n in mended if tuple(sorted((*members, n))) in was]
            for way in ways:
                expected[members] -= 0.01 * weight / len(ways)
                expected[way] += 0.01 * weight / len(ways)
    assert now == pytest.approx(expected) and sum(now.values()) == pytest.approx(1.0)


def test_a_repair_outside_the_fuel_system() -> None:
    """What is not on the map is well again with 0.95; nothing else moves."""
    was, now = believed(), believed(Repair(1, ("battery",)))
    assert now[OFF,] == pytest.approx(0.05 * was[OFF,]) and now[()] == pytest.approx(was[()] + 0.95 * was[OFF,])
    rest = set(was) - {(OFF,), ()}
    assert {members: now[members] for members in rest} == pytest.approx({members: was[members] for members in rest})
    both = believed(Repair(1, ("battery", "filter")))
    assert both[OFF,] == pytest.approx(0.05 * was[OFF,]) and both[0,] < 0.1 * was[0,]


def outside(step: int, conforms: float) -> Evidence:
    return Evidence(step, "boost", conforms, Sense({"": Question({}, 0.01, off_map=0.9)}, 5.0))


def test_which_evidence_a_repair_answers() -> None:
    """What looked at a place that it touches; one outside what was looked at there."""
    filter_, pump, away = look(1, 0.1), look(1, 0.1, place="pump"), outside(1, 0.1)
    for part, answers in (("filter", (True, False, False)), ("pump", (False, True, False)), ("battery", (False, False, True))):
        assert tuple(Repair(2, (part,)).mends(item, small()) for item in (filter_, pump, away)) == answers
    assert not Repair(2, ("filter",)).mends(look(1, 0.1, left=0.0), small())


def test_what_still_binds_a_place() -> None:
    """All since its last repair; of others all there was."""
    steps = [
        look(1, 0.4),
        Repair(2, ("filter",)),
        look(3, 0.4),
        Repair(4, ("pump",)),
        look(5, 0.4),
        Repair(6, ("filter",)),
        look(7, 0.4),
    ]
    history = conclude(steps, small()).history
    assert [[item.step for item in history.binding(at)] for at in (0, 1, 2)] == [[7], [5, 7], [1, 3, 5, 7]]
    assert [len(epoch.taken) for epoch in history.epochs] == [1, 1, 1, 1]
    assert [epoch.repair.step if epoch.repair else 0 for epoch in history.epochs] == [0, 2, 4, 6]


def test_a_belief_begins_where_the_last_one_ended() -> None:
    """With nothing taken it stays; each epoch's end is Bayes on its beginning."""
    history = conclude([look(1, 0.2), Repair(2, ("pump",)), look(3, 0.2, place="pump")], small()).history
    first, second = history.epochs
    at = first.start.hypotheses.at
    assert history.belief == second.end and first.start.weights == first.start.hypotheses.prior
    bad = 0.8 * 0.8 + 0.2 * 0.2
    none = 0.8 * 0.1 + 0.2 * 0.9
    odds = first.start.weights[at[0,]] / first.start.weights[at[()]]
    assert first.end.weights[at[0,]] / first.end.weights[at[()]] == pytest.approx(odds * bad / none)
    odds = second.start.weights[at[1,]] / second.start.weights[at[()]]
    assert second.end.weights[at[1,]] / second.end.weights[at[()]] == pytest.approx(odds * bad / none)
    empty = conclude([Repair(2, ("pump",))], small()).history.epochs[-1]
    assert empty.end == empty.start and empty.evidence == ()


def test_what_is_impossible_stays_so() -> None:
    """A factor of nothing rules a place out, however much else speaks for it."""
    out = Evidence(1, "x", factors={"filter": 0.0})
    found = believed(out, *(look(n, 1e-9, 0.99, test=f"t{n}") for n in range(2, 9)), system=small())
    assert found[0,] == 0.0 and found[()] > 0.0 and sum(found.values()) == pytest.approx(1.0)


@pytest.mark.parametrize("name", ["battery", f"{OFF_MAP}: fuel filler flap", OFF_MAP])
def test_a_step_on_what_is_outside_is_taken(name: str) -> None:
    item = Evidence(3, "boost", 0.1, outside(3, 0.1).sense, object=name)
    assert conclude([item], small()).chances[OFF_MAP] > conclude([], small()).chances[OFF_MAP]


def test_a_step_on_what_is_not_fitted_names_the_step() -> None:
    item = Evidence(3, "coil", 0.1, Sense.one({"filter": 0.5}, 5.0), object="injector 9")
    with pytest.raises(
        InputError, match=r'^step 3 \(coil\): "injector 9" is not on this vehicle\'s map; did you mean injector'
    ):
        conclude([item], small())
    assert conclude([], small()).chances[NO_FAULT] == pytest.approx(0.3)


def test_hundreds_of_outcomes_that_hardly_fit_leave_numbers_to_count_with() -> None:
    """Each pair of them has a chance of a hundredth with the fault and a thousandth without: a product of 1e-400."""
    steps = [look(n, float(n % 2), 0.99, alarm=0.001, test=f"t{n}") for n in range(400)]
    assert 200 * math.log10(0.99 * 0.01) < -400
    found = conclude(steps, small())
    assert found.chances["filter"] == pytest.approx(1.0) and math.fsum(found.belief.weights) == pytest.approx(1.0)
