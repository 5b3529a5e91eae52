"""What a conclusion says of each place, and what is to be done next: at exactly the chances from which it is said."""

from __future__ import annotations

import pytest
from tests.places.conftest import believing
from tests.places.test_by_hand import look, small
from tests.places.test_sentences import ALL, MAP

from baybook.errors import InputError
from baybook.places.complaint import comes_and_goes, complaint
from baybook.places.conclusion import Conclusion, conclude
from baybook.places.contradiction import THRESHOLD, contradiction
from baybook.places.evidence import Evidence
from baybook.places.history import Repair
from baybook.places.outlook import found_outside, looks_outside, seen_outside, to_mend
from baybook.places.place import NO_FAULT, OFF_MAP
from baybook.places.sense import Question, Sense

OFF = (OFF_MAP,)


def seen(step: int, conforms: float = 0.001, alarm: float = 0.1, reach: float = 0.8, place: str = "filter", **more) -> Evidence:
    return look(step, conforms, reach, place, alarm, **more)


def given(chances: dict[tuple[str, ...], float], *steps: Evidence | Repair) -> Conclusion:
    return believing(chances, conclude(steps, small()))


def words(found: Conclusion) -> dict[str, str]:
    return {standing.place.name: standing.word for standing in found.standings}


def test_the_word_of_each_place() -> None:
    """Proven from 95 % by a direct look that came out bad, likely from one half, open while in the open set."""
    direct, indirect = seen(1), Evidence(1, "x", 0.001, Sense.one({"filter": 0.9}, 5.0))
    for chance, item, word in (
        (0.95, direct, "proven"), (0.9499, direct, "likely"), (0.95, indirect, "likely"), (0.5, direct, "likely"),
        (0.4999, direct, "open"), (0.04, direct, "unlikely"),
    ):  # fmt: skip
        assert words(given({("filter",): chance, (): 1.0 - chance}, item))["filter"] == word, (chance, word)
    good = words(given({("pump",): 1.0}, seen(1, 0.999)))
    assert good == {"pump": "likely", "filter": "not seen here", "injector 1": "untested", "injector 2": "untested"}
    assert words(given({("pump",): 0.3, ("filter",): 0.3, (): 0.4}, seen(1, 0.999)))["pump"] == "untested"
    assert words(given({("pump",): 1.0}, seen(1, 0.5)))["filter"] == "unlikely", "looked at, and nothing was seen"


def test_which_are_open() -> None:
    """The fewest that reach 95 %, and each that is likely; the likeliest first, else in the map's order, no fault ahead."""
    assert given({("filter",): 0.05, ("pump",): 0.9, (): 0.05}).open == ("pump", NO_FAULT)
    assert given({("pump",): 0.95, ("filter",): 0.05}).open == ("pump",)
    assert given({("pump",): 0.94, ("filter",): 0.06}).open == ("pump", "filter")
    assert given({("pump", "filter")[::-1]: 0.0, ("filter", "pump"): 0.96, (): 0.04}).open == ("filter", "pump"), (
        "both are likely"
    )
    assert given({("pump",): 0.4, ("filter",): 0.4, (): 0.2}).open == ("filter", "pump", NO_FAULT)
    assert given({OFF: 0.5, (): 0.5}).open == (NO_FAULT, OFF_MAP)
    assert given({("filter", "pump"): 0.5, (): 0.5}).open == (NO_FAULT, "filter", "pump"), "each is likely"


def test_places_stand_by_their_chances() -> None:
    """Alike in the map's order, and what differs by rounding alone is alike."""
    found = given({("pump",): 0.25, ("filter",): 0.25 - 1e-12, ("injector 2",): 0.5 + 1e-12})
    assert [standing.place.name for standing in found.standings] == ["injector 2", "filter", "pump", "injector 1"]
    found = given({("pump",): 0.25 + 1e-6, ("filter",): 0.25 - 1e-6, ("injector 2",): 0.5})
    assert [standing.place.name for standing in found.standings][:3] == ["injector 2", "pump", "filter"]


def test_the_chances_before_anything_was_repaired() -> None:
    steps = [seen(1, 0.001)]
    before = conclude(steps, small())
    after = conclude([*steps, Repair(2, ("filter",))], small())
    assert after.before_repair == before.chances and after.chances["filter"] < before.chances["filter"]


