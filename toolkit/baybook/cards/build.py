"""From a calculator's declaration to its card. Nothing on the card is typed a second time: numbers come from running it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from baybook import cautions, numbers
from baybook.cards.data import (
    SIDES,
    STAGES,
    Card,
    Caution,
    Chart,
    Formula,
    Meaning,
    RecordRow,
    Term,
    WorkedStep,
)

if TYPE_CHECKING:
    from baybook.declaration import Example
    from baybook.declare import Calculator, Parameter
    from baybook.fields import Quantity
    from baybook.result import Step

EXAMPLE_STEPS = 4
"""Worked lines that a card has room for."""
RECORD_ROWS = 12
"""Rows of the record table that a card has room for."""
SEVERAL = 4
"""Rows for an input that takes several readings, unless it asks for more."""
PREPOSITIONS = frozenset({"at", "between", "for", "from", "in", "of", "on", "that", "when", "where", "while", "with"})
LIMITS_BLANK = "the data for this vehicle; write down where they stand"


def card_of(
    calculator: Calculator, known: Mapping[str, Any] | None = None, *, date: str = "", job: str = "", step: int = 0,
    step_title: str = "",
) -> Card:  # fmt: skip
    """The card of a calculator.

    known: inputs already known for this vehicle, as the calculator takes them (texts, readings, spec ranges); they fill
    the record table and reach the calculator's charts. job, step, step_title: whose they are. Raises what the calculator
    raises for inputs that can't be used, PluginError where its charts or its example fail.
    """
    inputs = _parsed(calculator, known or {})
    return Card(
        name=calculator.name,
        title=calculator.title,
        stage=next((stage for stage in STAGES if stage == calculator.stage), None),
        side=next((side for side in SIDES if side == calculator.side), None),
        cautions=_cautions(calculator),
        proves=_sentence(calculator.proves),
        needs=tuple(calculator.needs),
        steps=tuple(calculator.procedure),
        formula=_formula(calculator),
        record=_record(calculator, inputs),
        meanings=tuple(Meaning(m.seen, m.says, m.next_test) for m in calculator.meanings),
        back=charts_of(calculator, inputs),
        sources=tuple(calculator.sources),
        limits_origin=limits_origin(calculator, inputs),
        command=f"baybook {calculator.name} --ask",
        job=job,
        step=step,
        step_title=step_title,
        chosen=chosen(calculator, inputs),
        revision=calculator.revision,
        date=date,
        catalogue=calculator.package,
    )


def _parsed(calculator: Calculator, known: Mapping[str, Any]) -> dict[str, Any]:
    return {name: calculator.parameter(name).field.parse(raw) for name, raw in known.items()}


def _sentence(text: str) -> str:
    return text[:1].upper() + text[1:]


def _cautions(calculator: Calculator) -> tuple[Caution, ...]:
    """The declared cautions. That the maker's data come first stands on every card; it is said here if nothing else is."""
    chosen = [caution for caution in calculator.cautions if caution != cautions.MAKERS_DATA] or [cautions.MAKERS_DATA]
    return tuple(replace(caution, short=caution.brief) for caution in chosen)


def _formula(calculator: Calculator) -> Formula | None:
    if not calculator.formulas:
        return None
    shown = next((example for example in calculator.examples if example.card), None)
    return Formula(
        expressions=tuple(calculator.formulas),
        terms=tuple(_terms(calculator)),
        example=tuple(_worked(calculator, shown)) if shown else (),
        source=shown.source if shown else "",
    )


def _terms(calculator: Calculator) -> Iterator[Term]:
    """The letters of inputs and outputs that stand in a formula, each once."""
    text = " ".join(calculator.formulas)
    inputs = (Term(p.field.symbol, spoken(p), _unit(p)) for p in calculator.parameters)
    outputs = (Term(output.symbol, output.help, output.shown_unit()) for output in calculator.outputs.values())
    seen: set[str] = set()
    for term in (*inputs, *outputs):
        if term.letter and term.letter in text and term.letter not in seen:
            seen.add(term.letter)
            yield term


def spoken(parameter: Parameter) -> str:
    """What an input is, in words: its help, with its name before it where the help begins with a preposition."""
    text, name = parameter.field.help, parameter.name.replace("_", " ")
    return f"{name} {text}" if text.partition(" ")[0] in PREPOSITIONS and name not in text else text


def label(parameter: Parameter) -> str:
    """What stands before the input's value in the record table."""
    return _sentence(spoken(parameter))


def _unit(parameter: Parameter) -> str:
    kind = getattr(parameter.field, "kind", None)
    return kind.unit if kind else ""


def _worked(calculator: Calculator, example: Example) -> Iterator[WorkedStep]:
    """The example run through the calculator itself. Raises PluginError where that fails."""
    for step in calculator(**example.inputs).steps[:EXAMPLE_STEPS]:
        yield worked_step(step)


def worked_step(step: Step) -> WorkedStep:
    """A step of a result as a line of an example."""
    data = step.to_dict(said=str)
    return WorkedStep(data["formula"].partition("=")[0].strip(), data["numbers"], data["result"])


