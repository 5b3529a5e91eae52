"""What a sheet does not say, or steps that count for less than they could, in sentences."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from ..answers import test_of
from ..message import Message
from ..places.choice import ELSEWHERE
from ..places.conclusion import Conclusion
from ..places.place import OFF_MAP
from ..places.sentences import percent
from .messages import test
from .sheet import Sheet
from .worked import Worked


def against(found: Conclusion) -> Iterator[Message]:
    """Which steps turned the engine although something that was found says not to."""
    for number, halted in found.against.items():
        told: dict[str, Any] = {"n": number, "m": halted.step, "first": Message.of(halted.halt.first)}
        yield Message(AGAINST_AND_SPOILT if halted.halt.spoils else AGAINST, **told)


AGAINST = "Step {n} turned the engine against what step {m} says comes first: {first}."
AGAINST_AND_SPOILT = (
    "Step {n} turned the engine against what step {m} says comes first: {first}. What it shows counts for less, and lifts "
    "nothing."
)


def other_conditions(sheet: Sheet, found: Conclusion) -> Iterator[Message]:
    """Which tests were made in another condition than that in which the complaint shows, or nobody said in which."""
    shows = sheet.complaint.shows if sheet.complaint else ()
    told = {"shows": [Message.of(word) for word in shows]}
    less: dict[tuple[float, tuple[str, str]], dict[int, None]] = {}
    last = found.history.epochs[-1]
    for item in last.evidence:
        if item.is_test and item.left < 1.0 and shows and item.step not in found.against:
            left = last.left(item)
            template = CONDITION_UNSAID if not item.elsewhere else SHOWS_THERE if left >= ELSEWHERE else OTHER_CONDITION
            less.setdefault((left, template), {}).update(dict.fromkeys(item.steps))
    for (left, template), steps in sorted(less.items()):
        text = template[len(steps) > 1]
        yield Message(text, steps=sorted(steps), share=Message.of(percent(left)), **told)


OTHER_CONDITION = (
    "The complaint shows only {shows}, and step {steps} was taken otherwise: it counts for {share} of its reach, and is to be "
    "taken again so.",
    "The complaint shows only {shows}, and steps {steps} were taken otherwise: they count for {share} of their reach, and are "
    "to be taken again so.",
)
SHOWS_THERE = (
    "The complaint shows only {shows}, and step {steps} was taken otherwise; what was found there shows that the fault is "
    "present there as well, so it counts for {share} of its reach.",
    "The complaint shows only {shows}, and steps {steps} were taken otherwise; what was found there shows that the fault is "
    "present there as well, so they count for {share} of their reach.",
)
CONDITION_UNSAID = (
    "The complaint shows only {shows}; in which condition step {steps} was taken is not said (condition), so it counts for "
    "{share} of its reach.",
    "The complaint shows only {shows}; in which condition steps {steps} were taken is not said (condition), so they count for "
    "{share} of their reach.",
)
"""Each for one step, and for several."""


def unmet(found: Conclusion, steps: Iterable[Worked]) -> Iterator[Message]:
    """Which tests say nothing, because what they need is known not to have been met: each is to be repeated so that it is."""
    last: dict[tuple[str, str], Message | None] = {}
    for worked in steps:
        known = test_of(worked.calculator, worked.result.inputs) if worked.calculator and worked.result else None
        if worked.step.repair:
            last.clear()
        if known is None or worked.result is None:
            continue
        name, sense = known
        answers = {**worked.result.met, **{need: met for item in worked.evidence for need, met in item.answers.items()}}
        missing = [n for n in sense.needs if n.question and not (n.left or n.of or n.chance(answers.get(n.name), found.system))]
        n, need = worked.step.number, missing[0].question if missing else ""
        last[name, worked.step.object] = Message(UNMET, n=n, test=test(name), need=Message.of(need)) if missing else None
    yield from filter(None, last.values())


UNMET = "step {n} ({test}) says nothing as it was taken: repeat it, so that this is answered with yes: {need}"


def outcome_at_odds(sheet: Sheet, found: Conclusion) -> Iterator[Message]:
    """That the job's outcome is another place than the one whose repair is proved."""
    proved = [proof.repair for proof in found.proofs if proof.word == "proved"]
    if sheet.outcome is None or not proved:
        return
    places = [found.system.places[at] for repair in proved for at in repair.positions(found.system)]
    mended = {name for place in places for name in (place.name, place.part)}
    mended |= {OFF_MAP} if any(repair.outside for repair in proved) else set()
    if sheet.outcome.place not in mended:
        parts = dict.fromkeys(part for repair in proved for part in repair.parts)
        yield Message(OUTCOME, place=Message.numbered(sheet.outcome.place), parts=[Message.numbered(part) for part in parts])


OUTCOME = "[outcome] says {place}, and the repair that is proved is of {parts}: correct the one that is wrong."


def left_out(sheet: Sheet, steps: tuple[Worked, ...]) -> tuple[str, ...]:
    """What the sheet does not say and the odds would be surer by."""
    told: list[str] = [
        Message(
            'Step {n} does not say which part was measured, so it counts for none: give its part, or object = "injector 3".',
            n=w.step.number,
        )
        for w in steps if w.unplaced
    ]  # fmt: skip
    if sheet.complaint is None:
        told.append(Message.of("The sheet has no complaint: give [complaint] kind and text."))
    elif not sheet.complaint.kind:
        told.append(Message.of("The kind of complaint is not said: give [complaint] kind."))
    if unknown := sheet.system.unknown():
        told.append(Message("Not known to be fitted, see [system]: {keys}.", keys=list(unknown)))
    return tuple(told)
