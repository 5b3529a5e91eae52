"""What a complaint says of each place. The chances are common practice, no source: they are held here as a table, level by
level, so that none of them is moved by mistake; what follows from them is worked out by hand."""

from __future__ import annotations

import math

import pytest
from tests.places.test_by_hand import small

from baybook.errors import InputError
from baybook.places.complaint import AWAY, COMPLAINTS, MOVEMENT, TOLD, comes_and_goes, complaint, worked_on
from baybook.places.conclusion import conclude
from baybook.places.evidence import Evidence
from baybook.places.place import NO_FAULT, OFF_MAP
from baybook.places.system import SystemMap

BRINGS = {
    "does not start": """
        0.9 pump drive; speed and phase sensors
        0.8 tank fuel
        0.7 feed line; air leak; tank pump; rail and joints
        0.6 rail sensor wiring
        0.25 injector * wiring
        0.2 injector * coil
        0.1 return line""",
    "starts badly": """
        0.9 air leak
        0.7 injector *
        0.6 feed line; rail and joints; pump elements
        0.3 injector * coil
        0.1 pump drive; return line""",
    "lacks power": """
        0.9 filter
        0.8 tank pump; feed line; pump elements
        0.4 air leak
        0.3 rail and joints; pump outlet; injector * coil
        0.1 pump drive; speed and phase sensors""",
    "cuts out": """
        0.8 feed line; tank pump; speed and phase sensors
        0.7 tank fuel; air leak; filter; rail sensor wiring; inlet valve wiring
        0.3 rail and joints; pump outlet
        0.2 injector *
        0.1 injector * coil""",
    "runs unevenly": """
        0.9 injector *; injector * coil; injector * wiring
        0.8 injector driver
        0.3 feed line
        0.2 filter
        0.15 speed and phase sensors
        0.1 pump drive; rail and joints; return line""",
    "pressure too high": """
        0.8 inlet valve; rail sensor
        0.7 outlet valve; rail sensor wiring
        0.6 return line
        0.03 pump elements
        0.02 pump drive; filter; feed line; air leak; tank pump; tank fuel; injector *; injector * coil; injector * wiring
        0.02 rail and joints""",
    "pressure too low": """
        0.8 filter; feed line; tank pump; pump elements
        0.7 inlet valve; outlet valve
        0.6 injector *
        0.3 rail and joints; pump outlet
        0.1 pump drive
        0.02 injector * coil; injector * wiring""",
}
"""How often a fault there brings that complaint. What is not named does in one half of cases, as often as it brings any."""


def level(text: str) -> dict[str, float]:
    """A table by place."""
    lines = [line.strip().partition(" ") for line in text.strip().splitlines()]
    return {place: float(chance) for chance, _, places in lines for place in places.split("; ")}


def by_place(item: Evidence) -> dict[str, float]:
    """How often each place brings it."""
    assert item.sense is not None
    return dict(item.sense.questions[""].reach)


def test_each_place_brings_a_complaint_as_often_as_the_table_says() -> None:
    """Common practice, no source. No fault brings one in 2 of 100 cases, what is not on the map in half; it takes 5 min."""
    system = SystemMap.of()
    assert tuple(BRINGS) == COMPLAINTS
    for word in ("", *COMPLAINTS):
        told = level(BRINGS[word]) if word else {}
        found = complaint(system, word)
        assert by_place(found) == {place.name: told.get(place.kind, 0.5) for place in system.places}, word
        assert found.sense is not None and found.sense.minutes == 5.0
        question = found.sense.questions[""]
        assert (question.false_alarm, question.off_map, question.direct) == (0.02, 0.5, ())
        assert (found.step, found.conforms, found.said, found.is_test) == (0, 0.001, word, False)


def test_the_odds_that_a_complaint_leaves() -> None:
    """Bayes by hand: it stands as surely as 999 to 1; 0.9 by a filter against 0.02 with no fault."""
    before, after = (conclude(steps, small()).belief for steps in ([], [complaint(small(), "lacks power")]))
    at = before.hypotheses.at
    ratio = (0.999 * 0.9 + 0.001 * 0.1) / (0.999 * 0.02 + 0.001 * 0.98)
    was, now = (belief.weights[at[0,]] / belief.weights[at[()]] for belief in (before, after))
    assert now / was == pytest.approx(ratio)


def test_what_brought_a_complaint_brings_it_again() -> None:
    """In 95 of 100 cases, whatever the place, tried again or gone; beside the repaired place as far as they bring it alone."""
    system = SystemMap.of()
    again, gone = complaint(system, "lacks power", again=True), complaint(system, "lacks power", stands=False)
    for item, conforms in ((again, 0.001), (gone, 0.999)):
        assert item.sense is not None and set(by_place(item).values()) == {0.95}
        assert item.sense.questions[""].off_map == 0.95 and item.conforms == conforms
    beside = complaint(system, "lacks power", stands=False, beside=["filter", "relief valve"])
    unlike = {name: chance for name, chance in by_place(beside).items() if chance != 0.95}
    assert unlike == {"filter": 0.9, "relief valve": 0.5}
    assert set(by_place(complaint(system, "lacks power", again=True, beside=["filter"])).values()) == {0.95}


def test_in_which_direction_a_complaint_points() -> None:
    """What the sensor tells is too high or too low; what cuts out is away at times; the others say no direction."""
    shown = {word: complaint(small(), word).shows for word in ("", *COMPLAINTS)}
    assert {word: shows for word, shows in shown.items() if shows} == {
        "pressure too high": {TOLD: math.inf}, "pressure too low": {TOLD: -math.inf}, "cuts out": {AWAY: math.inf},
    }  # fmt: skip


def test_what_is_said_of_it_is_kept() -> None:
    assert complaint(small(), "cuts out", said="on bends", step=4).said == "on bends"
    assert complaint(small(), "cuts out", step=4).step == 4
    with pytest.raises(InputError, match=r"use does not start, starts badly, .*, or leave it out$"):
        complaint(small(), "zzz")


def test_what_shakes_on_bumps_by_the_odds() -> None:
    """Against no fault a contact five times as likely as before, the fuel in the tank three (common practice, no source)."""
    system = SystemMap.of()
    told = comes_and_goes(system)
    before, after = conclude([], system).belief, conclude([told], system).belief
    at = before.hypotheses.at
    for name, times in (("inlet valve wiring", 5.0), ("speed and phase sensors", 5.0), ("tank fuel", 3.0), ("filter", 1.0)):
        n = next(n for n, place in enumerate(system.places) if place.name == name)
        was, now = (belief.weights[at[n,]] / belief.weights[at[()]] for belief in (before, after))
        assert now / was == pytest.approx(times), name
    assert told.shows == {MOVEMENT: math.inf} and not told.is_test and told.step == 0


def test_a_part_that_was_worked_on() -> None:
    """Injector and coil alike, eight times; what is outside is what is not on the map."""
    told = worked_on(SystemMap.of(), ["injector 2", "battery"])
    assert told.factors == {"injector 2": 8.0, "injector 2 coil": 8.0, OFF_MAP: 8.0}
    assert (told.step, told.said, told.is_test) == (0, "injector 2, battery", False)
    before, after = (conclude(steps, small()).belief for steps in ([], [worked_on(small(), ["filter"])]))
    at = before.hypotheses.at
    assert after.weights[at[0,]] / after.weights[at[()]] == pytest.approx(8.0 * before.weights[at[0,]] / before.weights[at[()]])
    assert conclude([told], SystemMap.of()).chances[NO_FAULT] < conclude([], SystemMap.of()).chances[NO_FAULT]
