"""`baybook card`: list and print."""

from __future__ import annotations

import datetime
import os
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

import typer

from ..errors import InputError, Problem, Refused
from ..files import check_target, write_whole
from ..registry import Registry, registry
from ..running import given_text
from ..text import table
from .printing import complain, say

if TYPE_CHECKING:
    from ..cards.data import Card

app = typer.Typer(rich_markup_mode=None, add_completion=False, no_args_is_help=True, help="Cards for the bay: list and print.")
NAMES = typer.Argument(None, metavar="NAME…", help="Cards by name; `baybook card list` tells them.", show_default=False)
OUT = typer.Option(None, "--out", metavar="FILE", help="The file to write: .pdf, or .html for a tablet in the bay.")
ALL = typer.Option(False, "--all", help="Every card there is.")
SIZE = typer.Option("A5", "--size", help="A4, A5, A6 or ID-1 (the size of a bank card).")
ORIENTATION = typer.Option("", "--orientation", help="portrait or landscape; without it ID-1 lies across, the others stand.")
MONO = typer.Option(False, "--mono", help="For a grey printer.")
MARKS = typer.Option(False, "--marks", help="Bleed and crop marks, for laminating and cutting.")
SHEET = typer.Option("", "--sheet", help="Several cards up on a sheet: A4 or A3.")
SINGLE = typer.Option(False, "--single-sided", help="Backs after fronts, not behind them.")
ONE_LEAF = typer.Option(False, "--one-leaf", help="Leave out what has no room on a front and a back, instead of adding leaves.")
BINDER = typer.Option(False, "--binder", help="With contents, bookmarks and page numbers.")
LANGUAGE = typer.Option("en", "--language", help="en or de.")
JOB = typer.Option(None, "--job", metavar="SHEET", help="Fill the cards from a job sheet: its readings, ranges and number.")
VALUES = typer.Option(None, "--values", metavar="FILE", help="Fill them from a TOML file with a table for each calculator.")
FORCE = typer.Option(False, "--force", help="Write over an existing file.")


@app.command("list")
def list_cards() -> None:
    """List every card: of a calculator, or of its own."""
    known = registry()
    rows = [(listed.name, listed.title, f"{listed.stage}, {listed.side}") for listed in known.listed()]
    print("\n".join(table([*rows, *((name, title, "general") for name, title in known.cards())])))


@app.command("print")
def print_cards(
    names: list[str] = NAMES, out: str | None = OUT, all_cards: bool = ALL, size: str = SIZE, orientation: str = ORIENTATION,
    mono: bool = MONO, marks: bool = MARKS, sheet: str = SHEET, single_sided: bool = SINGLE, one_leaf: bool = ONE_LEAF,
    binder: bool = BINDER, language: str = LANGUAGE, job: str | None = JOB, values: str | None = VALUES, force: bool = FORCE,
) -> None:  # fmt: skip
    """Print cards to a PDF, or to one HTML file for a tablet."""
    from .rendering import printed_cards

    known = registry()
    wanted = _wanted(known, list(names or ()), all_cards)
    if orientation.lower() not in ("", "portrait", "landscape"):
        raise InputError.one("--orientation", orientation, "is not a way to lay a card", "use portrait or landscape")
    path = _target(out, force)
    if path.suffix.lower() == ".html":
        _check_for_screen(
            {
                "--mono": mono, "--marks": marks, "--sheet": sheet, "--single-sided": single_sided, "--one-leaf": one_leaf,
                "--binder": binder,
            }
        )  # fmt: skip
    filled, number = _known_inputs(known, job, values)
    paper = {
        "size": size, "orientation": orientation.lower(), "mono": mono, "marks": marks, "sheet": sheet,
        "double_sided": not single_sided, "one_leaf": one_leaf, "binder": binder, "language": language, "title": "",
        "date": _today(),
    }  # fmt: skip
    cards = [_card(known, name, filled, number) for name in wanted]
    content, lost = printed_cards(cards, paper, path.suffix[1:].lower())
    write_whole(path, content)
    instead = ", or without --one-leaf" if one_leaf else ""
    for name, count in lost:
        values_lost = f"{count} of its values {'are' if count > 1 else 'is'} not on it"
        complain(f"{name}: {values_lost}, for want of room on {size}; print it larger{instead}")
    say(f"{path} written: {len(cards)} card{'s' * (len(cards) != 1)}")


