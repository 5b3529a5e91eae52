"""The first lines, word by word, and from which chance on each of them is said: on a map of eighteen places."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import pytest
from tests.places.conftest import believing
from tests.places.test_by_hand import look

from baybook.places.complaint import complaint
from baybook.places.conclusion import Conclusion, conclude
from baybook.places.evidence import Evidence
from baybook.places.fitted import Fitted
from baybook.places.history import Repair
from baybook.places.place import NO_FAULT, OFF_MAP, Place
from baybook.places.sense import Question, Sense
from baybook.places.sentences import Sentence, headline, percent
from baybook.places.system import SystemMap

ROWS = {
    ("supply", "hydraulic"): ("filter", "feed line", "air leak", "return line", "overflow valve"),
    ("supply", "control"): ("tank pump wiring",),
    ("generation", "hydraulic"): ("pump elements", "inlet valve"),
    ("generation", "control"): ("control unit", "inlet valve coil", "inlet valve wiring", "inlet valve driver"),
    ("storage", "hydraulic"): ("rail and joints",),
    ("storage", "control"): ("rail sensor",),
    ("delivery", "hydraulic"): ("injector 1", "injector 2"),
    ("delivery", "control"): ("injector 1 coil", "injector 1 wiring"),
}
MAP = SystemMap(
    Fitted(injectors=2),
    tuple(Place(name, *cell, f"the {name}") for cell, names in ROWS.items() for name in names),
)
ALL = [place.name for place in MAP.places]
STANDS = complaint(MAP, step=1)
REPAIRED = Repair(5, ("filter",))
GONE = complaint(MAP, stands=False, step=9)


def stated(step: int, names: Sequence[str], factor: float, **more: float) -> Evidence:
    """A test that states how much likelier it is with a fault there; by words for the others."""
    return Evidence(step, f"t{step}", factors={**dict.fromkeys(names, factor), **more})


def lines(*steps: Evidence | Repair) -> list[str]:
    return [str(sentence) for sentence in headline(conclude(steps, MAP))]


def around(level: float, chance: Callable[[Conclusion], float], steps: Callable[[float], Sequence[Evidence | Repair]]):
    """The first lines where a chance that rises with a factor is 1 in 1000 below a level, and as much above it."""
    found = []
    for target in (level * 0.999, level * 1.001):
        low, high = 1e-3, 1e6
        for _ in range(60):
            middle = (low * high) ** 0.5
            low, high = (middle, high) if chance(conclude(steps(middle), MAP)) < target else (low, middle)
        conclusion = conclude(steps(high), MAP)
        assert chance(conclusion) == pytest.approx(target)
        found.append(([str(sentence) for sentence in headline(conclusion)], conclusion))
    (below, _), (above, conclusion) = found
    return below, above, conclusion


def test_a_place_is_said_to_be_likely_from_one_half_on() -> None:
    below, above, _ = around(0.5, lambda c: c.chances["filter"], lambda x: [stated(1, ["filter"], x)])
    assert above == ["Most likely the fault lies in the filter (50 %); this is not yet proof."]
    assert below[0] == "The fault is not found yet; foremost so far: the filter (50 %), still less likely than not."


def test_each_place_that_is_proven_is_named() -> None:
    sure = [look(n, 1e-9, 0.99, name, 1e-6) for n, name in ((1, "filter"), (2, "rail sensor"))]
    proven = [f"Proven: the fault lies in the {name} (over 99 %)." for name in ("filter", "rail sensor")]
    assert lines(*sure) == proven


@pytest.mark.parametrize(("factor", "count", "named"), [(250.0, 2, True), (1e4, 3, True), (1e4, 4, False)])
def test_up_to_three_places_are_named_where_one_of_them_is_at_fault(factor: float, count: int, named: bool) -> None:
    """Of places that lie apart: 95 % together, as the open set says."""
    names = ["filter", "pump elements", "control unit", "rail sensor"][:count]
    [first, *_] = lines(stated(1, names, factor))
    asked = "The fault lies in one of these, 95 % together: " + "; ".join(f"the {name}" for name in names) + "."
    assert (first == asked) == named
    if not named:
        chance = percent(conclude([stated(1, names, factor)], MAP).of_any(names))
        assert (
            first
            == f"Most likely the fault lies in one of these, {chance} together: {'; '.join(names)}; this is not yet proof."
        )


@pytest.mark.parametrize("other", [NO_FAULT, OFF_MAP])
def test_no_place_is_named_as_the_only_ones_where_none_may_be_at_fault(other: str) -> None:
    """Two places and no fault, or one that is not on the map."""
    found = conclude([stated(1, ["filter", "rail sensor"], 1000.0, **{other: 800.0})], MAP)
    assert other in found.open and 1 < len(found.open) <= 3
    assert not any("one of these, 95 %" in str(sentence) for sentence in headline(found))


SUPPLY = ["filter", "feed line", "air leak", "return line"]


def test_a_stage_with_its_side_is_named_from_four_fifths_on() -> None:
    """And the foremost place there, from 15 %."""
    below, above, _ = around(0.8, lambda c: c.sum("supply", "hydraulic"), lambda x: [stated(1, [*SUPPLY, "overflow valve"], x)])
    assert above == [
        "The fault lies in supply, on the hydraulic side (80 %); the place there is still open.",
        "Foremost there: the filter (16 %).",
    ]
    assert below[0].startswith("The fault lies in supply (8") and below[0].endswith("; the side and the place are still open.")


def test_a_stage_is_named_from_four_fifths_on() -> None:
    names = ["filter", "feed line", "air leak", "tank pump wiring"]
    below, above, _ = around(0.8, lambda c: c.sum("supply"), lambda x: [stated(1, names, x)])
    assert above == [
        "The fault lies in supply (80 %); the side and the place are still open.",
        "Foremost there: the filter (20 %).",
    ]
    assert below[0].startswith("Most likely the fault lies in one of these")


def test_the_foremost_place_of_a_stage_is_named_from_15_percent_on() -> None:
    """Five places on one side, one of them a little ahead; not one that nothing looked at."""

    others = [*SUPPLY[1:], "overflow valve", "tank pump wiring"]
    below, above, _ = around(0.15, lambda c: c.chances["filter"], lambda x: [stated(1, others, 0.9 * x, filter=x)])
    assert above[1] == "Foremost there: the filter (15 %)." and not any("Foremost" in line for line in below)
    assert above[0].startswith("The fault lies in supply (8") and below[0].startswith("The fault lies in supply (8")
    against = [name for name in ALL if name not in [*SUPPLY, "overflow valve"]]
    untested = lines(stated(1, against, 1e-4, **{NO_FAULT: 1e-4, OFF_MAP: 1e-4}))
    assert untested[0] == "The fault lies in supply, on the hydraulic side (over 99 %); the place there is still open."
    assert not any("Foremost" in line for line in untested)


PART = ["injector 1", "injector 1 coil", "injector 1 wiring"]


def test_a_part_is_named_where_its_places_together_are_likelier_than_not() -> None:
    """One half as it is read in whole per cent; the first three places of it, by their names."""
    below, above, found = around(
        0.495, lambda c: c.of_any(PART), lambda x: [stated(1, [*PART, "filter", "rail sensor", "control unit"], x)]
    )
    assert found.open[0] not in (NO_FAULT, OFF_MAP)
    order = "; ".join(s.place.name for s in found.standings if s.place.name in PART)
    assert above[0] == f"Most likely the fault lies at injector 1 (50 %), in one of these: {order}; this is not yet proof."
    assert "at injector 1" not in below[0]


def test_a_part_with_one_open_place_is_no_part() -> None:
    found = lines(stated(1, ["injector 1", "filter", "rail sensor", "control unit"], 1e5))
    assert not any("at injector" in line for line in found)


def test_the_third_place_may_belong_to_the_part_that_is_named() -> None:
    """Ahead of it two that stand alone; the fourth may not."""
    valve = ["inlet valve", "inlet valve coil", "inlet valve wiring", "inlet valve driver"]
    ahead = {"filter": 1.2e5, "rail sensor": 1.1e5}
    found = lines(stated(1, valve, 1e5, **ahead))[0]
    assert found.startswith("Most likely the fault lies at inlet valve (")
    assert found.endswith(": inlet valve; inlet valve coil; inlet valve wiring; this is not yet proof.")
    found = lines(stated(1, valve, 1e5, **ahead, **{"injector 2": 1.05e5}))[0]
    assert found.startswith("Most likely the fault lies in one of these, ")


def test_several_places_are_named_where_together_they_are_likelier_than_not() -> None:
    """From 0.6 on, up to four of them."""
    four = ["filter", "pump elements", "control unit", "rail sensor"]
    below, above, _ = around(0.6, lambda c: c.of_any(four), lambda x: [stated(1, four, x)])
    assert above[0] == f"Most likely the fault lies in one of these, 60 % together: {'; '.join(four)}; this is not yet proof."
    assert below[0].startswith("The fault is not found yet")
    five = lines(stated(1, four, 1.1e5, **{"feed line": 1e5}))[0]
    assert five.startswith("Most likely the fault lies in one of these, ") and "feed line" not in five
    alike = lines(stated(1, [*four, "feed line"], 1e5))[0]  # of what is alike none is left out
    assert alike.startswith("Most likely the fault lies in one of these, ") and "rail sensor" in alike and "feed line" in alike


def test_only_what_has_5_percent_is_named_beside_others() -> None:
    def steps(x: float) -> list[Evidence]:
        return [stated(1, ["rail sensor", "control unit", "filter"], 3e3, **{"pump elements": x, NO_FAULT: 30.0})]

    below, above, _ = around(0.05, lambda c: c.chances["pump elements"], steps)
    assert "pump elements" in above[0] and "pump elements" not in below[0] and "in one of these, " in below[0]


def test_the_foremost_place_is_named_from_15_percent_on() -> None:
    below, above, _ = around(0.15, lambda c: c.chances["filter"], lambda x: [STANDS, stated(2, ["filter"], x)])
    assert above[0] == "The fault is not found yet; foremost so far: the filter (15 %), still less likely than not."
    assert below[0] == f"The fault is not found yet. Looked at: 1 of {len(ALL)} places; none of them stands out."
    assert below[-1] == f"Not tested yet: {len(ALL) - 1} places, in supply, generation, storage, delivery."


def test_what_was_seen_at_the_place_is_named_as_seen() -> None:
    """A sure look at it, while another look leaves a second place open."""
    seen = Evidence(1, "look", 0.001, Sense({"": Question({"filter": 0.9}, 0.0004, direct=("filter",))}, 5.0))
    other = stated(2, ["rail sensor"], 60.0)
    found = conclude([STANDS, seen, other], MAP)
    chance = found.chances["filter"]
    assert 0.9 <= chance < 0.95, chance
    assert lines(STANDS, seen, other)[0] == f"The fault was seen at the place itself: the filter ({percent(chance)})."


def test_all_of_several_places() -> None:
    """Each of them likely, and likely together; else the first of them alone."""
    pair = [look(n, 1e-9, 0.999, name, 1e-3, test=f"t{n}") for n, name in ((1, "filter"), (2, "rail sensor"))]
    indirect = [
        Evidence(i.step, i.test, i.conforms, Sense({"": Question({p: 0.999}, 1e-3)}, 5.0))
        for i, p in zip(pair, ("filter", "rail sensor"), strict=True)
    ]
    found = conclude(indirect, MAP)
    together = percent(found.of_all(["filter", "rail sensor"]))
    assert lines(*indirect)[0] == (
        f"Most likely the fault lies in all of these ({together}): the filter; the rail sensor; this is not yet proof."
    )


LITTLE = "What look found{at} (step 2) explains too little of what was seen to be the whole cause: look on."
OTHER = "What look found{at} (step 2) would show the other way round: it is not the cause of what was seen."


@pytest.mark.parametrize(
    ("direct", "object_", "explains", "text"),
    [
        (("filter",), "", 0.4, LITTLE.format(at=" at filter")),
        ((), "filter", 0.4, LITTLE.format(at=" at filter")),
        ((), "", 0.4, LITTLE.format(at="")),
        (("filter",), "", 0.0, OTHER.format(at=" at filter")),
        ((), "", 0.0, OTHER.format(at="")),
    ],
)  # fmt: skip
def test_what_does_not_explain_is_told(direct: tuple[str, ...], object_: str, explains: float, text: str) -> None:
    sense = Sense({"": Question({"filter": 0.5}, direct=direct)}, 5.0)
    item = Evidence(2, "look", 0.2, sense, object=object_, explains=explains)
    assert text in lines(item)
    assert text not in lines(Evidence(2, "look", 0.2, sense, object=object_, explains=0.5))
    stated_so = Evidence(2, "look", factors={"filter": 2.0}, object=object_, explains=explains)
    where = f" at {object_}" if object_ else ""
    assert any(line.startswith(f"What look found{where} (step 2)") for line in lines(stated_so))


def aimed(step: int, test: str, conforms: float, on: str = "", measures: str = "") -> Evidence:
    sense = Sense({"": Question({"{object}" if on else "filter": 0.9}, 0.01, measures=measures)}, 5.0, objects=("injector *",))
    return Evidence(step, test, conforms, sense, object=on)


def test_the_repair_in_words() -> None:
    """Proved by the same test alone, not by another that looks at the same; still bad; not decided; not repeated."""
    bad = aimed(1, "first", 0.001, measures="m")
    again = {
        "proved": aimed(6, "first", 0.999, measures="m"), "another": aimed(6, "second", 0.999, measures="m"),
        "still": aimed(6, "first", 0.001, measures="m"), "open": aimed(6, "first", 0.5, measures="m"),
    }  # fmt: skip
    found = {word: lines(bad, REPAIRED, item)[0] for word, item in again.items()}
    assert found == {
        "proved": "The repair of filter is proved: first was outside before it (step 1) and is within after it (step 6).",
        "another": "The repair of filter is not proved yet, not shown by a repeated test: repeat first, which was outside "
        "before it (step 1).",
        "still": "The repair of filter did not mend it: first is still outside (step 1 before it, step 6 after it).",
        "open": "Whether the repair of filter mended it is not decided: first (step 1 before it, step 6 after it).",
    }
    assert lines(bad, REPAIRED)[0] == found["another"]
    both = Repair(5, ("filter", "injector 2"))
    on = [aimed(1, "first", 0.001), aimed(2, "on", 0.001, "injector 2")]
    both_of = "The repair of filter; injector 2 is not proved yet, not shown by a repeated test: repeat on (injector 2), "
    assert lines(*on, both)[0].startswith(both_of)
    assert sum("not proved yet" in line for line in lines(*on, both)) == 1, "one test is named to be repeated"


def test_of_several_proofs_the_best_is_said_first_and_once() -> None:
    """By the same test rather than another, on a part rather than the whole; what was not repeated is not asked for then."""
    by_other = [aimed(1, "a", 0.001, measures="m"), aimed(6, "b", 0.999, measures="m")]
    by_same = [aimed(2, "c", 0.001), aimed(7, "c", 0.999)]
    alone = aimed(3, "d", 0.001)
    found = lines(by_other[0], by_same[0], alone, REPAIRED, by_other[1], by_same[1])
    assert [line for line in found if line.startswith("The repair")] == [
        "The repair of filter is proved: c was outside before it (step 2) and is within after it (step 7)."
    ]
    still = lines(by_same[0], alone, REPAIRED, aimed(7, "c", 0.001), aimed(8, "d", 0.001))
    assert [line[:40] for line in still if "repair" in line] == [
        "The repair of filter did not mend it: c ",
        "The repair of filter did not mend it: d ",
    ]
    twice = Sense({"a": Question({"filter": 0.9}, 0.01), "b": Question({"filter": 0.8}, 0.01)}, 5.0)
    questions = [Evidence(n, "t", p, twice, word) for n, p in ((1, 0.001), (6, 0.001)) for word in "ab"]
    told = [line for line in lines(*questions[:2], REPAIRED, *questions[2:]) if "repair" in line]
    assert told == ["The repair of filter did not mend it: t is still outside (step 1 before it, step 6 after it)."]


def test_a_contradiction_in_words() -> None:
    """Two tests, one test twice, readings of one step, and one against several."""
    one, other = look(1, 0.02, test="t"), look(2, 0.98, test="t")
    text = "The tests contradict each other. Repeat t (step 1) and t (step 2) before a part is changed."
    assert text in lines(one, other)
    three = [look(n, 1e-9, 0.99, name, 1e-3) for n, name in enumerate(("filter", "rail sensor", "pump elements"), 1)]
    [found] = [line for line in lines(*three) if "contradict" in line]
    assert found == "The tests contradict each other. Repeat look 1 (step 1) and look 2 (step 2) before a part is changed."
    words = {"a": "filter", "b": "rail sensor", "c": "pump elements"}
    three_of_one = Sense({word: Question({place: 0.99}, 1e-3) for word, place in words.items()}, 5.0)
    same_step = [Evidence(1, "t", 1e-9, three_of_one, word) for word in words]
    assert "The readings of step 1 contradict each other. Repeat t before a part is changed." in lines(*same_step)
    on = [aimed(1, "t", 0.02, "injector 1"), aimed(2, "t", 0.98, "injector 1")]
    assert (
        "The tests contradict each other. Repeat t (injector 1) (step 1) and t (injector 1) (step 2) before a part is changed."
        in lines(*on)
    )
    twice = [look(1, 1e-9, 0.99, alarm=1e-3), look(2, 1e-9, 0.99, alarm=1e-3), look(3, 1.0, 0.99, alarm=1e-3)]
    assert "The tests contradict each other. Repeat them before a part is changed." in lines(*twice)


def test_the_end_of_a_job_in_words() -> None:
    """Nobody has said whether it is gone; gone with tests left, gone with none left, gone without a repair."""
    bad, good = aimed(2, "first", 0.001), aimed(6, "first", 0.999)
    assert lines(STANDS, stated(3, [NO_FAULT], 50.0), REPAIRED)[-1] == (
        "Try the complaint again: since the repair nobody has said whether it is gone."
    )
    tried = lines(STANDS, bad, REPAIRED, good)
    assert tried[-1] == "Try the complaint again: since the repair nobody has said whether it is gone."
    gone = lines(STANDS, bad, aimed(3, "on", 0.001, "injector 2"), REPAIRED, good, GONE)
    assert gone[-1] == (
        "The complaint is gone after the repair. Before the job is closed repeat on, outside before it (step 3)."
    )
    several = lines(STANDS, bad, *(aimed(n, "on", 0.001, f"injector {n - 2}") for n in (3, 4)), REPAIRED, good, GONE)
    assert several[-1].endswith("repeat on, outside before it (step 3, 4).")
    done = conclude([STANDS, bad, REPAIRED, good, GONE], MAP)
    assert str(headline(done)[-1]) == (
        f"The complaint is gone after the repair; that no fault is left has a chance of {percent(done.chances[NO_FAULT])}."
    )
    cured = lines(STANDS, aimed(2, "first", 0.999), GONE)
    assert cured[0] == "The complaint is gone, and no repair is noted: mark what was done (baybook job mark --repair PART)."
    assert not any("after the repair" in line for line in cured)
    assert not any("no repair is noted" in line for line in lines(STANDS, REPAIRED, GONE))


def test_the_complaint_that_stands_still() -> None:
    """Said where it was tried again; what is not tested yet by its stages."""
    good = stated(6, ALL[3:], 0.9)
    found = lines(STANDS, stated(2, ["filter"], 0.5), REPAIRED, good, complaint(MAP, again=True, step=9))
    assert "The complaint stands." in found and found[-1] == "Not tested yet: the feed line; the air leak; the filter."
    every = lines(STANDS, stated(6, ALL, 0.9))
    assert every[0].startswith(f"The fault is not found yet. Looked at: {len(ALL)} of {len(ALL)} places")
    assert not any("Not tested yet" in line for line in every)


def test_what_is_not_tested_is_told_only_where_nothing_is_placed() -> None:
    """Not beside a place that is likely, nor a stage that holds it, nor a complaint that is gone, nor before it is tried."""
    for steps in (
        [stated(1, ["filter"], 100.0)], [stated(1, [*SUPPLY, "overflow valve"], 1e3)], [],
        [STANDS, stated(2, ["filter"], 0.5), REPAIRED, GONE], [STANDS, stated(2, ["filter"], 0.5), REPAIRED],
    ):  # fmt: skip
        assert not any("Not tested yet" in line for line in lines(*steps)), steps
    assert any("Not tested yet" in line for line in lines(stated(1, ["filter"], 0.5)))


def boost(step: int, conforms: float) -> Evidence:
    return Evidence(step, "boost", conforms, Sense({"": Question({}, 0.01, off_map=0.9)}, 5.0))


def test_what_lies_outside_the_fuel_system() -> None:
    """Found there; seen there and foremost, from 15 %; not where a place is ahead of it."""
    found = conclude([STANDS, boost(2, 0.001), stated(3, [OFF_MAP], 3.0)], MAP)
    assert str(headline(found)[0]) == f"The fault lies outside the fuel system ({percent(found.chances[OFF_MAP])})."

    def steps(x: float) -> list[Evidence]:
        return [STANDS, boost(2, 0.001), stated(3, [OFF_MAP], x)]

    below, above, _ = around(0.15, lambda c: c.chances[OFF_MAP], steps)
    assert above[0] == "The fault is not found yet; foremost so far: what was found outside the fuel system (15 %)."
    assert below[0].startswith("The fault is not found yet. Looked at")
    ahead = lines(*steps(0.3), stated(4, ["filter"], 40.0))
    assert ahead[0].startswith("The fault is not found yet; foremost so far: the filter (")


def test_no_fault_is_left_from_95_percent_on() -> None:
    below, above, _ = around(0.95, lambda c: c.chances[NO_FAULT], lambda x: [stated(1, [NO_FAULT], x)])
    assert above[0] == "No fault is left to be seen by the tests taken (95 %)."
    assert below[0].startswith("The fault is not found yet. Looked at: 0 of 18 places")


def test_a_sentence_within_a_sentence() -> None:
    assert (
        str(Sentence("{n} times {what}", {"n": 2, "what": Sentence("the {part}", {"part": "filter"})})) == "2 times the filter"
    )
    assert str(Sentence("plain")) == "plain" and Sentence("plain").arguments == {}


def exactly(chances: dict[tuple[str, ...], float], *steps: Evidence | Repair) -> list[str]:
    """The first lines where just this is believed."""
    return [str(sentence) for sentence in headline(believing(chances, conclude(steps or [stated(1, ALL, 1.0)], MAP)))]


@pytest.mark.parametrize(
    ("chances", "first"),
    [
        ({("filter",): 0.5, (): 0.5}, "Most likely the fault lies in the filter (50 %); this is not yet proof."),
        ({("filter", "rail sensor"): 0.5, (): 0.5},
         "Most likely the fault lies in all of these (50 %): the filter; the rail sensor; this is not yet proof."),
        ({(name,): 0.2 for name in SUPPLY} | {(): 0.2},
         "The fault lies in supply, on the hydraulic side (80 %); the place there is still open."),
        ({(name,): 0.2 for name in [*SUPPLY[1:], "tank pump wiring"]} | {(): 0.2},
         "The fault lies in supply (80 %); the side and the place are still open."),
        ({("filter",): 0.15, ("rail sensor",): 0.05, (): 0.8},
         "The fault is not found yet; foremost so far: the filter (15 %), still less likely than not."),
        ({("filter",): 0.3, ("rail sensor",): 0.25, ("pump elements",): 0.05, (): 0.38, (OFF_MAP,): 0.02},
         "Most likely the fault lies in one of these, 60 % together: filter; rail sensor; pump elements; "
         "this is not yet proof."),
        ({("injector 1 coil",): 0.25, ("injector 1 wiring",): 0.25, (): 0.5},
         "Most likely the fault lies at injector 1 (50 %), in one of these: injector 1 coil; injector 1 wiring; "
         "this is not yet proof."),
        ({("injector 1 coil",): 0.497, (): 0.503},
         "The fault is not found yet; foremost so far: the injector 1 coil (50 %), still less likely than not."),
        ({("filter",): 0.05, (): 0.95}, "No fault is left to be seen by the tests taken (95 %)."),
        ({("filter",): 0.04, (OFF_MAP,): 0.02, (): 0.94},
         "The fault is not found yet. Looked at: 18 of 18 places; none of them stands out."),
    ],
)  # fmt: skip
def test_at_exactly_the_chance_from_which_it_is_said(chances: dict[tuple[str, ...], float], first: str) -> None:
    assert exactly(chances)[0] == first


def test_at_exactly_that_chance_nothing_is_told_to_be_untested() -> None:
    """A stage holds four fifths, by places that lie on both sides and are few enough to be named."""
    some = stated(1, ["filter", "tank pump wiring"], 1.0)
    chances = {("filter",): 0.4, ("tank pump wiring",): 0.4, (): 0.2}
    assert exactly(chances, some) == [
        "The fault lies in supply (80 %); the side and the place are still open.", "Foremost there: the filter (40 %)."
    ]  # fmt: skip
    assert exactly({(name,): 0.15 for name in [*SUPPLY, "overflow valve"]} | {("rail sensor",): 0.05, (): 0.2})[0].startswith(
        "Most likely the fault lies in one of these"
    )


def test_at_exactly_the_chance_of_the_likeliest_place_what_is_outside_is_foremost() -> None:
    steps = [complaint(MAP), boost(2, 0.001), stated(3, ALL, 1.0)]  # (as it came in: nobody has tried it again)
    outside = "The fault is not found yet; foremost so far: what was found outside the fuel system "
    assert exactly({("filter",): 0.3, (OFF_MAP,): 0.3, (): 0.4}, *steps)[0] == f"{outside}(30 %)."
    assert exactly({("filter",): 0.1, (OFF_MAP,): 0.15, (): 0.75}, *steps)[0] == f"{outside}(15 %)."


def test_a_complaint_that_stands_after_the_repair_comes_from_outside_where_the_fuel_system_is_good() -> None:
    """Never of no fault: what is complained of is there (common practice, no source)."""
    taken = [STANDS, look(2, 1e-9, 0.9, "filter", 0.01), REPAIRED]
    for against, first in (
        (
            0.05,
            "What was measured of the fuel system is good ({chance} that no fault lies there): look outside the fuel system.",
        ),
        (0.25, "The fault is not found yet. Looked at: 18 of 18 places; none of them stands out."),
    ):  # (how much less likely all places of the fuel system are by what was measured after the repair)
        found = conclude([*taken, stated(6, ALL, against), complaint(MAP, again=True, step=9)], MAP)
        assert found.chances[NO_FAULT] == 0.0 and found.open[0] == OFF_MAP
        assert str(headline(found)[1]) == first.format(chance=percent(found.chances[OFF_MAP]))


def test_to_look_outside_by_how_much_of_it() -> None:
    """No fault and what is not on the map together: by the two chances."""
    steps = [STANDS, stated(2, ALL, 1.0)]
    assert exactly({("filter",): 0.2, (OFF_MAP,): 0.5, (): 0.3}, *steps)[0] == (
        "What was measured of the fuel system is good (80 % that no fault lies there): look outside the fuel system."
    )


def test_the_complaint_is_said_to_stand_where_it_was_tried_again() -> None:
    """Not where it stood before a repair, and a test behind it settles nothing."""
    steps = [STANDS, stated(2, ["filter"], 0.9), REPAIRED, stated(6, ["filter"], 0.9)]
    chances = {("rail sensor",): 0.1, ("filter",): 0.1, (): 0.8}
    assert "The complaint stands." not in exactly(chances, *steps)
    assert "The complaint stands." in exactly(chances, *steps, complaint(MAP, again=True, step=9))
