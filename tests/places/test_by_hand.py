"""A map of four places, small enough for every number to be worked out by hand or by full enumeration."""

from __future__ import annotations

import math
from itertools import combinations, product

import pytest
from tests.places.conftest import VAN

from baybook.errors import PluginError
from baybook.places.account import Account, Factor
from baybook.places.archive import Tally, base_rates
from baybook.places.choice import NextTest, next_tests, outcomes
from baybook.places.complaint import complaint
from baybook.places.conclusion import conclude
from baybook.places.contradiction import contradiction
from baybook.places.effects import share
from baybook.places.evidence import Evidence
from baybook.places.fitted import Fitted
from baybook.places.history import Repair
from baybook.places.hypotheses import OFF, Hypotheses
from baybook.places.joint import likelihoods, parts
from baybook.places.need import Need
from baybook.places.outlook import found_outside, looks_outside, to_mend
from baybook.places.place import NO_FAULT, OFF_MAP, Place
from baybook.places.repeated import single
from baybook.places.sense import Question, Sense
from baybook.places.system import SystemMap

PLACES = (
    Place("filter", "supply", "hydraulic", "the filter", weight=2.0),
    Place("pump", "generation", "hydraulic", "the pump"),
    Place("injector 1", "delivery", "hydraulic", "injector 1", 1),
    Place("injector 2", "delivery", "hydraulic", "injector 2", 2),
)


def small(*places: Place) -> SystemMap:
    return SystemMap(Fitted(injectors=2), places or PLACES)


def look(step: int, conforms: float, reach: float = 0.8, place: str = "filter", alarm: float = 0.1, **more) -> Evidence:
    sense = Sense({"": Question({place: reach}, alarm, direct=(place,))}, 5.0)
    return Evidence(step, more.pop("test", f"look {step}"), conforms, sense, **more)


def test_beliefs_beforehand() -> None:
    """No fault 0.30, pairs 0.03, off the map 0.04 (common practice, no source); 0.63 among the places by weight; of what the
    injectors have, 15 % are both of them. All sums to one with what the pair of them has twice."""
    every = Hypotheses.on(small())
    whole = 1.0 + 0.15 * 0.63 * 2 / 5 - 0.15 * 0.63 * 2 / 5
    chance = {members: weight * whole for members, weight in zip(every.sets, every.prior, strict=True)}
    weights, twos = [2.0, 1.0, 1.0, 1.0], list(combinations(range(4), 2))
    total = sum(weights[i] * weights[j] for i, j in twos)
    expected = {(): 0.30, (OFF,): 0.04, (0,): 0.63 * 2 / 5, (1,): 0.63 / 5, (2,): 0.85 * 0.63 / 5, (3,): 0.85 * 0.63 / 5}
    expected |= {(i, j): 0.03 * weights[i] * weights[j] / total for i, j in twos}
    expected[2, 3] += 0.15 * 2 * 0.63 / 5
    assert chance == pytest.approx(expected)


def test_more_than_two_injectors_wear_together() -> None:
    """Half of it all of them, half any other two or more: of four, six pairs and four triples; of nine only the pairs."""
    for count, some in ((4, 10), (9, 36), (8, 2**8 - 1 - 8 - 1)):
        places = tuple(Place(f"injector {n}", "delivery", "hydraulic", f"injector {n}", n) for n in range(1, count + 1))
        every = Hypotheses.on(SystemMap(Fitted(injectors=count), places))
        assert len(every.sets) == 2 + count + some + 1
        worn = 0.15 * 0.63
        assert every.prior[every.at[tuple(range(count))]] == pytest.approx(worn / 2)
        assert every.prior[every.at[0, 1]] == pytest.approx(worn / 2 / some + 0.03 / (count * (count - 1) / 2))


def test_base_rates_are_a_dirichlets_mean() -> None:
    """(50 w + n)/(50 + N), the weights shared out over the map; the injectors are one kind."""
    found = base_rates({"filter": 5, "injector 7": 3, "a turbine": 9}, small())
    assert found == pytest.approx({"filter": (50 * 0.4 + 5) / 58, "pump": 10 / 58, "injector *": (50 * 0.4 + 3) / 58})
    chances = conclude([], small(), found).chances
    singles = 0.63 * found["pump"]
    assert Hypotheses.on(small(), found).prior[2] == pytest.approx(singles) and chances["pump"] > singles
    for wrong in ({"filter": -1}, {}):
        with pytest.raises(ValueError, match="strength is positive"):
            base_rates(wrong, small(), 50.0 if wrong else 0.0)


