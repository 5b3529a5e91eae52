"""A calculator's command, made from its declaration."""

from __future__ import annotations

import inspect
import json
import sys
from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Any

import typer

from ..declare import Calculator, Parameter
from ..errors import InputError, Refused
from ..fields import CaptureFile, Choice, Flag
from ..running import run
from ..text import result_lines
from .printing import complain, say, say_json

if TYPE_CHECKING:
    from typer._click.core import Command

JSON = typer.Option(False, "--json", help="Print JSON: the result, or what was wrong.")
FROM = typer.Option(None, "--from", metavar="FILE", help="Take inputs from a JSON file, or from standard input with -.")
ASK = typer.Option(False, "--ask", help="Ask for the inputs one by one.")
STEPS = typer.Option(False, "--steps", help="Show the worked steps with the numbers put in.")
FAIL_ON = typer.Option(
    None, "--fail-on", metavar="VERDICT", help="Leave with exit code 3 on this verdict: outside or undecided."
)
COMMON = {
    "as_json": (bool, JSON),
    "from_file": (str | None, FROM),
    "ask": (bool, ASK),
    "steps": (bool, STEPS),
    "fail_on": (str | None, FAIL_ON),
}
COLUMN = typer.Option(
    None, "--column", metavar="CHANNEL=LABEL", help='Which column is which channel: --column rail="Rail pressure".'
)
CHANNEL_UNIT = typer.Option(
    None, "--channel-unit", metavar="CHANNEL=UNIT", help="A channel's unit where the file does not say it."
)
RATE = typer.Option(None, "--rate", metavar="FREQUENCY", help="Sample rate where the file has no time column: 1000 Hz.")
DECIMAL = typer.Option(None, "--decimal", metavar="MARK", help="point or comma, where the file leaves that open.")
CAPTURE = {
    "column": (list[str] | None, COLUMN), "channel_unit": (list[str] | None, CHANNEL_UNIT), "rate": (str | None, RATE),
    "decimal": (str | None, DECIMAL),
}  # fmt: skip


Action = Callable[..., None]


def command_for(
    calculator: Calculator, action: Action | None = None, common: Mapping[str, tuple[Any, Any]] = COMMON
) -> Command:
    """The command: an option for every parameter, in the declaration's order, then the common ones.

    action: what to do with (calculator, raw inputs, **the common options' values); without it the calculator is run.
    """

    def command(**given: Any) -> None:
        options = {name: given.pop(name) for name in common}
        (action or _run)(calculator, _with_capture(calculator, given), **options)

    extra = {**common, **(CAPTURE if _captures(calculator) else {})}
    parameters = [_option(parameter) for parameter in calculator.parameters]
    parameters += [_parameter(name, annotation, option) for name, (annotation, option) in extra.items()]
    command.__signature__ = inspect.Signature(parameters)  # type: ignore[attr-defined]  # typer reads it
    app = typer.Typer(rich_markup_mode=None, add_completion=False)
    app.command(calculator.name, help=_help(calculator), no_args_is_help=action is None)(command)
    return typer.main.get_command(app)


def _help(calculator: Calculator) -> str:
    doc = inspect.getdoc(calculator.function) or ""
    first, _, rest = doc.partition("\n")
    cautions = "\n\n".join(f"{caution.signal.upper()}: {caution.text}" for caution in calculator.cautions)
    return "\n\n".join(part for part in (first, f"Proves: {calculator.proves}", rest.strip(), cautions) if part)


def _option(parameter: Parameter) -> inspect.Parameter:
    field = parameter.field
    words = field.help
    if isinstance(field, Choice):
        words += f": {', '.join(field.words)}"
    elif field.example() and not isinstance(field, Flag):
        words += f", such as {field.example()}"
    words += " [required]" if parameter.required else _default_words(parameter)
    annotation = list[str] | None if field.many else str | None
    if field.positional:
        return _parameter(
            parameter.name, annotation, typer.Argument(None, metavar=parameter.name.upper(), help=words, show_default=False)
        )
    # a plugin's own field is what it is made from: no name of a class in a help
    metavar = next((_METAVARS[cls.__name__] for cls in type(field).__mro__ if cls.__name__ in _METAVARS), "VALUE")
    option = typer.Option(None, "--" + parameter.name.replace("_", "-"), metavar=metavar, help=words, show_default=False)
    return _parameter(parameter.name, annotation, option)


_METAVARS = {
    "Quantity": "READING",
    "Readings": "READINGS",
    "Limits": "RANGE",
    "Choice": "WORD",
    "Count": "NUMBER",
    "CaptureFile": "FILE",
    "FuelName": "FUEL",
    "Text": "TEXT",
    "Flag": "YES|NO",
}


def _default_words(parameter: Parameter) -> str:
    default = parameter.default
    return "" if default is None or default == () else f" [default: {'no' if default is False else default}]"


def _parameter(name: str, annotation: Any, default: Any) -> inspect.Parameter:
    return inspect.Parameter(name, inspect.Parameter.KEYWORD_ONLY, default=default, annotation=annotation)


