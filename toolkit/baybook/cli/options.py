"""The option table of a command, made once from the calculator's declaration.

The quick reading of the arguments, the command line's library, the help and the shell's completion are all fed from it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING, Any, NamedTuple

from .. import units
from ..fields import CaptureFile, Choice, Count, Field, Flag, FuelName, Limits, Quantity, Readings, Text
from .arguments import CAPTURED, IF_KNOWN, OUTPUT, USUAL

if TYPE_CHECKING:
    from ..declare import Calculator, Parameter

Suggestions = Iterable[tuple[str, str]]


class Option(NamedTuple):
    """One option or place of a command.

    name: as it is handed on. spelling: as it is typed ("--end-temperature"), for a place as help and refusals name it
    ("READING"). switch: takes no value. default: what is taken where it is not given. choices: each word that it may be, and
    what that means. suggests: further texts that a shell may complete, (text, what it is), of what is typed so far.
    others: earlier spellings. flag: `yes` where nothing is said behind it. joins: "reading" or "range" where the words behind
    it may be pieces of one. unnamed: it may be typed without its spelling, and is known by the family of its unit.
    group: under which heading the help lists it. names: texts that mean something of themselves, which the help lists.
    """

    name: str
    spelling: str
    help: str
    metavar: str = ""
    many: bool = False
    positional: bool = False
    switch: bool = False
    default: Any = None
    choices: tuple[tuple[str, str], ...] = ()
    suggests: Callable[[str], Suggestions] | None = None
    others: tuple[str, ...] = ()
    flag: bool = False
    joins: str = ""
    family: str = ""
    unnamed: bool = False
    group: str = ""
    example: str = ""
    names: tuple[str, ...] = ()

    @property
    def spellings(self) -> tuple[str, ...]:
        """Every way to type it."""
        return (self.spelling, *self.others)

    @property
    def such_as(self) -> str:
        """An example for a refusal."""
        return f", such as {self.example}" if self.example else ""

    def suggestions(self, typed: str) -> list[tuple[str, str]]:
        """The values that begin with what is typed, each with what it is."""
        offered = [*self.choices, *(self.suggests(typed) if self.suggests else ())]
        return [(text, what) for text, what in offered if text.startswith(typed)]


def _fuels(typed: str) -> Suggestions:
    from ..registry import registry

    return [(name, "fuel") for name in registry().fuel_names()]


JSON = Option("as_json", "--json", "Print JSON: the result, or what was wrong.", switch=True)
FROM = Option("from_file", "--from", "Take inputs from a JSON file, or from standard input with -.", "FILE")
ASK = Option("ask", "--ask", "Ask for the inputs one by one.", switch=True)
HOW = Option("how", "--how", "Show how the test is done: cautions, entry conditions, steps with their blanks.", switch=True)
STEPS = Option("steps", "--steps", "Show the worked steps with the numbers put in.", switch=True)
EXPLAIN = Option("explain", "--explain", "Show what a class needs too: the working, textbook values, sources.", switch=True)
PLOT = Option("plot", "--plot", "Draw the readings and what was fitted to them, where there is such a plot.", switch=True)
FAIL_ON = Option(
    "fail_on", "--fail-on", "Leave with exit code 3 on this verdict: outside or undecided.", "VERDICT",
    choices=(("outside", ""), ("undecided", "")),
)  # fmt: skip
LANGUAGE = Option(
    "language", "--language", "The language of what is shown: en or de.", "LANGUAGE",
    choices=(("en", "English"), ("de", "Deutsch")),
)  # fmt: skip
COMMON = tuple(option._replace(group=OUTPUT) for option in (JSON, FROM, ASK, HOW, STEPS, EXPLAIN, PLOT, FAIL_ON, LANGUAGE))

COLUMN = Option(
    "column", "--column", 'Which column is which channel: --column rail="Rail pressure".', "CHANNEL=LABEL", many=True
)
CHANNEL_UNIT = Option(
    "channel_unit", "--channel-unit", "A channel's unit where the file does not say it.", "CHANNEL=UNIT", many=True
)
RATE = Option("rate", "--rate", "Sample rate where the file has no time column: 1000 Hz.", "FREQUENCY")
DECIMAL = Option(
    "decimal", "--decimal", "point or comma, where the file leaves that open.", "MARK", choices=(("point", ""), ("comma", ""))
)
CAPTURE = tuple(option._replace(group=CAPTURED) for option in (COLUMN, CHANNEL_UNIT, RATE, DECIMAL))

_METAVARS: tuple[tuple[type[Field], str], ...] = (
    (Readings, "READINGS"), (Quantity, "READING"), (Limits, "RANGE"), (Choice, "WORD"), (Count, "NUMBER"), (Flag, "YES|NO"),
    (CaptureFile, "FILE"), (FuelName, "FUEL"), (Text, "TEXT"),
)  # fmt: skip


def command_options(calculator: Calculator, common: Iterable[Option] = COMMON) -> tuple[Option, ...]:
    """The table: an option for every parameter in the declaration's order, the common ones, those of a capture's columns."""
    own = tuple(_option(parameter) for parameter in calculator.parameters)
    capture = CAPTURE if any(isinstance(p.field, CaptureFile) for p in calculator.parameters) else ()
    return (*own, *common, *capture)


def _option(parameter: Parameter) -> Option:
    field = parameter.field
    made = Option(
        parameter.name, _spelled(parameter.name), _help(parameter), _metavar(field), field.many,
        default=parameter.default, choices=_choices(field), suggests=_suggests(field),
        others=tuple(map(_spelled, field.aliases)), flag=isinstance(field, Flag), joins=_joins(field), family=_family(field),
        unnamed=field.unnamed, group=_group(parameter), example=quoted(field.example()),
        names=tuple(field.known) if isinstance(field, Text) else (),
    )  # fmt: skip
    place = parameter.name.upper()
    return made._replace(positional=True, spelling=place, metavar=place) if field.positional else made


def _spelled(name: str) -> str:
    return "--" + name.replace("_", "-")


def _joins(field: Field) -> str:
    return "range" if isinstance(field, Limits) else "reading" if isinstance(field, Quantity) else ""


def _family(field: Field) -> str:
    return field.kind.family if isinstance(field, Quantity) and field.kind else ""


def _group(parameter: Parameter) -> str:
    """The declared group, or: what is needed, known by its unit or judges is usual; a capture's are its own."""
    field = parameter.field
    if field.group or isinstance(field, CaptureFile):
        return field.group or CAPTURED
    usual = parameter.required or field.unnamed or field.positional or isinstance(field, Limits)
    return USUAL if usual else IF_KNOWN


