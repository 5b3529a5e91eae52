"""What a result says to the questions of its test's sense: its verdicts, each to its question, and what it answers itself."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Iterator, Mapping
from typing import TYPE_CHECKING, Any

from .dataclass import replace
from .errors import PluginError, Problem
from .fields import near_names
from .message import Message
from .places.need import Answer
from .places.sense import Sense, Senses
from .verdicts import value_of

if TYPE_CHECKING:
    from .declare import Calculator
    from .result import Given, Result, Verdict


SURE = 0.95
"""The chance from which on an end of a range is decided, as a whole verdict is."""
OPEN = 2.0
"""To one: what an undecided verdict says at most, since how far its limit lies in the uncertainty is itself a guess. common
practice, no source"""

NEXT = (
    "What it speaks of, the surest first: {places}. Next: take it into the job sheet (baybook job add), which weighs it with "
    "the other tests and names the one that parts these (baybook job next)."
)
NEXT_OUTSIDE = (
    "It speaks of no place of the fuel system. Next: take it into the job sheet (baybook job add), which weighs it with the "
    "other tests."
)
MOST = 5  # places that are named
ELECTRICAL = (" coil", " wiring", " driver")


def next_in_job(sense: Sense, made_on: str | None = None, words: Collection[str] = ()) -> Message:
    """For a result that finds nothing of itself: what its test, or these of its questions, made on that part, speak of, and
    that a job weighs it."""
    of_it = f"{made_on} " if (made_on or "").endswith(ELECTRICAL) else "\n"  # (a part has wiring; its wiring has none)
    places = [name for name in sense.speaks_of(made_on or "", words) if not name.startswith(of_it)]
    return Message(NEXT, places=[Message.numbered(name) for name in places[:MOST]]) if places else Message.of(NEXT_OUTSIDE)


def place_problems(
    what: str, place: str | None, known: Mapping[str, Sense], *, usual: str, where: str, done: str
) -> Iterator[Problem]:
    """Of a calculator that takes many tests, with inputs `what` and `place`: one that is none of `known` has to say its place,
    one that is made on parts, on which of them.

    usual: what the known ones are, "usual readings"; where: what a place says of another, "of which place it speaks"; done:
    what is done at a part, "read".
    """
    sense = known.get(what)
    if sense is None and place is None:
        close = near_names(what, known)
        near = f"did you mean {' or '.join(close)}? Else say" if close else "--help lists them; else say"
        yield Problem("what", what, f"is not one of the {usual}", f"{near} {where} (place)")
    if sense is not None and sense.aimed and sense.objects and not (place and sense.takes(place)):
        parts = " or ".join(sense.objects).replace("*", "3")
        yield Problem("place", place, f"is not where this is {done}" if place else "is missing", f"give {parts}")


def test_of(calculator: Calculator, given: Mapping[str, Any]) -> tuple[str, Sense] | None:
    """The name of the test that these inputs make it, and its sense; None where it declares none.

    given: by name, what the inputs are, as records of a result or as plain values.
    """
    sense = calculator.sense
    if not isinstance(sense, Senses):
        return None if sense is None else (calculator.name, sense)
    word = str(plain(given).get(sense.input, ""))
    found = sense.of.get(word, sense.other)
    return None if found is None else (word, found)


def plain(given: Mapping[str, Any]) -> dict[str, Any]:
    """The inputs as plain values, from the records of a result."""
    return {name: item.get("value") if isinstance(item, Mapping) else item for name, item in given.items()}


def completed_answers(calculator: Calculator, result: Result) -> tuple[Answer, ...]:
    """The answers of a result whose inputs, outputs and verdicts are complete, each with the object that is known of it.

    None while what was judged may be a slip of the unit.
    Raises PluginError, with the calculator's name, for an answer to a question that it has not, and for what is no chance.
    """
    test = test_of(calculator, result.inputs)
    if test is None:
        if result.answers or result.met:
            raise PluginError(f"{calculator.words()} gives answers and declares no sense")
        return ()
    if any(verdict.slipped for verdict in result.verdicts):
        return ()
    given = plain(result.inputs)
    made_on = test[1].object_of(given)
    own = {(answer.question, answer.object) for answer in result.answers}
    of_verdicts = _of_verdicts(calculator, test[1], result)
    found = [*(answer for answer in of_verdicts if (answer.question, answer.object) not in own), *result.answers]
    for answer in found:
        _check(calculator, test[1], answer)
    return tuple(_with_effects(replace(answer, object=answer.object or made_on), test[1], result) for answer in found)


def _with_effects(answer: Answer, sense: Sense, result: Result) -> Answer:
    """The answer with what its question says that it shows of a quantity, or brings about in it, by the result's outputs."""
    if answer.factors is not None:
        return answer
    question = sense.questions[answer.question]
    brings, shows = (
        {name: size for name, output in named.items() if (size := _size(result, output)) is not None}
        for named in (question.brings, question.shows)
    )
    return replace(answer, brings={**brings, **answer.brings}, shows={**shows, **answer.shows})


def _size(result: Result, output: str) -> float | None:
    """An output as a number in its own unit; None where there is none."""
    value = getattr(result.outputs.get(output), "value", None)
    return value if isinstance(value, int | float) else None


