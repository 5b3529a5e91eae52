"""The command line: every command by name, built only when it is the one that runs. One handler turns errors into words."""

from __future__ import annotations

from collections.abc import Iterable
from importlib import import_module
from typing import Any

import typer

from ..commands import COMMANDS
from ..errors import InputError
from ..registry import registry
from .arguments import near
from .edge import told
from .invocation import call, is_completion
from .output import complain
from .usage import Group


class Commands(Group):
    """The group of all commands: the core's own by module, the calculators by their declarations."""

    kind = "command or calculator"

    def list_commands(self, ctx: Any) -> list[str]:
        """Every name, calculators first."""
        return [*(listed.name for listed in registry().listed()), *COMMANDS]

    def get_command(self, ctx: Any, cmd_name: str) -> Any:
        """Build the one command that is asked for."""
        if cmd_name in COMMANDS:
            return typer.main.get_command(import_module(f"baybook.cli.{cmd_name}_command").app)
        from .calculators import command_for

        return command_for(registry().calculator(cmd_name))

    def offered(self, ctx: Any) -> list[tuple[str, str]]:
        """From the index and the table of names: no plugin is imported."""
        return [*_calculators(), *COMMANDS.items()]

    def hint(self, ctx: Any, name: str, known: Iterable[str]) -> str:
        """Why a calculator that is installed is not there, or the nearest name."""
        return registry().why_absent(name) or near(name, known, "baybook --help lists them")

    def format_commands(self, ctx: Any, formatter: Any) -> None:
        """List from the index and the table of names: no plugin is imported."""
        with formatter.section("Calculators"):
            formatter.write_dl(_calculators() or [("none", "baybook plugins list says why")])
        with formatter.section("Commands"):
            formatter.write_dl(list(COMMANDS.items()))


def _calculators() -> list[tuple[str, str]]:
    return [(listed.name, listed.summary) for listed in registry().listed()]


def build_app() -> Any:
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


def run(arguments: list[str]) -> int:
    """Run and return the exit code; see `edge.told` for what goes wrong."""
    try:
        if arguments[:1] != ["plugins"] and not is_completion("baybook"):  # the one tells them itself
            for line in registry().left_out():
                complain(line)
        return call(build_app(), arguments, "baybook")
    except typer.TyperException as error:
        text = error.format_message().rstrip(".").replace("\n", " ")
        missing = text.removeprefix("Missing argument ").strip("'") if text.startswith("Missing argument ") else ""
        told_usage = InputError.one(
            missing, None, "is missing" if missing else text, "give it; -h tells what goes where" if missing else ""
        )
        return told(told_usage, as_json="--json" in arguments)
    except (Exception, KeyboardInterrupt) as error:
        return told(error, as_json="--json" in arguments)
