"""Where the tests point by the odds: one answer, which a mechanic's sentences and a customer's say in their own words."""

from __future__ import annotations

from collections.abc import Iterator

from ..dataclass import dataclass
from .conclusion import LIKELY, SURE, Conclusion, Standing
from .outlook import found_outside, to_mend
from .place import NO_FAULT, OFF_MAP, SIDES, STAGES

FEW = 3  # places that are named one by one
MOSTLY = 0.8  # of a stage that is said to hold the fault
WORTH_NAMING, MORE_THAN_NOT = 0.05, 0.6  # of one of several places, and of all that are named


@dataclass(frozen=True)
class Pointed:
    """word: `untaken`, `proven`, `together` (all of the places), `seen` (at the place), `likely`, `outside` (the fuel system),
    `few` (one of the places), `cell` (a stage on a side), `stage`, `part` (one of its places), `several` (likely one of them),
    or "" where nothing stands out. places: by name; chance: of all that is named."""

    word: str
    places: tuple[str, ...] = ()
    chance: float = 0.0
    stage: str = ""
    side: str = ""
    part: str = ""

    @property
    def found(self) -> bool:
        """Whether a place is named, or that it lies outside the fuel system."""
        return self.word in ("proven", "together", "seen", "likely", "outside")


def pointed(conclusion: Conclusion) -> Pointed:
    """Where the tests point by the odds as they stand."""
    first = conclusion.standings[0]
    proven = [standing for standing in conclusion.standings if standing.word == "proven"]
    if not any(item.is_test for epoch in conclusion.history.epochs for item in epoch.evidence):
        return Pointed("untaken")
    if proven:
        return _at("proven", proven, conclusion)
    if together := _together(conclusion):
        return _at("together", together, conclusion)
    if seen := to_mend(conclusion):
        return _at("seen", seen[:1], conclusion)
    if first.chance >= LIKELY:
        return _at("likely", [first], conclusion)
    if found_outside(conclusion):
        return Pointed("outside", _outside(conclusion), conclusion.chances[OFF_MAP])
    return next(_narrowed(conclusion), Pointed(""))


def _at(word: str, standings: list[Standing] | tuple[Standing, ...], conclusion: Conclusion) -> Pointed:
    names = tuple(standing.place.name for standing in standings)
    return Pointed(word, names, conclusion.of_all(names))


def _outside(conclusion: Conclusion) -> tuple[str, ...]:
    """The parts outside the fuel system that were found bad since the last repair, as far as they are named."""
    taken = conclusion.history.epochs[-1].evidence
    return tuple(dict.fromkeys(item.object for item in taken if item.bad and item.looks_outside and item.object))


def _narrowed(conclusion: Conclusion) -> Iterator[Pointed]:
    """As far as it is narrowed down, no place being likely: to few places, a stage and side, a stage, a part, several."""
    few = conclusion.open
    if len(few) <= FEW and NO_FAULT not in few and OFF_MAP not in few:
        yield Pointed("few", few, SURE)
    yield from (Pointed("cell", (), chance, a, b) for a in STAGES for b in SIDES if (chance := conclusion.sum(a, b)) >= MOSTLY)
    yield from (Pointed("stage", (), chance, a) for a in STAGES if (chance := conclusion.sum(a)) >= MOSTLY)
    yield from _part(conclusion)
    several = [s for s in conclusion.standings[: FEW + 1] if s.word == "open" and s.chance >= WORTH_NAMING]
    names = tuple(standing.place.name for standing in several)
    if conclusion.of_any(names) >= MORE_THAN_NOT:
        yield Pointed("several", names, conclusion.of_any(names))


def _part(conclusion: Conclusion) -> Iterator[Pointed]:
    """The part that has several open places, together likelier than not."""
    for first in conclusion.standings[:FEW]:
        name = " ".join(first.place.name.split(" ")[:2])
        places = [s.place.name for s in conclusion.standings if s.word == "open" and f"{s.place.name} ".startswith(f"{name} ")]
        chance = conclusion.of_any(places)
        if len(places) > 1 and round(chance, 2) >= LIKELY:
            yield Pointed("part", tuple(places[:FEW]), chance, part=name)


def _together(conclusion: Conclusion) -> list[Standing]:
    """The places that are likely, where it is likely that all of them are at fault at the same time; else none."""
    likely = [s for s in conclusion.standings if s.chance >= LIKELY]
    return likely if len(likely) > 1 and conclusion.of_all(s.place.name for s in likely) >= LIKELY else []
