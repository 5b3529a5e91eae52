"""From what a duty meter shows to the share of time the coil is really switched on.

A duty meter counts the high time or the low time of the wire it hangs on. On a ground-switched
wire the coil is on while the wire is low, on a supply-switched one while it is high. Read the
wrong way round, 30 % becomes 70 % and every conclusion is turned over.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from baybook.api import Message, Word
from baybook_physics.pressure_valve import Counts, Switched, on_share

from .states import Ends, against

# How near two ways of finding the same duty must come to count as agreeing, in share of one:
# live data lags and is rounded, drops are left out. common practice, no source
AGREE = 0.05


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
    straight = [clue for clue in clues if fits(stated, clue, u)]
    turned = [clue for clue in clues if fits(1 - stated, clue, u)]
    if counts is Counts.UNKNOWN:
        return _choose(reading, stated, straight, turned, clues)
    if clues and not straight and len(turned) == len(clues):
        return Drive(1 - stated, "complement", _complement_words(reading, 1 - stated, turned))
    if len(straight) < len(clues):
        return Drive(stated, "contradicted", _contradicted_words(stated, clues, straight))
    return Drive(stated, "as stated", Message("The coil is on for {share} % of the time.", share=percent(stated)))


def _choose(
    reading: float,
    low_is_on: float,
    straight: Sequence[Clue],
    turned: Sequence[Clue],
    clues: Sequence[Clue],
) -> Drive:
    """Settle a reading of unknown polarity; ``low_is_on`` is the share if the meter counts low."""
    if clues and len(straight) == len(clues):
        return _chosen(low_is_on, "low", straight)
    if clues and len(turned) == len(clues):
        return _chosen(1 - low_is_on, "high", turned)
    words = Message(
        "{reading} % means on for {reading} % or for {other} % of the time, whichever part of the period this meter counts. "
        "Look at the wire with an oscilloscope, or give the duty asked for in live data or the mean voltage of the switched "
        "wire.",
        reading=percent(reading), other=percent(1 - reading),
    )  # fmt: skip
    return Drive(None, "unsettled", words)


def _chosen(share: float, level: str, by: Sequence[Clue]) -> Drive:
    names = [Word(clue.name) for clue in by]
    fit = Message("{clues} fit", clues=names) if len(by) > 1 else Message("{clues} fits", clues=names)
    words = Message(
        "The coil is on for {share} % of the time: {clues_fit} a meter that counts the {level} time.",
        share=percent(share), clues_fit=fit, level=Word(level, "meter_counts"),
    )  # fmt: skip
    return Drive(share, "chosen", words)


def _complement_words(reading: float, share: float, by: Sequence[Clue]) -> Message:
    names = [Word(clue.name) for clue in by]
    return Message(
        "The reading of {reading} % fits the wrong polarity: {clues_say} that the coil is on for about {share} %, so the meter "
        "counts the other part of the period. Worked on with {share} %; confirm it with an oscilloscope.",
        reading=percent(reading), share=percent(share),
        clues_say=Message("{clues} say", clues=names) if len(by) > 1 else Message("{clues} says", clues=names),
    )  # fmt: skip


def _contradicted_words(share: float, clues: Sequence[Clue], straight: Sequence[Clue]) -> Message:
    against = [clue for clue in clues if clue not in straight]
    named = [Message("{clue} says {share} %", clue=Word(clue.name), share=percent(clue.drive)) for clue in against]
    return Message(
        "The duty meter says that the coil is on for {share} % of the time, but {clues_say}: the wire does not do what is "
        "asked of it, or one of these readings is wrong. Look at the wire with an oscilloscope before anything is concluded.",
        share=percent(share), clues_say=named,
    )  # fmt: skip


def percent(share: float) -> float:
    """A share of one in %, rounded as a person writes it."""
    return float(f"{100 * share:.3g}")
