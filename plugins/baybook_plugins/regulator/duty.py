"""From what a duty meter shows to the share of time the coil is really switched on.

A duty meter counts the high time or the low time of the wire it hangs on. On a ground-switched
wire the coil is on while the wire is low, on a supply-switched one while it is high. Read the
wrong way round, 30 % becomes 70 % and every conclusion is turned over.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from baybook.api import Message, Word
from baybook.dataclass import dataclass
from baybook_physics.pressure_valve import Counts, Switched, on_share

from .states import Ends, against

# How near two ways of finding the same duty must come to count as agreeing, in share of one:
# live data lags and is rounded, drops are left out. common practice, no source
AGREE = 0.05

CHOSEN = "The coil is on for {share} % of the time: {clues_fit} a meter that counts the {level} time."
UNSETTLED = (
    "{reading} % means on for {reading} % or for {other} % of the time, whichever part of the period this meter counts. "
    "Look at the wire with an oscilloscope, or give the duty asked for in live data or the mean voltage of the switched wire."
)
COMPLEMENT = (
    "The reading of {reading} % fits the wrong polarity: {clues_say} that the coil is on for about {share} %, so the meter "
    "counts the other part of the period. Worked on with {share} %; confirm it with an oscilloscope."
)
CONTRADICTED = (
    "The duty meter says that the coil is on for {share} % of the time, but {clues_say}: the wire does not do what is "
    "asked of it, or one of these readings is wrong. Look at the wire with an oscilloscope before anything is concluded."
)


class Clue(NamedTuple):
    """Another way of knowing the drive (share of time on, 0 to 1), with its standard u."""

    name: str
    drive: float
    u: float


@dataclass(frozen=True)
class Drive:
    """The share of time on, how it was settled, and a sentence for the person.

    ``how``: `as stated`, `complement`, `chosen`, `unsettled` (no clue tells which), `contradicted`.
    ``share`` is None when unsettled.
    """

    share: float | None
    how: str
    words: Message


def fits(share: float, clue: Clue, u: float) -> bool:
    """Tell whether a share agrees with a clue within both uncertainties (95 %) and `AGREE`."""
    return bool(abs(share - clue.drive) <= AGREE + 1.96 * (clue.u**2 + u**2) ** 0.5)


def fits_usual_the_other_way(reading: float, share: float | None, usual: Ends) -> bool:
    """Tell whether the usual range holds what the meter shows, while the share of time on is the other part and lies outside.

    reading, share: 0 to 1. A range typed in the meter's way of counting would turn every conclusion over.
    """
    if share is None or abs(share - (1 - reading)) > 1e-9:
        return False
    return against(reading, 0.0, *usual) == 0 and against(share, 0.0, *usual) != 0


def settle(reading: float, u: float, counts: Counts, switched: Switched, clues: Sequence[Clue]) -> Drive:
    """Decide which of the reading and its complement is the share of time on.

    A stated polarity stands unless every clue fits the complement and none fits the statement.
    An unknown polarity is chosen only when the clues fit one way and not the other; near 50 %
    nothing can tell them apart, and nothing needs to.
    """
    stated = on_share(reading, Counts.LOW if counts is Counts.UNKNOWN else counts, switched)
    straight, turned = ([clue for clue in clues if fits(share, clue, u)] for share in (stated, 1 - stated))
    if counts is Counts.UNKNOWN:
        for share, level, by in ((stated, "low", straight), (1 - stated, "high", turned)):
            if clues and len(by) == len(clues):
                fit = _named(by, "{clues} fit", "{clues} fits")
                said = Message(CHOSEN, share=percent(share), clues_fit=fit, level=Word(level, "meter_counts"))
                return Drive(share, "chosen", said)
        return Drive(None, "unsettled", Message(UNSETTLED, reading=percent(reading), other=percent(1 - reading)))
    if clues and not straight and len(turned) == len(clues):
        say = _named(turned, "{clues} say", "{clues} says")
        return Drive(
            1 - stated, "complement", Message(COMPLEMENT, reading=percent(reading), share=percent(1 - stated), clues_say=say)
        )
    if against := [clue for clue in clues if clue not in straight]:
        named = [Message("{clue} says {share} %", clue=Word(clue.name), share=percent(clue.drive)) for clue in against]
        return Drive(stated, "contradicted", Message(CONTRADICTED, share=percent(stated), clues_say=named))
    return Drive(stated, "as stated", Message("The coil is on for {share} % of the time.", share=percent(stated)))


def _named(clues: Sequence[Clue], several: str, one: str) -> Message:
    return Message(several if len(clues) > 1 else one, clues=[Word(clue.name) for clue in clues])


def percent(share: float) -> float:
    """A share of one in %, rounded as a person writes it."""
    return float(f"{100 * share:.3g}")
