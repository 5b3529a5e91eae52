"""Run a calculator: read its inputs, call it, complete its result. The one way, whoever asks."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from .answers import called_halts, completed_answers, completed_met
from .assumption import assumptions
from .completion import completed_outputs
from .dataclass import replace
from .declare import Calculator, Parameter
from .environment import TookTooLong, contained, within_time
from .errors import BaybookError, InputError, PluginError, Problem, Refused, in_short
from .fields import FuelName, Quantity
from .groups import grouped
from .message import Message, Word
from .placing import next_test_of, placed
from .reading import Reading
from .records import computed_by
from .result import Finding, Result
from .rules import broken
from .steps import completed_steps
from .verdicts import completed_findings, completed_verdicts
from .words import is_overload

DOUBT = "{input}: {doubt}"


def run(calculator: Calculator, raw: Mapping[str, Any], *, spell: str = "") -> Result:
    """Work it out from raw values. spell: what stands before an input's name in messages ("--" on the command line).

    Raises InputError with every wrong input, PluginError when the calculator does not keep to its declaration or fails.
    """
    values = read_inputs(calculator, raw, spell=spell)
    try:
        problems = broken(calculator, values)
        if problems:
            raise InputError(problems)
        with contained(), within_time():
            result = calculator.function(**grouped(calculator.groups, values))
        return _complete(calculator, values, result)
    except InputError as error:
        raise InputError([_spelled(problem, calculator, spell) for problem in error.problems]) from error
    except PluginError as error:
        if str(error).startswith("plugin ") or calculator.words() in str(error):  # it says whose it is
            raise
        raise PluginError(f"{calculator.words()}: {error}") from error
    except BaybookError:
        raise
    except TookTooLong as error:
        raise PluginError(f"{calculator.words()} {error}") from error
    except (Exception, SystemExit) as error:
        raise PluginError(f"{calculator.words()} failed: {in_short(error)}") from error


def _spelled(problem: Problem, calculator: Calculator, spell: str) -> Problem:
    return Problem(label(problem.input, calculator, spell), problem.given, problem.why, problem.hint)


def read_inputs(calculator: Calculator, raw: Mapping[str, Any], *, spell: str = "") -> dict[str, Any]:
    """Every input's value, defaults filled in. Raises InputError with all that is wrong, missing or unknown."""
    raw, problems = named_now(calculator, raw, spell)
    values = {}
    for parameter in calculator.parameters:
        given = raw.get(parameter.name)
        if given is None or given == ():
            if parameter.required:
                problems.append(_missing(parameter, calculator, spell))
                continue
            given = parameter.default
        try:
            values[parameter.name] = given if given in (None, ()) else _value(calculator, parameter, given)
        except Refused as error:
            problems.append(Problem(label(parameter.name, calculator, spell), given_text(given), error.why, error.hint))
    if problems:
        raise InputError(problems)
    return values


def named_now(calculator: Calculator, raw: Mapping[str, Any], spell: str = "") -> tuple[dict[str, Any], list[Problem]]:
    """The raw values by the inputs' present names, `OL` as the input that it means; and a problem for each unknown name."""
    fields = {parameter.name: parameter.field for parameter in calculator.parameters}
    now = {old: name for name, field in fields.items() for old in field.aliases}
    found: dict[str, Any] = {}
    problems = []
    for name, value in raw.items():
        here = now.get(name, name)
        field = fields.get(here)
        if field is None:
            problems.append(_unknown(name, calculator, spell))
        elif here in found:
            problems.append(Problem(label(here, calculator, spell), given_text(value), "is given twice", f"leave {name} out"))
        elif isinstance(field, Quantity) and field.overload and isinstance(value, str) and is_overload(value):
            found[field.overload] = True
        else:
            found[here] = value
    return found, problems


def _value(calculator: Calculator, parameter: Parameter, given: Any) -> Any:
    """What was given, read; a fuel has to be on offer where the calculator is. Raises Refused."""
    value = parameter.field.parse(given)
    if isinstance(parameter.field, FuelName):
        return parameter.field.check(value, calculator.surroundings.fuel_names())
    return value


