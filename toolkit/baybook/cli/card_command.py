"""`baybook card`: list and print."""

from __future__ import annotations

import datetime
import os
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import typer

from ..cards.filling import Fill, close, fills_of, has_card
from ..columns import table
from ..errors import BaybookError, InputError, Problem
from ..files import check_target, write_whole
from ..registry import Registry, registry
from .calculators import completion
from .options import LANGUAGE as LANGUAGES
from .output import complain, say
from .progress import progress
from .usage import Command, Group

if TYPE_CHECKING:
    from ..cards.data import Card, Stop
    from .pages import Printed

app = typer.Typer(
    cls=Group, rich_markup_mode=None, add_completion=False, no_args_is_help=True, help="Cards for the bay: list and print."
)


def _cards(incomplete: str) -> list[tuple[str, str]]:
    return [*((listed.name, listed.title) for listed in registry().listed()), *registry().cards()]


def _sizes(incomplete: str) -> list[str]:
    from .pages import card_sizes

    return card_sizes()


def _sheets(incomplete: str) -> list[str]:
    from .pages import card_sheets

    return card_sheets()


NAMES = typer.Argument(
    None, metavar="NAME…", help="Cards by name; `baybook card list` tells them.", show_default=False, autocompletion=_cards
)
OUT = typer.Option(None, "--out", metavar="FILE", help="The file to write: .pdf, or .html for a tablet in the bay.")
ALL = typer.Option(False, "--all", help="Every card there is.")
SIZE = typer.Option("A5", "--size", help="A4, A5, A6 or ID-1 (the size of a bank card).", autocompletion=_sizes)
ORIENTATION = typer.Option(
    "", "--orientation", help="portrait or landscape; without it ID-1 lies across, the others stand.",
    autocompletion=lambda incomplete: ["portrait", "landscape"],
)  # fmt: skip
MONO = typer.Option(False, "--mono", help="For a grey printer.")
MARKS = typer.Option(False, "--marks", help="Bleed and crop marks, for laminating and cutting.")
SHEET = typer.Option("", "--sheet", help="Several cards up on a sheet: A4 or A3.", autocompletion=_sheets)
SINGLE = typer.Option(False, "--single-sided", help="Faces one after the other, without empty backs.")
ALL_LEAVES = typer.Option(False, "--all-leaves", help="A further face for the bench: formulas, letters, worked example.")
LINK = typer.Option("", "--link", metavar="URL", help="Your own address of the cards as HTML, as a code for a telephone.")
EMERGENCY = typer.Option(
    "", "--emergency", metavar="NUMBER", help="The emergency number, on the first-aid card with a code that dials it."
)
BINDER = typer.Option(False, "--binder", help="With contents, bookmarks and page numbers.")
LANGUAGE = typer.Option("en", "--language", help=LANGUAGES.help, autocompletion=completion(LANGUAGES))
JOB = typer.Option(None, "--job", metavar="SHEET", help="Fill the cards from a job sheet, a card for each step.")
STEP = typer.Option(0, "--step", metavar="NUMBER", help="Of the job sheet fill in this step alone.")
VALUES = typer.Option(None, "--values", metavar="FILE", help="Fill them from a TOML file with a table for each calculator.")
FORCE = typer.Option(False, "--force", help="Write over an existing file.")


@app.command("list", cls=Command)
def list_cards() -> None:
    """List every card: of a calculator, or of its own."""
    known = registry()
    told = [listed for listed in known.listed() if has_card(known, listed.name)]
    rows = [(listed.name, listed.title, f"{listed.stage}, {listed.side}") for listed in told]
    say("\n".join(table([*rows, *((name, title, "general") for name, title in known.cards())])))


@app.command("print", cls=Command)
def print_cards(
    names: list[str] = NAMES, out: str | None = OUT, all_cards: bool = ALL, size: str = SIZE, orientation: str = ORIENTATION,
    mono: bool = MONO, marks: bool = MARKS, sheet: str = SHEET, single_sided: bool = SINGLE, all_leaves: bool = ALL_LEAVES,
    link: str = LINK, emergency: str = EMERGENCY,
    binder: bool = BINDER, language: str = LANGUAGE, job: str | None = JOB, step: int = STEP, values: str | None = VALUES,
    force: bool = FORCE,
) -> None:  # fmt: skip
    """Print cards to a PDF, or to one HTML file for a tablet."""
    from ..cards.filling import filled_cards, unknown_steps
    from .pages import printed_cards

    known = registry()
    wanted = _wanted(known, list(names or ()) or _of_steps(known, job, step, all_cards), all_cards)
    if orientation.lower() not in ("", "portrait", "landscape"):
        raise InputError.one("--orientation", orientation, "is not a way to lay a card", "use portrait or landscape")
    path = _target(out, force)
    if path.suffix.lower() == ".html":
        _check_for_screen(
            {
                "--mono": mono, "--marks": marks, "--sheet": sheet, "--single-sided": single_sided, "--all-leaves": all_leaves,
                "--binder": binder, "--link": link,
            }
        )  # fmt: skip
    with progress(str(path)):
        fills, number, stops = _known_inputs(known, job, step, values)
        cards, failed = filled_cards(known, wanted, fills, number, stops)
    failed += unknown_steps(known, fills) if all_cards else ()
    _give_up_without(cards, failed)
    _check_step(step, fills, cards)
    paper = {
        "size": size, "orientation": orientation.lower(), "mono": mono, "marks": marks, "sheet": sheet,
        "double_sided": not single_sided, "all_leaves": all_leaves, "link": link,
        "emergency": emergency, "binder": binder, "language": language, "title": "",
        "date": _today(),
    }  # fmt: skip
    with progress(str(path)):
        done = printed_cards(cards, paper, path.suffix[1:].lower())
    write_whole(path, done.content)
    _tell(path, done, [*failed, *done.failed])


