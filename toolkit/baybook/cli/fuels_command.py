"""`baybook fuels`: the fuel models on offer."""

from __future__ import annotations

import typer

from ..columns import table
from ..registry import registry
from .output import say
from .usage import Command

app = typer.Typer(rich_markup_mode=None, add_completion=False)


HELP = "List the fuel models. A TOML file that describes a fuel may be given wherever a fuel's name may."


@app.command(cls=Command, help=HELP)
def list_fuels() -> None:
    """Print name and title of every fuel."""
    known = registry()
    say("\n".join(table([(fuel.name, fuel.title) for fuel in known.index.fuels()])))
