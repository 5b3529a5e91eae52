"""A calculator's command in the command line's library: its help and its completion, from the option table."""

from __future__ import annotations

import inspect
from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

import typer

from ..errors import InputError
from . import options
from .calculation import Action, carry_out, work_out
from .options import COMMON, Option, command_options
from .usage import Command

if TYPE_CHECKING:
    from ..declare import Calculator


def command_for(calculator: Calculator, action: Action = work_out, common: Iterable[Option] = COMMON, sheet: str = "") -> Any:
    """The command: an option for every parameter, in the declaration's order, then the common ones.

    action: what to do with (calculator, raw inputs, the common options' values); its result is the exit code. Without
    arguments a command that works the calculator out shows its help. sheet: the job sheet whose names a shell may complete.
    """
    table = command_options(calculator, common)
    if sheet:
        table = options.with_names(table, *_names_of(sheet))

    def command(**typed: Any) -> None:
        code = carry_out(calculator, typed, action, common)
        if code:
            raise typer.Exit(code)

    command.__signature__ = inspect.Signature([_parameter(option) for option in table])  # type: ignore[attr-defined]  # typer reads it
    app = typer.Typer(rich_markup_mode=None, add_completion=False)
    app.command(calculator.name, cls=Command, help=_help(calculator), no_args_is_help=action is work_out)(command)
    made: Any = typer.main.get_command(app)
    made.table = table
    return made


def _names_of(path: str) -> tuple[list[tuple[str, str]], list[tuple[str, str]]]:
    """The sheet's ranges and instruments by name, for a shell; none where it cannot be read."""
    from .invocation import is_completion

    if not is_completion("baybook"):
        return [], []
    from ..jobs.sheet import read_sheet

    try:
        sheet = read_sheet(path)
    except InputError:
        return [], []
    return [(spec.name, spec.range) for spec in sheet.specs], [(tool.name, tool.uncertainty) for tool in sheet.instruments]


def _help(calculator: Calculator) -> str:
    doc = inspect.getdoc(calculator.function) or ""
    first, _, rest = doc.partition("\n")
    cautions = "\n\n".join(f"{caution.signal.upper()}: {caution.text}" for caution in calculator.cautions)
    return "\n\n".join(part for part in (first, f"Proves: {calculator.proves}", rest.strip(), cautions) if part)


def _parameter(option: Option) -> inspect.Parameter:
    kind = bool if option.switch else list[str] | None if option.many else str | None
    return inspect.Parameter(option.name, inspect.Parameter.KEYWORD_ONLY, default=as_typer(option), annotation=kind)


def as_typer(option: Option) -> Any:
    """An option of the table as the library declares it, for a command of the core that has it too."""
    if option.switch:
        return typer.Option(False, option.spelling, help=option.help)
    declared: dict[str, Any] = {
        "metavar": option.metavar, "help": option.help, "show_default": False, "autocompletion": completion(option),
    }  # fmt: skip
    return typer.Argument(None, **declared) if option.positional else typer.Option(None, option.spelling, **declared)


def completion(option: Option) -> Any:
    """What the library calls for a value's completion: the incomplete text in, (value, what it is) out."""

    def complete(incomplete: str) -> list[Any]:
        return [(text, what) if what else text for text, what in option.suggestions(incomplete)]

    return complete


JSON = as_typer(options.JSON)
STEPS = as_typer(options.STEPS)
COLUMN = as_typer(options.COLUMN)
CHANNEL_UNIT = as_typer(options.CHANNEL_UNIT)
RATE = as_typer(options.RATE)
DECIMAL = as_typer(options.DECIMAL)
