"""Findings of a test on a part of which an input says whose it is: its stage, and whose coil or plug each sentence is about."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any, cast

from .dataclass import replace
from .message import Message, Word
from .result import Finding, Side, Stage

if TYPE_CHECKING:
    from .declare import Calculator

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
        found = [(Message("{what}: {said}", what=Word(what, capital=True), said=each.statement), each) for each in findings]
        notes = [Message("{said} Next: {tests}.", said=said, tests=Message.of(each.next_test)) for said, each in found]
        return (), (*notes, Message(NOT_SAID, what=Word(what), input=placing.part))
    stage, side = cast(Stage, placing.stages[part]), cast(Side, calculator.side)
    word = Word(part.replace("-", " "), capital=True)
    if number is None:
        said = [Message("{part} {what}: {said}", part=word, what=Word(what), said=each.statement) for each in findings]
    else:
        template = "{part} {number} {what}: {said}"
        said = [Message(template, part=word, number=number, what=Word(what), said=each.statement) for each in findings]
    return tuple(replace(f, stage=stage, side=side, statement=text) for f, text in zip(findings, said, strict=True)), ()
