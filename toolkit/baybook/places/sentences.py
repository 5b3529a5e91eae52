"""The conclusion in sentences: a template with its arguments each, so that any language can say it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import groupby

from ..dataclass import dataclass, field
from .ahead import FEW, FOREMOST, alike_ahead, hanging_on
from .conclusion import SURE, Conclusion, Standing
from .evidence import Evidence
from .history import Repair
from .outlook import looks_outside, seen_outside
from .place import NO_FAULT, OFF_MAP, STAGES, resolved
from .pointed import MOSTLY, pointed
from .proof import Proof


@dataclass(frozen=True)
class Sentence:
    """A template and what stands in it. Arguments are text, numbers, or other sentences (the name of a place is one)."""

    template: str
    arguments: Mapping[str, Sentence | str | int] = field(default_factory=dict)

    def __str__(self) -> str:
        return self.template.format(**{name: str(value) for name, value in self.arguments.items()})


def percent(chance: float) -> str:
    """A chance in whole per cent, never rounded to a certainty."""
    return "over 99 %" if chance > 0.99 else "under 1 %" if chance < 0.01 else f"{100 * chance:.0f} %"


def headline(conclusion: Conclusion) -> tuple[Sentence, ...]:
    """What is most likely and how sure, for the first lines: what a customer can be read."""
    parts = (_halts, _repairs, _contradiction, _gone, _found, _void, _unexplaining, _untested)
    return tuple(sentence for part in parts for sentence in part(conclusion))


def _halts(conclusion: Conclusion) -> Iterator[Sentence]:
    said = [halted.halt for halted in conclusion.halts]
    for halted in (h for at, h in enumerate(conclusion.halts) if h.halt not in said[:at]):
        yield Sentence("First of all (step {n}): {first}.", {"n": halted.step, "first": Sentence(halted.halt.first)})


def _unexplaining(conclusion: Conclusion) -> Iterator[Sentence]:
    for item in conclusion.unexplaining:
        question = item.sense.question(item.question, item.test) if item.sense else None
        where = resolved(question.direct[0], item.object) if question and question.direct else item.object
        told: dict[str, Sentence | str | int] = {"test": item.test, "n": item.step, "place": where}
        if item.explains > 0.0:
            text = (
                "What {test} found at {place} (step {n}) explains too little of what was seen to be the whole cause: look on."
                if where
                else "What {test} found (step {n}) explains too little of what was seen to be the whole cause: look on."
            )
        elif not where:
            text = "What {test} found (step {n}) would show the other way round: it is not the cause of what was seen."
        else:
            text = (
                "What {test} found at {place} (step {n}) would show the other way round: it is not the cause of what was seen."
            )
        yield Sentence(text, told)


def _void(conclusion: Conclusion) -> Iterator[Sentence]:
    for n, test in dict.fromkeys((step, item.test) for item in conclusion.void for step in item.steps):
        text = "What {test} read (step {n}) says nothing: its sensor has no supply; read it again once that is mended."
        yield Sentence(text, {"test": test, "n": n})


REPAIRS = {
    "proved": "The repair of {part} is proved: {test} was outside before it (step {before}) and is within after it "
    "(step {after}).",
    "still bad": "The repair of {part} did not mend it: {test} is still outside (step {before} before it, "
    "step {after} after it).",
    "still bad beside it": "After the repair of {part} {test} is still outside (step {before} before it, step {after} after "
    "it): that comes of something else.",
    "undecided": "Whether the repair of {part} mended it is not decided: {test} (step {before} before it, "
    "step {after} after it).",
    "judged otherwise": "The repair of {part} is not proved: step {after} was judged by another {inputs} than step {before}; "
    "judge both by the same.",
    "moved": "The repair of {part} is not proved: {test} is within after it (step {after}), and outside on {others}, where it "
    "was within before (step {before}). Were hoses, plugs or parts exchanged? Repeat it.",
    "not repeated": "The repair of {part} is not proved yet, not shown by a repeated test: repeat {test}, which was outside "
    "before it (step {before}).",
    "otherwise": "The repair of {part} is not proved yet: {test} is within after it (step {after}), but was not taken as it "
    "was before it (step {before}): repeat it so, in that condition.",
}
ONCE = ("proved", "not repeated")
"""One test that looks at the part again is proof enough, and one is named to be repeated."""


def _repairs(conclusion: Conclusion) -> Iterator[Sentence]:
    for repair, found in groupby(conclusion.proofs, lambda proof: proof.repair):
        of_repair = sorted(found, key=lambda proof: not proof.before.object)
        words = dict.fromkeys(proof.word for proof in of_repair)
        said = set[tuple[object, ...]]()  # two questions of one test, both outside before and within after, are one sentence
        for proof in sorted(of_repair, key=lambda proof: (proof.word not in ONCE, proof.otherwise is None)):
            told = _told(proof, repair)
            key = (proof.word,) if proof.word in ONCE else (proof.word, *told.values())
            if key not in said and not (proof.word == "not repeated" and len(words) > 1):
                beside = proof.word == "still bad" and "proved" in words
                yield Sentence(
                    REPAIRS["still bad beside it" if beside else "otherwise" if proof.otherwise else proof.word], told
                )
            said.add(key)


def _told(proof: Proof, repair: Repair) -> dict[str, Sentence | str | int]:
    after = proof.after or proof.otherwise or proof.before
    return {
        "part": "; ".join(repair.parts), "test": test_name(proof.before), "before": proof.before.step, "after": after.step,
        "inputs": ", ".join(after.unlike), "others": "; ".join(proof.elsewhere),
    }  # fmt: skip


def _contradiction(conclusion: Conclusion) -> Iterator[Sentence]:
    found = conclusion.contradiction
    if found and len(found.repeat) == 2:
        first, second = found.repeat
        if (first.step, first.test) == (second.step, second.test):
            text = "The readings of step {a} contradict each other. Repeat {first} before a part is changed."
            yield Sentence(text, {"first": first.test, "a": first.step})
            return
        text = "The tests contradict each other. Repeat {first} (step {a}) and {second} (step {b}) before a part is changed."
        yield Sentence(text, {"first": test_name(first), "a": first.step, "second": test_name(second), "b": second.step})
    elif found:
        yield Sentence("The tests contradict each other. Repeat them before a part is changed.")


def _found(conclusion: Conclusion) -> Iterator[Sentence]:
    found = pointed(conclusion)
    by_name = {standing.place.name: standing for standing in conclusion.standings}
    named = {"chance": percent(found.chance), "stage": found.stage, "side": found.side, "part": found.part}
    if found.word == "proven":
        for name in found.places:
            yield Sentence(POINTED["proven"], _of(by_name[name]))
    elif found.word in ("seen", "likely"):
        yield Sentence(POINTED[found.word], _of(by_name[found.places[0]]))
    elif found.word:
        labels = [by_name[name].place.label if name in by_name and found.word in BY_LABEL else name for name in found.places]
        yield Sentence(POINTED[found.word], {**named, "places": "; ".join(labels)})
        if found.word in ("cell", "stage"):
            yield from _foremost(conclusion)
    else:
        yield from _nothing_stands_out(conclusion)


POINTED = {
    "untaken": "No test has been taken yet.",
    "proven": "Proven: the fault lies in {place} ({chance}).",
    "together": "Most likely the fault lies in all of these ({chance}): {places}; this is not yet proof.",
    "seen": "The fault was seen at the place itself: {place} ({chance}).",
    "likely": "Most likely the fault lies in {place} ({chance}); this is not yet proof.",
    "outside": "The fault lies outside the fuel system ({chance}).",
    "few": "The fault lies in one of these, {chance} together: {places}.",
    "cell": "The fault lies in {stage}, on the {side} side ({chance}); the place there is still open.",
    "stage": "The fault lies in {stage} ({chance}); the side and the place are still open.",
    "part": "Most likely the fault lies at {part} ({chance}), in one of these: {places}; this is not yet proof.",
    "several": "Most likely the fault lies in one of these, {chance} together: {places}; this is not yet proof.",
}
"""What is said where the tests point, by the word of `pointed`."""
BY_LABEL = ("together", "few")


def _cured_by_itself(conclusion: Conclusion) -> bool:
    """Whether the complaint was tried again and is gone, and nothing is said to have been repaired."""
    gone = conclusion.complaint_tried_again and not conclusion.complaint_stands
    return gone and conclusion.history.epochs[-1].repair is None


def _gone(conclusion: Conclusion) -> Iterator[Sentence]:
    if _cured_by_itself(conclusion):
        yield Sentence("The complaint is gone, and no repair is noted: mark what was done (baybook job mark --repair PART).")


def _nothing_stands_out(conclusion: Conclusion) -> Iterator[Sentence]:
    first = conclusion.standings[0]
    tested = [s for s in conclusion.standings if s.word != "untested"]
    gone = conclusion.complaint_tried_again and not conclusion.complaint_stands and not _cured_by_itself(conclusion)
    if _to_be_tried(conclusion):
        yield Sentence("Try the complaint again: since the repair nobody has said whether it is gone.")
    elif gone and conclusion.unrepeated:
        text = "The complaint is gone after the repair. Before the job is closed repeat {tests}, outside before it (step {n})."
        yield Sentence(text, _tests(conclusion.unrepeated))
    elif gone and conclusion.outside_now:
        yield Sentence(GONE_AND_OUTSIDE, _tests(conclusion.outside_now))
    elif gone:
        text = "The complaint is gone after the repair; that no fault is left has a chance of {chance}."
        yield Sentence(text, {"chance": percent(conclusion.chances[NO_FAULT])})
    elif looks_outside(conclusion):
        yield Sentence(LOOK_OUTSIDE, {"chance": percent(conclusion.chances[OFF_MAP] + conclusion.chances[NO_FAULT])})
    elif seen_outside(conclusion) and conclusion.chances[OFF_MAP] >= max(FOREMOST, first.chance):
        text = "The fault is not found yet; foremost so far: what was found outside the fuel system ({chance})."
        yield Sentence(text, {"chance": percent(conclusion.chances[OFF_MAP])})
    elif alike := alike_ahead(conclusion):
        text = "The fault is not found yet; foremost so far, {chance} together: {places}."
        yield Sentence(text, _of_several(conclusion, alike))
    elif first.word == "open" and first.chance >= FOREMOST:
        text = "The fault is not found yet; foremost so far: {place} ({chance}), still less likely than not."
        yield Sentence(text, _of(first))
    elif conclusion.complaint_stands or conclusion.chances[NO_FAULT] < SURE:
        text = "The fault is not found yet. Looked at: {tested} of {all} places; none of them stands out."
        yield Sentence(text, {"tested": len(tested), "all": len(conclusion.standings)})
    else:
        yield Sentence(
            "No fault is left to be seen by the tests taken ({chance}).", {"chance": percent(conclusion.chances[NO_FAULT])}
        )


GONE_AND_OUTSIDE = (
    "The complaint is gone after the repair, and {tests} is outside (step {n}): that no fault is left is not shown. Settle "
    "that before the job is closed."
)


def _tests(items: Sequence[Evidence]) -> dict[str, Sentence | str | int]:
    names, steps = dict.fromkeys(item.test for item in items), sorted({item.step for item in items})
    return {"tests": "; ".join(names), "n": ", ".join(map(str, steps))}


LOOK_OUTSIDE = "What was measured of the fuel system is good ({chance} that no fault lies there): look outside the fuel system."


def _to_be_tried(conclusion: Conclusion) -> bool:
    """Whether a repair was made that nothing speaks against yet, and nobody has said whether the complaint is gone."""
    last = conclusion.history.epochs[-1]
    proved = any(proof.word == "proved" for proof in conclusion.proofs)
    return last.repair is not None and not conclusion.complaint_tried_again and (proved or not last.evidence)


OR_HANGS = (
    "Foremost there: {place} ({chance}), or what hangs on it ({rest}): a short in one coil or wire shuts it off. Measure coil, "
    "insulation and wiring of each first."
)


def _foremost(conclusion: Conclusion) -> Iterator[Sentence]:
    first = conclusion.standings[0]
    if alike := alike_ahead(conclusion):
        yield Sentence("Foremost there, {chance} together: {places}.", _of_several(conclusion, alike))
    elif first.word == "open" and (hanging := hanging_on(conclusion, first)):
        rest = percent(conclusion.of_any(standing.place.name for standing in hanging))
        yield Sentence(OR_HANGS, {**_of(first), "rest": rest})
    elif first.word == "open" and first.chance >= FOREMOST:
        yield Sentence("Foremost there: {place} ({chance}).", _of(first))


def _untested(conclusion: Conclusion) -> Iterator[Sentence]:
    placed = any(s.word in ("proven", "likely") for s in conclusion.standings)
    if (
        placed
        or not _taken(conclusion)
        or (conclusion.complaint_tried_again and not conclusion.complaint_stands)
        or _to_be_tried(conclusion)
        or any(conclusion.sum(stage) >= MOSTLY for stage in STAGES)
    ):
        return
    if conclusion.complaint_stands and conclusion.complaint_tried_again:
        yield Sentence("The complaint stands.")
    untested = [s.place for s in conclusion.standings if s.word == "untested"]
    if len(untested) <= FEW:
        yield from [Sentence("Not tested yet: {places}.", {"places": "; ".join(p.label for p in untested)})] if untested else []
    else:
        stages = [stage for stage in STAGES if any(place.stage == stage for place in untested)]
        text = "Not tested yet: {count} places, in {stages}."
        yield Sentence(text, {"count": len(untested), "stages": ", ".join(stages)})


def _taken(conclusion: Conclusion) -> bool:
    return any(item.is_test for epoch in conclusion.history.epochs for item in epoch.evidence)


def _of(standing: Standing) -> dict[str, Sentence | str | int]:
    return {"place": standing.place.label, "chance": percent(standing.chance)}


def _of_several(conclusion: Conclusion, several: Sequence[Standing]) -> dict[str, Sentence | str | int]:
    names = [standing.place.name for standing in several]
    return {"places": "; ".join(names), "chance": percent(conclusion.of_any(names))}


def test_name(item: Evidence) -> str:
    """A test as it is named in a sentence."""
    return f"{item.test} ({item.object})" if item.object else item.test
