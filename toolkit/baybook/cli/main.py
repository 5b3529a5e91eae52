"""The command line: every command by name, built only when it is the one that runs. One handler turns errors into words."""

from __future__ import annotations

import os
import sys
from importlib import import_module
from typing import TYPE_CHECKING, Any

import typer
from typer.core import TyperGroup

from ..commands import COMMANDS
from ..errors import BaybookError, InputError
from ..registry import Registry, registry
from .printing import complain, say_json

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
    """Run and return the exit code: 0, 1 for a fault of ours or a plugin's, 2 for input that cannot be used."""
    as_json = "--json" in arguments
    try:
        if arguments[:1] != ["plugins"]:  # it tells them itself
            _tell_left_out(registry())
        code = build_app().main(arguments, prog_name="baybook", standalone_mode=False)
        return code if isinstance(code, int) else 0
    except BaybookError as error:
        return _tell(error, as_json)
    except (typer.Abort, KeyboardInterrupt):
        print("stopped; nothing was written", file=sys.stderr)
        return 130
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
    except typer.TyperException as error:
        return _tell_usage(error, as_json)
    except UnicodeEncodeError as error:
        given = error.object[error.start : error.start + 1].encode("ascii", "backslashreplace").decode()
        return _tell(InputError.one("", given, "is no text that can be written", "type it again, in UTF-8"), as_json)
    except OSError as error:
        return _tell(InputError.one("", error.filename, f"cannot be used: {error.strerror or error}"), as_json)
    except Exception as error:
        if os.environ.get("BAYBOOK_TRACEBACK"):
            raise
        return _tell(_our_fault(error), as_json)


def _our_fault(error: Exception) -> BaybookError:
    words = f"{type(error).__name__}: {error}"
    return BaybookError(f"a fault of Baybook's own: {words}; BAYBOOK_TRACEBACK=1 shows where")


def _tell_left_out(known: Registry) -> None:
    for line in known.left_out():
        complain(line)


def _tell(error: BaybookError, as_json: bool) -> int:
    if as_json:
        say_json(error.to_dict())
    else:
        for line in str(error).splitlines():
            complain(line)
    return error.exit_code


def _tell_usage(error: Any, as_json: bool) -> int:
    """A usage error of the command line's library, as one line of ours."""
    if type(error).__name__ == "NoArgsIsHelpError":
        print(error.format_message())
        return 0
    if type(error).__name__ == "NoSuchOption":
        near = f"did you mean {' or '.join(error.possibilities)}?" if error.possibilities else "--help lists them"
        return _tell(InputError.one("", error.option_name, "is not an option of this command", near), as_json)
    return _tell(InputError.one("", None, error.format_message().rstrip(".").replace("\n", " ")), as_json)
