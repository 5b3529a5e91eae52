"""Commands and groups of the command line's library that refuse in our words, know -h, and answer no arguments with help."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Any

import typer
from typer.core import TyperArgument, TyperCommand, TyperGroup

from ..errors import InputError
from .arguments import CAPTURED, HELP, IF_KNOWN, OF_STEP, OUTPUT, USUAL, asks_for_help, check_words, items, near
from .arrangement import arranged
from .output import say

if TYPE_CHECKING:
    from .options import Option


def _checked(command: Any, context: Any, arguments: list[str], *, interspersed: bool) -> None:
    """Show help where it is due. Raises InputError for what does not fit the command's options and places."""
    if context.resilient_parsing:  # a shell asks what may come next
        return
    if not arguments and command.no_args_is_help:
        say(context.get_help())
        raise typer.Exit
    if asks_for_help(arguments if interspersed else arguments[:1]):
        return
    takes, places = {}, 0
    for parameter in command.get_params(context):
        if parameter.param_type_name == "argument":
            places += len(arguments) if parameter.nargs < 0 or parameter.multiple else 1
        else:
            takes.update(dict.fromkeys(parameter.opts, not parameter.is_flag))
    found = items(takes, arguments, interspersed=interspersed)
    words = sum(not spelling for spelling, _ in found)
    if interspersed:
        check_words(found, places)
    elif words == places and not command.invoke_without_command:
        raise InputError.one(command.place, None, "is missing", command.hint(context, "", command.list_commands(context)))


class Command(TyperCommand):
    """A command that takes options and places. table: the options, where they are a calculator's."""

    table: Sequence[Option] = ()

    ignore_unknown_options = True  # what is not known is refused before; what is left is a reading below zero

    def __init__(self, *given: Any, **settings: Any) -> None:
        settings["context_settings"] = {"help_option_names": list(HELP), **(settings.get("context_settings") or {})}
        super().__init__(*given, **settings)

    def get_short_help_str(self, limit: int = 0) -> str:
        """What it is for, in a list of commands: its first paragraph, whole."""
        return " ".join((self.help or "").partition("\n\n")[0].split())

    def parse_args(self, ctx: Any, args: list[str]) -> list[str]:
        """Read the arguments, after our own look at them; a calculator's are put to its options first."""
        if self.table and args and not ctx.resilient_parsing and not asks_for_help(args):
            args = _written_out(self.table, args)
        _checked(self, ctx, args, interspersed=True)
        return super().parse_args(ctx, args)

    def format_options(self, ctx: Any, formatter: Any) -> None:
        """A calculator's options under their headings, its arguments first."""
        if not self.table:
            super().format_options(ctx, formatter)
            return
        rows: dict[str, list[Any]] = {}
        groups = {option.spelling: option.group for option in self.table if not option.positional}
        for parameter in self.get_params(ctx):
            at = OUTPUT if parameter.param_type_name == "option" else "Arguments"
            heading = next((groups[name] for name in parameter.opts if name in groups), at)
            rows.setdefault(heading, []).append(parameter.get_help_record(ctx))
        for title in ("Arguments", USUAL, IF_KNOWN, CAPTURED, OF_STEP, OUTPUT):
            if title in rows:
                with formatter.section(title.capitalize()):
                    formatter.write_dl(rows[title])
        for option in self.table:
            if option.names:
                with formatter.section(f"{option.spelling}, usually"):
                    formatter.write("".join(f"  {name}\n" for name in option.names))


def _written_out(table: Sequence[Option], arguments: list[str]) -> list[str]:
    """The arguments with one word for each option and its value."""
    named = {option.name: option for option in table}
    found, places = list[str](), list[str]()
    for name, value in arranged(table, arguments):
        option = named[name]
        if option.positional:
            places.append(str(value))
        else:
            found.append(option.spelling if value is None else f"{option.spelling}={value}")
    return [*found, "--", *places] if places else found


class Group(TyperGroup):
    """A command with sub-commands; an unknown one is refused with the nearest name. kind: what its sub-commands are."""

    kind, place = "command", "COMMAND"

    def __init__(self, *given: Any, **settings: Any) -> None:
        settings["context_settings"] = {"help_option_names": list(HELP), **(settings.get("context_settings") or {})}
        super().__init__(*given, **settings)

    def get_short_help_str(self, limit: int = 0) -> str:
        """What it is for, in a list of commands: its first paragraph, whole."""
        return " ".join((self.help or "").partition("\n\n")[0].split())

    def parse_args(self, ctx: Any, args: list[str]) -> list[str]:
        """Read the arguments up to the sub-command, after our own look at them."""
        _checked(self, ctx, args, interspersed=False)
        return super().parse_args(ctx, args)

    def resolve_command(self, ctx: Any, args: list[str]) -> tuple[str | None, Any, list[str]]:
        """Look a sub-command up. Raises InputError for one that is not known."""
        known = self.list_commands(ctx)
        if args[0] in known:
            return args[0], self.get_command(ctx, args[0]), args[1:]
        if ctx.resilient_parsing:
            return None, None, args
        if args[0] in HELP:
            say(ctx.get_help())
            raise typer.Exit
        raise InputError.one("", args[0], f"is not a {self.kind}", self.hint(ctx, args[0], known))

    def shell_complete(self, ctx: Any, incomplete: str) -> Any:
        """The sub-commands that may be meant, or the group's options."""
        if incomplete.startswith("-"):
            return super().shell_complete(ctx, incomplete)
        names = TyperArgument(param_decls=["name"], autocompletion=lambda *_: self.offered(ctx))
        return names.shell_complete(ctx, incomplete)

    def offered(self, ctx: Any) -> list[tuple[str, str]]:
        """(name, what it is for) of every sub-command."""
        return [(name, command.get_short_help_str()) for name, command in self.commands.items()]

    def hint(self, ctx: Any, name: str, known: Iterable[str]) -> str:
        """What to do instead of an unknown sub-command."""
        return near(name, known, f"use one of {', '.join(known)}")
