"""Which of several hypotheses explains the data, and how much belief each deserves."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray

from .fit import Fit
from .problem import Problem, Simulation
from .sample import Draws, Sample

__all__ = ["ENOUGH", "HOPELESS", "effective", "most_probable", "probabilities", "sample_all"]

Floats = NDArray[np.float64]

HOPELESS = 25.0
"""A hypothesis whose best fit costs so much more (in log) than the best is left out."""
ENOUGH = 120.0
"""Equally likely draws that a result rests on; an end of its 95 % interval then lies off by a tenth of its width or so."""
_ROUNDS = 10
_ABSURD = 1000.0  # what costs so much more (in log) than the best explains nothing, even where nothing else can be true


def most_probable(fits: Mapping[str, Fit]) -> str:
    """The hypothesis that fits best."""
    return min(fits, key=lambda name: fits[name].cost)


def sample_all(
    problems: Mapping[str, Problem[Simulation]], fits: Mapping[str, Fit], counts: Mapping[str, int],
    prior: Mapping[str, float], seed: int = 1,
) -> dict[str, Sample[Simulation]]:  # fmt: skip
    """Draws under each hypothesis that is not hopeless, `counts` each to begin with; in the order of `problems`.

    As many again, each time of the hypothesis that needs them most, until all together are as good as `ENOUGH` equally likely
    ones, or `_ROUNDS` are over. A hypothesis of which no draw can be true is left out; where that leaves none, those that
    fit worse are tried.
    """
    least = fits[most_probable(fits)].cost
    drawn: dict[str, Draws[Simulation]] = {}
    for reach in (HOPELESS, _ABSURD):
        near = [name for name in problems if name in fits and fits[name].cost < least + reach]
        begun = {name: Draws(problems[name], fits[name].row, seed) for name in near}
        for name, draws in begun.items():
            draws.draw(counts[name])
        drawn = {name: draws for name, draws in begun.items() if draws.possible}
        if drawn:
            break
    for _ in range(_ROUNDS if drawn else 0):
        found = {name: draws.weighed() for name, draws in drawn.items()}
        after = probabilities({name: evidence for name, (_, evidence, _) in found.items()}, prior)
        spread = _spread({name: good for name, (_, _, good) in found.items()}, after)
        if sum(spread.values()) <= 1.0 / ENOUGH:
            break
        name = max(spread, key=lambda name: spread[name])
        drawn[name].draw(counts[name])
    return {name: draws.sample() for name, draws in drawn.items()}


def effective(samples: Mapping[str, Sample[Any]], after: Mapping[str, float]) -> float:
    """How many equally likely draws would be as good as all of these, where `after` is each hypothesis' probability."""
    return 1.0 / sum(_spread({name: found.effective for name, found in samples.items()}, after).values())


def _spread(good: Mapping[str, float], after: Mapping[str, float]) -> dict[str, float]:
    """What the draws of each hypothesis add to the variance of a mean over all, against that of one draw."""
    return {name: after[name] ** 2 / each for name, each in good.items()}


def probabilities(log_evidence: Mapping[str, float], prior: Mapping[str, float]) -> dict[str, float]:
    """Probability of each hypothesis of `prior` after the data, by Bayes' rule; 0 for those without draws; sum 1."""
    logs = {name: found + math.log(prior[name]) for name, found in log_evidence.items()}
    top = max(logs.values())
    total = sum(math.exp(value - top) for value in logs.values())
    return {name: math.exp(logs[name] - top) / total if name in logs else 0.0 for name in prior}