def test_what_explains_less_than_half_of_what_was_seen() -> None:
    """Since the last repair; half is enough (common practice, no source)."""
    items = [seen(n, 0.2, explains=share) for n, share in ((1, 0.49), (2, 0.5), (3, 1.0), (4, 0.0))]
    assert [item.step for item in conclude(items, small()).unexplaining] == [1, 4]
    assert conclude([*items, Repair(5, ("pump",))], small()).unexplaining == ()
    told = conclude(items[:1], small()).to_dict()["unexplaining"]
    assert told == [{"step": 1, "test": "look 1", "object": "", "explains": 0.49}]


def test_what_was_outside_before_a_repair_and_not_made_again() -> None:
    """Not what is proved to be mended, nor what was good; not what is of the present."""
    pump, filter_ = seen(1, place="pump", test="p"), seen(2, test="f")
    repaired = Repair(3, ("filter",))
    assert [e.test for e in conclude([pump, filter_, repaired], small()).unrepeated] == ["p", "f"]
    assert [e.test for e in conclude([pump, filter_, repaired, seen(4, 0.999, test="f")], small()).unrepeated] == ["p"]
    assert conclude([pump, filter_], small()).unrepeated == ()
    assert [e.test for e in conclude([seen(1, 0.999, test="g"), pump, repaired], small()).unrepeated] == ["p"]
    assert [e.test for e in conclude([pump, repaired, seen(4, 0.001, test="p", place="pump")], small()).unrepeated] == []
    assert conclude([complaint(small(), step=1), repaired], small()).unrepeated == (), "a complaint is no test"
    second = seen(2, test="g")  # another look at the filter, whose repair is proved by the first
    assert conclude([filter_, second, repaired, seen(4, 0.999, test="f")], small()).unrepeated == ()


def test_what_is_said_of_the_complaint() -> None:
    """The last word counts; tried again only since the last repair."""
    stands, gone, done = complaint(small(), step=1), complaint(small(), stands=False, step=5), Repair(3, ("filter",))
    for steps, standing, tried in (
        ([], False, False), ([stands], True, True), ([stands, done], True, False), ([stands, done, gone], False, True),
        ([gone, done, stands], True, True), ([seen(1)], False, False),
    ):  # fmt: skip
        found = conclude(steps, small())
        assert (found.complaint_stands, found.complaint_tried_again) == (standing, tried), steps
    assert conclude([comes_and_goes(small())], small()).comes_and_goes and not conclude([stands], small()).comes_and_goes
    moved = Evidence(1, "x", 0.9, Sense({"": Question({"filter": 0.9}, provokes=True)}, 5.0))
    assert conclude([moved], small()).comes_and_goes


def test_a_conclusion_as_json() -> None:
    found = conclude([complaint(small(), step=1), seen(2), seen(2, 0.2, place="pump", test="p")], small())
    told = found.to_dict()
    assert (told["no_fault"], told["off_map"], told["open"]) == (
        found.chances[NO_FAULT],
        found.chances[OFF_MAP],
        list(found.open),
    )
    assert told["contradiction"] is None and told["complaint_stands"] is True and told["repairs"] == told["halts"] == []
    cells = {(cell["stage"], cell["side"]): cell["chance"] for cell in told["cells"]}  # type: ignore[attr-defined]
    assert (
        len(cells) == 8
        and cells["supply", "hydraulic"] == pytest.approx(found.chances["filter"])
        and cells["supply", "control"] == 0.0
    )
    [first, *_] = told["places"]  # type: ignore[misc]
    assert (
        first["place"]["name"] == "filter"
        and first["steps"] == [2]
        and first["open"] is True
        and "low_pressure" in told["not_known_to_be_fitted"]
    )  # type: ignore[operator]


def test_a_generic_map_where_none_is_given() -> None:
    found = conclude([Repair(1, ("injector 7",))])
    assert (
        found.system.place("injector 7 coil").number == 7
        and len([p for p in found.system.places if p.kind == "injector *"]) == 7
    )
    with pytest.raises(InputError, match="is not on this vehicle's map"):
        found.why("filtre")


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


def test_two_fifths_are_enough() -> None:
    """Of eighteen places of which the likeliest has a tenth."""
    for outside_, looks in ((0.4, True), (0.39, False)):
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


