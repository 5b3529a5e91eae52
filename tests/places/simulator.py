"""Jobs drawn from declared senses by what would happen at the vehicle: faults show or do not, instruments are right or wrong.

Nothing here uses the engine's formulas: a fault shows in a test by the toss of a coin, readings are taken of the state
that came out.
This checks the engine, not the reaches.
"""

from __future__ import annotations

import random
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from baybook.places.evidence import Evidence
from baybook.places.history import MENDED, NEW_FAULT, Repair
from baybook.places.hypotheses import ALL_WORN, PRIOR_NO_FAULT, PRIOR_OFF_MAP, PRIOR_PAIRS, SEVERAL_WORN, WORN
from baybook.places.joint import WRONG
from baybook.places.place import NO_FAULT, OFF_MAP, resolved
from baybook.places.sense import Sense
from baybook.places.system import SystemMap

SURENESS = (0.002, 0.002, 0.01, 0.2, 0.4)  # how often a verdict of that sureness tells the wrong state


@dataclass
class Vehicle:
    """A vehicle with its hidden faults, and what its tests show."""

    system: SystemMap
    chance: random.Random
    sureness: Sequence[float] = SURENESS
    alike: int | None = None  # what a test shows does not depend on what was tested before it, for the same number
    faults: set[str] = field(default_factory=set)
    wrong: dict[str, bool | None] = field(default_factory=dict)
    states: dict[tuple[str, str, str], bool] = field(default_factory=dict)
    held: dict[str, bool] = field(default_factory=dict)

    def __post_init__(self) -> None:
        names = [place.name for place in self.system.places]
        weights = [place.weight for place in self.system.places]
        toss = self.chance.random()
        if toss < PRIOR_NO_FAULT:
            self.faults = set()
        elif toss < PRIOR_NO_FAULT + PRIOR_OFF_MAP:
            self.faults = {OFF_MAP}
        elif toss < PRIOR_NO_FAULT + PRIOR_OFF_MAP + PRIOR_PAIRS:
            while len(self.faults) < 2:  # two drawn alike and independently, and drawn again where they are one
                self.faults = set(self.chance.choices(names, weights, k=2))
        else:
            [name] = self.chance.choices(names, weights)
            injectors = [place.name for place in self.system.places if place.kind == WORN]
            together = len(injectors) > 1 and name in injectors and self.chance.random() < SEVERAL_WORN
            self.faults = self._worn(injectors) if together else {name}

    def _worn(self, injectors: list[str]) -> set[str]:
        """All of them, or any set of two or more that is not all; drawn again until it is one."""
        if len(injectors) == 2 or self.chance.random() < ALL_WORN:
            return set(injectors)
        while True:
            some = {name for name in injectors if self.chance.random() < 0.5}
            if 1 < len(some) < len(injectors):
                return some

    def is_true(self, name: str) -> bool:
        """Whether the place is at fault; NO_FAULT: whether none is."""
        return not self.faults if name == NO_FAULT else name in self.faults

    def take(self, step: int, test: str, sense: Sense, on: str = "", word: str = "", cause: str = "") -> Evidence:
        """Make a test: the state once, a reading of it each time."""
        key = (test, on, word)
        if self.alike is not None:
            self.chance = random.Random(f"{self.alike} {key} {step if key in self.states else 0}")
        if key not in self.states:
            self.states[key] = self._state(test, sense, on, word, cause)
        error = self.chance.choice(self.sureness)
        seen_bad = self.states[key] != (self.chance.random() < error)
        shares = frozenset({cause}) if cause else frozenset()
        return Evidence(step, test, error if seen_bad else 1.0 - error, sense, word, on, shares=shares)

    def repair(self, step: int, name: str) -> Repair:
        """Repair a place: mostly mended, seldom spoilt; whatever is tested afterwards is tested afresh."""
        repair = Repair(step, (name,))
        parts = {self.system.places[at].name for at in repair.positions(self.system)}
        if self.faults & parts:
            self.faults -= parts if self.chance.random() < MENDED else set()
        elif OFF_MAP not in self.faults and len(self.faults) < 2 and self.chance.random() < NEW_FAULT:
            self.faults.add(self.chance.choice(sorted(parts)))
        self.states, self.wrong, self.held = {}, {}, {}
        return repair

    def _state(self, test: str, sense: Sense, on: str, word: str, cause: str) -> bool:
        toss = self.chance.random
        if cause and cause not in self.wrong:
            self.wrong[cause] = (toss() < 0.5) if toss() < WRONG else None
        if cause and self.wrong[cause] is not None:
            return bool(self.wrong[cause])
        for need in sense.needs:
            if toss() >= need.chance(None, self.system):
                return toss() < need.bad
        question = sense.questions[word]
        if OFF_MAP in self.faults:
            return toss() < question.off_map
        shows = toss() < question.false_alarm
        for fault in sorted(self.faults):
            shows |= toss() < _beyond(question.false_alarm, _reach(self.system, question.reach, fault, on))
        return shows


def _reach(system: SystemMap, reach: Mapping[str, float], name: str, on: str) -> float:
    return max((chance for pattern, chance in reach.items() if system.place(name).matches(resolved(pattern, on))), default=0.0)


def _beyond(false_alarm: float, reach: float) -> float:
    """How often the fault itself shows, where `reach` is how often the test comes out bad with it for whatever reason."""
    return max(0.0, (reach - false_alarm) / (1.0 - false_alarm))