def _tell(path: Path, done: Printed, failed: Sequence[BaybookError]) -> None:
    """Say what was written, how to print it and what is not in it; leave with the exit code of the worst that failed."""
    say(f"{path} written: {done.cards} card{'s' * (done.cards != 1)}{f'; {done.advice}' if done.advice else ''}")
    for error in failed:
        complain(str(error))
    if failed:
        raise typer.Exit(max(error.exit_code for error in failed))


def _check_step(step: int, fills: Sequence[Fill], cards: Sequence[Card]) -> None:
    """Raise InputError where the step that was asked for fills none of the cards."""
    if step and cards and all(card.step != step for card in cards):
        name = next(fill.calculator for fill in fills if fill.step == step)
        if not name:
            raise InputError.one("--step", step, "is a repair or a complaint, and fills no card", "leave it out")
        raise InputError.one("--step", step, f"is a step of {name}, and none of these cards draws on it", f"name {name}")


def _give_up_without(cards: Sequence[Card], failed: Sequence[BaybookError]) -> None:
    """Raise all that failed where no card is left to print."""
    if cards or not failed:
        return
    problems = [problem for error in failed if isinstance(error, InputError) for problem in error.problems]
    raise InputError(problems) if len(problems) >= len(failed) else failed[0]


def _of_steps(known: Registry, job: str | None, step: int, all_cards: bool) -> list[str]:
    """The calculators of a job's steps, each once: its cards, where no other is named."""
    from ..jobs.sheet import read_sheet

    if not job or all_cards:
        return []
    used = dict.fromkeys(fill.calculator for fill in fills_of(read_sheet(job), step))
    return [name for name in used if name and has_card(known, name)]


def _wanted(known: Registry, names: list[str], all_cards: bool) -> list[str]:
    """The names, each checked; all unknown ones are told at once."""
    calculators = [listed.name for listed in known.listed()]
    without = [name for name in calculators if not has_card(known, name)]
    there = [*(name for name, _ in known.cards()), *(name for name in calculators if name not in without)]
    problems = []
    for name in names:
        if name in without:
            problems.append(Problem("NAME", name, "has no card: nothing is done at the vehicle", f"use baybook {name}"))
        elif name not in there:
            problems.append(Problem("NAME", name, "is not a card", known.why_absent(name) or close(name, there)))
    if names and all_cards:
        problems.append(Problem("NAME", " ".join(names), "is among --all already", "leave out the names, or --all"))
    if not names and not all_cards:
        problems.append(Problem("NAME", None, "is missing", "give a card's name, or --all"))
    if problems:
        raise InputError(problems)
    return _first_aid_first(there if all_cards else names, there)


def _first_aid_first(names: list[str], there: Sequence[str]) -> list[str]:
    """First aid stands before everything else, then safety; whoever prints the one gets the other."""
    first = [name for name in ("first-aid", "safety") if name in names or (name in there and "safety" in names)]
    return [*first, *(name for name in names if name not in first)]


def _check_for_screen(options: Mapping[str, object]) -> None:
    """Raise InputError, with a line for each, for options that have no meaning on a screen."""
    given = [name for name, value in options.items() if value]
    if given:
        raise InputError([Problem(name, None, "is for paper", "leave it out, or give --out a .pdf") for name in given])


def _target(out: str | None, force: bool) -> Path:
    if not out:
        raise InputError.one("--out", None, "is missing", "give a file, such as cards.pdf")
    path = Path(out)
    if path.suffix.lower() not in (".pdf", ".html"):
        raise InputError.one("--out", out, "ends in neither .pdf nor .html", "give a file, such as cards.pdf")
    check_target(path, force=force, option="--out")
    return path


def _known_inputs(known: Registry, job: str | None, step: int, values: str | None) -> tuple[list[Fill], str, tuple[Stop, ...]]:
    """What is known for the cards, the job's number, and what it says comes first of all. Each step and each table of values
    fills cards of its own."""
    from ..jobs.evaluation import work_out
    from ..jobs.sheet import read_sheet
    from ..jobs.stops import stops_of
    from ..toml_file import load_toml

    fills, number, stops = list[Fill](), "", tuple["Stop", ...]()
    if step and not job:
        raise InputError.one("--step", step, "is a step of no job sheet", "give --job SHEET too")
    if job:
        sheet = read_sheet(job)
        number = str(sheet.job.get("number", ""))
        fills += fills_of(sheet, step)
        worked = work_out(sheet)
        stops = stops_of(worked.found.halts, worked.steps, zero_doubted=worked.zero_doubted)
    if values:
        calculators = [listed.name for listed in known.listed()]
        for name, inputs in load_toml(Path(values)).items():
            if name not in calculators:
                raise InputError.one("--values", name, "is not a calculator", close(name, calculators))
            if not isinstance(inputs, Mapping):
                raise InputError.one("--values", name, "is not a table", "write [hold] and below it volume = …")
            fills.append(Fill(name, inputs))
    return fills, number, stops


def _today() -> str:
    """The date on the cards; SOURCE_DATE_EPOCH fixes it for builds that must not differ."""
    epoch = os.environ.get("SOURCE_DATE_EPOCH", "")
    if epoch.isdigit() and int(epoch[:12]) == int(epoch) < 253_402_300_800:  # the year 10 000
        return datetime.datetime.fromtimestamp(int(epoch), datetime.UTC).date().isoformat()
    return datetime.date.today().isoformat()
