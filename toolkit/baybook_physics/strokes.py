"""What the orders of a pump mean: how much of one element is missing, which sample rate shows them. Plain floats, no numpy."""

from __future__ import annotations

from math import pi
from typing import NamedTuple

__all__ = ["Found", "missing_share", "missing_share_by_strokes", "needed_rate"]

STANDS_OUT = 3.0
"""Times the noise's own size: by chance an order gets there in about one case of ten thousand (Rayleigh: exp(-9))."""
MARGIN = 1.1


class Found(NamedTuple):
    """One order in a recording: its amplitude (peak value) with its standard uncertainty, and how large noise is there."""

    order: float
    amplitude: float
    u: float
    noise: float

    @property
    def stands_out(self) -> bool:
        """Whether it is more than noise."""
        return self.amplitude > STANDS_OUT * self.noise


def missing_share(flow: float, mean: float, elements: int) -> float:
    """How much of one element's delivery lacks, by the flow's amplitude at its own order, all others being whole.

    mean: of the whole pump, in the unit of flow. Turned round from `kinematic_orders`: one of n elements at 1 - w makes
    w pi/2 of an element's mean.
    """
    return flow / (pi / 2 * mean / elements)


def needed_rate(turns_per_second: float, elements: int, lobes: int = 1) -> float:
    """The sample rate (Hz) that shows the strokes and their double, which an odd number of elements makes in the first place.

    Twice the frequency (Nyquist, Shannon 1949) and a tenth.
    """
    return 2.0 * MARGIN * 2 * elements * lobes * turns_per_second


def missing_share_by_strokes(own: float, strokes: float, elements: int) -> float:
    """The same by the strokes of an even number of elements, whose order is 2/(n^2 - 1) of their mean: no flow has to be known.

    own, strokes: amplitudes of pressure times their order. ValueError for an odd number, whose strokes' order is none of a half
    sine's.
    """
    if elements % 2:
        raise ValueError(f"{elements} elements do not make their own order by their motion")
    seen = own / strokes * 2.0 / (elements**2 - 1)
    return seen * elements / (pi / 2 + seen)
