"""`baybook job mark`: what happened beside tests."""

from __future__ import annotations

from pathlib import Path

import typer

from ..errors import InputError
from ..files import check_target
from .output import complain, say_done

SHEET = typer.Argument(metavar="SHEET", help="The job sheet, a TOML file.", show_default=False)
REPAIR = typer.Option([], "--repair", metavar="PART", help="A part that was repaired; may be given again.")
COMPLAINT = typer.Option(None, "--complaint", metavar="WORD", help="The complaint tried again: gone or stands.")
OUTCOME = typer.Option(None, "--outcome", metavar="PLACE", help="What it was, once the job is finished.")
CONFIRMED = typer.Option("", "--confirmed", metavar="TEXT", help="How the outcome is known.")
NOTE = typer.Option("", "--note", metavar="TEXT", help="A remark on the repair, or on the complaint tried again.")


def mark(
    sheet: str = SHEET,
    repair: list[str] = REPAIR,
    complaint: str | None = COMPLAINT,
    outcome: str | None = OUTCOME,
    confirmed: str = CONFIRMED,
    note: str = NOTE,
) -> None:
    """Mark what happened beside tests: a repair, the complaint tried again, what it was in the end."""
    from ..jobs import edits

    path = Path(sheet)
    check_target(path, force=True)
    if not (repair or complaint or outcome):
        raise InputError.one("--repair", None, "is missing", "give --repair PART, --complaint WORD or --outcome PLACE")
    said = {"note": note} if note else {}
    if repair:
        say_done(f"step {edits.add_happening(path, {'repair': repair, **said})} (repair) added")
    if complaint:
        say_done(f"step {edits.add_happening(path, {'complaint': complaint, **said})} (complaint {complaint}) added")
    if outcome:
        edits.set_outcome(path, outcome, confirmed)
        say_done(f"outcome: {outcome}")
        _tell_outcome(path)


def _tell_outcome(path: Path) -> None:
    """Say where the repair of another place is proved."""
    from ..jobs.evaluation import told_of_outcome
    from ..jobs.sheet import read_sheet

    for told in told_of_outcome(read_sheet(path)):
        complain(told)