def quoted(text: str) -> str:
    """The text as it would be typed: in quotes where it has spaces, or what a shell would take as its own."""
    return f'"{text}"' if any(character in " <>;()*?$&|" for character in text) else text


def _metavar(field: Field) -> str:
    return next((word for kind, word in _METAVARS if isinstance(field, kind)), type(field).__name__.upper())


def _help(parameter: Parameter) -> str:
    field, words = parameter.field, parameter.field.help
    if isinstance(field, Choice):
        words += f": {', '.join(field.words)}"
    elif field.example() not in ("", str(parameter.default)) and not isinstance(field, Flag | Text):
        words += f", such as {quoted(field.example())}"
    return words + (" [required]" if parameter.required else default_words(parameter))


def default_words(parameter: Parameter) -> str:
    """What help and questions say of the default; "" where there is none."""
    default = parameter.default
    return "" if default is None or default == () else f" [default: {'no' if default is False else default}]"


def _choices(field: Field) -> tuple[tuple[str, str], ...]:
    if isinstance(field, Choice):
        return tuple(field.words.items())
    return (("yes", ""), ("no", "")) if isinstance(field, Flag) else ()


def _suggests(field: Field) -> Callable[[str], Suggestions] | None:
    if isinstance(field, FuelName):
        return _fuels
    if isinstance(field, Text):
        return field.suggests or ((lambda typed: field.known.items()) if field.known else None)
    if isinstance(field, Quantity | Limits):
        family = field.kind.family if field.kind else ""
        families = [family] if family else []
        named = _ranges if isinstance(field, Limits) else _instruments
        return lambda typed: [*_with_units(typed, families or units.families()), *named(typed)]
    return None


def _ranges(typed: str) -> Suggestions:
    """The spec book's ranges by name."""
    from ..shop import book

    return [(name, str(entry.get("range", ""))) for name, entry in book().items()]


def _instruments(typed: str) -> Suggestions:
    """The shop's instruments by name, behind the @ of a reading."""
    if "@" not in typed:
        return ()
    from ..shop import shop

    return behind(typed, ((name, tool["uncertainty"]) for name, tool in shop().instruments.items()))


def behind(typed: str, instruments: Suggestions) -> Suggestions:
    """The reading that is typed with each instrument behind its @; none where there is no @."""
    reading, mark, _ = typed.partition("@")
    return [(f"{reading}@{name}", what) for name, what in instruments] if mark else []


def with_names(table: Iterable[Option], ranges: Suggestions, instruments: Suggestions) -> tuple[Option, ...]:
    """The table, where a limit's option also suggests these ranges, and a reading's these instruments, by name."""
    ranges, instruments = tuple(ranges), tuple(instruments)

    def more(option: Option) -> Callable[[str], Suggestions]:
        before = option.suggests or (lambda typed: ())
        return lambda typed: [*(ranges if option.joins == "range" else behind(typed, instruments)), *before(typed)]

    return tuple(option._replace(suggests=more(option)) if option.joins else option for option in table)


def _with_units(typed: str, families: Iterable[str]) -> Suggestions:
    """The number that is typed, written together with each unit that may be meant: 350b gives 350bar."""
    number = typed[: len(typed) - len(typed.lstrip("0123456789.,+-−± "))]
    if not any(character.isdigit() for character in number):
        return []
    return [(number + unit.symbol, family) for family in families for unit in units.in_family(family)]
