"""What a conclusion asks for next: to mend what was found, to look outside the fuel system, or to go on testing."""

from __future__ import annotations

from .conclusion import Conclusion, Standing
from .evidence import Evidence
from .place import NO_FAULT, OFF_MAP

OUTSIDE, BY_FAR = 0.35, 3.0
"""Of no place of the fuel system, and how many times the likeliest place, to look outside it."""
DECIDED = 0.9
"""Of what was seen at the place itself: it is mended next, and nothing else is measured."""


def seen_outside(conclusion: Conclusion) -> bool:
    """Whether something outside the fuel system was looked at since the last repair, and found bad."""
    return bool(_bad_outside(conclusion))


def outside_found(conclusion: Conclusion) -> tuple[str, ...]:
    """The parts there that were found bad since the last repair, as far as they are named."""
    return tuple(dict.fromkeys(item.object for item in _bad_outside(conclusion) if item.object))


def _bad_outside(conclusion: Conclusion) -> list[Evidence]:
    return [item for item in conclusion.history.epochs[-1].evidence if item.bad and item.looks_outside]


def found_outside(conclusion: Conclusion) -> bool:
    """Whether the fault was found outside the fuel system, so that nothing of it is left to be tested."""
    return conclusion.chances[OFF_MAP] >= DECIDED and seen_outside(conclusion)


def to_mend(conclusion: Conclusion) -> tuple[Standing, ...]:
    """The places that are to be mended next: those that are proven, where no other is open, or one that was seen at fault."""
    told = tuple(standing for standing in conclusion.standings if standing.word == "proven")
    if set(conclusion.open) <= {standing.place.name for standing in told}:
        return told
    first = conclusion.standings[0]
    at = conclusion.system.places.index(first.place)
    seen = any(e.decides and e.proves(first.place, conclusion.system) for e in conclusion.history.binding(at))
    return (first,) if seen and first.chance >= DECIDED else ()


def looks_outside(conclusion: Conclusion) -> bool:
    """Whether the complaint stands and is likelier to come from outside the fuel system than from all of its places."""
    outside = conclusion.chances[OFF_MAP] + conclusion.chances[NO_FAULT]
    untried = conclusion.history.epochs[-1].repair is not None and not conclusion.complaint_tried_again
    if untried or seen_outside(conclusion):
        return False
    return conclusion.complaint_stands and outside >= max(OUTSIDE, BY_FAR * conclusion.standings[0].chance)
