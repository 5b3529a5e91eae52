"""The engine against jobs drawn from declared senses. This checks the engine, not the reaches: those are common practice."""

from __future__ import annotations

import random
from statistics import median

import pytest
from tests.places import trials

from baybook.places.archive import bins, calibration_error
from baybook.places.sense import Sense


def _worst(stated):
    return max(abs(row.stated - row.true) for row in bins(stated) if row.count >= 100)


@pytest.fixture(scope="module")
def drawn():
    return trials.calibration(12_000, seed=7)


def test_stated_chances_come_true_as_often_as_they_say(drawn):
    """Within 3 points in every bin over 12,000 jobs (20,000 and more: tools/simulate_places.py).

    Instruments are shared, needs not known, tests made twice, parts repaired.
    """
    stated, _ = drawn
    table = bins(stated)
    assert len(table) == 10
    assert min(row.count for row in table) >= 100
    assert _worst(stated) <= 0.03
    assert calibration_error(table) < 0.003


def test_jobs_without_a_slip_are_seldom_called_contradictory(drawn):
    assert drawn[1] < 0.05


def test_the_check_can_fail(monkeypatch):
    """Where the tests show less than they are declared to, stated chances are wrong and the table says so."""
    true = trials.BENCH_TESTS

    def weaker(self, step, test, sense, on="", word="", cause=""):
        weak = Sense.one({"rail and joints": 0.3, "injector *": 0.2}, 5.0) if test == "hold" else sense
        item = drawn_by(self, step, test, weak, on, word, cause)
        return trials.Evidence(item.step, test, item.conforms, sense, word, on, shares=item.shares)

    drawn_by = trials.Vehicle.take
    monkeypatch.setattr(trials.Vehicle, "take", weaker)
    monkeypatch.setattr(trials, "BENCH_TESTS", {name: true[name] for name in ("hold", "coil")})
    stated, _ = trials.calibration(2_000, seed=7)
    assert _worst(stated) > 0.03


def test_following_what_is_proposed_is_quicker_than_the_fixed_order_along_the_fuels_way():
    """Median minutes until the true place stands at 95 %; a job whose tests run out before that never gets there."""
    search = trials.workshop_search(injectors=1)
    chance = random.Random(11)
    places = [chance.choice(search.system.places).name for _ in range(12)]
    ways = [[search.job(place, seed, following=following) for seed, place in enumerate(places)] for following in (True, False)]
    proposed, fixed = (median(way.minutes if way.reached else float("inf") for way in each) for each in ways)
    assert proposed < fixed
    assert sum(way.reached for way in ways[0]) >= sum(way.reached for way in ways[1])
