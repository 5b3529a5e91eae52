"""`baybook spec`: the workshop's own book of ranges."""

from __future__ import annotations

import datetime
from pathlib import Path

import typer

from ..columns import table
from ..errors import InputError
from ..files import check_ending, check_target, write_whole
from ..registry import registry
from .output import say, say_done
from .usage import Command, Group

app = typer.Typer(
    cls=Group, rich_markup_mode=None, add_completion=False, no_args_is_help=True,
    help="The spec book: your own ranges by name, with their source and date, for commands and job sheets.",
)  # fmt: skip


def _names() -> list[str]:
    from ..shop import book

    return list(book())


NAME = typer.Argument(metavar="NAME", help="The name of the range.", show_default=False, autocompletion=_names)
RANGE = typer.Argument(metavar="RANGE", help='The range: "max 6 mL/min", "2.2-2.8 ohm".', show_default=False)
SOURCE = typer.Option("", "--source", metavar="TEXT", help="Where it stands, for a reader to find it. [required]")
SYSTEM = typer.Option("", "--system", metavar="TEXT", help="The system or vehicle that it is for.")
DATE = typer.Option("", "--date", metavar="YYYY-MM-DD", help="When it was taken from there; today where not given.")
FORCE = typer.Option(False, "--force", help="Write over what is there.")
FILE = typer.Argument(metavar="FILE", help="A TOML file.", show_default=False)


@app.command(cls=Command)
def add(
    name: str = NAME, range: str = RANGE, source: str = SOURCE, system: str = SYSTEM, date: str = DATE, force: bool = FORCE
) -> None:
    """Write a range into the book."""
    from ..shop import add_to_book

    registry()  # a plugin may bring the unit
    if not source.strip():
        raise InputError.one("--source", None, "is missing", 'say where the range stands, such as "vehicle data, page 12"')
    try:
        told = datetime.date.fromisoformat(date).isoformat() if date else datetime.date.today().isoformat()
    except ValueError as error:
        raise InputError.one("--date", date, "is not a date", "give year, month, day, such as 2026-11-28") from error
    add_to_book(name, {"range": range, "source": source, "system": system, "date": told}, force=force)
    say_done(f"{name}: {range}; {source}, {told}")


@app.command("list", cls=Command)
def list_(system: str = SYSTEM) -> None:
    """List the ranges, or those of a system."""
    from ..shop import book

    entries = book()
    rows = [
        (name, entry["range"], entry["system"], ", ".join(filter(None, (entry["source"], entry["date"]))))
        for name, entry in sorted(entries.items(), key=lambda item: (item[1]["system"], item[0]))
        if not system or system.lower() in entry["system"].lower()
    ]
    say("\n".join(table(rows)) if rows else "  none yet: baybook spec add NAME RANGE --source TEXT")


@app.command(cls=Command)
def show(name: str = NAME) -> None:
    """Show one range with its source."""
    from ..shop import book, entry_named

    say("\n".join(table([(key, text) for key, text in entry_named(name, book()).items() if text])))


@app.command(cls=Command)
def remove(name: str = NAME) -> None:
    """Take a range out of the book."""
    from ..shop import take_from_book

    take_from_book(name)
    say_done(f"{name} removed")


@app.command("export", cls=Command)
def export(file: str = FILE, force: bool = FORCE) -> None:
    """Write the book to a file."""
    from ..shop import book, book_text

    path = Path(file)
    check_ending(path, ".toml")
    check_target(path, force=force)
    write_whole(path, book_text(book()).encode())
    say_done(f"{path} written")


@app.command("import", cls=Command)
def import_(file: str = FILE, force: bool = FORCE) -> None:
    """Add the ranges of a file to the book."""
    from ..shop import import_book

    registry()
    names = import_book(Path(file), force=force)
    say_done(f"{len(names)} taken over: {', '.join(names)}")
