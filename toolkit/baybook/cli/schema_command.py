"""`baybook schema`: the JSON Schema of every result, or of one calculator's inputs."""

from __future__ import annotations

import typer

from ..registry import registry
from ..schema import inputs_schema, result_schema
from .printing import say_json

app = typer.Typer(rich_markup_mode=None, add_completion=False)


@app.command(help="Print the JSON Schema of results, which have one shape, or of a calculator's inputs.")
def schema(name: str | None = typer.Argument(None, metavar="CALCULATOR", help="Whose inputs; without it: results.")) -> None:
    """Print it."""
    found = result_schema() if name is None else inputs_schema(registry().calculator(name))
    say_json(found)