@pytest.mark.parametrize("conforms", [0.001, 0.3, 0.5, 0.9])
def test_one_test_under_every_hypothesis(conforms: float) -> None:
    """Noisy or (Pearl 1988): P(bad) is 1 less the product of what stays good by each fault and by itself; read with the chance
    to conform p, the outcome has p (1 - b) + (1 - p) b. Off the map 1.5 times the false alarm."""
    sense = Sense({"": Question({"filter": 0.8, "injector *": 0.5}, 0.1)}, 5.0)
    every = Hypotheses.on(small())
    [row] = likelihoods([Evidence(1, "look", conforms, sense)], small(), every)
    single_bad = [0.8, 0.1, 0.5, 0.5]
    for members, found in zip(every.sets, row, strict=True):
        bad = 0.15 if members == (OFF,) else 1 - 0.9 * math.prod((1 - single_bad[at]) / 0.9 for at in members)
        assert found == pytest.approx(conforms * (1 - bad) + (1 - conforms) * bad)


def test_needs_that_may_not_be_met_are_mixed_in() -> None:
    """Met in 0.7 of cases, else bad in 0.4: P = 0.7 b + 0.3 0.4; answered it is one or the other."""
    sense = Sense({"": Question({"filter": 0.8}, 0.1)}, 5.0, needs=(Need("warm", "warm?", met=0.7, bad=0.4),))
    every = Hypotheses.on(small())
    for answers, held in (({}, 0.7), ({"warm": True}, 1.0), ({"warm": False}, 0.0)):
        [row] = likelihoods([Evidence(1, "look", 0.0, sense, answers=answers)], small(), every)
        assert row[every.at[0,]] == pytest.approx(held * 0.8 + (1 - held) * 0.4, abs=1e-8)
        assert row[every.at[()]] == pytest.approx(held * 0.1 + (1 - held) * 0.4, abs=1e-8)
    half = Sense({"": Question({"filter": 0.8}, 0.1)}, 5.0, needs=(Need("warm", "warm?", met=0.7, left=0.5),))
    assert half.valid({}, small()) == pytest.approx((0.85, 0.1))
    assert half.valid({"warm": False}, small()) == pytest.approx((0.5, 0.1))
    both = Sense(sense.questions, 5.0, needs=(*sense.needs, Need("hot", "hot?", met=0.6, bad=0.9)))
    assert both.valid({}, small()) == pytest.approx((0.42, (0.3 * 0.4 + 0.4 * 0.9) / 0.7))


def test_what_is_left_of_a_reach_in_another_condition() -> None:
    """0.6 of it: 0.6 b + 0.4 of the false alarm."""
    every = Hypotheses.on(small())
    [row] = likelihoods([look(1, 0.0, left=0.6)], small(), every)
    assert row[every.at[0,]] == pytest.approx(0.6 * 0.8 + 0.4 * 0.1, abs=1e-8) and row[every.at[()]] == pytest.approx(
        0.1, abs=1e-8
    )


def test_tests_by_one_gauge_say_no_more_than_it_can_be_trusted() -> None:
    """By enumeration: each of the causes is wrong in 0.02 of cases, and its tests come out all bad or all good then."""
    every = Hypotheses.on(small())
    items = [look(1, 0.2, shares=frozenset({"a"})), look(2, 0.3, 0.6, "pump", shares=frozenset({"a", "b"})),
             look(3, 0.9, 0.7, "injector 1", shares=frozenset({"b"})), look(4, 0.4, 0.5, "injector 2")]  # fmt: skip
    assert [len(part) for part in parts(items)] == [3, 1]
    joint, alone = likelihoods(items, small(), every)
    single_rows = [item.likelihood(small(), every) for item in items]
    assert alone == pytest.approx(single_rows[3])
    for at in range(len(every.sets)):
        total = 0.0
        for wrong_a, wrong_b in product((False, True), repeat=2):
            chance = (0.02 if wrong_a else 0.98) * (0.02 if wrong_b else 0.98)
            left = [0, 1, 2]
            for wrong, members in ((wrong_a, (0, 1)), (wrong_b, (1, 2))):
                mine = [n for n in left if n in members] if wrong else []
                if mine:
                    p = [items[n].conforms for n in mine]
                    chance *= 0.5 * (math.prod(p) + math.prod(1 - each for each in p))
                left = [n for n in left if n not in mine]
            total += chance * math.prod(single_rows[n][at] for n in left)
        assert joint[at] == pytest.approx(total)


