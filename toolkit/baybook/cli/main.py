"""The command line: every command by name, built only when it is the one that runs. One handler turns errors into words."""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

import typer
from typer.core import TyperGroup

from ..commands import COMMANDS
from ..errors import InputError
from ..registry import registry
from .calling import call
from .edge import told
from .printing import complain, say

if TYPE_CHECKING:
    from typer._click.core import Command, Context
    from typer._click.formatting import HelpFormatter


class Commands(TyperGroup):
    """The group of all commands: the core's own by module, the calculators by their declarations."""

    def list_commands(self, ctx: Context) -> list[str]:
        """Every name, calculators first."""
        return [*(listed.name for listed in registry().listed()), *COMMANDS]

    def get_command(self, ctx: Context, cmd_name: str) -> Command | None:
        """Build the one command that is asked for."""
        if cmd_name in COMMANDS:
            return _built(import_module(f"baybook.cli.{cmd_name}_command").app)
        if cmd_name in self.list_commands(ctx):
            from .calculators import command_for

            return command_for(registry().calculator(cmd_name))
        return None

    def resolve_command(self, ctx: Context, args: list[str]) -> tuple[str | None, Command | None, list[str]]:
        """Look a command up; an unknown one is refused with the nearest name."""
        if args and not args[0].startswith("-") and args[0] not in (names := self.list_commands(ctx)):
            from difflib import get_close_matches

            close = get_close_matches(args[0], names, n=1)
            near = f"did you mean {close[0]}?" if close else "baybook --help lists them"
            would_do = registry().why_absent(args[0]) or near
            raise InputError.one("", args[0], "is not a command or calculator", would_do)
        return super().resolve_command(ctx, args)

    def format_commands(self, ctx: Context, formatter: HelpFormatter) -> None:
        """List from the index and the table of names: no plugin is imported."""
        calculators = [(listed.name, listed.summary) for listed in registry().listed()]
        with formatter.section("Calculators"):
            formatter.write_dl(calculators or [("none", "baybook plugins list says why")])
        with formatter.section("Commands"):
            formatter.write_dl(list(COMMANDS.items()))


def build_app() -> Command:
    """The whole command line, for one run."""
    app = typer.Typer(cls=Commands, rich_markup_mode=None, help=_ABOUT, no_args_is_help=True, pretty_exceptions_enable=False)

    @app.callback(invoke_without_command=True)
    def root(version: bool = typer.Option(False, "--version", help="Print the version and leave.")) -> None:
        if version:
            from .. import __version__

            typer.echo(f"baybook {__version__}")
            raise typer.Exit

    return typer.main.get_command(app)


_ABOUT = (
    "Numbers, verdicts and findings for common-rail diesel diagnosis. Readings carry their unit and, if you give it, their "
    'uncertainty: "350 bar", "350 ± 5 bar", "1,5 MPa ± 1 %". Limits are the ones that you type in.'
)


def _built(app: typer.Typer) -> Command:
    return typer.main.get_command(app)


def run(arguments: list[str]) -> int:
    """Run and return the exit code; see `edge.told` for what goes wrong."""
    try:
        if arguments[:1] != ["plugins"]:  # it tells them itself
            for line in registry().left_out():
                complain(line)
        return call(build_app(), arguments, "baybook")
    except typer.TyperException as error:
        if type(error).__name__ == "NoArgsIsHelpError":
            say(error.format_message())
            return 0
        return told(_usage(error), as_json="--json" in arguments)
    except (Exception, KeyboardInterrupt) as error:
        return told(error, as_json="--json" in arguments)


def _usage(error: Any) -> InputError:
    """A usage error of the command line's library, as one line of ours."""
    if type(error).__name__ == "NoSuchOption":
        near = f"did you mean {' or '.join(error.possibilities)}?" if error.possibilities else "--help lists them"
        return InputError.one("", error.option_name, "is not an option of this command", near)
    return InputError.one("", None, error.format_message().rstrip(".").replace("\n", " "))
