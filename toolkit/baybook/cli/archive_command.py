"""`baybook archive`: what a folder of finished jobs says of base rates, and of the chances that were stated."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable
from contextlib import ExitStack
from pathlib import Path
from typing import TYPE_CHECKING, Any

import typer

from ..errors import InputError
from ..files import check_ending, check_target, write_whole
from .calculators import JSON, as_typer
from .options import LANGUAGE
from .output import complain, say, say_json
from .screen_language import spoken
from .usage import Command

if TYPE_CHECKING:
    from ..jobs.archive import Line

app = typer.Typer(rich_markup_mode=None, add_completion=False)
DIR = typer.Argument(
    metavar="DIR", help="The folder of the job sheets; those in folders below it count too.", show_default=False
)
LINES = typer.Option(
    None, "--lines", metavar="FILE",
    help="One line of JSON for each job, written as each is done; a second run takes from it what has not changed.",
)  # fmt: skip
RATES = typer.Option(None, "--rates", metavar="FILE", help="Write the base rates, for baybook job run --rates.")
PLOT = typer.Option(None, "--plot", metavar="FILE", help="Draw stated chances against what came true: .pdf or .svg.")
FORCE = typer.Option(False, "--force", help="Write over existing files; --lines is added to anyway.")
SCREEN = as_typer(LANGUAGE)


@app.command(cls=Command)
def archive(
    folder: str = DIR, lines: str | None = LINES, rates: str | None = RATES, plot: str | None = PLOT, force: bool = FORCE,
    as_json: bool = JSON, language: str | None = SCREEN,
) -> None:  # fmt: skip
    """Add finished jobs up: how often which place it was, and how many of the stated chances came true.

    A job counts that has an [outcome]. What was stated before anything was repaired is what is scored. A sheet that cannot be
    read is named and passed over.
    """
    from ..jobs.archive import learned, lines_of, read_lines, sheets_in
    from ..jobs.archive_report import archive_lines, plot_of

    for option, name, endings in (("--rates", rates, (".json",)), ("--plot", plot, (".pdf", ".svg"))):
        if name is not None:
            if not name.lower().endswith(endings):
                raise InputError.one(option, name, "has another ending", f"give a name that ends in {' or '.join(endings)}")
            check_target(Path(name), force=force, option=option)
    files = sheets_in(Path(folder))
    known = read_lines(Path(lines)) if lines else {}
    with ExitStack() as opened:
        found = learned(lines_of(files, known), _told(lines, opened))
    if rates:
        check_ending(Path(rates), ".json", option="--rates")
        write_whole(Path(rates), (json.dumps(found.to_dict(), indent=2) + "\n").encode())
        complain(f"{rates} written")
    screen = spoken(language, ())
    if plot:
        from .pages import rendered_plot

        write_whole(Path(plot), rendered_plot(plot_of(found), plot.rpartition(".")[2].lower(), screen.code))
        complain(f"{plot} written")
    if as_json:
        say_json(found.to_dict())
    else:
        say("\n".join(archive_lines(found, screen)))


def _told(lines: str | None, opened: ExitStack) -> Callable[[Line, bool], None]:
    """What is done with each line as it comes: a sheet that cannot be used is named, a new line is written."""
    file: Any = opened.enter_context(_appended(lines)) if lines else None

    def told(line: Line, new: bool) -> None:
        if "error" in line:
            sys.stderr.write(f"{line['file']}: passed over: {line['error']}\n")
        if file is not None and new:
            file.write(json.dumps(line, ensure_ascii=False) + "\n")
            file.flush()

    return told


def _appended(lines: str) -> Any:
    try:
        return Path(lines).open("a", encoding="utf-8")
    except OSError as error:
        raise InputError.one("--lines", lines, f"cannot be written: {error.strerror}", "give another name") from error
