"""What the simulated jobs are put through: calibration of the stated chances, and minutes to the fault by two ways of
choosing tests."""

from __future__ import annotations

import random
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from tests.places.simulator import Vehicle

from baybook.jobs.offered import senses
from baybook.places.choice import next_tests
from baybook.places.complaint import complaint
from baybook.places.conclusion import Conclusion, conclude
from baybook.places.evidence import COMPLAINT, Evidence
from baybook.places.fitted import Fitted
from baybook.places.history import Repair
from baybook.places.place import Place
from baybook.places.sense import Need, Question, Sense
from baybook.places.system import SystemMap

# A workshop bench of eight places, for many jobs in little time.
BENCH = SystemMap(
    Fitted(),
    (
        Place("filter", "supply", "hydraulic", "filter"), Place("feed line", "supply", "hydraulic", "feed line"),
        Place("pump elements", "generation", "hydraulic", "pump elements", weight=2.0),
        Place("rail and joints", "storage", "hydraulic", "rail"), Place("rail sensor", "storage", "control", "sensor",
            weight=0.5),
        Place("injector 1", "delivery", "hydraulic", "injector 1", 1), Place("injector 2", "delivery", "hydraulic",
            "injector 2", 2),
        Place("injector 1 coil", "delivery", "control", "coil 1", 1, part="injector 1"),
    ),
)  # fmt: skip
_SHUT = Need("shut", "was it shut?", met=0.6, bad=0.9)
BENCH_TESTS: Mapping[str, Sense] = {
    "feed": Sense({"low": Question({"filter": 0.85, "feed line": 0.7}), "high": Question({"pump elements": 0.3})}, 10.0),
    "hold": Sense.one({"rail and joints": 0.9, "injector *": 0.7}, 8.0, needs=(_SHUT,)),
    "returns": Sense.one(
        {"{object}": 0.85}, 20.0, direct=("{object}",), false_alarm=0.01, objects=("injector *",), together=True
    ),
    "coil": Sense.one({"{object} coil": 0.95}, 6.0, direct=("{object} coil",), false_alarm=0.005, objects=("injector 1",)),
    "delivery": Sense.one({"pump elements": 0.9, "filter": 0.5}, 15.0, false_alarm=0.005),
    "sensor": Sense.one({"rail sensor": 0.8}, 5.0, direct=("rail sensor",), false_alarm=0.005),
}
CAUSES = {"feed": "gauge", "delivery": "gauge", "returns": "vessels"}


def asked(sense: Sense, system: SystemMap) -> Iterator[tuple[str, str]]:
    """Every object with every question of a test, those that do not depend on the object once."""
    for word, question in sense.questions.items():
        for on in sense.on(system)[: None if question.aimed else 1]:
            yield on, word


def bench_job(chance: random.Random) -> tuple[Vehicle, Conclusion]:
    """A job of some tests in any order, one of them perhaps made twice, perhaps a repair and tests after it."""
    vehicle = Vehicle(BENCH, chance)
    sense = complaint(BENCH).sense
    assert sense is not None
    steps: list[Evidence | Repair] = [vehicle.take(0, COMPLAINT, sense)]
    for epoch in range(1 + (chance.random() < 0.3)):
        if epoch:
            first = conclude(steps, BENCH).standings[0].place.part
            steps.append(vehicle.repair(len(steps), first))
        names = chance.sample(sorted(BENCH_TESTS), chance.randint(1, len(BENCH_TESTS)))
        for name in [*names, names[0]] if chance.random() < 0.2 else names:
            number = len(steps)
            sense = BENCH_TESTS[name]
            steps += [vehicle.take(number, name, sense, on, word, CAUSES.get(name, "")) for on, word in asked(sense, BENCH)]
    return vehicle, conclude(steps, BENCH)