def _captures(calculator: Calculator) -> list[str]:
    return [parameter.name for parameter in calculator.parameters if isinstance(parameter.field, CaptureFile)]


def _with_capture(calculator: Calculator, given: dict[str, Any]) -> dict[str, Any]:
    """The raw inputs; a capture's file and the options about its columns become one value."""
    options = {name: given.pop(name) for name in CAPTURE if name in given}
    for name in _captures(calculator):
        if given.get(name):
            given[name] = capture_input(given[name], **options)
    return {name: value for name, value in given.items() if value is not None}


def capture_input(
    file: str, column: list[str] | None, channel_unit: list[str] | None, rate: str | None, decimal: str | None
) -> dict[str, Any]:
    """A capture's raw input, as a CaptureRequest reads it. Raises InputError for a pair that is none."""
    columns, units = pairs("--column", column), pairs("--channel-unit", channel_unit)
    return {"file": file, "columns": columns, "units": units, "rate": rate, "decimal": decimal}


def pairs(option: str, texts: list[str] | None) -> dict[str, str]:
    """What `--column rail="Rail pressure"` and its like say: channel -> text. Raises InputError."""
    found = {}
    for text in texts or ():
        name, equals, value = text.partition("=")
        if not equals or not name.strip() or not value.strip():
            raise InputError.one(option, text, "is not a channel and its label", 'give both, such as rail="Rail pressure"')
        found[name.strip()] = value.strip()
    return found


def _run(
    calculator: Calculator,
    given: dict[str, Any],
    *,
    as_json: bool,
    from_file: str | None,
    ask: bool,
    steps: bool,
    fail_on: str | None,
) -> None:
    if fail_on not in (None, "outside", "undecided"):
        raise InputError.one("--fail-on", fail_on, "is not a verdict to fail on", "use outside or undecided")
    raw = {**(inputs_from(from_file) if from_file else {}), **given}
    if ask:
        raw = asked(calculator, raw)
    result = run(calculator, raw, spell="--")
    if as_json:
        say_json(result.to_dict())
    else:
        say("\n".join(result_lines(result, steps=steps)))
    if fail_on and any(verdict.verdict == fail_on for verdict in result.verdicts):
        raise typer.Exit(3)


def inputs_from(path: str) -> dict[str, Any]:
    """Inputs of a JSON file (`-`: standard input): a mapping of inputs, or an earlier result. Raises InputError."""
    try:
        if path == "-":
            data = json.load(sys.stdin)
        else:
            with open(path, encoding="utf-8-sig") as file:
                data = json.load(file)
    except OSError as error:
        raise InputError.one("--from", path, f"cannot be read: {error.strerror}") from error
    except (ValueError, RecursionError) as error:
        raise InputError.one("--from", path, f"is not JSON: {error}") from error
    if isinstance(data, Mapping) and isinstance(data.get("inputs"), Mapping):
        data = data["inputs"]
    if not isinstance(data, Mapping):
        raise InputError.one("--from", path, "has no inputs", 'give {"start": "350 bar", …}')
    return {name: value for name, value in data.items() if value is not None}


ENOUGH = "."


def asked(calculator: Calculator, raw: Mapping[str, Any]) -> dict[str, Any]:
    """Ask on the terminal for every input that is not given; what cannot be used is asked again.

    Enter alone leaves an optional input out; a dot leaves out every optional one that is still to come. Raises InputError where
    the answers end before the questions.
    """
    answers = dict(raw)
    enough = False
    how = f"Enter leaves out what is optional, {ENOUGH} leaves out all the rest of it; Ctrl-C stops."
    complain(f"{calculator.title}. {how}")
    for parameter in calculator.parameters:
        if parameter.name in answers or (enough and not parameter.required):
            continue
        answer = _asked_one(parameter)
        enough = enough or answer == ENOUGH
        if answer not in (None, ENOUGH):
            answers[parameter.name] = answer
    return answers


def _line_typed() -> str:
    """The next line of standard input; "" at its end, and where it cannot be read. Ctrl-C leaves the question's line first."""
    try:
        return sys.stdin.readline()
    except (OSError, UnicodeDecodeError):
        return ""
    except KeyboardInterrupt:
        complain("")
        raise


def _asked_one(parameter: Parameter) -> str | None:
    optional = "" if parameter.required else _default_words(parameter) or " [optional]"
    while True:
        complain(f"{parameter.field.help} ({parameter.field.example()}){optional}: ", end="")
        line = _line_typed()
        if not line:
            complain("")  # the question stands alone on its line
            would_do = f"answer each, or {ENOUGH} to leave out what is optional"
            raise InputError.one("--ask", None, "the input ended before every question was answered", would_do)
        text = line.strip()
        if not text and not parameter.required:
            return None
        if text == ENOUGH and not parameter.required:
            return ENOUGH
        try:
            parameter.field.parse(text)
        except Refused as error:
            complain(f'  "{text}" {error}')
            continue
        return text
