"""What the orders say of the elements: even, one weaker, or not to be told; and what else makes the same orders."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, NamedTuple

from baybook.api import Estimate, Finding, Message

if TYPE_CHECKING:
    from baybook_physics.strokes import Found

EVEN, LACKS = 10.0, 20.0
"""% of one element: less is as even as pumps are; one that lacks more than that at least is weak, for what is seen is a least
one: losses, a valve that lets go and a pump that is filled in part flatten it. common practice, no source."""
SMALL = 0.1  # of the strokes' own flow: a first order below it is none without displacement (common practice, no source)
NEAR = 0.2  # orders nearer than this are one
UNEVEN = (
    "Rail pressure has the pump's order {order} with {amplitude}, more than its strokes carry: one element gives less than "
    "the others, or fills worse."
)
UNEVEN_SHARE = (
    "Rail pressure has the pump's order {order} with {amplitude}, which a healthy pump lacks: one element lacks {share} of "
    "its delivery at least. Its piston, its valves, or what it is fed with."
)
SOME = (
    "Rail pressure has the pump's order {order} with {amplitude}: the elements differ; whether by more than is usual, this "
    "does not tell."
)
ENGINE = (
    "Rail pressure has the pump's order {order} with {amplitude}; at this drive the engine's own cycle makes the same order, "
    "as injectors or cylinders that differ do."
)
DROWNED = (
    "Beside the pump's orders is as much as {noise}, too much for a weak element to be seen: the drive or the number of "
    "elements may be others, the speed unsteady, or the log too short."
)
CLEARED = "Rail pressure has no more than {amplitude} at the orders that an uneven pump makes: its elements give alike."
OUTLET = Message(
    "An outlet valve that lets go, and any loss, flatten these orders: the share is at least that. Two elements that are weak "
    "alike show less than one."
)
BEND = Message(
    "Half-sine strokes make the double of an odd number of elements; fuel that is compressed first and valves that delay make "
    "the number itself as well."
)
PUMP = Message("prove supply pressure and flow, and air, first (calculator supply); then have the pump's elements tested")
CRANK = Message(
    "log while cranking with injection kept off as the data say; compare the injectors as well (calculator returns)"
)
LONGER = Message("log for longer, and with displacement and rail volume known")


class Judged(NamedTuple):
    """The word, the share that one element lacks (None where it cannot be told), and the findings."""

    word: str
    share: Estimate | None
    findings: tuple[Finding, ...]


def suspects(orders: Sequence[Found], elements: int, lobes: int) -> list[Found]:
    """The orders below the strokes', which equal elements do not make."""
    return [each for each in orders if each.order < elements * lobes - 0.5]


def strokes(orders: Sequence[Found], elements: int, lobes: int) -> list[Found]:
    """The strokes' own order and its double."""
    return [each for each in orders if each.order in (elements * lobes, 2 * elements * lobes)]


def of_engine(order: float, ratio: float, injecting: bool) -> bool:
    """Whether the engine's cycle, half a turn of the crank's order, or a multiple makes this order of the pump."""
    cycle = 0.5 / ratio
    return injecting and abs(order / cycle - round(order / cycle)) * cycle < NEAR


def findings(worst: Found, most: float, share: Estimate | None, engine: bool, judged: str) -> Iterator[Finding]:
    """What follows; most: the strokes' own flow, as pressure times order, at most. judged: the verdict on the share, or ""."""
    amplitude = Estimate.of(worst.amplitude, "bar", worst.u, kind="pressure difference")
    told: dict[str, float | Estimate] = {"order": worst.order, "amplitude": amplitude}
    if not worst.stands_out:
        noise = Estimate(worst.noise, "bar", 0.0, max(2 * worst.noise, 1e-9), kind="pressure difference")
        if 2 * worst.noise * worst.order > SMALL * most:
            yield Finding("generation", "hydraulic", Message(DROWNED, noise=noise), "undecided", LONGER)
            return
        yield Finding("generation", "hydraulic", Message(CLEARED, amplitude=noise), "cleared")
        return
    strong = worst.order * (worst.amplitude - 1.96 * worst.u) > most
    if judged == "outside" or strong or (share is not None and share.to("%").low > LACKS):
        if engine:
            yield Finding("generation", "hydraulic", Message(ENGINE, **told), "undecided", CRANK)
        elif share is not None:
            yield Finding("generation", "hydraulic", Message(UNEVEN_SHARE, share=share, **told), "indicated", PUMP)
        else:
            yield Finding("generation", "hydraulic", Message(UNEVEN, **told), "indicated", PUMP)
    elif judged == "within" or _small(worst, most, share):
        yield Finding("generation", "hydraulic", Message(CLEARED, amplitude=amplitude), "cleared")
    else:
        yield Finding("generation", "hydraulic", Message(SOME, **told), "undecided", CRANK if engine else LONGER)


def _small(worst: Found, most: float, share: Estimate | None) -> bool:
    if share is not None:
        return share.to("%").high < EVEN
    return worst.order * (worst.amplitude + 1.96 * worst.u) < SMALL * most


def word_of(found: Sequence[Finding]) -> str:
    """even, uneven or undecided."""
    return {"cleared": "even", "indicated": "uneven"}.get(found[0].strength, "undecided")
