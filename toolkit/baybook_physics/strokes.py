"""What the orders of a pump mean: how much of one element is missing, which sample rate shows them. Plain floats, no numpy."""

from __future__ import annotations

from collections.abc import Sequence
from math import pi
from typing import NamedTuple

__all__ = [
    "EVEN", "Found", "is_of_engine", "is_small", "least_pressure", "missing_share", "missing_share_by_strokes",
    "most_flow", "needed_rate", "own_strokes", "pattern", "suspects",
]  # fmt: skip

STANDS_OUT = 3.0
"""Times the noise's own size: by chance an order gets there in about one case of ten thousand (Rayleigh: exp(-9))."""
MARGIN = 1.1
EVEN, LACKS = 10.0, 20.0
"""% of one element: less is as even as pumps are; one that lacks more than that at least is weak, for what is seen is a least
one: losses, a valve that lets go and a pump that is filled in part flatten it. common practice, no source."""
SMALL = 0.1  # of the strokes' own flow: a first order below it is none without displacement (common practice, no source)
LIKE = 0.2
"""Of the strokes' own pressure. A valve that gives way flattens a slow order more than the fast ones of the strokes, by the
ratio of their frequencies at most: a first order below this share is no weak element's even so (common practice, no source)."""
NEAR = 0.2  # orders nearer than this are one


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


def suspects(orders: Sequence[Found], number: int) -> list[Found]:
    """The orders below the strokes', which equal elements do not make; number: strokes in a turn."""
    return [each for each in orders if each.order < number - 0.5]


def own_strokes(orders: Sequence[Found], number: int) -> list[Found]:
    """The strokes' own order and its double."""
    return [each for each in orders if each.order in (number, 2 * number)]


def most_flow(strokes: Sequence[Found]) -> float:
    """The strokes' own flow at most (97.5 %), as pressure times order."""
    return max(each.order * (each.amplitude + 1.96 * each.u) for each in strokes)


def least_pressure(strokes: Sequence[Found]) -> float:
    """The strokes' own pressure at least (97.5 %), of the stronger of both orders."""
    return max(0.0, *(each.amplitude - 1.96 * each.u for each in strokes))


def is_of_engine(order: float, ratio: float) -> bool:
    """Whether the engine's cycle, half a turn of the crank's order, or a multiple makes this order of the pump.

    ratio: turns of the pump for one of the crank.
    """
    cycle = 0.5 / ratio
    return abs(order / cycle - round(order / cycle)) * cycle < NEAR


def is_small(worst: Found, strokes: Sequence[Found]) -> bool:
    """Whether an order is so little beside the strokes that no flattening can have made it so of a weak element's."""
    return worst.amplitude + 1.96 * worst.u < LIKE * least_pressure(strokes)


def pattern(
    worst: Found, strokes: Sequence[Found], lacks: tuple[float, float] | None, judged: str = "", *, flattened: bool = True
) -> str:
    """What the worst order that equal elements do not make says of them.

    strokes: their own order and its double; lacks: how much one element lacks at least, with its own 95 %, where that is known;
    judged: the verdict on that, where there is one; flattened: whether a valve may have flattened the orders.
    `drowned`: noise would hide a weak element; `silent`: no more than noise; `even`; `uneven`: one gives less; `differs`: more
    than even, and not shown to be more than usual.
    """
    most = most_flow(strokes)
    if not worst.stands_out:
        return "drowned" if 2 * worst.noise * worst.order > SMALL * most else "silent"
    least, highest = (worst.order * (worst.amplitude + side * 1.96 * worst.u) for side in (-1, 1))
    if judged == "outside" or least > most or (lacks is not None and lacks[0] > LACKS):
        return "uneven"
    few = highest < SMALL * most if lacks is None else judged == "within" or lacks[1] < EVEN
    return "even" if few and (is_small(worst, strokes) or not flattened) else "differs"