def test_stated_factors_of_one_place_and_of_two() -> None:
    """Of a pair the likelier where both are pointed to, times what speaks against either; all over the largest."""
    every = Hypotheses.on(small())
    stated = Evidence(1, "x", factors={"filter": 8.0, "pump": 4.0, "injector 1": 0.5, NO_FAULT: 0.25, OFF_MAP: 2.0})
    [row] = likelihoods([stated], small(), every)
    expected = {(): 0.25, (OFF,): 2.0, (0,): 8.0, (1,): 4.0, (2,): 0.5, (3,): 1.0, (0, 1): 8.0, (0, 2): 4.0, (0, 3): 8.0,
                (1, 2): 2.0, (1, 3): 4.0, (2, 3): 0.5}  # fmt: skip
    assert {members: row[at] * 8 for members, at in every.at.items()} == pytest.approx(expected)


@pytest.mark.parametrize(
    "wrong", [{"conforms": 1.1}, {"conforms": -0.1}, {"factors": {"filter": -1.0}}, {"factors": {"filter": True}}]
)
def test_what_is_no_evidence_is_refused(wrong: dict) -> None:
    sense = None if "factors" in wrong else Sense.one({"filter": 0.8}, 5.0)
    with pytest.raises(PluginError, match=r"^x "):
        Evidence(1, "x", sense=sense, **wrong)
    with pytest.raises(PluginError, match="neither"):
        Evidence(1, "x")
    with pytest.raises(PluginError, match="nothing at all"):
        Evidence(1, "x", factors={"filter": 0.0, NO_FAULT: 0.0, OFF_MAP: 0})
    assert Evidence(1, "x", factors={"filter": 0.0, NO_FAULT: 0.0}).factors


def test_when_an_outcome_is_decidedly_good_or_bad() -> None:
    """ISO 14253-1's 95 %, the limit counted in; stated factors are neither."""
    assert [(look(1, p).bad, look(1, p).good) for p in (0.0, 0.05, 0.051, 0.949, 0.95, 1.0)] == [
        (True, False), (True, False), (False, False), (False, False), (False, True), (False, True)
    ]  # fmt: skip
    stated = Evidence(1, "x", factors={"filter": 9.0})
    assert not stated.bad and not stated.good


def test_what_was_looked_at() -> None:
    """The reach, times what is left by needs and condition; nothing by the complaint."""
    system = small()
    assert look(1, 0.0, left=0.5).looked(0, system) == pytest.approx(0.4) and look(1, 0.0).looked(1, system) == 0.0
    assert Evidence(1, "x", factors={"filter": 9.0}).looked(0, system) == 1.0
    assert complaint(system).looked(0, system) == 0.0
    spared = look(1, 0.9, spared=frozenset({"filter"}))
    assert spared.looked(0, system) == 0.0 and look(1, 0.1, spared=frozenset({"filter"})).looked(0, system) == 0.8


def test_repeated_readings_add_their_logits_and_count_once_in_reach() -> None:
    """By hand: 0.2 and 0.3 of two steps, logits -1.386 and -0.847; of one gauge the stronger alone."""
    [joined] = single([look(1, 0.2, test="t"), look(3, 0.3, test="t")])
    assert joined.conforms == pytest.approx(1 / (1 + 4.0 * 7 / 3)) and (joined.step, joined.again) == (1, (3,))
    gauge = frozenset({"g"})
    [shared] = single([look(1, 0.2, test="t", shares=gauge), look(3, 0.3, test="t", shares=gauge)])
    assert shared.conforms == pytest.approx(0.2)
    [against] = single([look(1, 0.5, test="t"), look(1, 0.9, test="t"), look(1, 0.2, test="t")])
    assert against.conforms == pytest.approx(1 / (1 + math.exp(-(math.log(1 / 4) + math.log(9) * 2 / (1 + 4)))))
    assert len(single([look(1, 0.2, test="t"), look(2, 0.2, test="u")])) == 2


