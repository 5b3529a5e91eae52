"""`baybook units`: the units that readings may have, by family."""

from __future__ import annotations

import typer

from .. import units
from ..columns import wrap
from .output import say
from .usage import Command

app = typer.Typer(rich_markup_mode=None, add_completion=False)


@app.command(cls=Command, help="List the units that readings may have. Pressures may be marked: bar(g), psia, bar abs.")
def list_units() -> None:
    """Print every family with its units and their other spellings."""
    for family in units.families():
        shown = [unit.symbol + (f" ({', '.join(unit.others)})" if unit.others else "") for unit in units.in_family(family)]
        say("\n".join(wrap(", ".join(shown), "    ", f"{family}: ")))
