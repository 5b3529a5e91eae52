"""The conclusion of a job: the odds of all places, which of them are open, what contradicts what, what a repair proved."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from functools import cached_property

from ..dataclass import dataclass
from .account import Account, account
from .complaint import AWAY, MOVEMENT
from .contradiction import Contradiction, contradiction
from .effects import weighed
from .evidence import Evidence
from .halt import Halted, against, halts
from .history import History, Repair
from .hypotheses import Belief, Hypotheses
from .need import Need
from .place import NO_FAULT, OFF_MAP, SIDES, STAGES, Place
from .proof import Proof, proofs
from .system import SystemMap

SURE = 0.95  # of a place that is proven, and of the open set
LIKELY = 0.5
ENOUGH_EXPLAINED = 0.5  # below it what was found is told not to explain what was seen


def alike(one: float, other: float) -> bool:
    """Whether two chances are the same, but for how they were summed up."""
    return math.isclose(one, other, rel_tol=1e-6)


@dataclass(frozen=True)
class Standing:
    """Where one place stands.

    chance: that it is at fault, alone or with another. word: `proven` (at least 95 %, and a test that looks directly at it came
    out bad), `likely` (at least 50 %), `open` (in the open set), `untested`, `not seen here` (looked at and out of the open
    set), `unlikely` (a test pointed to it, and another place explains that better). tried: the chance that the good tests
    together would have
    shown a fault there. steps: that looked at it.
    """

    place: Place
    chance: float
    word: str
    open: bool
    tried: float
    steps: tuple[int, ...]

    def to_dict(self) -> dict[str, object]:
        """For JSON."""
        return {"place": self.place.to_dict(), "chance": self.chance, "word": self.word, "open": self.open,
                "tried": self.tried, "steps": list(self.steps)}  # fmt: skip


@dataclass(frozen=True)
class Unsettled:
    """What should be settled first: a need of a taken test that is not known, and the share of its reach that is left
    without it."""

    step: int
    test: str
    need: Need
    left: float

    def to_dict(self) -> dict[str, object]:
        """For JSON."""
        return {"step": self.step, "test": self.test, "need": self.need.name, "question": self.need.question, "left": self.left}


@dataclass(frozen=True)
class Conclusion:
    """All that follows from a job's steps on its map."""

    history: History

    @property
    def system(self) -> SystemMap:
        """The map, with as many injectors as were tested."""
        return self.history.system

    @property
    def belief(self) -> Belief:
        """What is believed of every hypothesis; sums to one."""
        return self.history.belief

    @cached_property
    def chances(self) -> Mapping[str, float]:
        """The chance of each place to be at fault, of NO_FAULT and of OFF_MAP."""
        return self.belief.shares()

    @property
    def before_repair(self) -> Mapping[str, float]:
        """The chances as they stood before anything was repaired."""
        return self.history.epochs[0].end.shares()

    @cached_property
    def open(self) -> tuple[str, ...]:
        """The fewest places (or no fault, or not on the map) one of which is the case with 95 %, all likely ones, and all that
        are as likely as the least of these, as one may be that comes with another alone; likeliest first."""
        least = min(LIKELY, *(self.chances[name] for name in self.belief.open_set(SURE)))
        named = {n for n, chance in self.chances.items() if chance >= least or alike(chance, least)}
        return tuple(sorted((n for n in self.chances if n in named), key=lambda name: -round(self.chances[name], 9)))

    @cached_property
    def standings(self) -> tuple[Standing, ...]:
        """Every place of the map, the most likely first, in the map's order where alike."""
        found = [self._standing(at, place) for at, place in enumerate(self.system.places)]
        return tuple(sorted(found, key=lambda standing: -round(standing.chance, 9)))

    @cached_property
    def contradiction(self) -> Contradiction | None:
        """Whether no hypothesis explains the tests since the last repair together, and which two to repeat."""
        items = (item for epoch in self.history.epochs for item in epoch.taken)
        return contradiction(self.history.epochs[-1], self.system, away=any(AWAY in item.shows for item in items))

    @cached_property
    def proofs(self) -> tuple[Proof, ...]:
        """For each repair the tests of that place before and after it."""
        return proofs(self.history)

    @cached_property
    def unsettled(self) -> tuple[Unsettled, ...]:
        """What is not known of tests that were taken, the one that takes most of its reach first."""
        found = {}
        for item in self.history.epochs[-1].evidence:
            if item.sense is not None:
                held, _ = item.sense.valid(item.answers, self.system, item.question)
                for need in item.sense.unanswered(item.answers, self.system, item.question):
                    found[item.step, need.name] = Unsettled(item.step, item.test, need, held)
        return tuple(sorted(found.values(), key=lambda unsettled: unsettled.left))

    @cached_property
    def halts(self) -> tuple[Halted, ...]:
        """What has to be done before any further test."""
        return halts(self.history)

    @cached_property
    def against(self) -> Mapping[int, Halted]:
        """The steps for which the engine was turned although something had to be done first."""
        return against(self.history)

    @property
    def unrepeated(self) -> tuple[Evidence, ...]:
        """Tests from before a repair that were outside, of no place whose repair is proved, and were not made again since."""
        epochs = self.history.epochs
        proved = [proof.repair for proof in self.proofs if proof.word == "proved"]
        later: dict[tuple[str, str], Evidence] = {}
        for epoch in epochs:
            later |= {item.looked_for: item for item in epoch.evidence if item.is_test and not item.unlike}
        left = [item for item in later.values() if item.bad and item not in epochs[-1].evidence]
        return tuple(item for item in left if not any(repair.mends(item, self.system) for repair in proved))

    @property
    def outside_now(self) -> tuple[Evidence, ...]:
        """Tests since the last repair that are outside."""
        return tuple(item for item in self.history.epochs[-1].evidence if item.is_test and item.bad and not item.void)

    @property
    def unexplaining(self) -> tuple[Evidence, ...]:
        """What was found at a place and does not explain what was seen elsewhere, since the last repair."""
        return tuple(item for item in self.history.epochs[-1].evidence if item.explains < ENOUGH_EXPLAINED)

    @property
    def comes_and_goes(self) -> bool:
        """Whether the complaint shows on bumps, or something was seen to come and go with a movement."""
        items = (item for epoch in self.history.epochs for item in epoch.evidence)
        return any(item.provokes or MOVEMENT in item.shows for item in items)

    @property
    def void(self) -> tuple[Evidence, ...]:
        """What was read since the last repair by that which is found dead."""
        return tuple(item for item in self.history.epochs[-1].evidence if item.void)

    @property
    def complaint_stands(self) -> bool:
        """Whether the last that was said of the complaint is that it stands."""
        said = [item for epoch in self.history.epochs for item in epoch.evidence if not item.is_test]
        return bool(said) and said[-1].bad

    @property
    def complaint_tried_again(self) -> bool:
        """Whether the complaint was tried again since the last repair, and said to stand or be gone, by a step of its own."""
        return any(not item.is_test and max(item.steps) > 0 for item in self.history.epochs[-1].evidence)

    def why(self, name: str) -> Account:
        """How the odds of a place came about, evidence by evidence. Raises InputError for a place that is not on the map."""
        at = self.system.places.index(self.system.place(name))
        return account(self.history.epochs[-1], at, self.system)

    def sum(self, stage: str = "", side: str = "") -> float:
        """The chance that at least one place of that stage and side is at fault; of every stage or side where ""."""
        return self.of_any(p.name for p in self.system.places if stage in ("", p.stage) and side in ("", p.side))

    def of_all(self, names: Iterable[str]) -> float:
        """The chance that all of these places are at fault at the same time."""
        named = set(names)
        wanted = {at for at, place in enumerate(self.system.places) if place.name in named}
        sets = self.history.hypotheses.sets
        return math.fsum(w for members, w in zip(sets, self.belief.weights, strict=True) if wanted.issubset(members))

    def of_any(self, names: Iterable[str]) -> float:
        """The chance that at least one of these places is at fault."""
        wanted = set(names)
        inside = {at for at, place in enumerate(self.system.places) if place.name in wanted}
        sets = self.history.hypotheses.sets
        return math.fsum(w for members, w in zip(sets, self.belief.weights, strict=True) if not inside.isdisjoint(members))

    def to_dict(self) -> dict[str, object]:
        """For JSON: every number with the steps that it came from."""
        return {
            "no_fault": self.chances[NO_FAULT], "off_map": self.chances[OFF_MAP], "open": list(self.open),
            "places": [standing.to_dict() for standing in self.standings],
            "cells": [{"stage": a, "side": b, "chance": self.sum(a, b)} for a in STAGES for b in SIDES],
            "contradiction": self.contradiction.to_dict() if self.contradiction else None,
            "repairs": [proof.to_dict() for proof in self.proofs],
            "unsettled": [unsettled.to_dict() for unsettled in self.unsettled],
            "halts": [halted.to_dict() for halted in self.halts],
            "unexplaining": [{"step": e.step, "test": e.test, "object": e.object, "explains": e.explains}
                             for e in self.unexplaining],
            "complaint_stands": self.complaint_stands,
            "not_known_to_be_fitted": list(self.system.unknown()),
        }  # fmt: skip

    def _standing(self, at: int, place: Place) -> Standing:
        looks = [(item, reach) for item in self.history.binding(at) if (reach := item.looked(at, self.system)) > 0.0]
        tried = 1.0 - math.prod(1.0 - reach for item, reach in looks if item.good)
        chance, is_open = self.chances[place.name], place.name in self.open
        direct = any(item.proves(place, self.system) for item, _ in looks)
        word = (
            "proven" if direct and chance >= SURE
            else "likely" if chance >= LIKELY
            else "untested" if not looks
            else "open" if is_open
            else "not seen here" if tried
            else "unlikely"
        )  # fmt: skip
        return Standing(place, chance, word, is_open, tried, tuple(sorted({step for item, _ in looks for step in item.steps})))


def conclude(
    steps: Iterable[Evidence | Repair], system: SystemMap | None = None, base_rates: Mapping[str, float] | None = None
) -> Conclusion:
    """The conclusion from a job's steps in their order.

    system: the vehicle's map, the generic one where None. base_rates: by kind of place, from an archive. Raises InputError for
    a step on a place that is not on the map.
    """
    taken: Sequence[Evidence | Repair] = tuple(steps)
    objects = [name for step in taken for name in (step.parts if isinstance(step, Repair) else (step.object,))]
    grown = (system or SystemMap.of()).grown(objects)
    return Conclusion(History(grown, Hypotheses.on(grown, base_rates), weighed(taken)))
