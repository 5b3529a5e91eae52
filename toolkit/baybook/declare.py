"""The declaration of a calculator: one typed function, and what is said about it. Everything else is derived from here."""

from __future__ import annotations

import sys
import typing
from collections.abc import Callable, Mapping
from typing import Any

from .dataclass import dataclass, field, fields
from .declaration import Declaration, named
from .environment import Environment, of_process
from .errors import PluginError
from .fields import Field, Limits
from .groups import Group, field_of, groups_of, inputs_of
from .parameters import REQUIRED, parameters_of
from .places.sense import sense_inputs
from .result import Result


@dataclass(frozen=True)
class Parameter:
    """One input of a calculator, read off its function's signature."""

    name: str
    field: Field
    default: Any

    @property
    def required(self) -> bool:
        """Whether it has to be given."""
        return self.default is REQUIRED


@dataclass(frozen=True, kw_only=True, eq=False)
class Calculator(Declaration):
    """A declared calculator. Calling it with texts, readings or JSON values gives a Result.

    origin: package, version and entry point that it came from, for messages; environment: the fuels that it may take, and how
    it is run. The registry fills both in.
    """

    function: Callable[..., Result]
    name: str
    summary: str
    parameters: tuple[Parameter, ...] = ()
    groups: Mapping[str, Group] = field(default_factory=dict, repr=False)
    origin: str = ""
    environment: Environment | None = field(default=None, repr=False)

    def __call__(self, **inputs: Any) -> Result:
        """Work it out. Raises InputError with a line for every wrong input."""
        result: Result = self.surroundings.run(self, inputs)
        return result

    @property
    def surroundings(self) -> Environment:
        """Its environment, that of the process where it was given none."""
        return self.environment or of_process()

    def words(self) -> str:
        """How it is named to a person when it fails: with what to update."""
        return f"{self.origin}: calculator {self.name}" if self.origin else f"calculator {self.name}"

    @property
    def package(self) -> str:
        """The package whose catalogue has its texts: the folder that it lies in."""
        module = self.function.__module__
        return module.rpartition(".")[0] or module

    def parameter(self, name: str) -> Parameter:
        """The input of that name. Raises KeyError."""
        return {parameter.name: parameter for parameter in self.parameters}[name]

    @property
    def in_order(self) -> tuple[Parameter, ...]:
        """The inputs in the order in which the procedure reads them; after them those that no step reads, as declared."""
        read = self.how.reads
        rest = [parameter for parameter in self.parameters if parameter.name not in read]
        return (*(self.parameter(name) for name in read), *rest)

    def taken(self, name: str, known: Mapping[str, Any]) -> Any:
        """What a chart takes for an input: what is known of it, else its default, else its usual value. Raises KeyError."""
        parameter = self.parameter(name)
        if name in known:
            return known[name]
        return parameter.field.parse(parameter.field.example() if parameter.default is None else parameter.default)


class calculator(Declaration):  # noqa: N801  # used as a decorator
    """Declare the decorated function as a calculator. Its name is the command, its docstring's first line the summary.

    Takes what `Declaration` lists. Every parameter of the function is `Annotated[type, field]` with a field of `baybook.api`;
    it may be left out where the field has a default or the type allows None. The function is always called with all of them.
    A parameter may be a group instead: a class (NamedTuple, dataclass) whose attributes are annotated so. Each of them is an
    input of its own; rules may take the group, too.
    Raises PluginError for a declaration that is not complete or does not fit together.
    """

    def __call__(self, function: Callable[..., Result]) -> Calculator:
        """The calculator of this declaration and that function."""
        made = Calculator(
            function=function,
            name=function.__name__.replace("_", "-"),
            summary=_summary(function),
            parameters=_parameters(function),
            groups=groups_of(function),
            **{item.name: getattr(self, item.name) for item in fields(Declaration)},
        )
        _check_names(made)
        return made


def _check_names(made: Calculator) -> None:
    """Raise PluginError where a limit, a meaning, the procedure or a rule names what is not declared."""
    inputs = {parameter.name for parameter in made.parameters}
    measured = {name for name, output in made.outputs.items() if output.kind != "word"}
    wrong = [
        f"input {p.name} judges {p.field.judges!r}, no output that is a quantity"
        for p in made.parameters
        if isinstance(p.field, Limits) and p.field.judges and p.field.judges not in measured
    ]
    wrong += [f"the procedure reads {name!r}, no input" for name in made.how.reads if name not in inputs]
    wrong += [f"a meaning is of {m.output!r}, no output" for m in made.meanings if m.output and m.output not in made.outputs]
    wrong += [f"its sense is about {name!r}, no input" for name in sorted(sense_inputs(made.sense) - inputs)]
    for rule in made.rules:
        wrong += [
            f"a rule is about {name!r}, no input" for name in named(rule) if name not in inputs and name not in made.groups
        ]
    placed_by = (made.placing.part, made.placing.number) if made.placing else ()
    wrong += [f"findings are placed by {name!r}, no input" for name in placed_by if name and name not in inputs]
    if wrong:
        raise PluginError(f"calculator {made.name}: {'; '.join(wrong)}")


def _summary(function: Callable[..., Any]) -> str:
    lines = (function.__doc__ or "").strip().splitlines()
    if not lines and sys.flags.optimize < 2:  # which leaves docstrings out
        raise PluginError(f"calculator {function.__name__} has no docstring; its first line is the command's summary")
    return lines[0].rstrip(".") if lines else function.__name__.replace("_", " ")


def _parameters(function: Callable[..., Any]) -> tuple[Parameter, ...]:
    given = parameters_of(function)
    found = []
    for name, hint in inputs_of(function):
        field = field_of(hint)
        if field is None:
            raise PluginError(
                f"parameter {name} of calculator {function.__name__} is not Annotated with a field of baybook.api"
            )
        found.append(Parameter(name, field, _default(given.get(name, REQUIRED), field, hint)))
    return tuple(found)


def _default(own: Any, field: Field, hint: Any) -> Any:
    """The default in the signature, else the field's; none is needed for a type that allows None."""
    if own is not REQUIRED:
        return own
    if field.default is not None:
        return field.default
    return None if type(None) in typing.get_args(typing.get_args(hint)[0]) else REQUIRED


class Known(dict[str, Any]):
    """What is known of the vehicle where a chart is drawn: inputs by name, as the calculator gets them.

    calculator: whose inputs these are, to work out the points of the chart with.
    """

    def __init__(self, calculator: Calculator, inputs: Mapping[str, Any]) -> None:
        super().__init__(inputs)
        self.calculator = calculator

    def taken(self, name: str) -> Any:
        """What is known of an input, else its default, else its usual value. Raises KeyError."""
        return self.calculator.taken(name, self)