def given_text(given: Any) -> str:
    """What was given, as the person wrote it."""
    if isinstance(given, Mapping):
        return str(next((given[key] for key in ("text", "range", "file") if key in given), dict(given)))
    return "; ".join(map(given_text, given)) if isinstance(given, list | tuple) else str(given)


def label(name: str, calculator: Calculator, spell: str) -> str:
    """An input's name as the person knows it: `--end-temperature` in a terminal, `end_temperature` elsewhere."""
    if not spell:
        return name
    positional = any(p.name == name and p.field.positional for p in calculator.parameters)
    return name.upper() if positional else spell + name.replace("_", "-")


def _missing(parameter: Parameter, calculator: Calculator, spell: str) -> Problem:
    hint = f"give {parameter.field.help}, such as {parameter.field.example()}"
    return Problem(label(parameter.name, calculator, spell), None, "is missing", hint)


def _unknown(name: str, calculator: Calculator, spell: str) -> Problem:
    from difflib import get_close_matches

    names = [parameter.name for parameter in calculator.parameters]
    close = get_close_matches(name, names, n=1)
    hint = f"did you mean {close[0]}?" if close else f"use {', '.join(names)}"
    return Problem(label(name, calculator, spell), None, f"is not an input of {calculator.name}", hint)


def _complete(calculator: Calculator, values: Mapping[str, Any], result: Result) -> Result:
    if not isinstance(result, Result):
        raise PluginError(f"{calculator.words()} returned {type(result).__name__}, not a Result")
    given = [(p, values[p.name]) for p in calculator.parameters if values.get(p.name) not in (None, ())]
    doubts = tuple(Message(DOUBT, input=Word(p.name), doubt=doubt) for p, value in given for doubt in p.field.doubts(value))
    outputs = completed_outputs(calculator, result)
    verdicts = completed_verdicts(calculator, values if result.judged else {}, outputs, result)
    said = completed_findings(calculator, outputs, verdicts, result)
    findings, unplaced = placed(calculator, values, [_cautioned(calculator, finding) for finding in said])
    whole = replace(
        result, calculator=calculator.name, inputs={p.name: p.field.record(value) for p, value in given},
        outputs=outputs, verdicts=verdicts, findings=findings, further=(),
        warnings=(*doubts, *(verdict.doubt for verdict in verdicts if verdict.doubt), *map(Message.of, result.warnings)),
        notes=(*unplaced, *map(Message.of, result.notes), *_assumed(given)),
        background=tuple(map(Message.of, result.background)),
        steps=completed_steps(calculator, values, outputs, result.steps), sources=(*calculator.sources, *result.sources),
        cautions=tuple(caution.to_dict() for caution in calculator.cautions), computed_by=computed_by(calculator, values),
        each={name: output.each for name, output in calculator.outputs.items() if output.each},
        labels={name: output.label for name, output in calculator.outputs.items() if output.label},
        textbook=frozenset(name for name, output in calculator.outputs.items() if output.textbook),
    )  # fmt: skip
    whole = replace(whole, answers=completed_answers(calculator, whole), met=completed_met(calculator, whole))
    first = map(Message.of, called_halts(calculator, whole))
    return replace(whole, warnings=tuple(dict.fromkeys((*first, *whole.warnings))))


def _cautioned(calculator: Calculator, finding: Finding) -> Finding:
    """A finding whose next test says what to mind for it."""
    if finding.at_desk or not finding.next_test:
        return finding
    return replace(finding, next_test=next_test_of(calculator, finding.next_test))


def _assumed(given: Sequence[tuple[Parameter, Any]]) -> tuple[Message, ...]:
    """What is said of the readings that were typed without an uncertainty: which, and which of them it makes coarse."""
    items = [(p.name, item) for p, value in given for item in (value if p.field.many else (value,))]
    said = assumptions([(name, item) for name, item in items if isinstance(item, Reading)])
    return tuple(Message(template, **_with_words(told)) for template, told in said)


def _with_words(told: Mapping[str, Any]) -> dict[str, Any]:
    return {**told, **({"inputs": [Word(name) for name in told["inputs"]]} if "inputs" in told else {})}
