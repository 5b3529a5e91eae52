"""`baybook schema`: the JSON Schema of every result, of one calculator's inputs, or of a worked-out job."""

from __future__ import annotations

import typer

from ..registry import registry
from ..schema import inputs_schema, result_schema
from .output import say_json
from .usage import Command


def _calculators(incomplete: str) -> list[tuple[str, str]]:
    return [(JOB, "a worked-out job: evidence and conclusion")] + [
        (listed.name, listed.summary) for listed in registry().listed()
    ]


NAME = typer.Argument(
    None,
    metavar="CALCULATOR",
    help="Whose inputs, or job.",
    autocompletion=_calculators,
    show_default=False,
)
JOB = "job"
app = typer.Typer(rich_markup_mode=None, add_completion=False)


@app.command(
    cls=Command,
    help="Print the JSON Schema of results, which have one shape, of a calculator's inputs, or of a job.",
)
def schema(name: str | None = NAME) -> None:
    """Print it."""
    if name == JOB:
        from ..jobs.schema import job_schema

        found = job_schema()
    else:
        found = result_schema() if name is None else inputs_schema(registry().calculator(name))
    say_json(found)