def test_a_cause_explains_as_far_as_it_makes_half_of_what_was_seen() -> None:
    """By the rule's own words: half counts in full, the contrary and nothing do not, a direction alone does."""
    assert [share(brought, 10.0) for brought in (5.0, 2.5, 20.0, 0.0, -5.0)] == pytest.approx([1.0, 0.5, 1.0, 0.0, 0.0])
    assert share(-3.0, -math.inf) == 1.0 and share(3.0, -math.inf) == 0.0 and share(-2.5, -10.0) == pytest.approx(0.5)


def test_two_outcomes_that_no_fault_explains() -> None:
    """A sure look at the filter and one behind it: the fit of the best explanation, by enumeration over all hypotheses."""
    system = small()
    items = [look(1, 1e-9, 0.99, "filter", 0.001), look(2, 1e-9, 0.99, "pump", 0.001), look(3, 1e-9, 0.99, "injector 1", 0.001)]
    epoch = conclude(items, system).history.epochs[0]
    every = epoch.start.hypotheses
    rows = [item.likelihood(system, every) for item in items]
    on_map = [at for at, members in enumerate(every.sets) if members != (OFF,)]
    fit = max(math.prod(row[at] / max(row[n] for n in on_map) for row in rows) for at in on_map)
    found = contradiction(epoch, system)
    assert found is not None and found.fit == pytest.approx(fit) and len(found.repeat) == 2
    assert contradiction(conclude(items[:2], system).history.epochs[0], system) is None  # a pair explains two
    assert contradiction(conclude(items[:1], system).history.epochs[0], system) is None


def test_strengths_in_words() -> None:
    """ENFSI Guideline for Evaluative Reporting (2015): weak from 2, moderate from 10, moderately strong from 100, strong from
    1000, very strong from 10 000, extremely strong from 1 000 000; whichever way."""
    words = {1.0: "none", 1.99: "none", 2.0: "weak", 9.9: "weak", 10.0: "moderate", 99.0: "moderate"}
    words |= {100.0: "moderately strong", 1e3: "strong", 9.9e3: "strong", 1e4: "very strong", 9.9e5: "very strong"}
    words |= {1e6: "extremely strong"}
    for factor, word in words.items():
        assert Factor((), factor, 0.5).strength == word
        assert factor in (10.0, 1e3, 1e6) or Factor((), 0.999 / factor, 0.5).strength == (word if factor > 1 else "none")
    assert Factor((), 0.0, 0.5).strength == "extremely strong"


def test_what_speaks_for_a_place_and_against_it() -> None:
    """By the chance without it, the most first."""
    factors = tuple(Factor((), 1.0, chance) for chance in (0.5, 0.2, 0.9, 0.1, 0.7))
    found = Account("filter", 1.0, factors, 1.0, 0.5)
    assert [f.without for f in found.speaking_for] == [0.1, 0.2] and [f.without for f in found.speaking_against] == [0.9, 0.7]


def test_odds_times_factors_are_odds() -> None:
    """Bayes in odds, on a job of two tests; each factor is the ratio of the outcome's chances."""
    found = conclude([look(1, 0.0), look(2, 1.0, 0.5, "filter", 0.2)], small()).why("filter")
    assert [f.factor for f in found.factors] == pytest.approx([0.8 / 0.1, 0.5 / 0.8], rel=1e-6)
    assert found.start == pytest.approx(0.63 * 0.4 / 0.30) and found.odds == pytest.approx(found.start * 8 * 0.625, rel=1e-6)


@pytest.mark.parametrize(("target", "word"), [(0.51, "likely"), (0.49, "open")])
def test_a_place_is_likely_from_one_half_on(target: float, word: str) -> None:
    """A stated factor that brings it there, found by halving."""
    low, high = 1.0, 1e4
    for _ in range(60):
        middle = math.sqrt(low * high)
        standing = conclude([Evidence(1, "x", factors={"filter": middle})], small()).standings[0]
        low, high = (middle, high) if standing.chance < target else (low, middle)
    assert standing.place.name == "filter" and standing.chance == pytest.approx(target) and standing.word == word


