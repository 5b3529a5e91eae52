"""What a job comes to for whoever brought the vehicle: plain sentences, in which every part says what it does."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from ..dataclass import dataclass
from ..message import Message
from ..places.ahead import FEW
from ..places.conclusion import LIKELY, Conclusion
from ..places.place import NO_FAULT, OFF_MAP, STAGES
from ..places.sentences import MOSTLY
from ..places.system import SystemMap
from .evaluation import Outcome
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
INJECTOR = "injector {n}, one of the nozzles that spray the fuel into the engine"
IN_VAIN = "More is tested before a part is changed, so that no part is changed in vain."
UNSAFE = "It is not safe to run the engine before that is put right. The vehicle stays in the workshop until then."
NOT_YET = (
    "One more measurement was not in order and has not been repeated: it is taken again before the vehicle is handed over."
)
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
    repaired = [part for worked in outcome.steps if not worked.error for part in worked.step.repair]
    if found.halts:
        return Plain(tuple(_pointing(outcome)), Message.of(UNSAFE), _open(outcome))
    if repaired and not any(s.word in ("proven", "likely") for s in found.standings):
        return _after_repair(outcome, [part_word(part, found.system) for part in dict.fromkeys(repaired)])
    return _before_repair(outcome)


def _after_repair(outcome: Outcome, parts: list[Message]) -> Plain:
    found = outcome.found
    words = {proof.word for proof in found.proofs}
    tried, gone = found.complaint_tried_again, found.complaint_tried_again and not found.complaint_stands
    mended = Message("Found and repaired: {parts}.", parts=parts)
    if gone and "proved" in words and found.unrepeated:
        return Plain((mended, Message.of("The complaint is gone.")), Message.of(NOT_YET), _open(outcome))
    if gone and "proved" in words:
        return Plain(
            (mended, Message.of("The same test after the repair was in order, and the complaint is gone.")),
            Message.of("The repair did what it was to do. Should the complaint come back, bring this report along: it says "
                       "what was tested and what was not."),
            _open(outcome),
        )  # fmt: skip
    repaired = Message("Repaired: {parts}.", parts=parts)
    if gone:
        second = "The complaint is gone; no test was repeated after the repair that would prove it."
        return Plain((repaired, Message.of(second)), _not_cleared(), _open(outcome))
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
    found = outcome.found
    proven = [standing.place.name for standing in found.standings if standing.word == "proven"]
    if proven:
        parts = [part_word(name, found.system) for name in proven]
        return Plain(
            (Message("The fault is found: {parts}.", parts=parts), Message.of("That is proven by measuring.")),
            Message.of("A repair belongs there. Afterwards the same test shows whether it was enough."),
            Message.of("Next comes the repair, then the same test once more."),
        )
    return Plain(tuple(_pointing(outcome)), _meaning(outcome), _open(outcome))


def _meaning(outcome: Outcome) -> Message:
    if outcome.found.complaint_stands or any(cell.word in ("likely", "open", "indicated") for cell in outcome.cells):
        return Message.of(IN_VAIN)
    return _not_cleared()


def _pointing(outcome: Outcome) -> Iterator[Message]:
    """Where the tests point, in two sentences at most: to a place, to one of a few, to a stage, or nowhere."""
    found = outcome.found
    first = found.standings[0]
    if not any(worked.result for worked in outcome.steps):
        yield Message.of("Nothing has been tested yet.")
        return
    if found.contradiction:
        yield Message.of("Two tests contradict each other, so they are taken again first.")
        return
    if first.chance >= LIKELY:
        yield Message("Most likely at fault: {part}.", part=part_word(first.place.name, found.system))
        yield Message.of("That is not proven yet.")
    elif part := _one_part(found):
        yield Message("The fault lies at {part}.", part=part)
        yield Message.of("What exactly is wrong there is not known yet.")
    elif few := _few(found):
        yield Message("At fault is most likely one of these: {parts}.", parts=[part_word(name, found.system) for name in few])
        yield Message.of("Which of them is not known yet.")
    elif stages := _stages(outcome):
        yield Message("The tests point to {stages}.", stages=[Message.of(STAGE_WORDS[stage]) for stage in stages])
        yield Message.of("Which part there is at fault is not known yet.")
    elif found.complaint_stands:
        yield Message.of("The fault is not found yet.")
        yield Message.of("Nothing that was tested so far stands out.")
    else:
        yield Message.of("The tests that were taken show no fault.")


def _few(found: Conclusion) -> tuple[str, ...]:
    some = 1 < len(found.open) <= FEW and not {NO_FAULT, OFF_MAP} & set(found.open)
    return found.open if some else ()


def _one_part(found: Conclusion) -> Message | None:
    """The part that all of the few open places are of: itself, or what is electrical about it."""
    few = _few(found)
    parts = {name.removesuffix(f" {kind}") for name in few for kind in OF_A_PART if name.endswith(f" {kind}")}
    parts |= {name for name in few if not name.endswith(tuple(OF_A_PART))}
    if len(parts) != 1:
        return None
    part = part_word(parts.pop(), found.system)
    return part if any(not name.endswith(tuple(OF_A_PART)) for name in few) else Message(ELECTRICAL, part=part)


def _stages(outcome: Outcome) -> list[str]:
    """The stage that holds the fault by the odds; without odds those that a finding points to."""
    by_odds = [stage for stage in STAGES if outcome.found.sum(stage) >= MOSTLY]
    pointed = [cell.stage for cell in outcome.cells if cell.word in ("proven", "indicated")]
    return by_odds or list(dict.fromkeys(pointed))


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
    if any(item.good for item in worked.evidence):
        return "in order"
    if verdicts:
        return "within its limit" if verdicts == {"within"} else "not decided"
    return "measured"
