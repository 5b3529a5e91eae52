"""Which hypotheses are drawn from, how often, and what is left out: straight lines, and beliefs that forbid."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pytest
from tests.physics.test_inference import Line

from baybook_physics.inference.evidence import ENOUGH, effective, most_probable, probabilities, sample_all
from baybook_physics.inference.fit import Fit, fit


@dataclass(frozen=True)
class Barred(Line):
    """A line whose slope has to lie above `least`."""

    least: float = -1e9

    def log_prior(self, rows: np.ndarray) -> np.ndarray:
        return np.where(rows[:, 1] > self.least, super().log_prior(rows), -np.inf)


BEST = fit(Line(), np.zeros(2))


def costing(more: float) -> Fit:
    return Fit(BEST.row, BEST.cost + more, BEST.left)


def drawn(more: dict[str, float], least: dict[str, float], count: int = 200) -> dict[str, int]:
    """How many rows there are of each hypothesis that is left."""
    problems = {name: Barred(least=least.get(name, -1e9)) for name in more}
    fits = {name: costing(size) for name, size in more.items()}
    found = sample_all(problems, fits, dict.fromkeys(more, count), dict.fromkeys(more, 1.0 / len(more)))
    return {name: len(sample.rows) for name, sample in found.items()}


def test_what_costs_25_more_than_the_best_is_left_out() -> None:
    """exp(-25) is one in seven hundred million of thousands."""
    assert most_probable({"a": costing(3.0), "b": costing(0.0), "c": costing(2.0)}) == "b"
    assert list(drawn({"near": 24.9, "best": 0.0, "far": 25.0}, {})) == ["near", "best"]


def test_where_the_best_cannot_be_true_those_that_fit_worse_are_tried() -> None:
    """Up to a thousand; beyond that nothing is left. One that is possible makes those that are not left out, and no more."""
    never = {"best": 1e6}
    assert list(drawn({"best": 0.0, "far": 30.0, "absurd": 1000.5}, never)) == ["far"]
    assert list(drawn({"best": 0.0, "near": 5.0, "far": 30.0}, never)) == ["near"]
    assert drawn({"best": 0.0, "absurd": 1000.5}, never) == {}


def test_as_many_again_are_drawn_until_they_are_enough_or_ten_rounds_are_over() -> None:
    """Of one hypothesis: enough at once, after a few rounds, and never (six at a time are at most 66 of 120)."""
    assert drawn({"one": 0.0}, {}, 200) == {"one": 200}
    few = drawn({"one": 0.0}, {}, 40)["one"]
    assert few % 40 == 0 and ENOUGH <= few <= 240
    assert drawn({"one": 0.0}, {}, 6) == {"one": 66}


def test_more_are_drawn_of_the_one_that_needs_them_most() -> None:
    """Two that are as likely as each other, of which one was drawn well: only the other is drawn again."""
    problems, fits = {"a": Line(), "b": Line()}, {"a": BEST, "b": BEST}
    samples = sample_all(problems, fits, {"a": 400, "b": 40}, {"a": 0.5, "b": 0.5})
    assert len(samples["a"].rows) == 400 and 40 <= len(samples["b"].rows) <= 120
    after = probabilities({name: found.log_evidence for name, found in samples.items()}, {"a": 0.5, "b": 0.5})
    assert effective(samples, after) >= ENOUGH and after["a"] == pytest.approx(0.5, abs=0.1)


def test_bayes_rule_by_hand() -> None:
    """Evidences 2 to 1 with beliefs of 0.2 and 0.6, and a third without draws: 0.4 and 0.6; however small they are."""
    for shift in (0.0, -5000.0):
        found = probabilities({"a": shift + np.log(2.0), "b": shift}, {"a": 0.2, "b": 0.6, "c": 0.2})
        assert found == pytest.approx({"a": 0.4, "b": 0.6, "c": 0.0})