def test_whether_a_rail_empties_at_rest() -> None:
    """Said, or known from what is not fitted, or not known."""
    kinds = [
        ({"open_at_rest": ["outlet valve"]}, True),
        ({"open_at_rest": []}, False),
        ({}, None),
        ({"outlet_valve": "none"}, None),
        ({"outlet_valve": "none", "injector_bleed": False}, False),
        ({"injector_bleed": False}, None),
        ({"outlet_valve": "rail", "injector_bleed": False}, None),
        ({"outlet_valve": "none", "injector_bleed": True}, None),
    ]
    for table, empties in kinds:
        assert SystemMap.from_table(table).empties_at_rest() is empties
    need = Need("shut", "shut?", met=0.3, at_rest=True)
    chances = {None: 0.3, True: 0.0, False: 1.0}
    for table, empties in kinds:
        assert need.chance(None, SystemMap.from_table(table)) == chances[empties]
        assert need.chance(True, SystemMap.from_table(table)) == 1.0 and need.chance(False, SystemMap.from_table(table)) == 0.0
    assert Need("warm", "warm?", met=0.3).chance(None, SystemMap.from_table({"open_at_rest": []})) == 0.3


def test_of_which_places_a_sense_speaks() -> None:
    """The surest first, over all its questions; a kind only on the object that it was made on."""
    first = Question({"filter": 0.5, "pump": 0.6, "injector {n}": 0.7})
    second, third = Question({"filter": 0.9, "injector *": 0.2}), Question({"tank": 0.95}, on=("injector 3",))
    sense = Sense({"a": first, "b": second, "c": third}, 5.0, objects=("injector *",))
    assert sense.speaks_of() == ["tank", "filter", "pump"]
    assert sense.speaks_of("injector 2") == ["filter", "injector 2", "pump"]
    assert sense.speaks_of("injector 3") == ["tank", "filter", "injector 3", "pump"]


def test_what_comes_next_is_weighed_per_minute() -> None:
    """Bits per minute, a quarter of it where the high-pressure side is opened or wiring is live."""
    one = NextTest("x", "", "not taken", 0.6, 5.0, "low side opened", (), ())
    assert one.worth == pytest.approx(0.12)
    assert NextTest("x", "", "not taken", 0.6, 5.0, "live wiring", (), ()).worth == pytest.approx(0.03)
    found = conclude([], small())
    sense = Sense(
        {"a": Question({"filter": 0.8}, 0.1), "b": Question({"pump": 0.7}, 0.05), "c": Question({"filter": 0.3}, 0.2)}, 5.0
    )
    rows = outcomes(found, sense, [("", "a"), ("", "b"), ("", "c")])
    assert [sum(column) for column in zip(*rows, strict=True)] == pytest.approx([1.0] * len(rows[0]))
    at = found.history.hypotheses.at[0,]
    good = [0.2, 0.95, 0.7]
    assert rows[0][at] == pytest.approx(math.prod(good)) and rows[1][at] == pytest.approx(0.8 * 0.95 * 0.7)
    weights = found.belief.weights
    gain = sum(w * c * math.log2(c / sum(v * d for v, d in zip(weights, row, strict=True)))
               for row in rows for w, c in zip(weights, row, strict=True) if c)  # fmt: skip
    [asked] = next_tests(found, {"x": sense})
    assert asked.gain == pytest.approx(gain) and asked.minutes == 5.0 and asked.separates == ("filter", "pump")


def test_a_test_is_made_three_times_at_most() -> None:
    """Undecided twice it is asked for again, three times it is not."""
    sense = Sense({"": Question({"filter": 0.9})}, 5.0)
    taken = [Evidence(step, "x", 0.4 + 0.1 * (step % 2), sense) for step in (1, 2, 3)]
    assert [t.reason for t in next_tests(conclude(taken[:2], small()), {"x": sense})] == ["undecided"]
    assert not next_tests(conclude(taken, small()), {"x": sense})


