"""The sense of a test: what its outcome says about which places, what it costs, and what it needs in order to mean anything."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from ..errors import PluginError
from .hypotheses import Hypotheses
from .place import Place, matching, resolved
from .system import SystemMap

COMMON_PRACTICE = "common practice, no source"
FALSE_ALARM = 0.02
OFF_MAP = 3.0  # times the false alarm rate: how often what is not on the map brings out a test that does not look for it
Hands = Literal["nothing opened", "low side opened", "high side opened", "live wiring"]
HANDS: tuple[Hands, ...] = ("nothing opened", "low side opened", "high side opened", "live wiring")


@dataclass(frozen=True)
class Need:
    """Something without which a test says nothing.

    question: as it is put to a person. met: how often it holds where nobody has said. bad: how often the test comes out bad,
    whatever is at fault, where it does not hold. at_rest: whether it holds of itself where the rail keeps its pressure at rest.
    """

    name: str
    question: str
    met: float = 0.5
    bad: float = 0.5
    at_rest: bool = False

    def __post_init__(self) -> None:
        _between(f"need {self.name!r}", self.met, self.bad)

    def chance(self, answer: bool | None, system: SystemMap) -> float:
        """How likely it is that it holds, by what was said and what is fitted."""
        if answer is not None:
            return float(answer)
        if self.at_rest and system.empties_at_rest() is False:
            return 1.0
        # a valve that opens at rest was not driven shut unless somebody says so
        return 0.0 if self.at_rest and system.empties_at_rest() else self.met


@dataclass(frozen=True)
class Question:
    """One thing that a test can find bad.

    reach: by pattern of place, the chance that it comes out bad if that place is at fault: a name ("filter"), a kind
    ("injector *"), or with the
    object of the test put in ("{object} coil", "injector {n} wiring"). direct: patterns of what it looks at itself, without
    which nothing is proven. false_alarm: the chance that it comes out bad while all is well. off_map: the same for a fault that
    is not on the map; three times the false alarm rate unless said. Raises PluginError for a chance that is not one.
    """

    reach: Mapping[str, float]
    false_alarm: float = FALSE_ALARM
    direct: tuple[str, ...] = ()
    off_map: float = 0.0

    def __post_init__(self) -> None:
        if not self.off_map:
            object.__setattr__(self, "off_map", min(0.5, OFF_MAP * self.false_alarm))
        _between("a false alarm rate", self.false_alarm, self.off_map)
        for pattern, chance in self.reach.items():
            _between(f"the reach on {pattern!r}", chance)
        for pattern in self.direct:
            if pattern not in self.reach:
                raise PluginError(f"a test looks directly at {pattern!r} and has no reach there")

    @property
    def aimed(self) -> bool:
        """Whether it depends on the object that the test is made on; where not, it is one question for all objects."""
        return any("{" in pattern for pattern in self.reach)

    def reaches(self, target: str, places: Sequence[Place]) -> list[float]:
        """For each place the chance of a bad outcome if it alone is at fault: the false alarm rate where it is not looked
        at."""
        found = [self.false_alarm] * len(places)
        for pattern, chance in self.reach.items():
            for at in matching(resolved(pattern, target), places):
                found[at] = max(found[at], chance)
        return found

    def bad(self, target: str, system: SystemMap, hypotheses: Hypotheses) -> list[float]:
        """The chance of a bad outcome under each hypothesis: two faults bring it out independently (noisy or, Pearl 1988)."""
        well = 1.0 - self.false_alarm
        shares = [(1.0 - chance) / well for chance in self.reaches(target, system.places)]
        return [1.0 - good for good in hypotheses.product(well, shares, 1.0 - self.off_map)]

    def looks_at(self, place: Place, target: str) -> bool:
        """Whether it looks directly at a place."""
        return any(place.matches(resolved(pattern, target)) for pattern in self.direct)


@dataclass(frozen=True)
class Sense:
    """What is declared of a test, once.

    questions: by a word of the trade ("low", "high"; "" for the only one). objects: on which places it is made ("injector *"),
    each on its own unless `together`; none where it is made on the whole. minutes: how long it takes, the getting at it
    included.
    hands: what must be done for it. source: where the reach comes from.
    """

    questions: Mapping[str, Question]
    minutes: float
    hands: Hands = "nothing opened"
    objects: tuple[str, ...] = ()
    together: bool = False
    needs: tuple[Need, ...] = ()
    source: str = COMMON_PRACTICE

    def __post_init__(self) -> None:
        if not self.questions:
            raise PluginError("a sense is declared without a question")
        if not 0.0 < self.minutes < math.inf:
            raise PluginError(f"a test takes {self.minutes!r} minutes; give a positive number")
        if self.hands not in HANDS:
            raise PluginError(f"a test's hands are {self.hands!r}; use one of {', '.join(HANDS)}")
        if not self.source.strip():
            raise PluginError(f"a sense does not say where its reach comes from; {COMMON_PRACTICE!r} will do")

    @classmethod
    def one(cls, reach: Mapping[str, float], minutes: float, *, direct: tuple[str, ...] = (), false_alarm: float = FALSE_ALARM,
            hands: Hands = "nothing opened", objects: tuple[str, ...] = (), together: bool = False, needs: tuple[Need,
                ...] = (),
            source: str = COMMON_PRACTICE) -> Sense:  # fmt: skip
        """The sense of a test that has a single question."""
        return cls({"": Question(reach, false_alarm, direct)}, minutes, hands, objects, together, needs, source)

    def question(self, word: str, test: str) -> Question:
        """The question of that word. Raises PluginError naming the test."""
        if word not in self.questions:
            raise PluginError(f"{test} has no question {word!r}; it has {', '.join(map(repr, self.questions))}")
        return self.questions[word]

    def on(self, system: SystemMap) -> tuple[str, ...]:
        """The objects of this map that it can be made on; "" where it is made on the whole, nothing where none is fitted."""
        if not self.objects:
            return ("",)
        return tuple(place.name for place in system.places if any(place.matches(pattern) for pattern in self.objects))

    def valid(self, answers: Mapping[str, bool], system: SystemMap) -> tuple[float, float]:
        """The chance that all it needs holds, and how often it comes out bad where something does not."""
        chances = [need.chance(answers.get(need.name), system) for need in self.needs]
        missing = math.fsum(1.0 - chance for chance in chances)
        bad = math.fsum((1.0 - c) * need.bad for c, need in zip(chances, self.needs, strict=True)) / missing if missing else 0.5
        return math.prod(chances), bad

    def unanswered(self, answers: Mapping[str, bool], system: SystemMap) -> Iterator[Need]:
        """What is not known and would have to be, for the test to say all it can."""
        return (need for need in self.needs if 0.0 < need.chance(answers.get(need.name), system) < 1.0)


def _between(what: str, *chances: float) -> None:
    for chance in chances:
        if (
            isinstance(chance, bool) or not 0.0 < chance < 1.0
        ):  # a test that is never wrong would leave nothing to learn from others
            raise PluginError(f"{what} is {chance!r}; give a chance between 0 and 1, neither of them included")
