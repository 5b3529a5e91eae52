"""The declaration of a calculator: one typed function, and what is said about it. Everything else is derived from here."""

from __future__ import annotations

import inspect
import typing
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Literal

from . import units
from .cautions import Caution
from .environment import Environment, of_process
from .errors import PluginError, Problem
from .fields import Field, Limits
from .kinds import KINDS
from .result import SIDES, STAGES, STRENGTHS, Plot, Result, Side, Strength

REQUIRED = inspect.Parameter.empty


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


@dataclass(frozen=True)
class Output:
    """One output. kind: of quantity, "any", or "word"; unit: where it is not the kind's own; symbol: as in the formulas.

    each: the output is a vector, with a value for each of these ("injector"), numbered from 1. The name `{unit}` stands for the
    symbol of any unit. always: whether every result has it. at_least: what it cannot be below, in its unit.
    Raises PluginError for an unknown kind, and for a unit that is known as one of another kind.
    """

    kind: str
    help: str
    symbol: str = ""
    unit: str = ""
    always: bool = True
    at_least: float | None = None
    each: str = ""

    def __post_init__(self) -> None:
        if self.kind not in ("any", "word") and self.kind not in KINDS:
            raise PluginError(f"an output is of the unknown kind {self.kind!r}; known are {', '.join(KINDS)}, any and word")
        families = units.families_of(self.unit)  # none for a unit that a plugin may still bring
        if self.unit and families and self.kind != "any" and (self.kind == "word" or KINDS[self.kind].family not in families):
            raise PluginError(f"an output is declared as {self.kind} and in {self.unit}, a unit of {families[0]}")

    def shown_unit(self) -> str:
        """The unit it comes in."""
        return self.unit or ("" if self.kind in ("any", "word") else KINDS[self.kind].unit)


Expected = tuple[float | Sequence[float | None], str, float] | str


@dataclass(frozen=True)
class Example:
    """A worked example, from outside the project: inputs, and for each output (value, unit, relative tolerance) or a word.

    The value of a vector is a sequence, with None for what was not measured.

    source: where it stands, for a reader to find it. card: whether the card shows it.
    """

    inputs: Mapping[str, Any]
    outputs: Mapping[str, Expected]
    source: str
    card: bool = True


@dataclass(frozen=True)
class Meaning:
    """A line of "what the result means": what is seen, what it says, and what to test next.

    verdict: outside, above (beyond the upper limit), below, within or undecided, where it is what such a verdict means: of
    `output`, or of any. It is then the finding, too, of a result whose calculator gave none: at the declared side and with the
    verdict's strength, or with these where one says less (a good part that clears no stage: strength "undecided").
    """

    seen: str
    says: str
    next_test: str
    verdict: str = ""
    output: str = ""
    side: Side | Literal[""] = ""
    strength: Strength | Literal[""] = ""

    def __post_init__(self) -> None:
        if self.side not in ("", *SIDES) or self.strength not in ("", *STRENGTHS):
            raise PluginError(f"a meaning has the side {self.side!r} and the strength {self.strength!r}, not both known words")
        if self.verdict not in ("", "outside", "above", "below", "within", "undecided"):
            raise PluginError(f"a meaning is tied to {self.verdict!r}; use outside, above, below, within or undecided")


@dataclass(frozen=True)
class Rule:
    """Inputs that go together: where `given` is given, each of `needs` has to be. why: said of one that is missing.

    A rule that takes more to say is a function instead: its parameters are names of inputs, it gets their values (None for
    one that was left out) and yields a `Problem` for all that is wrong.
    """

    given: str
    needs: tuple[str, ...]
    why: str = ""


Rules = Callable[..., Iterable[Problem]]


@dataclass(frozen=True, eq=False)
class Calculator:
    """A declared calculator. Calling it with texts, readings or JSON values gives a Result.

    origin: package, version and entry point that it came from, for messages; environment: the fuels that it may take, and how
    it is run. The registry fills both in.
    """

    function: Callable[..., Result]
    name: str
    title: str
    summary: str
    stage: str
    side: str
    outputs: Mapping[str, Output]
    proves: str
    cautions: tuple[Caution, ...]
    sources: tuple[str, ...]
    examples: tuple[Example, ...]
    needs: tuple[str, ...] = ()
    procedure: tuple[str, ...] = ()
    formulas: tuple[str, ...] = ()
    meanings: tuple[Meaning, ...] = ()
    charts: Callable[[Any], tuple[Plot, ...]] | None = None
    revision: str = "1"
    rules: tuple[Rule | Rules, ...] = ()
    parameters: tuple[Parameter, ...] = field(default=())
    origin: str = field(default="")
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

    def taken(self, name: str, known: Mapping[str, Any]) -> Any:
        """What a chart takes for an input: what is known of it, else its default, else its usual value. Raises KeyError."""
        parameter = self.parameter(name)
        if name in known:
            return known[name]
        return parameter.field.parse(parameter.field.example() if parameter.default is None else parameter.default)