def test_a_good_outcome_in_another_condition_is_to_be_had_again() -> None:
    """Where less than half its reach was left."""
    sense = Sense({"": Question({"filter": 0.9})}, 5.0)
    for left, reasons in ((0.49, ["other condition"]), (0.5, [])):
        found = conclude([Evidence(1, "x", 0.999, sense, left=left)], small())
        assert [t.reason for t in next_tests(found, {"x": sense})] == reasons


def test_a_repair_mends_in_95_of_100_and_harms_in_one() -> None:
    """By enumeration of what was one hypothesis before (common practice, no source)."""
    before, after = conclude([], small()).belief, conclude([Repair(1, ("filter",))], small()).belief
    at = before.hypotheses.at
    was = dict(zip(before.hypotheses.sets, before.weights, strict=True))
    now = dict(zip(after.hypotheses.sets, after.weights, strict=True))
    assert now[0,] == pytest.approx(0.05 * was[0,] + 0.01 * was[()])
    assert now[()] == pytest.approx(0.99 * was[()] + 0.95 * was[0,])
    assert now[1,] == pytest.approx(0.99 * was[1,] + 0.95 * was[0, 1]) and now[OFF,] == pytest.approx(was[OFF,])
    assert now[0, 1] == pytest.approx(0.05 * was[0, 1] + 0.01 * was[1,]) and len(at) == len(was)


def test_where_to_look_when_it_is_hardly_the_fuel_system() -> None:
    """0.4 of no place of it, three times the likeliest place; only while the complaint stands and nothing was found there."""
    system = SystemMap.from_table(VAN)
    away = [complaint(system, step=1), Evidence(2, "x", factors={OFF_MAP: 400.0})]
    assert looks_outside(conclude(away, system)) and not looks_outside(conclude(away[:1], system))
    assert not looks_outside(conclude(away[1:], system))
    outside = Evidence(3, "boost", 0.001, Sense({"": Question({}, 0.01, off_map=0.9)}, 5.0))
    assert not looks_outside(conclude([*away, outside], system)) and found_outside(conclude([*away, outside], system))
    assert not found_outside(conclude(away, system)) and not to_mend(conclude(away, system))


def test_a_tally_by_hand() -> None:
    """An edge belongs to the bin above, but the last; Brier's mean square."""
    tally = Tally((0.0, 0.5, 1.0))
    for chance, came in ((0.0, False), (0.5, True), (1.0, True), (0.2, True)):
        tally.add(chance, came)
    assert tally.count == 4 and tally.brier == pytest.approx((0.25 + 0.64) / 4)
    assert [(row.low, row.count, row.stated, row.true) for row in tally.table()] == [
        (0.0, 2, pytest.approx(0.1), 0.5), (0.5, 2, pytest.approx(0.75), 1.0)
    ]  # fmt: skip
    assert math.isnan(Tally().brier) and Tally().table() == ()
    for wrong in (-0.01, 1.01):
        with pytest.raises(ValueError, match="not a chance"):
            tally.add(wrong, True)


@pytest.mark.parametrize("weight", [0.0, -1.0, 1e6])
def test_a_places_weight_is_positive(weight: float) -> None:
    with pytest.raises(PluginError, match="positive number"):
        Place("x", "supply", "hydraulic", "x", weight=weight)
    assert Place("x", "supply", "hydraulic", "x").weight == 1.0


@pytest.mark.parametrize(("filter_is", "outside"), [(1.0, True), (5.0, False)])
def test_the_likeliest_place_decides_whether_to_look_outside(filter_is: float, outside: bool) -> None:
    """0.4 of no place is enough where the likeliest has less than a third of that, and no other counts."""
    system = small()
    found = conclude([complaint(system, step=1), Evidence(2, "x", factors={OFF_MAP: 60.0, "filter": filter_is})], system)
    of_none, first, second = found.chances[OFF_MAP] + found.chances[NO_FAULT], *(s.chance for s in found.standings[:2])
    assert of_none >= 0.4 and of_none >= 3 * second and (of_none >= 3 * first) == outside and looks_outside(found) == outside