@pytest.mark.parametrize(("reach", "found"), [(0.9, False), (0.905, True), (0.99, True)])
def test_from_which_fit_on_two_tests_contradict_each_other(reach: float, found: bool) -> None:
    """A tenth: one look at the filter bad for certain, another good, each over what suits it best. With the fault the second
    has (1 - r) of 0.98, without it the first has 0.02 of r: the larger counts."""
    items = [look(1, 0.0, reach, alarm=0.02, test="a"), look(2, 1.0, reach, alarm=0.02, test="b")]
    fit = max((1 - reach) / 0.98, 0.02 / reach)
    assert (fit < THRESHOLD) == found and THRESHOLD == 0.1
    epoch = conclude(items, small()).history.epochs[0]
    told = contradiction(epoch, small())
    assert (told is not None) == found
    if told is not None:
        assert told.fit == pytest.approx(fit, abs=1e-6) and {item.step for item in told.repeat} == {1, 2}
        assert told.to_dict() == {"fit": told.fit, "threshold": 0.1, "repeat": [
            {"step": item.step, "test": item.test, "object": ""} for item in told.repeat]}  # fmt: skip
    assert contradiction(epoch, small(), away=True) is None, "what is good while it is away contradicts nothing"


def test_the_two_without_which_the_rest_fits_best_are_repeated() -> None:
    """The better one first; of equals the earlier. One that is alone against several is named alone."""
    three = [
        look(n, 0.0, reach, place, 0.001)
        for n, reach, place in ((1, 0.99, "filter"), (2, 0.99, "pump"), (3, 0.6, "injector 1"))
    ]
    told = contradiction(conclude(three, small()).history.epochs[0], small())
    assert told is not None and [item.step for item in told.repeat] == [1, 2]
    against = [
        look(1, 0.0, 0.99, alarm=0.001, test="a"),
        look(2, 0.0, 0.99, alarm=0.001, test="b"),
        look(3, 1.0, 0.99, alarm=0.001, test="c"),
    ]
    told = contradiction(conclude(against, small()).history.epochs[0], small())
    assert told is not None and [item.step for item in told.repeat] == [3] and told.fit == pytest.approx(0.01 / 0.999)
    nearly = [look(n, p, 0.99, alarm=0.0121, test=f"t{n}") for n, p in ((1, 0.0), (2, 0.0), (3, 1.0))]
    told = contradiction(conclude(nearly, small()).history.epochs[0], small())
    assert told is not None and [item.step for item in told.repeat] == [3, 1], "without the first it fits a little better"
    assert contradiction(conclude([complaint(small(), step=1), against[0]], small()).history.epochs[0], small()) is None


def test_what_is_away_at_times_contradicts_only_where_it_is_bad() -> None:
    """Three faults at once are explained by no pair, whether it comes and goes or not; open readings are no contradiction."""
    three = [look(n, 0.0, 0.99, place, 0.001) for n, place in ((1, "filter"), (2, "pump"), (3, "injector 1"))]
    epoch = conclude(three, small()).history.epochs[0]
    assert contradiction(epoch, small(), away=True) == contradiction(epoch, small()) is not None
    good = [look(1, 0.0, 0.99, alarm=0.001, test="a"), look(2, 1.0, 0.99, alarm=0.001, test="b")]
    found = conclude([complaint(small(), "cuts out", step=1), *good], small())
    assert found.contradiction is None and conclude([complaint(small(), step=1), *good], small()).contradiction is not None


def test_what_is_impossible_is_the_worst_fit() -> None:
    """A place that is ruled out by what a calculator states, and a look that sees it alone: no place explains both."""
    items = [Evidence(1, "x", factors={"filter": 0.0, NO_FAULT: 0.001, "pump": 0.001, "injector *": 0.001, OFF_MAP: 1.0}),
             look(2, 0.0, 0.99, alarm=0.001)]  # fmt: skip
    told = contradiction(conclude(items, small()).history.epochs[0], small())
    assert told is not None and told.fit == pytest.approx(0.001 / 0.99, abs=1e-6)
    assert [item.step for item in told.repeat] == [1, 2]


def test_outcomes_of_other_things_are_no_contradiction_of_one() -> None:
    """A test made twice that stays open, and in the same steps others that are decided: a bad pump, a good injector."""
    steps = [look(1, 0.4, test="t"), look(2, 0.6, test="t"), look(1, 0.01, place="pump", test="u"),
             look(2, 0.99, place="injector 1", test="v")]  # fmt: skip
    assert conclude(steps, small()).contradiction is None
