"""What a conclusion says of each place, and what is to be done next: at exactly the chances from which it is said."""

from __future__ import annotations

import pytest
from tests.places.conftest import believing
from tests.places.test_by_hand import look, small

from baybook.errors import InputError
from baybook.places.complaint import comes_and_goes, complaint
from baybook.places.conclusion import Conclusion, conclude
from baybook.places.evidence import Evidence
from baybook.places.history import Repair
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
    """The fewest that reach 95 %, each that is likely, and what is as likely as one of them; the likeliest first, else in the
    map's order, no fault ahead."""
    assert given({("filter",): 0.05, ("pump",): 0.9, (): 0.05}).open == ("pump", NO_FAULT, "filter"), "alike, so both"
    assert given({("filter",): 0.0499, ("pump",): 0.9, (): 0.0501}).open == ("pump", NO_FAULT)
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
