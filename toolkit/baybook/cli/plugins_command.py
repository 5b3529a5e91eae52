"""`baybook plugins`: list, show, switch off and on, ask afresh, make a new one, check one."""

from __future__ import annotations

import os

import typer

from ..plugins import index, overview, switches
from ..registry import registry
from .output import say, say_done, say_json
from .usage import Command, Group

app = typer.Typer(
    cls=Group, rich_markup_mode=None, add_completion=False, no_args_is_help=True,
    help="Plugins: what is installed, and tools for authors.",
)  # fmt: skip
AS_JSON = typer.Option(False, "--json", help="Print JSON.")


def _names(incomplete: str) -> list[str]:
    return sorted({plugin.name for plugin in overview.plugins(registry().index)})


NAME = typer.Argument(
    metavar="NAME", help="A plugin's or a package's name, as baybook plugins list shows it.", autocompletion=_names
)


@app.command("list", cls=Command)
def list_plugins(as_json: bool = AS_JSON) -> None:
    """List all: accepted, switched off, left out and why.

    Nothing is imported for it: what each offers is read off the index.
    """
    found = registry().index
    if as_json:
        say_json([plugin.to_dict() for plugin in overview.plugins(found)])
        return
    say("\n".join([*overview.list_lines(found), *found.notes]))


@app.command(cls=Command)
def show(name: str = NAME, as_json: bool = AS_JSON) -> None:
    """Show one plugin and all that it offers."""
    found = registry().index
    fitting = overview.named(found, name)
    if as_json:
        say_json([plugin.to_dict() for plugin in fitting])
        return
    say("\n\n".join("\n".join(overview.show_lines(found, plugin)) for plugin in fitting))


@app.command(cls=Command)
def off(name: str = NAME) -> None:
    """Switch a plugin off, whatever it does.

    It is not imported any more. BAYBOOK_WITHOUT="a,b" does the same for one command.
    """
    overview.named(registry().index, name)
    switches.switch_off(name)
    say_done(f"{name} is switched off; baybook plugins on {name} brings it back")


@app.command(cls=Command)
def on(name: str = NAME) -> None:
    """Switch a plugin on again."""
    if not switches.switch_on(name):
        overview.named(registry().index, name)
    here = name in index.switched_off_here()
    say_done(f"{name} stays switched off by BAYBOOK_WITHOUT" if here else f"{name} is switched on")


@app.command(cls=Command)
def refresh() -> None:
    """Ask every plugin afresh.

    Installs and edits are noticed without it; it gives one that was too slow another chance.
    """
    from ..plugins.index_builder import build

    found = build()
    known = overview.plugins(found)
    count = {state: sum(plugin.state == state for plugin in known) for state in ("accepted", "switched off", "left out")}
    say(", ".join(f"{number} {state}" for state, number in count.items()))
    for line in found.complaints():
        say(line)


@app.command(cls=Command)
def new(
    name: str = typer.Argument(metavar="NAME", help="What the calculator is to be called: lift-head."),
    into: str = typer.Option(".", "--into", metavar="DIR", help="The folder to make it in."),
    force: bool = typer.Option(False, "--force", help="Overwrite the files of an earlier one."),
) -> None:
    """Make a complete plugin folder, to edit into yours.

    It is a package with a calculator, its card, a check against a published value and a README, and passes all checks.
    """
    from ..plugins.new import make

    folder = os.path.relpath(make(name, into, force=force))
    commands = (
        f"baybook plugins check {folder}",
        f"pip install -e '{folder}[test]'",
        f"baybook {name} --help",
        f"pytest {folder}",
    )
    say_done("\n  ".join((f"made {folder}; now:", *commands)))


@app.command(cls=Command)
def check(
    what: str = typer.Argument(
        metavar="PATH|NAME", help="A plugin's folder (installed or not), or an installed plugin's name."
    ),
    as_json: bool = AS_JSON,
) -> None:
    """Check a plugin: a line for each promise.

    Exit code 1 when one is not kept.
    """
    from ..testing.command import check_lines

    if not check_lines(what, as_json=as_json):
        raise typer.Exit(1)
