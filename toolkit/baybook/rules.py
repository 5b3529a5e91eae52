"""Rules between inputs, looked at before a calculator runs: all that is wrong at once, a problem for each input."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import TYPE_CHECKING, Any

from .declaration import AnyOf, Apart, Rule, Rules, named
from .errors import Problem
from .groups import grouped
from .parameters import parameters_of

if TYPE_CHECKING:
    from .declare import Calculator


def broken(calculator: Calculator, values: Mapping[str, Any], rules: Iterable[Rules] | None = None) -> list[Problem]:
    """A problem for every input that a rule finds wrong; values: by name, as the calculator gets them; rules: else all."""
    found: list[Problem] = [*_beyond_and_read(calculator, values)] if rules is None else []
    all_of_them = {**values, **grouped(calculator.groups, values)}
    for rule in calculator.rules if rules is None else rules:
        if isinstance(rule, Rule):
            found += _missing(calculator, rule, values)
        elif isinstance(rule, AnyOf):
            found += _none_of(calculator, rule, values)
        elif isinstance(rule, Apart):
            found += _together(calculator, rule, values)
        else:
            found += rule(**{name: all_of_them[name] for name in parameters_of(rule)}) or ()
    return list({(problem.input, str(problem.given)): problem for problem in reversed(found)}.values())[::-1]


def _beyond_and_read(calculator: Calculator, values: Mapping[str, Any]) -> Iterator[Problem]:
    """A meter that shows a number is not beyond its range."""
    for parameter in calculator.parameters:
        beyond = getattr(parameter.field, "overload", "")
        if beyond and values[beyond] and values[parameter.name] is not None:
            yield Problem(
                beyond, "yes", f"and a number for {parameter.name.replace('_', ' ')} cannot both be", "leave one of them out"
            )


def involved(calculator: Calculator, rule: Rules) -> set[str]:
    """The inputs that the rule is about, those of its groups among them."""
    groups = {name: tuple(members.values()) for name, (_, members) in calculator.groups.items()}
    return {member for name in named(rule) for member in groups.get(name, (name,))}


def _missing(calculator: Calculator, rule: Rule, values: Mapping[str, Any]) -> Iterator[Problem]:
    if not is_given(calculator, rule.given, values):
        return
    for name in rule.needs:
        if not is_given(calculator, name, values):
            field = calculator.parameter(name).field
            hint = f"give {field.help}, such as {field.example()}"
            yield Problem(name, None, rule.why or f"is needed with {rule.given.replace('_', ' ')}", hint)


def _none_of(calculator: Calculator, rule: AnyOf, values: Mapping[str, Any]) -> Iterator[Problem]:
    if not any(is_given(calculator, name, values) for name in rule.inputs):
        yield Problem(rule.inputs[0], None, rule.why, rule.hint)


def _together(calculator: Calculator, rule: Apart, values: Mapping[str, Any]) -> Iterator[Problem]:
    if is_given(calculator, rule.given, values) and is_given(calculator, rule.other, values):
        value = values[rule.given]
        yield Problem(rule.given, getattr(value, "text", value), rule.why, rule.hint)


def is_given(calculator: Calculator, name: str, values: Mapping[str, Any]) -> bool:
    """Whether there is a value beside what is taken where nothing is given: neither none, nor no, nor the default."""
    value = values[name]
    return value is not None and value is not False and value != () and value != calculator.parameter(name).default
