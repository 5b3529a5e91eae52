"""What inference asks of a simulator with priors.

A set of parameters is a row: one value for each of `names`, the poorly known ones as standard normals where that is possible.
Rows come many at once, shape (n, len(names)), and the simulator runs them as one ensemble.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol, Self, TypeVar

import numpy as np
from numpy.typing import NDArray

__all__ = ["Problem", "Simulation"]

Floats = NDArray[np.float64]
Simulation = TypeVar("Simulation")
"""What a run of an ensemble leaves behind, whatever the simulator makes of it."""


class Problem(Protocol[Simulation]):
    """A simulator, what is believed of its parameters, and the data that it is to explain."""

    @property
    def names(self) -> tuple[str, ...]:
        """Of the parameters, in the order of a row."""
        ...

    @property
    def free(self) -> tuple[int, ...]:
        """Places in a row that count; the others stay as they are."""
        ...

    @property
    def steps(self) -> Floats:
        """Step of each parameter for derivatives by differences, shape (len(names),)."""
        ...

    @property
    def weak_precision(self) -> Floats:
        """Shape (len(names),): added to the belief's precision when directions are compared, above 0 where `residuals` hold
        no belief about a parameter; 0 elsewhere."""
        ...

    @property
    def size(self) -> int:
        """Number of data."""
        ...

    def simulate(self, rows: Floats) -> Simulation:
        """Run the ensemble."""
        ...

    def normalised_residuals(self, rows: Floats, simulation: Simulation) -> Floats:
        """(simulated - measured)/sigma, shape (size, n)."""
        ...

    def residuals(self, rows: Floats) -> Floats:
        """The normalised residuals, then those of the beliefs, smooth enough for a fit; shape (size + beliefs, n)."""
        ...

    def residuals_of(self, asked: Sequence[tuple[Self, Floats]]) -> list[Floats]:
        """The residuals of several problems that differ in hypothesis or noise alone, each with its rows: run together."""
        ...

    def log_prior(self, rows: Floats) -> Floats:
        """Logarithm of the belief in each row, normalised alike for all hypotheses; minus infinity for what cannot be; (n,)."""
        ...

    def with_noise(self, factor: float) -> Self:
        """The same with sigma so many times larger."""
        ...
