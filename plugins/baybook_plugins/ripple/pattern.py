"""What the orders say of the elements: even, one weaker, or not to be told; and what else makes the same orders."""

from __future__ import annotations

from typing import TYPE_CHECKING

from baybook.api import Estimate, Finding, Message, Statement

if TYPE_CHECKING:
    from baybook_physics.strokes import Found

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
UNEVEN = Statement(
    "Rail pressure has the pump's order {order} with {amplitude}, more than its strokes carry: one element gives less than "
    "the others, or fills worse.", "indicated", PUMP,
)  # fmt: skip
UNEVEN_SHARE = Statement(
    "Rail pressure has the pump's order {order} with {amplitude}, which a healthy pump lacks: one element lacks {share} of "
    "its delivery at least. Its piston, its valves, or what it is fed with.", "indicated", PUMP,
)  # fmt: skip
SOME = (
    "Rail pressure has the pump's order {order} with {amplitude}: the elements differ; whether by more than is usual, this "
    "does not tell."
)
ENGINE = Statement(
    "Rail pressure has the pump's order {order} with {amplitude}; at this drive the engine's own cycle makes the same order, "
    "as injectors or cylinders that differ do.", "undecided", CRANK,
)  # fmt: skip
DROWNED = Statement(
    "Beside the pump's orders is as much as {noise}, too much for a weak element to be seen: the drive or the number of "
    "elements may be others, the speed unsteady, or the log too short.", "undecided", LONGER,
)  # fmt: skip
EVEN = Statement(
    "Rail pressure has no more than {amplitude} at the orders that an uneven pump makes: its elements give alike, all of them "
    "well or all of them little.", "undecided",
    Message("how much they give together: highest pressure, outlet valve driven shut (calculator pump)"),
)  # fmt: skip


def finding(pattern: str, worst: Found, share: Estimate | None, *, engine: bool) -> Finding:
    """What follows of a pattern (`strokes.pattern`); engine: whether its cycle makes that order too."""
    if not worst.stands_out:
        noise = Estimate(worst.noise, "bar", 0.0, max(2 * worst.noise, 1e-9), kind="pressure difference")
        return DROWNED.finding(noise=noise) if pattern == "drowned" else EVEN.finding(amplitude=noise)
    amplitude = Estimate.of(worst.amplitude, "bar", worst.u, kind="pressure difference")
    if pattern == "even":
        return EVEN.finding(amplitude=amplitude)
    told: dict[str, float | Estimate] = {"order": worst.order, "amplitude": amplitude}
    if pattern == "differs":
        return Statement(SOME, "undecided", CRANK if engine else LONGER).finding(**told)
    if engine:
        return ENGINE.finding(**told)
    return UNEVEN.finding(**told) if share is None else UNEVEN_SHARE.finding(share=share, **told)


def word_of(found: Finding) -> str:
    """even, uneven or undecided."""
    even = isinstance(found.statement, Message) and found.statement.template == EVEN.text
    return "even" if even else {"indicated": "uneven"}.get(found.strength, "undecided")
