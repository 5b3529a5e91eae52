"""Evidence: what one taken test says, as the chance of its outcome under each hypothesis.

Four things keep it from saying more than it knows; the last two are weighed in `joint`.
- Verdicts of one test on one object under one question look at one thing. They count as one, however many there are; a test
  made again makes its outcome surer and its reach no wider.
- A need that may not have been met is mixed in: where it is not met the outcome is the same whatever is at fault.
- Tests that share a cause of error (a gauge, a rail volume, a capture) are joined by a hypothesis of their own, "this cause is
  wrong", under which all of them come out alike, all good or all bad, whatever is at fault. So they can never
  say more together than the instrument can be trusted, however often it is read.
- Whether a fault shows in another condition than the complaint's is one thing for all tests that were made there: it shows in
  all of them or in none. So what one of them finds tells that the others would have shown it as well.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

from ..dataclass import dataclass, field
from ..errors import PluginError
from .hypotheses import OFF, Hypotheses
from .place import NO_FAULT, OFF_MAP, Place, matching, resolved
from .sense import Sense
from .system import SystemMap

COMPLAINT = "complaint"  # the name of the evidence that is to be explained and is no test
DECISIVE = 0.0015  # how often a bad outcome that decides comes of something else at most
CERTAIN = 1e-9  # no verdict is nearer to certainty than this
PROVING = 0.9  # of a bad outcome that is to prove: the chance that the test's needs were met. Common practice, no source
DECIDED = 0.05  # of conforming: at or below it a verdict is bad, at or above 1 less this it is good (ISO 14253-1's default)


@dataclass(frozen=True)
class Evidence:
    """One verdict of a taken test, or the factors that a calculator states itself.

    step: its number in the job. test: the calculator's name. conforms: the chance that what was measured conforms. sense: the
    test's declaration; question: which of its questions. object: what it was made on. answers: to the sense's needs, by
    name. shares: causes
    of error that it shares with others ("gauge A"). factors: instead of conforms and sense, by pattern of place, how much
    likelier the outcome is with that place at fault than with none. said: what was found, in words. again: later steps
    joined to it. left: the share of its reach that is left because it was made in another condition than the complaint's.
    brings: by quantity, what the fault that it found makes of it; shows: what was seen of it. explains: how much of what was
    seen elsewhere that makes up, 1 where nothing speaks against it (`effects`). void: whether it was read by what another test
    found dead. spared: patterns of places that it does not clear, being good, since their fault is hidden from it.
    made_in: by what they are about ("load"), the conditions in which it was made, as far as they are said.
    unlike: limits and sizes, by input, with which it was judged otherwise than the same test before a repair, so that it says
    nothing: by the others it comes out otherwise.
    Raises PluginError, with the test's name, for a chance or a factor that is none.
    """

    step: int
    test: str
    conforms: float = 0.5
    sense: Sense | None = None
    question: str = ""
    object: str = ""
    answers: Mapping[str, bool] = field(default_factory=dict)
    shares: frozenset[str] = frozenset()
    factors: Mapping[str, float] | None = None
    said: str = ""
    again: tuple[int, ...] = ()
    left: float = 1.0
    elsewhere: str = ""
    brings: Mapping[str, float] = field(default_factory=dict)
    shows: Mapping[str, float] = field(default_factory=dict)
    explains: float = 1.0
    void: bool = False
    spared: frozenset[str] = frozenset()
    made_in: Mapping[str, frozenset[str]] = field(default_factory=dict)
    unlike: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        if (self.sense is None) == (self.factors is None):
            raise PluginError(f"{self.test} gives evidence with neither a sense nor factors, or with both")
        if not 0.0 <= self.conforms <= 1.0:
            raise PluginError(f"{self.test} gives {self.conforms!r} as the chance to conform; give a number from 0 to 1")
        if self.sense is not None:
            self.sense.question(self.question, self.test)
        object.__setattr__(self, "conforms", min(max(self.conforms, CERTAIN), 1.0 - CERTAIN))
        for pattern, factor in (self.factors or {}).items():
            if isinstance(factor, bool) or not isinstance(factor, int | float) or not 0.0 <= factor < math.inf:
                raise PluginError(
                    f"{self.test} states the factor {factor!r} on {pattern!r}; give a number of 0 or more, not nan or inf"
                )
        if self.factors is not None and not any(self.factors.values()) and {NO_FAULT, OFF_MAP} <= set(self.factors):
            raise PluginError(f"{self.test} states that nothing at all can be the case")

    @property
    def bad(self) -> bool:
        """Whether the test came out bad, decidedly."""
        return self.factors is None and self.conforms <= DECIDED + CERTAIN

    @property
    def good(self) -> bool:
        """Whether the test came out good, decidedly."""
        return self.factors is None and self.conforms >= 1.0 - DECIDED - CERTAIN

    def likelihood(self, system: SystemMap, hypotheses: Hypotheses) -> list[float]:
        """How likely the outcome is under each hypothesis.

        A verdict that conforms with chance p gives (1 - p) P(bad | h) + p (1 - P(bad | h)): the reading is evidence of the
        true state
        of what was measured as strong as p to 1 - p (virtual evidence, Pearl 1988), and p = 1/2 is none.
        """
        if self.sense is None:
            return _stated(self.factors or {}, system, hypotheses)
        question = self.sense.question(self.question, self.test)
        held, otherwise = self.sense.valid(self.answers, system, self.question)
        p = self.conforms
        unmet = (1.0 - held) * otherwise + held * (1.0 - self.left) * question.false_alarm
        slope = 1.0 - 2.0 * p
        bad = question.bad(self.object, system, hypotheses, self._spared)
        return [p + slope * (held * self.left * chance + unmet) for chance in bad]

    @property
    def steps(self) -> tuple[int, ...]:
        """The steps that it came from."""
        return (self.step, *self.again)

    @property
    def looked_for(self) -> tuple[str, str]:
        """What makes two of them looks at one thing: what is measured, and its object where that matters."""
        if self.sense is None:
            return self.test, self.object
        return self.sense.question(self.question, self.test).thing(self.test, self.question, self.object)

    def to_dict(self) -> dict[str, Any]:
        """For JSON: what was found, and what it says of which place."""
        question = None if self.sense is None else self.sense.question(self.question, self.test)
        reach = {} if question is None else {resolved(pattern, self.object): c for pattern, c in question.reach.items()}
        return {
            "test": self.test, "question": self.question, "object": self.object, "said": str(self.said),
            "conforms": self.conforms if question else None, "met": dict(self.answers), "shares": sorted(self.shares),
            "factors": None if self.factors is None else dict(self.factors), "reach": reach,
            "false_alarm": question.false_alarm if question else None, "source": self.sense.source if self.sense else "",
            "left": self.left, "explains": self.explains, "void": self.void,
        }  # fmt: skip

    @property
    def is_test(self) -> bool:
        """Whether it comes from a test, not from the complaint."""
        return self.test != COMPLAINT

    def looked(self, at: int, system: SystemMap) -> float:
        """The reach on the place at that position, needs that may not be met counted in; 0 where it was not looked at."""
        place = system.places[at]
        if not self.is_test:
            return 0.0
        if self.sense is None:
            return float(any(place.matches(pattern) for pattern in self.factors or {}))
        held, _ = self.sense.valid(self.answers, system, self.question)
        return held * self.left * self._reach(place)

    @property
    def at_once(self) -> str:
        """What brought it out together with others of that name; "" for an outcome that is not bad, or stands by itself."""
        return self.sense.question(self.question, self.test).at_once if self.sense and self.bad else ""

    @property
    def provokes(self) -> bool:
        """Whether something was moved for it."""
        return self.sense is not None and self.sense.question(self.question, self.test).provokes

    @property
    def provoked(self) -> tuple[str, ...]:
        """The places whose fault was brought about by a movement."""
        direct = self.sense.question(self.question, self.test).direct if self.sense and self.provokes and self.bad else ()
        return tuple(resolved(pattern, self.object) for pattern in direct)

    @property
    def _spared(self) -> tuple[str, ...]:
        """The patterns of places that its outcome, a good one, says nothing of."""
        return tuple(self.spared) if self.conforms > 0.5 else ()

    def _reach(self, place: Place) -> float:
        if any(map(place.matches, self._spared)):
            return 0.0
        reach = self.sense.question(self.question, self.test).reach.items() if self.sense else ()
        return max((c for p, c in reach if place.matches(resolved(p, self.object))), default=0.0)

    def says_nothing(self, system: SystemMap) -> bool:
        """Whether what the test needs is known not to have been met, so that it tells nothing of any place."""
        return self.sense is not None and self.sense.valid(self.answers, system, self.question)[0] == 0.0

    @property
    def looks_outside(self) -> bool:
        """Whether it was made on what is not on the map, and on nothing that is."""
        return self.is_test and self.sense is not None and not self.sense.question(self.question, self.test).reach

    def looks_directly(self, place: Place) -> bool:
        """Whether the test looked at the place itself."""
        return self.sense is not None and self.sense.question(self.question, self.test).looks_at(place, self.object)

    @property
    def looks_at_places(self) -> bool:
        """Whether the test looked at some place itself."""
        return self.is_test and self.sense is not None and bool(self.sense.question(self.question, self.test).direct)

    @property
    def is_look(self) -> bool:
        """Whether the part itself was looked at: what that found a repair takes away, and the same look proves no repair."""
        return self.sense is not None and self.sense.apart and not self.provokes

    @property
    def decides(self) -> bool:
        """Whether what it found would hardly be found with the fault elsewhere, as what is seen for certain at the place."""
        if self.sense is None or not self.bad:
            return False
        return self.conforms + self.sense.question(self.question, self.test).false_alarm <= DECISIVE

    def proves(self, place: Place, system: SystemMap) -> bool:
        """Whether it looked at the place itself, came out bad, and would hardly have come out so with a need unmet."""
        if self.sense is None or not self.bad or not self.looks_directly(place):
            return False
        held, otherwise = self.sense.valid(self.answers, system, self.question)
        true = held * self._reach(place)
        return true >= PROVING * (true + (1.0 - held) * otherwise)


def _stated(factors: Mapping[str, float], system: SystemMap, hypotheses: Hypotheses) -> list[float]:
    """A pair is as likely as the likelier of its places where both are pointed to, and has to survive what speaks against
    either."""
    alone = [1.0] * len(system.places)
    for pattern, factor in factors.items():
        for at in matching(pattern, system.places):
            alone[at] = float(factor)
    largest = max([1.0, *alone, *map(float, factors.values())])
    nothing, off = (float(factors.get(name, 1.0)) / largest for name in (NO_FAULT, OFF_MAP))
    alone = [factor / largest for factor in alone]
    one = 1.0 / largest
    return [nothing if not s else off if s == (OFF,) else _both([alone[i] for i in s], one) for s in hypotheses.sets]


def _both(factors: Sequence[float], one: float) -> float:
    return max([one, *factors]) * math.prod(min(factor / one, 1.0) for factor in factors)
