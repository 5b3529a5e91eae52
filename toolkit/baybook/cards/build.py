"""From a calculator's declaration to its card. Nothing on the card is typed a second time: numbers come from running it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

from baybook import cautions
from baybook.action import Condition
from baybook.cards.data import (
    SIDES,
    STAGES,
    Card,
    Caution,
    Chart,
    Formula,
    Meaning,
    Outcome,
    RecordRow,
    Term,
    WorkedStep,
)
from baybook.cards.lining import lines_of, slots_of, unit_of

from ..dataclass import replace

if TYPE_CHECKING:
    from baybook.declaration import Example
    from baybook.declare import Calculator, Parameter
    from baybook.result import Step

EXAMPLE_STEPS = 4
"""Worked lines that a card has room for."""
PREPOSITIONS = frozenset({"at", "between", "for", "from", "in", "of", "on", "that", "when", "where", "while", "with"})
LIMITS_BLANK = "the data for this vehicle"


def card_of(
    calculator: Calculator, known: Mapping[str, Any] | None = None, *, date: str = "", job: str = "", step: int = 0,
    step_title: str = "",
) -> Card:  # fmt: skip
    """The card of a calculator.

    known: inputs already known for this vehicle, as the calculator takes them (texts, readings, spec ranges); they fill
    the places in the steps and reach the calculator's charts. job, step, step_title: whose they are. Raises what the calculator
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
        strong=calculator.how.caution,
        entry=lines_of(calculator, calculator.how.entry, inputs),
        steps=lines_of(calculator, calculator.how.steps, inputs),
        end=lines_of(calculator, calculator.how.end, inputs),
        outcomes=outcomes_of(calculator, inputs) if inputs else (),
        record=tuple(further_rows(calculator, inputs)),
        formula=_formula(calculator),
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
    inputs = (Term(p.field.symbol, spoken(p), unit_of(p)) for p in calculator.parameters)
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


def _worked(calculator: Calculator, example: Example) -> Iterator[WorkedStep]:
    """The example run through the calculator itself. Raises PluginError where that fails."""
    for step in calculator(**example.inputs).steps[:EXAMPLE_STEPS]:
        yield worked_step(step)


def worked_step(step: Step) -> WorkedStep:
    """A step of a result as a line of an example."""
    data = step.to_dict(said=str)
    return WorkedStep(data["formula"].partition("=")[0].strip(), data["numbers"], data["result"])


def outcomes_of(calculator: Calculator, inputs: Mapping[str, Any]) -> tuple[Outcome, ...]:
    """What the inputs come to: each output that is judged, else the first ones; none where they do not suffice."""
    from baybook.errors import BaybookError
    from baybook.message import Message

    try:
        result = calculator(**inputs)
    except BaybookError:
        return ()
    found = [
        Outcome(
            verdict.output or str(verdict.what), _told(verdict.measured) if verdict.measured else "", verdict.verdict,
            Message("{range}", range=verdict.range), verdict.index or 0,
        )
        for verdict in result.verdicts
    ]  # fmt: skip
    if found:
        return tuple(found[:MOST_OUTCOMES])
    plain = ((name, value) for name, value in result.outputs.items() if not isinstance(value, tuple))
    return tuple(Outcome(name, _told(value)) for name, value in plain)[:MOST_OUTCOMES]


MOST_OUTCOMES = 8


def _told(value: Any) -> str:
    from baybook.estimate import Estimate
    from baybook.message import Message

    if not isinstance(value, Estimate):
        return value if isinstance(value, str) else str(value.show())
    interval = value.show_interval()
    return f"{value.show()} ({interval})" if interval else Message("{value}", value=value)


def further_rows(calculator: Calculator, inputs: Mapping[str, Any]) -> Iterator[RecordRow]:
    """A row for each input that is known and is read at no step, whole: what was typed is on the card."""
    for parameter in calculator.parameters:
        if parameter.name in inputs and parameter.name not in calculator.how.reads:
            slots = list(slots_of(calculator, Condition("", (parameter.name,)), inputs))
            value = slots[0].value if len(slots) == 1 else "; ".join(slot.value for slot in slots)
            half = "; ".join(slot.half_width for slot in slots)
            yield RecordRow(_sentence(spoken(parameter)), parameter.field.symbol, slots[-1].unit, value, half.strip("; "))


def chosen(calculator: Calculator, inputs: Mapping[str, Any]) -> tuple[tuple[str, str], ...]:
    """The inputs that are one of several words, such as the part, by name."""
    from baybook.fields import Choice

    words = [parameter.name for parameter in calculator.parameters if isinstance(parameter.field, Choice)]
    return tuple((name, str(inputs[name])) for name in words if name in inputs)


def limits_origin(calculator: Calculator, inputs: Mapping[str, Any]) -> str:
    """Where the limits come from: the user's own words, or a reminder to write them down."""
    from baybook.fields import Limits

    if not any(isinstance(parameter.field, Limits) for parameter in calculator.parameters):
        return ""
    origins = [value.source for value in inputs.values() if hasattr(value, "source")]
    return "; ".join(dict.fromkeys(origins)) or LIMITS_BLANK


def charts_of(calculator: Calculator, inputs: Mapping[str, Any]) -> tuple[Chart, ...]:
    """The calculator's charts for its card, from the inputs that are known. Raises PluginError when they fail."""
    from baybook.declare import Known
    from baybook.errors import BaybookError, PluginError, in_short

    try:
        return tuple(map(Chart.from_plot, calculator.charts(Known(calculator, inputs)))) if calculator.charts else ()
    except PluginError as error:
        raise PluginError(f"{calculator.words()}: its charts failed: {error}") from error
    except BaybookError:
        raise
    except Exception as error:
        raise PluginError(f"{calculator.words()}: its charts failed: {in_short(error)}") from error