def _wanted(known: Registry, names: list[str], all_cards: bool) -> list[str]:
    """The names, each checked; all unknown ones are told at once."""
    there = [*(name for name, _ in known.cards()), *(listed.name for listed in known.listed())]
    problems = []
    for name in names:
        if name not in there:
            problems.append(Problem("NAME", name, "is not a card", _close(name, there)))
    if names and all_cards:
        problems.append(Problem("NAME", " ".join(names), "is among --all already", "leave out the names, or --all"))
    if not names and not all_cards:
        problems.append(Problem("NAME", None, "is missing", "give a card's name, or --all"))
    if problems:
        raise InputError(problems)
    return there if all_cards else names


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


def _known_inputs(known: Registry, job: str | None, values: str | None) -> tuple[dict[str, dict[str, Any]], str]:
    """For each calculator the inputs that are known, and the job's number."""
    from ..jobs.sheet import load_toml, read_sheet

    filled: dict[str, dict[str, Any]] = {}
    number = ""
    if job:
        sheet = read_sheet(job)
        number = str(sheet.job.get("number", ""))
        for step in sheet.steps:
            filled.setdefault(step.calculator, {}).update(step.inputs)
    if values:
        calculators = [listed.name for listed in known.listed()]
        for name, inputs in load_toml(Path(values)).items():
            if name not in calculators:
                raise InputError.one("--values", name, "is not a calculator", _close(name, calculators))
            if not isinstance(inputs, Mapping):
                raise InputError.one("--values", name, "is not a table", "write [hold] and below it volume = …")
            filled.setdefault(name, {}).update(inputs)
    return filled, number


def _card(known: Registry, name: str, filled: Mapping[str, Mapping[str, Any]], number: str) -> Card:
    """The card of that name, with what is known of this vehicle in it."""
    from ..cards.build import card_of

    if name in {listed.name for listed in known.listed()}:
        calculator = known.calculator(name)
        _parsed(known, name, name, filled.get(name, {}))
        return card_of(calculator, filled.get(name, {}), job=number)
    offer = known.card(name)
    card: Card = offer.make(**_parsed(known, name, offer.fills, filled.get(offer.fills, {})))
    return card


def _parsed(known: Registry, card: str, calculator: str, inputs: Mapping[str, Any]) -> dict[str, Any]:
    """Inputs as the calculator gets them. Raises InputError, named by the card, for what cannot be used."""
    found, problems = {}, []
    for name, raw in inputs.items():
        try:
            found[name] = known.calculator(calculator).parameter(name).field.parse(raw)
        except KeyError:
            there = [parameter.name for parameter in known.calculator(calculator).parameters]
            problems.append(Problem(card, name, f"is not an input of {calculator}", _close(name, there)))
        except Refused as error:
            problems.append(Problem(f"{card}, {name}", given_text(raw), error.why, error.would_do))
    if problems:
        raise InputError(problems)
    return found


def _close(name: str, there: list[str]) -> str:
    """What would do in the place of a name that there is not."""
    from difflib import get_close_matches

    close = get_close_matches(name, there, n=1)
    return f"did you mean {close[0]}?" if close else f"use {', '.join(there)}"


def _today() -> str:
    """The date on the cards; SOURCE_DATE_EPOCH fixes it for builds that must not differ."""
    epoch = os.environ.get("SOURCE_DATE_EPOCH", "")
    if epoch.isdigit():
        return datetime.datetime.fromtimestamp(int(epoch), datetime.UTC).date().isoformat()
    return datetime.date.today().isoformat()