def calibration(jobs: int, seed: int) -> tuple[list[tuple[float, bool]], float]:
    """Every stated chance of every place with whether it was true, and the share of every tenth job called contradictory."""
    chance = random.Random(seed)
    stated: list[tuple[float, bool]] = []
    contradictory = 0
    for number in range(jobs):
        vehicle, found = bench_job(chance)
        stated += [(value, vehicle.is_true(name)) for name, value in found.chances.items()]
        contradictory += number % 10 == 0 and found.contradiction is not None
    return stated, 10 * contradictory / jobs


@dataclass(frozen=True)
class Way:
    """One job: minutes until 95 % for the true place, and whether it came to that before the tests ran out."""

    minutes: float
    reached: bool


class Search:
    """Jobs with one fault, tested until the true place stands at 95 %. What follows from the same outcomes is worked out
    once."""

    def __init__(self, system: SystemMap, senses: Mapping[str, Sense], complaint: Evidence, fixed: Sequence[str]) -> None:
        self.system, self.senses, self.complaint, self.fixed = system, senses, complaint, fixed
        self.known: dict[tuple[object, ...], tuple[Mapping[str, float], tuple[str, str] | None]] = {}
        self.order = [(name, on) for name in fixed for on in self.targets(name)]

    def targets(self, name: str) -> Sequence[str]:
        """What a test is made on: all at once, or each in turn."""
        sense = self.senses[name]
        return ("",) if sense.together else sense.on(self.system)

    def job(self, place: str, seed: int, *, following: bool) -> Way:
        """Test until 95 % by the next test that is proposed, or by the fixed order."""
        vehicle = Vehicle(self.system, random.Random(seed), sureness=(0.002,), alike=seed)
        vehicle.faults = {place}
        steps: list[Evidence] = [self.complaint]
        key: tuple[object, ...] = ()
        minutes = 0.0
        fixed = iter(self.order)
        while True:
            chances, proposed = self._known(key, steps, following=following)
            if chances[place] >= 0.95:
                return Way(minutes, True)
            test = proposed if following else next(fixed, None)
            if test is None or len(steps) > 200:
                return Way(minutes, False)
            name, on = test
            sense = self.senses[name]
            minutes += sense.minutes
            made_on = list(asked(sense, self.system)) if sense.together else [(on, word) for word in sense.questions]
            taken = [vehicle.take(len(steps), name, sense, target, word) for target, word in made_on]
            steps += taken
            key = (*key, name, on, *(item.conforms for item in taken))

    def _known(
        self, key: tuple[object, ...], steps: Sequence[Evidence], *, following: bool
    ) -> tuple[Mapping[str, float], tuple[str, str] | None]:
        at = (following, *key)
        if at not in self.known:
            found = conclude(steps, self.system)
            best = next_tests(found, self.senses, 1) if following else ()
            self.known[at] = (found.chances, (best[0].test, best[0].object) if best else None)
        return self.known[at]


# From the tank to the cylinder; the tests of one part stand together.
ALONG_THE_FUEL = (
    "fault memory", "empty tank", "milky, dark or smelling fuel",
    "bubbles in the clear hose", "supply pump current", "supply pump delivery",
    "suction depression", "filter pressure drop", "feed pressure", "return back pressure",
    "swarf in the filter or the inlet valve",
    "pump leak return", "pressure with the outlet valve driven shut", "regulator", "coil", "valve wiring voltage drop",
    "valve drive signal", "control unit supply", "wetness at the high-pressure side", "damaged or loose plug", "hold",
    "rail sensor supply and ground", "rail sensor against gauge or zero", "injector quantity correction", "returns",
    "injector current",
    "speed and phase signals", "fault in a low-side part by itself", "fault in a high-side part by itself",
)  # fmt: skip


def workshop_search(injectors: int) -> Search:
    """A vehicle with a pump in the tank and an inlet valve, of which everything is known, and all the usual tests."""
    system = SystemMap.from_table({
        "low_pressure": ["tank pump"], "filter": True, "inlet_valve": True, "outlet_valve": "none", "injector_bleed": False,
        "injectors": injectors, "open_at_rest": [],
    })  # fmt: skip
    return Search(system, {name: senses()[name] for name in ALONG_THE_FUEL}, complaint(system), ALONG_THE_FUEL)