def test_a_calibration_table_goes_by_tenths() -> None:
    tally = Tally()
    for n in range(10):
        tally.add(n / 10 + 0.05, True)
    assert [(row.low, row.high, row.count) for row in tally.table()] == [(n / 10, (n + 1) / 10, 1) for n in range(10)]


def test_evidence_as_json() -> None:
    """What was found and what it says of which place; stated factors have no chance and no reach."""
    sense = Sense({"": Question({"injector {n}": 0.8}, 0.1)}, 5.0, objects=("injector *",), source="a book")
    told = Evidence(3, "x", 0.25, sense, object="injector 2", said="low", shares=frozenset({"b", "a"})).to_dict()
    assert (told["conforms"], told["reach"], told["false_alarm"], told["shares"]) == (
        0.25,
        {"injector 2": 0.8},
        0.1,
        ["a", "b"],
    )
    assert (told["factors"], told["source"], told["said"], told["void"], told["explains"]) == (
        None,
        "a book",
        "low",
        False,
        1.0,
    )
    stated = Evidence(3, "x", factors={"filter": 2.0}).to_dict()
    assert (stated["conforms"], stated["reach"], stated["false_alarm"], stated["source"]) == (None, {}, None, "")
    assert stated["factors"] == {"filter": 2.0} and stated["left"] == 1.0


def test_the_chance_of_any_of_all_and_of_a_stage() -> None:
    """Sums over the hypotheses, by enumeration."""
    found = conclude([look(1, 0.2)], small())
    sets, weights = found.history.hypotheses.sets, found.belief.weights
    pairs = list(zip(sets, weights, strict=True))
    assert found.of_any(["filter", "pump"]) == pytest.approx(sum(w for s, w in pairs if {0, 1} & set(s)))
    assert found.of_all(["injector 1", "injector 2"]) == pytest.approx(sum(w for s, w in pairs if {2, 3} <= set(s)))
    assert found.sum("delivery") == pytest.approx(sum(w for s, w in pairs if {2, 3} & set(s)))
    assert found.sum("delivery", "control") == 0.0 and found.sum() == pytest.approx(found.sum("", "hydraulic"))


def test_the_fewest_places_that_hold_the_fault_are_open() -> None:
    """Names taken by their shares until one of them is the case with 95 %; and all that are likely."""
    found = conclude([Evidence(1, "x", factors={"filter": 200.0, "pump": 60.0})], small())
    names, every = sorted(found.chances, key=lambda name: -found.chances[name]), found.history.hypotheses
    for count in range(1, len(names)):
        inside = set(names[:count])
        chance = sum(w for at, w in enumerate(found.belief.weights) if (every.members(at) or {NO_FAULT}) & inside)
        if chance >= 0.95:
            break
    assert set(found.open) == inside and list(found.open) == names[:count] and 1 < count < len(names)


def test_what_is_not_known_of_a_test_that_was_taken_is_settled_first_where_most_is_lost() -> None:
    needs = (Need("warm", "warm?", met=0.9), Need("hot", "", met=0.5))
    one = Evidence(1, "a", 0.2, Sense({"": Question({"filter": 0.8})}, 5.0, needs=needs))
    two = Evidence(2, "b", 0.2, Sense({"": Question({"pump": 0.8})}, 5.0, needs=(Need("dry", "dry?", met=0.3),)))
    found = conclude([one, two], small()).unsettled
    assert [(u.step, u.need.name, u.left) for u in found] == [(2, "dry", pytest.approx(0.3)), (1, "warm", pytest.approx(0.45))]
    answered = Evidence(2, "b", 0.2, two.sense, answers={"dry": True})
    assert [u.step for u in conclude([one, answered], small()).unsettled] == [1]


def test_how_surely_good_tests_would_have_shown_a_fault() -> None:
    """Together: what is left of each one's not seeing it; a bad one counts as no trial."""
    found = conclude([look(1, 0.99), look(2, 0.99, 0.5), look(3, 0.5, 0.9)], small())
    standing = next(each for each in found.standings if each.place.name == "filter")
    assert standing.tried == pytest.approx(1 - 0.2 * 0.5) and standing.steps == (1, 2, 3)
    assert all(each.tried == 0.0 and each.steps == () for each in found.standings if each.place.name != "filter")
