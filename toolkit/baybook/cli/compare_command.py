"""`baybook compare JOB JOB…`: the same measurement in several jobs, known good beside doubtful."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import typer

from ..errors import InputError
from ..files import check_target, write_whole
from ..registry import registry
from .calculators import JSON, as_typer
from .options import LANGUAGE
from .output import complain, say, say_json
from .screen_language import spoken
from .usage import Command

app = typer.Typer(rich_markup_mode=None, add_completion=False)
ENDINGS = (".pdf", ".svg")


def _calculators() -> list[tuple[str, str]]:
    return [(listed.name, listed.summary) for listed in registry().listed()]


def _outputs(ctx: Any) -> list[tuple[str, str]]:
    name = ctx.params.get("calculator")
    return [(key, output.help) for key, output in registry().calculator(name).outputs.items()] if name else []


JOBS = typer.Argument(metavar="JOB…", help="Two job sheets or more.", show_default=False)
CALCULATOR = typer.Option(
    None, "--calculator", metavar="CALCULATOR", help="Which measurement; without it what the jobs have in common.",
    autocompletion=_calculators,
)  # fmt: skip
OUTPUT = typer.Option(
    None, "--output", metavar="NAME", help="Which number of it; without it the one that is judged.", autocompletion=_outputs
)
OF = typer.Option(None, "--of", metavar="TEXT", help='Only steps that speak of it: --of "injector 3".')
PLOT = typer.Option(None, "--plot", metavar="FILE", help="Draw it: .pdf or .svg.")
FORCE = typer.Option(False, "--force", help="Write over an existing file.")
SCREEN = as_typer(LANGUAGE)


@app.command(cls=Command, no_args_is_help=True)
def compare(
    jobs: list[str] = JOBS, calculator: str | None = CALCULATOR, output: str | None = OUTPUT, of: str | None = OF,
    plot: str | None = PLOT, force: bool = FORCE, as_json: bool = JSON, language: str | None = SCREEN,
) -> None:  # fmt: skip
    """Set the same measurement of several jobs side by side: known good beside doubtful.

    Good is what lay within the range that was given with it, and where none was, what belongs to a job without a fault. A sheet
    that cannot be read is named and passed over.
    """
    from ..jobs.comparison import compared
    from ..jobs.comparison_report import comparison_lines, plot_of

    if len(jobs) < 2:
        raise InputError.one("JOB", jobs[0], "is one job alone", "give two or more job sheets")
    if plot is not None:
        if not plot.lower().endswith(ENDINGS):
            raise InputError.one("--plot", plot, "has another ending", f"give a name that ends in {' or '.join(ENDINGS)}")
        check_target(Path(plot), force=force, option="--plot")
    found = compared(jobs, calculator or "", output or "", of or "")
    for line in found.passed_over:
        complain(line)
    screen = spoken(language, (registry().calculator(found.calculator).package,))
    if plot:
        from .pages import rendered_plot

        write_whole(Path(plot), rendered_plot(plot_of(found), plot.rpartition(".")[2].lower(), screen.code))
        complain(f"{plot} written")
    if as_json:
        say_json(found.to_dict())
    else:
        say("\n".join(comparison_lines(found, screen)))