def calculator(
    *,
    title: str,
    stage: str,
    side: str,
    proves: str,
    outputs: Mapping[str, Output],
    cautions: typing.Sequence[Caution],
    sources: typing.Sequence[str],
    examples: typing.Sequence[Example],
    needs: typing.Sequence[str] = (),
    procedure: typing.Sequence[str] = (),
    formulas: typing.Sequence[str] = (),
    meanings: typing.Sequence[Meaning] = (),
    charts: Callable[[Any], tuple[Plot, ...]] | None = None,
    revision: str = "1",
    rules: typing.Sequence[Rule | Rules] = (),
) -> Callable[[Callable[..., Result]], Calculator]:
    """Declare the decorated function as a calculator. Its name is the command, its docstring's first line the summary.

    title: for cards and reports. stage: supply, generation, storage, delivery, or "any". side: hydraulic, control, or "any".
    proves: what the test proves, in a sentence. outputs: by name. cautions, sources, examples: at least one of each
    (a calculator of stage "any", which has nobody touch anything, may go without cautions).
    needs, procedure, formulas, meanings: for the card. charts: data for the card's charts, from the inputs that are
    `Known`. revision: of the card. rules: what holds between inputs, see `Rule`.

    Every parameter is `Annotated[type, field]` with a field of `baybook.api`; it may be left out where the field has a default
    or the type allows None. The function is always called with every parameter.
    Raises PluginError for a declaration that is not complete or does not fit together.
    """

    def declare(function: Callable[..., Result]) -> Calculator:
        made = Calculator(
            function=function, name=function.__name__.replace("_", "-"), title=title, summary=_summary(function),
            stage=_one_of(stage, (*STAGES, "any"), "stage"), side=_one_of(side, (*SIDES, "any"), "side"),
            outputs=dict(outputs), proves=proves, sources=_some(sources, "sources"),
            cautions=tuple(cautions) if stage == "any" else _some(cautions, "cautions"),
            examples=_some(examples, "examples"), needs=tuple(needs), procedure=tuple(procedure), formulas=tuple(formulas),
            meanings=tuple(meanings), charts=charts, revision=revision, rules=tuple(rules),
            parameters=_parameters(function),
        )  # fmt: skip
        _check_names(made)
        return made

    return declare


def _check_names(made: Calculator) -> None:
    """Raise PluginError where a limit, a meaning or a rule names what is not declared."""
    inputs = {parameter.name for parameter in made.parameters}
    wrong = [
        f"input {p.name} judges {p.field.judges!r}, no output"
        for p in made.parameters
        if isinstance(p.field, Limits) and p.field.judges and p.field.judges not in made.outputs
    ]
    wrong += [f"a meaning is of {m.output!r}, no output" for m in made.meanings if m.output and m.output not in made.outputs]
    for rule in made.rules:
        names = (rule.given, *rule.needs) if isinstance(rule, Rule) else inspect.signature(rule).parameters
        wrong += [f"a rule is about {name!r}, no input" for name in names if name not in inputs]
    if wrong:
        raise PluginError(f"calculator {made.name}: {'; '.join(wrong)}")


def _summary(function: Callable[..., Any]) -> str:
    lines = (inspect.getdoc(function) or "").strip().splitlines()
    if not lines:
        raise PluginError(f"calculator {function.__name__} has no docstring; its first line is the command's summary")
    return lines[0].rstrip(".")


def _one_of(word: str, words: tuple[str, ...], what: str) -> str:
    if word not in words:
        raise PluginError(f"a calculator's {what} is {word!r}; use one of {', '.join(words)}")
    return word


def _some(items: typing.Sequence[Any], what: str) -> tuple[Any, ...]:
    if not items:
        raise PluginError(f"a calculator is declared without {what}")
    return tuple(items)


def _parameters(function: Callable[..., Any]) -> tuple[Parameter, ...]:
    hints = typing.get_type_hints(function, include_extras=True)
    found = []
    for name, parameter in inspect.signature(function).parameters.items():
        field = _field(function, name, hints.get(name))
        found.append(Parameter(name, field, _default(parameter.default, field, hints[name])))
    return tuple(found)


def _default(own: Any, field: Field, hint: Any) -> Any:
    """The default in the signature, else the field's; none is needed for a type that allows None."""
    if own is not REQUIRED:
        return own
    if field.default is not None:
        return field.default
    return None if type(None) in typing.get_args(typing.get_args(hint)[0]) else REQUIRED


def _field(function: Callable[..., Any], name: str, hint: Any) -> Field:
    for extra in getattr(hint, "__metadata__", ()):
        if isinstance(extra, Field):
            return extra
    raise PluginError(f"parameter {name} of calculator {function.__name__} is not Annotated with a field of baybook.api")
