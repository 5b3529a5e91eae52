"""What a job comes to for whoever brought the vehicle: plain sentences, in which every part says what it does."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from ..dataclass import dataclass
from ..message import Message, joined
from ..places.outlook import looks_outside
from ..places.place import OFF_MAP
from ..places.pointed import Pointed, pointed
from ..places.system import SystemMap
from .evaluation import Outcome
from .stops import by_reason
from .worked import Worked

STAGE_WORDS = {
    "supply": "the fuel supply, which brings the fuel from the tank to the high-pressure pump",
    "generation": "the high-pressure pump and its control, which put the fuel under pressure",
    "storage": "the rail, the pipe that holds the fuel under pressure, and what is fitted to it",
    "delivery": "the injectors, the nozzles that spray the fuel into the engine",
}
PARTS = {
    "tank fuel": "the fuel in the tank",
    "feed line": "the fuel line from the tank",
    "air leak": "a place where the fuel line draws in air",
    "tank pump": "the electric fuel pump in the tank",
    "intermediate pump": "the electric fuel pump between tank and engine",
    "suction pump": "the pump that draws the fuel from the tank",
    "filter": "the fuel filter",
    "overflow valve": "the valve that keeps the pressure of the fuel supply steady",
    "return line": "the line that leads fuel back to the tank",
    "pump drive": "the drive of the high-pressure pump",
    "pump elements": "the inside of the high-pressure pump",
    "pump outlet": "the outlet of the high-pressure pump and its pipe",
    "inlet valve": "the valve that lets fuel into the high-pressure pump",
    "outlet valve": "the valve that lets fuel out when the pressure is to fall",
    "control unit": "the computer that controls the engine",
    "rail and joints": "the pipe that holds the fuel under pressure, with its joints",
    "relief valve": "the safety valve of the pipe that holds the fuel under pressure",
    "rail sensor": "the sensor that measures the pressure of the fuel",
    "injector driver": "the electronics that switch the injectors",
    "speed and phase sensors": "the sensors of the engine's speed",
}
"""What each part is to somebody who knows no part of an engine, by its name on the map."""
OF_A_PART = {
    "coil": "the electric coil of {part}",
    "wiring": "the wiring of {part}",
    "driver": "the electronics that drive {part}",
}
ELECTRICAL = "the electrical side of {part}"
INJECTOR = "injector {n} (one of the nozzles that spray the fuel into the engine)"
MENDED = "Found and repaired: {parts}."
MENDED_AND_OTHERS = "Found and repaired: {parts}; repaired as well, not shown by a repeated test: {others}."
IN_VAIN = "More is tested before a part is changed, so that no part is changed in vain."
UNSAFE = "It is not safe to run the engine before this is put right: {reasons}. The vehicle stays in the workshop until then."
NOT_YET = (
    "One more measurement was not in order and has not been repeated: it is taken again before the vehicle is handed over."
)
SUSPECTED = "{reason} (suspected)"
MORE_TESTS = "More tests come next, about {minutes} minutes together; they stand at the end of this report."
ON_LAST_PAGE = "What the workshop tests next stands at the end of this report."


@dataclass(frozen=True)
class Plain:
    """found: the result in two sentences at most. means: what it means. then: what comes next, "" where nothing does."""

    found: tuple[Message, ...]
    means: Message
    then: str = ""


def part_word(name: str, system: SystemMap) -> Message:
    """A place or part in plain words; one that a plugin has added, by its own label."""
    if name in PARTS:
        return Message.of(PARTS[name])
    part, _, kind = name.rpartition(" ")
    if kind in OF_A_PART and part:
        return Message(OF_A_PART[kind], part=part_word(part, system))
    if kind.isdigit() and part == "injector":
        return Message(INJECTOR, n=int(kind))
    return Message.numbered(next((place.label for place in system.places if place.name == name), name))


def plain(outcome: Outcome) -> Plain:
    """The result of a job in plain sentences."""
    found = outcome.found
    repaired = [part for worked in _repairs(outcome) for part in worked.step.repair]
    if found.halts:
        return Plain(tuple(_pointing(outcome)), Message(UNSAFE, reasons=joined(_reasons(outcome))), _open(outcome))
    if repaired and not pointed(found).found:
        return _after_repair(outcome)
    return _before_repair(outcome)


def _reasons(outcome: Outcome) -> list[Message]:
    """Why the engine must not run: what is the matter, each once."""
    return [
        Message(SUSPECTED if all(each.suspected for each in of) else "{reason}", reason=Message.of(of[0].halt.reason))
        for of in by_reason(outcome.found.halts) if of[0].halt.reason
    ] or [Message.of("a test says so")]  # fmt: skip


def _repairs(outcome: Outcome) -> list[Worked]:
    return [worked for worked in outcome.steps if worked.step.repair and not worked.error]


def _repaired_parts(outcome: Outcome) -> tuple[list[Message], list[Message]]:
    """The parts whose repair the same test shows, made again, and the others."""
    proved = {proof.repair.step for proof in outcome.found.proofs if proof.word == "proved"}
    shown = dict.fromkeys(part for w in _repairs(outcome) if w.step.number in proved for part in w.step.repair)
    others = dict.fromkeys(part for w in _repairs(outcome) for part in w.step.repair if part not in shown)
    first, second = ([part_word(part, outcome.found.system) for part in parts] for parts in (shown, others))
    return first, second


def _after_repair(outcome: Outcome) -> Plain:
    found = outcome.found
    words = {proof.word for proof in found.proofs}
    tried, gone = found.complaint_tried_again, found.complaint_tried_again and not found.complaint_stands
    shown, others = _repaired_parts(outcome)
    mended = Message(MENDED_AND_OTHERS, parts=shown, others=others) if others else Message(MENDED, parts=shown)
    if gone and "proved" in words and (found.unrepeated or found.outside_now):
        return Plain((mended, Message.of("The complaint is gone.")), Message.of(NOT_YET), _open(outcome))
    if gone and "proved" in words:
        return Plain(
            (mended, Message.of("The same test after the repair was in order, and the complaint is gone.")),
            Message.of("The repair did what it was to do. Should the complaint come back, bring this report along: it says "
                       "what was tested and what was not."),
            _open(outcome),
        )  # fmt: skip
    repaired = Message("Repaired: {parts}.", parts=[*shown, *others])
    if gone:
        made = words & {"judged otherwise", "moved"}
        second = "The complaint is gone; no test was repeated after the repair that would prove it."
        second = "The complaint is gone; the test that was repeated after the repair does not prove it." if made else second
        return Plain(
            (repaired, Message.of(second)), Message.of(NOT_YET) if found.outside_now else _not_cleared(), _open(outcome)
        )
    if tried:
        return Plain((repaired, Message.of("The complaint is still there.")), Message.of(IN_VAIN), _open(outcome))
    if "still bad" in words:
        second = "The same test after the repair still shows a fault."
        return Plain((repaired, Message.of(second)), Message.of(IN_VAIN), _open(outcome))
    second = (
        "The same test after the repair was in order." if "proved" in words else "Whether that was enough is not shown yet."
    )
    then = Message.of("Next it is tried whether the complaint is gone.")
    return Plain((repaired, Message.of(second)), _not_cleared(), then)


def _before_repair(outcome: Outcome) -> Plain:
    told = tuple(_pointing(outcome))
    if pointed(outcome.found).word in ("proven", "outside"):
        return Plain(
            told, Message.of("A repair belongs there. Afterwards the same test shows whether it was enough."),
            Message.of("Next comes the repair, then the same test once more."),
        )  # fmt: skip
    return Plain(told, _meaning(outcome), _open(outcome))


def _meaning(outcome: Outcome) -> Message:
    if outcome.found.complaint_stands or any(cell.word in ("likely", "open", "indicated") for cell in outcome.cells):
        return Message.of(IN_VAIN)
    return _not_cleared()


ONE_OF = "At fault is most likely one of these: {parts}."
POINTED = {
    "proven": ("The fault is found: {parts}.", "That is proven by measuring."),
    "together": ("Most likely at fault: {parts}.", "That is not proven yet."),
    "seen": ("Most likely at fault: {parts}.", "It was seen at the part itself."),
    "likely": ("Most likely at fault: {parts}.", "That is not proven yet."),
    "outside": ("The fault lies outside the fuel system: {parts}.", "Whether that is the whole cause shows after its repair."),
    "few": (ONE_OF, "Which of them is not known yet."),
    "several": (ONE_OF, "Which of them is not known yet."),
    "part": ("The fault lies at {parts}.", "What exactly is wrong there is not known yet."),
    "stage": ("The tests point to {parts}.", "Which part there is at fault is not known yet."),
}
"""What a customer is told by the word of `pointed`, whose sentences say the same to a colleague."""


def _pointing(outcome: Outcome) -> Iterator[Message]:
    """Where the tests point, in two sentences at most: to a place, to one of a few, to a stage, or nowhere."""
    found = outcome.found
    where = pointed(found)
    if not any(worked.result for worked in outcome.steps):
        yield Message.of("Nothing has been tested yet.")
    elif found.contradiction and where.word != "proven":
        yield Message.of("Two tests contradict each other, so they are taken again first.")
    elif parts := _parts(where, outcome):
        word = "part" if where.word in ("few", "several", "part") and len(parts) == 1 else where.word
        first, second = POINTED[word if word in POINTED else "stage"]
        yield Message(first, parts=parts)
        yield Message.of(second)
    elif where.word == "outside":
        yield Message.of("The fault lies outside the fuel system.")
    elif looks_outside(found):
        yield Message.of("What was tested of the fuel system is in order.")
        yield Message.of("Next the cause is looked for outside the fuel system.")
    elif found.complaint_stands:
        yield Message.of("The fault is not found yet.")
        yield Message.of("Nothing that was tested so far stands out.")
    else:
        yield Message.of("The tests that were taken show no fault.")


def _parts(where: Pointed, outcome: Outcome) -> list[Message]:
    """What is named: parts, one where all the places are of it, or stages: by the odds, else those that findings point to."""
    system = outcome.found.system
    if where.word in ("few", "several", "part"):
        one = _one_part(where.places, system)
        return [one] if one else [part_word(name, system) for name in where.places]
    if where.word in ("", "untaken"):
        pointing = [cell.stage for cell in outcome.cells if cell.word in ("proven", "indicated")]
        return [Message.of(STAGE_WORDS[stage]) for stage in dict.fromkeys(pointing)]
    if where.stage:
        return [Message.of(STAGE_WORDS[where.stage])]
    return [part_word(name.removeprefix(f"{OFF_MAP}: "), system) for name in where.places]


def _one_part(places: tuple[str, ...], system: SystemMap) -> Message | None:
    """The part that all of the few open places are of: itself, or what is electrical about it."""
    parts = {name.removesuffix(f" {kind}") for name in places for kind in OF_A_PART if name.endswith(f" {kind}")}
    parts |= {name for name in places if not name.endswith(tuple(OF_A_PART))}
    if len(parts) != 1:
        return None
    part = part_word(parts.pop(), system)
    return part if any(not name.endswith(tuple(OF_A_PART)) for name in places) else Message(ELECTRICAL, part=part)


def _not_cleared() -> Message:
    return Message.of("What was not tested is not cleared by it.")


def _open(outcome: Outcome) -> str:
    """What comes next, where something does."""
    if outcome.ranked:
        return Message(MORE_TESTS, minutes=round(sum(test.minutes for test in outcome.ranked)))
    return Message.of(ON_LAST_PAGE) if outcome.next_tests else ""


def tested(steps: Iterable[Worked]) -> list[dict[str, Any]]:
    """Each step that was taken, by its title, with what it showed in a word."""
    return [
        {"number": w.step.number, "title": w.title, "own_title": bool(w.step.title), "word": Message.of(_showed(w))}
        for w in steps if w.result
    ]  # fmt: skip


def _showed(worked: Worked) -> str:
    verdicts = {verdict.verdict for verdict in worked.result.verdicts} if worked.result else set()
    if "outside" in verdicts or any(item.bad for item in worked.evidence):
        return "not in order"
    if not verdicts and any(item.factors is None and item.conforms < 0.5 for item in worked.evidence):
        return "suspected"
    said = {finding.strength for finding in worked.result.findings} if worked.result else set()
    if said == {"undecided"} and not verdicts:  # (on target, by a drive that makes up for something)
        return "not decided"
    if any(item.good for item in worked.evidence):
        return "in order"
    if verdicts:
        return "within its limit" if verdicts == {"within"} else "not decided"
    return "measured"