def completed_met(calculator: Calculator, result: Result) -> dict[str, bool]:
    """Which needs of its test were met, as far as the result or the inputs say it. Raises PluginError for an unknown need."""
    test = test_of(calculator, result.inputs)
    if test is None:
        return {}
    needs = {need.name: need for need in test[1].needs}
    for name, met in result.met.items():
        if name not in needs or not isinstance(met, bool):
            raise PluginError(f"{calculator.words()} says {met!r} of the need {name!r}; it has {', '.join(needs) or 'none'}")
    given = plain(result.inputs)
    told = {name: need.answer(given) for name, need in needs.items()}
    return {**{name: met for name, met in told.items() if met is not None}, **result.met}


def called_halts(calculator: Calculator, result: Result) -> tuple[str, ...]:
    """What the answers of a complete result say comes before anything else, because hands or engine are in danger."""
    test = test_of(calculator, result.inputs)
    if test is None:
        return ()
    calling = {word for word, question in test[1].questions.items() if question.halt and not question.halt.beside}
    bad = [a for a in result.answers if a.question in calling and a.factors is None and a.conforms < 0.5]
    if not bad:
        return ()
    from .places.halt import called_by

    return tuple(dict.fromkeys(halt.first for answer in bad if (halt := called_by(test[1], answer, result.met))))


def _of_verdicts(calculator: Calculator, sense: Sense, result: Result) -> Iterator[Answer]:
    for verdict in result.verdicts:
        if verdict.probability is None:
            continue
        of = f"{calculator.outputs[verdict.output].each} {verdict.index}" if verdict.index and verdict.output else ""
        said = f"{verdict.what}: {verdict.verdict}"
        for word, conforms in _answered(sense.questions, verdict, result.outputs):
            beyond = {
                name: far for name, of_what in sense.questions[word].shows.items() if not of_what and (far := _far(verdict))
            }
            yield Answer(word, conforms, of if sense.takes(of) else "", said, shows=beyond)


def _far(verdict: Verdict) -> float | None:
    """How far what was judged lies beyond its range, in % of the end that it passes; None where it does not."""
    if verdict.measured is None:
        return None
    limits, value = verdict.range.to(verdict.measured.unit), verdict.measured.value
    passed = limits.low if limits.low is not None and value < limits.low else limits.high
    return 100.0 * (value - passed) / abs(passed) if passed and (value < passed) == (passed == limits.low) else None


def _answered(questions: Iterable[str], verdict: Verdict, outputs: Mapping[str, Given]) -> Iterator[tuple[str, float]]:
    """The questions that a verdict answers, each with its chance to conform: of its output, of its ends, or the only one.

    One that is not decided moves no odds by more than `OPEN` to 1, whichever way it leans; but where it is open at one end
    alone, the other is kept for certain.
    """
    told = list(_told(questions, verdict, outputs))
    if verdict.verdict != "undecided":
        yield from told
        return
    at_one_end = any(chance < SURE for _, chance in told)
    yield from ((word, chance if at_one_end and chance >= SURE else _open(chance)) for word, chance in told)


def _open(chance: float) -> float:
    return min(max(chance, 1.0 / (1.0 + OPEN)), OPEN / (1.0 + OPEN))


def _told(questions: Iterable[str], verdict: Verdict, outputs: Mapping[str, Given]) -> Iterator[tuple[str, float]]:
    probability = verdict.probability or 0.0
    for prefix in (f"{verdict.output} ".lstrip(), ""):
        if prefix.strip() in questions and prefix:
            yield prefix.strip(), probability
            return
        sides = [(f"{prefix}{end}", end) for end in ("low", "high") if f"{prefix}{end}" in questions]
        if sides:
            beyond = _beyond(verdict, outputs)
            yield from ((word, 1.0 - beyond[end]) for word, end in sides if end in beyond)
            return
    if "" in questions:
        yield "", probability


def _beyond(verdict: Verdict, outputs: Mapping[str, Given]) -> dict[str, float]:
    """The chance to lie beyond each end that the range has; where it is open which end it is, nothing."""
    outside = 1.0 - (verdict.probability or 0.0)
    ends = {"low": verdict.range.low, "high": verdict.range.high}
    has = [end for end, limit in ends.items() if limit is not None]
    if len(has) == 1:
        return {has[0]: outside}
    measured = verdict.measured or value_of(verdict, outputs)
    if measured is None:
        return {}
    limits = verdict.range.to(measured.unit)
    low, high = measured.below(limits.low or 0.0), measured.above(limits.high or 0.0)
    share = low / (low + high) if low + high > 0.0 else 0.5
    return {"low": outside * share, "high": outside * (1.0 - share)}


def _check(calculator: Calculator, sense: Sense, answer: Answer) -> None:
    if answer.factors is None:
        sense.question(answer.question, calculator.words())
        if isinstance(answer.conforms, bool) or not 0.0 <= answer.conforms <= 1.0:  # nan is neither
            raise PluginError(f"{calculator.words()} gives {answer.conforms!r} as the chance to conform; it lies from 0 to 1")
        return
    for pattern, factor in answer.factors.items():
        if isinstance(factor, bool) or not isinstance(factor, int | float) or not 0.0 <= factor < math.inf:
            told = "give a number of 0 or more, not nan or inf"
            raise PluginError(f"{calculator.words()} states the factor {factor!r} on {pattern!r}; {told}")