def _record(calculator: Calculator, inputs: Mapping[str, Any]) -> tuple[RecordRow, ...]:
    """A row for each thing to be read, as many as there is room for: what was typed for this vehicle first and whole, then
    blanks in the order of the declaration, which is that of the steps; settings are left to the tool."""
    from baybook.fields import Choice

    wanted = [
        parameter
        for parameter in calculator.parameters
        if (parameter.name in inputs and not isinstance(parameter.field, Choice))
        or (not inputs and _to_read(parameter))
        or (inputs and _to_read(parameter) and not isinstance(parameter.field, Choice))
    ]
    found = {parameter.name: list(_rows(parameter, inputs.get(parameter.name))) for parameter in wanted}
    room = max(RECORD_ROWS, sum(len(found[name]) for name in found if name in inputs))
    kept = set[str]()
    for parameter in sorted(wanted, key=lambda parameter: (parameter.name not in inputs, _rank(parameter))):
        if len(found[parameter.name]) <= room:
            room -= len(found[parameter.name])
            kept.add(parameter.name)
    known = sorted((p for p in wanted if p.name in inputs), key=_rank)
    order = [*known, *(p for p in wanted if p.name not in inputs)]
    return tuple(row for parameter in order if parameter.name in kept for row in found[parameter.name])


def _to_read(parameter: Parameter) -> bool:
    """Whether a hand writes it down: a reading, a limit, or of which part and in which condition; not what a setting holds."""
    from baybook.fields import Choice, Count, Limits, Quantity

    field = parameter.field
    if isinstance(field, Quantity) and not field.exact and (field.symbol or parameter.required or _by_hand(field)):
        return not _has_setting(parameter) or bool(field.symbol and parameter.default)
    return isinstance(field, Limits | Choice | Count) and not _has_setting(parameter) and not parameter.required


def _by_hand(field: Quantity) -> bool:
    """Whether it is one reading that has a usual value: a part of a capture has none, several need more."""
    return bool(field.usual) and not field.many


def chosen(calculator: Calculator, inputs: Mapping[str, Any]) -> tuple[tuple[str, str], ...]:
    """The inputs that are one of several words, such as the part, by name."""
    from baybook.fields import Choice

    words = [parameter.name for parameter in calculator.parameters if isinstance(parameter.field, Choice)]
    return tuple((name, str(inputs[name])) for name in words if name in inputs)


def _rank(parameter: Parameter) -> int:
    """Readings of the formulas, then limits, then what only sharpens the answer."""
    from baybook.fields import Limits

    if parameter.required or parameter.field.symbol:
        return 0
    return 1 if isinstance(parameter.field, Limits) else 2


def _rows(parameter: Parameter, value: Any) -> Iterator[RecordRow]:
    """One row for an input, or one for each of several readings."""
    field = parameter.field
    if not field.many:
        yield _row(parameter, field.symbol, value)
        return
    given = list(value) if value else [None] * max(SEVERAL, getattr(field, "at_least_count", 1))
    for place, item in enumerate(given, 1):
        # the number stands with the letter: a text with a number in it could not be translated
        row = _row(parameter, f"{field.symbol}_{place}" if field.symbol else str(place), item)
        yield row if place == 1 or not field.symbol else replace(row, what="")  # (the letter tells them apart)


def _row(parameter: Parameter, symbol: str, item: Any) -> RecordRow:
    """The row of an input: blank, or with the known value in the unit that it was typed in."""
    from baybook.fields import CaptureFile
    from baybook.reading import Reading
    from baybook.spec import SpecRange

    what = label(parameter)
    if isinstance(item, Reading):
        typed = 0.0 if item.assumed else item.half_width
        half = numbers.show(typed, typed) if typed else ""
        return RecordRow(what, symbol, item.unit.symbol, numbers.split_number(item.text)[0], half)
    if isinstance(item, SpecRange):
        return RecordRow(what, symbol, "", item.show())
    if item is None:
        return RecordRow(what, symbol, _unit(parameter))
    told = str(parameter.field.record(item)["text"])
    if isinstance(parameter.field, CaptureFile):
        told = told.replace("\\", "/").rpartition("/")[2]
    return RecordRow(what, symbol, "", told)


def _has_setting(parameter: Parameter) -> bool:
    return not parameter.required and parameter.default is not None


def limits_origin(calculator: Calculator, inputs: Mapping[str, Any]) -> str:
    """Where the limits come from: the user's own words, or a reminder to write them down."""
    from baybook.fields import Limits

    if not any(isinstance(parameter.field, Limits) for parameter in calculator.parameters):
        return ""
    origins = [value.source for value in inputs.values() if hasattr(value, "source")]
    return "; ".join(dict.fromkeys(origins)) or LIMITS_BLANK


def charts_of(calculator: Calculator, inputs: Mapping[str, Any]) -> tuple[Chart, ...]:
    """The calculator's charts for its card, from the inputs that are known. Raises PluginError when they fail."""
    from baybook.errors import BaybookError, PluginError
    from baybook.known import Known

    try:
        return tuple(map(Chart.from_plot, calculator.charts(Known(calculator, inputs)))) if calculator.charts else ()
    except BaybookError:
        raise
    except Exception as error:
        raise PluginError(f"{calculator.words()}: its charts failed: {type(error).__name__}: {error}") from error
