"""Which of several hypotheses explains the data, and how much belief each deserves."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray

from .fit import Fit
from .problem import Problem, Simulation
from .sample import Sample, sample

__all__ = ["HOPELESS", "most_probable", "probabilities", "sample_all"]

Floats = NDArray[np.float64]

HOPELESS = 25.0
"""A hypothesis whose best fit costs so much more (in log) than the best is left out."""


def most_probable(fits: Mapping[str, Fit]) -> str:
    """The hypothesis that fits best."""
    return min(fits, key=lambda name: fits[name].cost)


def sample_all(
    problems: Mapping[str, Problem[Simulation]], fits: Mapping[str, Fit], counts: Mapping[str, int], seed: int = 1
) -> dict[str, Sample[Simulation]]:
    """Draws under each hypothesis that is not hopeless, `counts` each at most; in the order of `problems`.

    A hypothesis of which no draw can be true is left out.
    """
    least = fits[most_probable(fits)].cost
    near = [name for name in problems if name in fits and fits[name].cost < least + HOPELESS]
    drawn = {name: sample(problems[name], fits[name].row, counts[name], seed) for name in near}
    return {name: found for name, found in drawn.items() if found is not None}


def probabilities(samples: Mapping[str, Sample[Any]], prior: Mapping[str, float]) -> dict[str, float]:
    """Probability of each hypothesis of `prior` after the data, by Bayes' rule; 0 for those without draws; sum 1."""
    logs = {name: found.log_evidence + math.log(prior[name]) for name, found in samples.items()}
    top = max(logs.values())
    total = sum(math.exp(value - top) for value in logs.values())
    return {name: math.exp(logs[name] - top) / total if name in logs else 0.0 for name in prior}
