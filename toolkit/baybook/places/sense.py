"""The sense of a test: what its outcome says about which places, what it costs, and what it needs in order to mean anything."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, Any, Literal, get_args

from ..action import Hands as Near
from ..dataclass import dataclass, field, replace
from ..errors import PluginError
from ..procedure import Procedure
from .need import Answer as Answer
from .need import Halt, Need, between
from .place import Place, kind_of, matching, resolved

if TYPE_CHECKING:
    from .hypotheses import Hypotheses
    from .system import SystemMap

COMMON_PRACTICE = "common practice, no source"
FALSE_ALARM = 0.02
OFF_MAP = 1.5  # times the false alarm rate: how often what is not on the map brings out a test that does not look for it
Hands = Literal["nothing opened", "low side opened", "high side opened", "live wiring"]
HANDS: tuple[Hands, ...] = ("nothing opened", "low side opened", "high side opened", "live wiring")


@dataclass(frozen=True)
class Question:
    """One thing that a test can find bad.

    reach: by pattern of place, the chance that it comes out bad if that place is at fault: a name ("filter"), a kind ("injector
    *"), or with the object of the test put in ("{object} coil", "injector {n} wiring"). direct: patterns of what it looks at
    itself, without which nothing is proven. false_alarm: the chance that it comes out bad while all is well. off_map: the same
    for a fault that is not on the map; half as much again as the false alarm rate unless said. sought: whether the test is made
    for it; where not it counts, and nobody is sent to look. measures: what is measured, by a name that other tests share ("feed
    pressure low"): however many of them look, it is one thing; its own unless said. brings: what a fault that is found so makes
    of a quantity, by the quantity's name ("current of {object}") the output that says how much and in which direction. shows:
    likewise what was seen of a quantity, which has to be explained; "" in place of an output: how far what was judged lies
    beyond its range, in % of the end that it passes. What is found counts as far as it explains, in sign and size, what was
    seen. halt: what has to be done first where it came out bad. ahead_of: what it measures lies on the fuel's way ahead of what
    is measured there ("feed pressure low"): where that is bad and this is good, nothing that this looks at brings that about.
    between: the places that lie between the two. spares: patterns of places of which a good outcome says nothing, because a
    control hides their fault from it, where no other such question of the same test came out bad. voids: what is measured
    ("rail pressure low") by that which a bad outcome shows to be dead: it says nothing until that is mended. on: the objects of
    its test that it is asked of, by pattern, all where none is named. provokes: whether a bad outcome was brought about by a
    movement, so that a good one elsewhere, taken while nothing moved, does not clear what it looks at directly. at_rest:
    whether it is answered before the engine turns, where the test turns it for others. at_once: what brings it out on several
    objects and in several tests together ("a bank is shut off"), by a name that these share: bad outcomes of that name are as
    likely together as the least likely of them. fleeting: the share of its reach that is left on a fault that comes and goes
    with a movement. lasting: whether it finds the same in whatever condition, where the test does not for its other questions.
    if_flowing, if_dead: patterns of places of which it says nothing where another current than there should be, or none at all,
    was seen in the circuit of its object (`current`): an open wire has no voltage drop, and a bad joint stores no code.
    warm: whether it is asked of what is warm, so that a complaint that shows hot or cold alone takes nothing from it.
    Raises PluginError for a chance that is not one.
    """

    reach: Mapping[str, float]
    false_alarm: float = FALSE_ALARM
    direct: tuple[str, ...] = ()
    off_map: float = 0.0
    sought: bool = True
    measures: str = ""
    brings: Mapping[str, str] = field(default_factory=dict)
    shows: Mapping[str, str] = field(default_factory=dict)
    halt: Halt | None = None
    ahead_of: str = ""
    between: tuple[str, ...] = ()
    spares: tuple[str, ...] = ()
    voids: tuple[str, ...] = ()
    on: tuple[str, ...] = ()
    provokes: bool = False
    at_rest: bool = False
    at_once: str = ""
    fleeting: float = 1.0
    lasting: bool = False
    if_flowing: tuple[str, ...] = ()
    if_dead: tuple[str, ...] = ()
    warm: bool = False

    def __post_init__(self) -> None:
        if not self.off_map:
            object.__setattr__(self, "off_map", min(0.5, OFF_MAP * self.false_alarm))
        between("a false alarm rate", self.false_alarm, self.off_map)
        for pattern, chance in self.reach.items():
            between(f"the reach on {pattern!r}", chance)
        for pattern in self.direct:
            if pattern not in self.reach:
                raise PluginError(f"a test looks directly at {pattern!r} and has no reach there")

    @property
    def aimed(self) -> bool:
        """Whether it depends on the object that the test is made on; where not, it is one question for all objects."""
        return any("{" in pattern for pattern in self.reach)

    def asked_of(self, target: str) -> bool:
        """Whether it is asked where the test is made on that place."""
        return not self.on or not {target, kind_of(target)}.isdisjoint(self.on)

    def thing(self, test: str, word: str, target: str) -> tuple[str, str]:
        """What is looked at: what it measures, and on which object where that matters."""
        return self.measures or f"{test} {word}".strip(), target if self.aimed else ""

    def reaches(self, target: str, places: Sequence[Place], spared: Iterable[str] = ()) -> list[float]:
        """For each place the chance of a bad outcome if it alone is at fault; the false alarm rate elsewhere, and if spared."""
        found = [self.false_alarm] * len(places)
        for pattern, chance in self.reach.items():
            for at in matching(resolved(pattern, target), places):
                found[at] = max(found[at], chance)
        for at in (at for pattern in spared for at in matching(pattern, places)):
            found[at] = self.false_alarm
        return found

    def bad(self, target: str, system: SystemMap, hypotheses: Hypotheses, spared: Iterable[str] = ()) -> list[float]:
        """The chance of a bad outcome under each hypothesis: two faults bring it out independently (noisy or, Pearl 1988).

        spared: patterns of places that it says nothing of.
        """
        well = 1.0 - self.false_alarm
        shares = [(1.0 - chance) / well for chance in self.reaches(target, system.places, spared)]
        return [1.0 - good for good in hypotheses.product(well, shares, 1.0 - self.off_map)]

    def looks_at(self, place: Place, target: str) -> bool:
        """Whether it looks directly at a place."""
        return any(place.matches(resolved(pattern, target)) for pattern in self.direct)


@dataclass(frozen=True)
class Sense:
    """What is declared of a test, once.

    questions: by the name of the output whose verdict answers it ("flow"), with " low" or " high" behind it where the two ends
    mean different things; "low" and "high", or "" for the only one, of any output; or by a word that the calculator answers
    itself. objects: on which places it is made ("injector *"), each on its own unless `together`; none where it is made on the
    whole. As a mapping it says which inputs name them: `{"injector *": {"part": "injector", "number": "{n}"}}`, where {n} is
    the number and {object} the name. together: whether it is made on all of them in one go. minutes: how long it takes, the
    getting at it included. hands: what must be done for it. needs: without what it says nothing. running: whether the engine
    has to run for it; turning: whether it is run or cranked for it: as its procedure's steps say where nothing is said, False
    where it says something without that too. lasting: whether what it finds is the same hot and cold, idling and under load,
    as that of a sample or of a fault memory is. places: that it adds to the map of a vehicle, where the core has none for what
    it looks at. source: where the reach comes from. fitted: by the keys of a sheet's `[system]`, the words that it is made at,
    None where nothing is said: elsewhere nobody is sent to it. starting: whether it is a look at the start of the engine:
    until something was found it comes first for a complaint of that, and is worth nothing for another. opening: whether a job
    begins with it, ahead even of that. stopped: whether the engine, run for it before, stands still while it is read, so that
    no load is on it. made_in: the condition in which it is made where nobody says another ("raised"). apart: whether a part is
    taken out or apart for it, which comes after all that is seen and measured from outside. near: where a hand goes for it
    beside what is opened, as in a procedure's step ("high pressure": to rail, line, valve). powered: whether it needs the
    ignition.
    Raises PluginError for what cannot be.
    """

    questions: Mapping[str, Question]
    minutes: float
    hands: Hands = "nothing opened"
    objects: Mapping[str, Mapping[str, str]] | Sequence[str] = ()
    together: bool = False
    needs: tuple[Need, ...] = ()
    running: bool = False
    turning: bool | None = None
    lasting: bool = False
    places: Sequence[Place] = ()
    source: str = COMMON_PRACTICE
    fitted: Mapping[str, Sequence[str | None]] = field(default_factory=dict)
    starting: bool = False
    opening: bool = False
    stopped: bool = False
    made_in: str = ""
    apart: bool = False
    near: Near = ""
    powered: bool = False

    def __post_init__(self) -> None:
        if not self.questions:
            raise PluginError("a sense is declared without a question")
        if not 0.0 < self.minutes < math.inf:
            raise PluginError(f"a test takes {self.minutes!r} minutes; give a positive number")
        if self.hands not in HANDS:
            raise PluginError(f"a test's hands are {self.hands!r}; use one of {', '.join(HANDS)}")
        if self.near not in get_args(Near):
            raise PluginError(f"a test's hand is near {self.near!r}; use {', '.join(filter(None, get_args(Near)))}, or none")
        object.__setattr__(self, "turning", True if self.running else self.turning)
        unknown = {word for need in self.needs for word in need.of} - set(self.questions)
        if unknown:
            raise PluginError(f"a need of a test is for {', '.join(map(repr, sorted(unknown)))}, no question of it")
        if not self.source.strip():
            raise PluginError(f"a sense does not say where its reach comes from; {COMMON_PRACTICE!r} will do")

    @classmethod
    def one(cls, reach: Mapping[str, float], minutes: float, *, direct: tuple[str, ...] = (), false_alarm: float = FALSE_ALARM,
            measures: str = "", halt: Halt | None = None, **more: Any) -> Sense:  # fmt: skip
        """The sense of a test that has a single question, with these of its parts; more: as in Sense."""
        return cls({"": Question(reach, false_alarm, direct, measures=measures, halt=halt)}, minutes, **more)

    def done_by(self, how: Procedure) -> Sense:
        """The sense with what its procedure says of it: whether the engine is turned before the end, where nobody said."""
        return replace(self, turning=True) if self.turning is None and how.turns else self

    def inputs_for(self, target: str) -> dict[str, str]:
        """The inputs that say on what the test is made; none where the step says it."""
        for pattern, inputs in self._named():
            if pattern in (target, kind_of(target)):
                return {name: resolved(text, target) for name, text in inputs.items()}
        return {}

    @property
    def aimed(self) -> bool:
        """Whether it depends on what it is made on; where not, it is made at one of its objects for the whole."""
        return any(question.aimed for question in self.questions.values())

    def takes(self, target: str) -> bool:
        """Whether it is made on that place."""
        return any(pattern in (target, kind_of(target)) for pattern in self.objects)

    def object_of(self, given: Mapping[str, Any]) -> str:
        """What the inputs say that it was made on; "" where they do not."""
        for pattern, inputs in self._named():
            values = {text: given.get(name) for name, text in inputs.items() if "{" in text}
            fixed = all(given.get(name) == text for name, text in inputs.items() if "{" not in text)
            if inputs and fixed and None not in values.values():
                return str(values["{object}"]) if "{object}" in values else pattern.replace("*", str(values.get("{n}", "*")))
        return ""

    def _named(self) -> Iterator[tuple[str, Mapping[str, str]]]:
        if isinstance(self.objects, Mapping):
            yield from self.objects.items()

    @property
    def input_names(self) -> set[str]:
        """The inputs of the calculator that it refers to."""
        return {name for _, inputs in self._named() for name in inputs} | {need.input for need in self.needs if need.input}

    def question(self, word: str, test: str) -> Question:
        """The question of that word. Raises PluginError naming the test."""
        if word not in self.questions:
            raise PluginError(f"{test} has no question {word!r}; it has {', '.join(map(repr, self.questions))}")
        return self.questions[word]

    def speaks_of(self, target: str = "", words: Collection[str] = ()) -> list[str]:
        """The places that it, or these of its questions, speak of, the surest first; of parts of a kind only those on the
        object that it was made on."""
        reach: dict[str, float] = {}
        for question in (self.questions[word] for word in words or self.questions):
            for pattern, chance in question.reach.items() if not target or question.asked_of(target) else ():
                place = resolved(pattern, target) if target else pattern
                if not set(place) & set("{*"):
                    reach[place] = max(reach.get(place, 0.0), chance)
        return sorted(reach, key=lambda place: -reach[place])

    def on(self, system: SystemMap) -> tuple[str, ...]:
        """The objects of this map that it can be made on; "" where it is made on the whole, nothing where none is fitted."""
        if not self.objects:
            return ("",)
        return tuple(place.name for place in system.places if any(place.matches(pattern) for pattern in self.objects))

    def suits(self, system: SystemMap) -> bool:
        """Whether it is made on a vehicle that is fitted so."""
        facts = ((getattr(system.fitted, key), words) for key, words in self.fitted.items())
        return all(not set(fact if isinstance(fact, tuple) else (fact,)).isdisjoint(words) for fact, words in facts)

    def valid(self, answers: Mapping[str, bool], system: SystemMap, word: str = "") -> tuple[float, float]:
        """For a question: the share of its reach that is left by its needs, and how often it comes out bad without it."""
        question = self.questions[word]
        held = [(need, need.chance(answers.get(need.name), system)) for need in self._needed(word)]
        left = [chance + (1.0 - chance) * need.left for need, chance in held]
        lost = [(1.0 - n, question.false_alarm if need.left else need.bad) for n, (need, _) in zip(left, held, strict=True)]
        missing = math.fsum(share for share, _ in lost)
        bad = math.fsum(share * chance for share, chance in lost) / missing if missing else 0.5
        return math.prod(left), bad

    def unanswered(self, answers: Mapping[str, bool], system: SystemMap, word: str | None = None) -> Iterator[Need]:
        """What is not known and would have to be, for the test, or a question of it, to say all it can."""
        needs = self.needs if word is None else self._needed(word)
        return (need for need in needs if need.question and 0.0 < need.chance(answers.get(need.name), system) < 1.0)

    def _needed(self, word: str) -> Iterator[Need]:
        return (need for need in self.needs if not need.of or word in need.of)


@dataclass(frozen=True)
class Senses:
    """The senses of a calculator that takes many tests, by the word of its `input`; other: of any further; how: it is done."""

    input: str
    of: Mapping[str, Sense]
    other: Sense | None = None
    how: Mapping[str, Procedure] = field(default_factory=dict)

    def done_by(self, how: Procedure) -> Senses:
        """Each sense with what its own procedure says of it, or else this one."""
        other = self.other and self.other.done_by(how)
        return replace(self, of={word: sense.done_by(self.how.get(word, how)) for word, sense in self.of.items()}, other=other)


def sense_inputs(sense: Sense | Senses | None) -> set[str]:
    """The inputs of its calculator that a sense refers to."""
    if isinstance(sense, Senses):
        each = [*sense.of.values(), *([sense.other] if sense.other else [])]
        return {sense.input}.union(*(one.input_names for one in each))
    return sense.input_names if sense else set()
