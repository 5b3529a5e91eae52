"""Where the tests point by the odds: one answer, which a mechanic's sentences and a customer's say in their own words."""

from __future__ import annotations

from collections.abc import Iterator

from ..dataclass import dataclass
from .ahead import FEW, part_ahead, several_ahead
from .conclusion import LIKELY, SURE, Conclusion, Standing
from .outlook import found_outside, outside_found, to_mend
from .place import NO_FAULT, OFF_MAP, SIDES, STAGES

MOSTLY = 0.8  # of a stage that is said to hold the fault


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
        return Pointed("outside", outside_found(conclusion), conclusion.chances[OFF_MAP])
    return next(_narrowed(conclusion), Pointed(""))


def _at(word: str, standings: list[Standing] | tuple[Standing, ...], conclusion: Conclusion) -> Pointed:
    names = tuple(standing.place.name for standing in standings)
    return Pointed(word, names, conclusion.of_all(names))


def _narrowed(conclusion: Conclusion) -> Iterator[Pointed]:
    """As far as it is narrowed down, no place being likely: to few places, a cell, a stage, a part, several places."""
    few = conclusion.open
    if len(few) <= FEW and NO_FAULT not in few and OFF_MAP not in few:
        yield Pointed("few", few, SURE)
    yield from (Pointed("cell", (), chance, a, b) for a in STAGES for b in SIDES if (chance := conclusion.sum(a, b)) >= MOSTLY)
    yield from (Pointed("stage", (), chance, a) for a in STAGES if (chance := conclusion.sum(a)) >= MOSTLY)
    if part := part_ahead(conclusion):
        name, places, chance = part
        yield Pointed("part", tuple(places), chance, part=name)
    if names := tuple(standing.place.name for standing in several_ahead(conclusion)):
        yield Pointed("several", names, conclusion.of_any(names))


def _together(conclusion: Conclusion) -> list[Standing]:
    """The places that are likely, where it is likely that all of them are at fault at the same time; else none."""
    likely = [s for s in conclusion.standings if s.chance >= LIKELY]
    return likely if len(likely) > 1 and conclusion.of_all(s.place.name for s in likely) >= LIKELY else []
