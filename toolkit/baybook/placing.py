"""Findings at their place, and the short caution of a test that is to be made next.

Of a test on a part of which an input says whose it is: the stage, and whose coil or plug each sentence is about. Of a next
test what has to be so before, from what is declared of where a hand goes; what a sentence says already is not said twice.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any, cast

from .action import Action
from .dataclass import replace
from .message import Message, Word, joined
from .result import Finding, Side, Stage

if TYPE_CHECKING:
    from .declare import Calculator
    from .message import Argument
    from .places.place import Place
    from .places.sense import Sense

AT_PART = {
    (False, True): "{part} {what}: {said}",
    (True, True): "{part} {number} {what}: {said}",
    (False, False): "{part}: {said}",
    (True, False): "{part} {number}: {said}",
}
"""By whether the part has a number, and whether something of it was tested."""
NOT_SAID = "Whose {what} it is was not said ({input}), so this is no finding on any stage."


def placed(
    calculator: Calculator, values: Mapping[str, Any], findings: Sequence[Finding]
) -> tuple[tuple[Finding, ...], tuple[Message, ...]]:
    """Findings at the stage of the part that was tested; with none said, no finding, and notes that say the same."""
    placing = calculator.placing
    if placing is None or not findings:
        return tuple(findings), ()
    what, part, number = placing.what, values[placing.part], values[placing.number] if placing.number else None
    if part is None:
        thing = Word(what or "part", capital=True)
        found = [(Message("{what}: {said}", what=thing, said=each.statement), each) for each in findings]
        notes = [Message("{said} Next: {tests}.", said=said, tests=Message.of(each.next_test)) for said, each in found]
        return (), (*notes, Message(NOT_SAID, what=Word(what or "part"), input=placing.part))
    if not placing.stages:
        from .places.layout import stage_of
    stage, side = cast(Stage, placing.stages.get(part) or stage_of(part)), cast(Side, calculator.side)
    on_map = "" if placing.stages else part.replace("-", " ")
    told: dict[str, Argument] = {"part": Word(part.replace("-", " "), capital=True)}
    told |= {} if number is None else {"number": number}
    told |= {"what": Word(what)} if what else {}
    said = [Message(AT_PART[number is not None, bool(what)], said=each.statement, **told) for each in findings]
    return tuple(
        replace(f, stage=stage, side=side, statement=text, part=on_map) for f, text in zip(findings, said, strict=True)
    ), ()


TOUCHED = {
    "high pressure": (
        Message("rail seen to fall to zero"),
        re.compile(r"\b(rail|pressure)\b[^;]*\b(at|to|prove|proved) zero\b"),
    ),
    "live wiring": (Message("key off"), re.compile(r"\bkey off\b")),
    "low side": (Message("low side let off"), re.compile(r"\b(engine stopped|relieve)\b")),
}
"""By where a hand goes, the worst first: what has to be so before, and in which words a sentence says it itself."""
CAUTIONED = "{test} [first: {hands}]"
NO_PROOF = Message(
    "this rail reading cannot prove zero: key off, full waiting time, rail emptied the maker's way, a second means shows zero"
)
IN_PLACE = '{hands} (in place of "rail seen to fall to zero"): {test}'
SAYS_IT = "cannot prove zero"
"""What says of itself that the reading proves nothing, and what does."""
OPENED = {"high side opened": "high pressure", "low side opened": "low side", "live wiring": "live wiring"}
NAMED = re.compile(r"\(calculator ([a-z0-9-]+)\)")
"""A calculator that a sentence names: "collect the returns (calculator returns)"."""


def touched(sense: Sense | None, calculator: Calculator) -> frozenset[str]:
    """Where a hand goes for a test, by the keys of `TOUCHED`; none where nothing of that is touched."""
    found = {OPENED.get(sense.hands, ""), sense.near} if sense else set[str]()
    found |= {action.hands for action in calculator.how.steps if isinstance(action, Action)}
    return frozenset(found & set(TOUCHED))


def touched_by(calculator: Calculator) -> frozenset[str]:
    """The same of a calculator; of one that is many tests what its procedure says."""
    sense = calculator.sense
    return touched(sense if hasattr(sense, "hands") else None, calculator)  # type: ignore[arg-type]  # the others have none


def mended_at(place: Place) -> frozenset[str]:
    """Where a hand goes to mend a place: of the supply its low side or its wires, else what is under pressure or sits on it."""
    if place.stage != "supply":
        return frozenset({"high pressure"})
    return frozenset({"low side" if place.side == "hydraulic" else "live wiring"})


def cautioned(test: str, hands: frozenset[str]) -> Message:
    """The sentence with the short cautions that it needs and does not say itself; as it is where it needs none."""
    hands = hands & {"low side"} if SAYS_IT in test else hands
    found = [said for word, (said, itself) in TOUCHED.items() if word in hands and not itself.search(test)]
    return Message(CAUTIONED, test=Message.of(test), hands=joined(found, ", ")) if found else Message.of(test)


def without_reading(told: str) -> Message:
    """What is to be done next, where the rail's reading cannot prove zero: in place of a zero that is read, the maker's way."""
    message = Message.of(told)
    test, hands = (message.arguments[name] for name in ("test", "hands")) if message.template == CAUTIONED else (message, "")
    seen, itself = TOUCHED["high pressure"]
    if SAYS_IT in message or not (seen in str(hands) or itself.search(str(test))):
        return message
    low, _ = TOUCHED["low side"]
    if itself.search(str(test)):
        return Message(IN_PLACE, test=test, hands=NO_PROOF)
    return Message(CAUTIONED, test=test, hands=joined([NO_PROOF, *([low] if low in str(hands) else [])], ", "))


def next_test_of(calculator: Calculator, test: str) -> Message:
    """A finding's next test, cautioned as the calculators that it names are, else as the one whose finding it is.

    Of one that is not in use nothing is known of where its hands go.
    """
    names = NAMED.findall(test)
    known = [calculator.surroundings.touches(name) for name in names]
    found = frozenset().union(*(TOUCHED.keys() if hands is None else hands for hands in known))
    return cautioned(test, found if names else touched_by(calculator))
