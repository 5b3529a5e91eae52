"""From a procedure to the lines of a card: a place to write in for every input that is read at a step."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from baybook import numbers
from baybook.action import Action, Condition, HoldPoint
from baybook.cards.lines import Line, Slot

from ..dataclass import replace

if TYPE_CHECKING:
    from baybook.declare import Calculator, Parameter

SEVERAL = 4
"""Places for an input that takes several readings, unless it asks for more."""


def lines_of(
    calculator: Calculator, items: Sequence[Condition | Action | HoldPoint | str], inputs: Mapping[str, Any]
) -> tuple[Line, ...]:
    """Entry conditions, steps or the end of the procedure as lines with a place for every input that is read there."""
    return tuple(_line(calculator, item, inputs) for item in items)


def _line(calculator: Calculator, item: Condition | Action | HoldPoint | str, inputs: Mapping[str, Any]) -> Line:
    if isinstance(item, str):
        return Line(item)
    if isinstance(item, HoldPoint):
        return Line(item.text, bar=True, symbols=item.symbols, short=item.short, danger=item.danger)
    slots = tuple(slots_of(calculator, item, inputs))
    if isinstance(item, Condition):
        return Line(item.text, slots, otherwise=item.otherwise, blank=item.blank)
    caution = replace(item.caution, short=item.caution.brief) if item.caution else None
    return Line(item.text, slots, caution, drawing=item.drawing)


def slots_of(calculator: Calculator, item: Condition | Action, inputs: Mapping[str, Any]) -> Iterator[Slot]:
    """A place for each input; it has its name before it where neither its unit nor the sentence tells it from the others."""
    from baybook.fields import CaptureFile, Choice

    parameters = [calculator.parameter(name) for name in item.reads]
    parameters = [p for p in parameters if p.name in inputs or not isinstance(p.field, CaptureFile)]
    units, leads = [unit_of(parameter) for parameter in parameters], _leads(parameters)
    before = ""
    for parameter, unit, lead in zip(parameters, units, leads, strict=True):
        told = parameter.name.replace("_", " ") in item.text.lower() and (unit or isinstance(parameter.field, Choice))
        named = not lead and not told and (not unit or units.count(unit) > 1)
        for slot in _slots(parameter, inputs.get(parameter.name), bool(named)):
            yield replace(slot, lead=lead if lead != before else "")
            before = lead


def _leads(parameters: Sequence[Parameter]) -> list[str]:
    """The first word of each name, where the same is read of several things: inlet_duty and outlet_duty; else "" for all."""
    pairs = [parameter.name.partition("_") for parameter in parameters]
    rest = [after for _, _, after in pairs]
    return [first if after and rest.count(after) > 1 else "" for first, _, after in pairs]


def _slots(parameter: Parameter, value: Any, named: bool) -> Iterator[Slot]:
    """One place for an input, or one for each of several readings."""
    from baybook.fields import Choice, Flag

    field = parameter.field
    if field.many:
        given = list(value) if value else [None] * max(SEVERAL, getattr(field, "at_least_count", 1))
        for place, item in enumerate(given, 1):
            yield _filled(Slot(parameter.name, unit_of(parameter) if place == len(given) else "", str(place)), parameter, item)
    elif isinstance(field, Flag) and value is None:
        yield Slot(parameter.name, words=("",), named=True)
    elif isinstance(field, Choice) and value is None and len(field.words) <= FEW_WORDS:
        yield Slot(parameter.name, words=tuple(field.words), named=named and len(field.words) < FEW_WORDS)
    else:
        yield _filled(Slot(parameter.name, unit_of(parameter), named=named), parameter, value)


FEW_WORDS = 3
"""So many words of a choice are ticked; of more, one is written down."""


def _filled(slot: Slot, parameter: Parameter, item: Any) -> Slot:
    """The place with the known value in it, in the unit that it was typed in."""
    from baybook.fields import CaptureFile, Choice
    from baybook.message import Message, Word
    from baybook.reading import Reading
    from baybook.spec import SpecRange

    if item is None:
        return slot
    if isinstance(item, Reading):
        typed = 0.0 if item.assumed else item.half_width
        half = numbers.show(typed, typed) if typed else ""
        return replace(slot, unit=item.unit.symbol, value=numbers.split_number(item.text)[0], half_width=half)
    if isinstance(item, SpecRange):
        return replace(slot, unit="", value=Message("{range}", range=item))
    if isinstance(parameter.field, Choice):
        return replace(slot, unit="", value=Message("{word}", word=Word(item, parameter.name)))
    told = str(parameter.field.record(item)["text"])
    if isinstance(parameter.field, CaptureFile):
        told = told.replace("\\", "/").rpartition("/")[2]
    return replace(slot, unit="", value=told)


def unit_of(parameter: Parameter) -> str:
    """The unit of an input's kind; "" where it has none."""
    kind = getattr(parameter.field, "kind", None)
    return kind.unit if kind else ""
