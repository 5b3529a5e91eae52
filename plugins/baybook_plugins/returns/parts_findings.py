"""What the returns of injectors, outlet valve and pump say, each at its own stage."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any, Literal, NamedTuple

from baybook.api import Estimate, Finding, Message, Reading, Verdict

from .findings import ASK_PRESSURE, NEED_LIMIT, RAISE_PRESSURE
from .states import low_rail

Stage = Literal["supply", "generation", "storage", "delivery"]
Strength = Literal["indicated", "undecided", "cleared"]
PARTS_OF = {"injectors": "the injectors", "valve": "the outlet valve", "pump_own": "the pump itself"}
STAGE_OF: dict[str, Stage] = {"injectors": "delivery", "valve": "storage", "pump_own": "generation"}
ALL_OF_IT = 95.0
"""% of what the pump gives: what is left then is neither injected nor holds a pressure. common practice, no source"""
ABOVE = {
    "injectors": (
        "All injectors together return {flow}, outside {limit}: one or several return too much.",
        Message(
            "each by itself (calculator returns), or where they share one return with one shut off at a time (calculator "
            "common-return)"
        ),
    ),
    "valve": (
        "The outlet valve, driven shut, returns {flow}, outside {limit}: it does not close, by dirt, wear or its drive.",
        Message(
            "what drives it: current (calculator regulator), coil (calculator coil), wiring (calculator drop); then the valve"
        ),
    ),
    "pump_own": (
        "The pump itself returns {flow}, outside {limit}: its overflow valve stands open, or its elements leak inside.",
        Message(
            "feed pressure (calculator supply): low speaks for the overflow valve; then the pressure reached (calculator pump)"
        ),
    ),
}
BELOW = {
    "injectors": (
        "All injectors together return {flow}, outside {limit}: less than they should.",
        Message("is the return open as far as the can, and are all injectors driven? Then collect again"),
    ),
    "valve": (
        "The outlet valve returns {flow}, outside {limit}: less than it should let out.",
        Message("is it asked to let out (calculator regulator), and is the return open? Then collect again"),
    ),
    "pump_own": (
        "The pump itself returns {flow}, outside {limit}: it gets too little, or its overflow does not open.",
        Message("feed pressure and flow (calculator supply)"),
    ),
}
WITHIN = {
    "injectors": (
        "All injectors together return {flow}, within {limit}: in this condition no pressure is lost through them.",
        Message(
            "the outlet valve's own return (calculator return-parts), the shut rail (calculator hold); in another condition "
            "the returns are still open"
        ),
    ),
    "valve": (
        "The outlet valve returns {flow}, within {limit}: in this condition no pressure is lost through it.",
        Message("the injectors' returns (calculator returns), the shut rail (calculator hold)"),
    ),
    "pump_own": (
        "The pump itself returns {flow}, within {limit}: by this its feed is enough. Whether its elements are sound is open.",
        Message("the pressure reached (calculator pump)"),
    ),
}
TOTAL_ABOVE = "Together {total} comes back, outside {limit}; {part} takes most: {flow}."
TOTAL_WITHIN = "Together {total} comes back, within {limit}. A part may still return more than it may by itself."
TOTAL_BELOW = "Together {total} comes back, outside {limit}: less than should."
UNSURE = "What {part} returned, {flow}, is too uncertain to be judged against {limit}."
TOGETHER = "all of them"
LONGER = Message("collect for longer, or read a finer can")
THAT_PART = Message("the limit of that part by itself")
EACH_PART = Message("the limit of each part by itself")
NOT_SHUT = (
    "The outlet valve returns {flow}, outside {limit}. It was not driven shut: it may let out what is not needed, as it is "
    "asked to."
)
SHUT_FIRST = Message("drive it shut the maker's way and collect again; or see what is asked of it (calculator regulator)")
NOTHING = "No return here can be told from nothing. Without a limit it has no verdict."
MOST = "{part} returns most, {flow} of {total} together. Without a limit it has no verdict."
EATEN = (
    "Through injectors and outlet valve comes back {share} of what the pump is said to give: next to nothing is left to be "
    "injected or to hold the pressure; {part} takes most."
)
EATEN_NEXT = Message("make sure of what the pump gives in this condition (calculator pump); then the part that takes most")
NO_PRESSURE = "At which rail pressure it was collected was not said, so that it clears nothing."
LOW_PRESSURE = "At a rail pressure of {pressure} only it clears nothing."


class Seen(NamedTuple):
    """What was collected, at which pressure, and whether the outlet valve was driven shut."""

    found: Mapping[str, Estimate]
    pressure: Reading | None
    condition: str | None
    shut: bool

    @property
    def parts(self) -> list[str]:
        """The parts that were collected, the largest return first; what the pump returns itself never was at high pressure."""
        return sorted(
            (name for name in PARTS_OF if name in self.found), key=lambda name: (name == "pump_own", -self.found[name].value)
        )

    @property
    def largest(self) -> Message:
        """The part with the largest return, in words."""
        return Message(PARTS_OF[self.parts[0]] if self.found[self.parts[0]].low > 0.0 else "none that can be told from nothing")

    @property
    def open(self) -> tuple[Message, Message] | None:
        """Why a return that is within clears nothing, and what to do; None where it does."""
        if self.pressure is None:
            return Message(NO_PRESSURE), ASK_PRESSURE
        return (Message(LOW_PRESSURE, pressure=self.pressure), RAISE_PRESSURE) if self.low else None

    @property
    def low(self) -> bool:
        """Whether the rail pressure was low for the condition."""
        return low_rail(self.condition, self.pressure)


def findings(seen: Seen, verdicts: Sequence[Verdict]) -> Iterator[Finding]:
    """What is beyond its limit first, at its own stage; then whether all that the pump gives comes back."""
    share, largest = seen.found.get("share_of_delivery"), seen.parts[0]
    if share is not None and share.low >= ALL_OF_IT:
        taker = max(("injectors", "valve"), key=lambda name: seen.found[name].value if name in seen.found else -1.0)
        said = Message(EATEN, share=share, part=Message(PARTS_OF[taker]))
        yield _finding(taker, said, "indicated", EATEN_NEXT)
    order = {"outside": 0, "undecided": 1, "within": 2}
    for verdict in sorted(verdicts, key=lambda verdict: order[verdict.verdict]):
        yield _of_total(seen, verdict) if verdict.what == "total" else _of_part(seen, verdict)
    if not verdicts:
        told: dict[str, Any] = {"part": Message(PARTS_OF[largest]), "flow": seen.found[largest], "total": seen.found["total"]}
        said = Message(MOST, **told) if seen.found[largest].low > 0.0 else Message(NOTHING)
        yield _finding(largest, said, "undecided", NEED_LIMIT)


def _of_part(seen: Seen, verdict: Verdict) -> Finding:
    part = verdict.what
    told: dict[str, Any] = {"flow": seen.found[part], "limit": verdict.range}
    if verdict.way:
        text, after = (ABOVE if verdict.way == "above" else BELOW)[part]
        starved = part == "pump_own" and verdict.way == "below"
        return _finding(part, Message(text, **told), "indicated", after, "supply" if starved else None)
    if verdict.verdict == "undecided":
        if verdict.probability is None:
            return _finding(part, Message(NOT_SHUT, **told), "undecided", SHUT_FIRST)
        return _finding(part, Message(UNSURE, part=Message(PARTS_OF[part]), **told), "undecided", LONGER)
    text, after = WITHIN[part]
    if part == "pump_own":
        return _finding(part, Message(text, **told), "undecided", after)
    if seen.open is not None:
        why, first = seen.open
        return _finding(part, Message("{said} {why}", said=Message(text, **told), why=why), "undecided", first)
    return _finding(part, Message(text, **told), "cleared" if part == "injectors" else "undecided", after)


def _of_total(seen: Seen, verdict: Verdict) -> Finding:
    largest = seen.parts[0]
    part = Message(PARTS_OF[largest])
    told: dict[str, Any] = {"total": seen.found["total"], "limit": verdict.range}
    if verdict.way == "above":
        said = Message(TOTAL_ABOVE, part=part, flow=seen.found[largest], **told)
        return _finding(largest, said, "indicated", THAT_PART)
    if verdict.way == "below":
        return _finding(largest, Message(TOTAL_BELOW, **told), "undecided", EACH_PART)
    if verdict.verdict == "undecided":
        said = Message(UNSURE, part=Message(TOGETHER), flow=seen.found["total"], limit=verdict.range)
        return _finding(largest, said, "undecided", LONGER)
    return _finding(largest, Message(TOTAL_WITHIN, **told), "undecided", EACH_PART)


def _finding(part: str, said: Message, strength: Strength, after: Message, stage: Stage | None = None) -> Finding:
    return Finding(stage or STAGE_OF[part], "hydraulic", said, strength, after)
