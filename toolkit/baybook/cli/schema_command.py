"""`baybook schema`: the JSON Schema of every result, or of one calculator's inputs."""

from __future__ import annotations

import typer

from ..registry import registry
from ..schema import inputs_schema, result_schema
from .output import say_json
from .usage import Command


def _calculators(incomplete: str) -> list[tuple[str, str]]:
    return [(listed.name, listed.summary) for listed in registry().listed()]


NAME = typer.Argument(
    None, metavar="CALCULATOR", help="Whose inputs; without it: results.", autocompletion=_calculators, show_default=False
)
app = typer.Typer(rich_markup_mode=None, add_completion=False)


@app.command(cls=Command, help="Print the JSON Schema of results, which have one shape, or of a calculator's inputs.")
def schema(name: str | None = NAME) -> None:
    """Print it."""
    found = result_schema() if name is None else inputs_schema(registry().calculator(name))
    say_json(found)
