"""Which column is which channel, and which is the time: settled before a row is read, with all problems at once."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import replace

from ..errors import InputError, Problem, Refused
from . import quantities
from .channels import Mapped, assign, candidates, listed
from .layout import Layout
from .model import Column


def settle(
    layout: Layout, columns: Mapping[str, str], units: Mapping[str, str], wanted: Collection[str],
    rate: float | None,
) -> Mapped:
    """The column of each channel and, without a sample rate, of time. Raises InputError with all problems."""
    looked_for = [name for name in wanted if name != "t"]
    mapped = assign(layout.columns, columns, units, looked_for)
    if rate is not None:
        if mapped.channels.pop("t", None):
            mapped.notes = [note for note in mapped.notes if not note.startswith("t is read")]
            mapped.notes.append("The file's own time column is not used: a sample rate was given.")
    elif "t" not in columns:
        _find_time(mapped, layout)
    if "t" in mapped.channels:
        mapped.channels["t"] = _time_unit(mapped, layout, units.get("t"))
    if mapped.problems:
        raise InputError(mapped.problems)
    if not mapped.channels.keys() - {"t"}:
        mapped.questions.append(Problem("column", None, "no channel is known by its label", 'say which: --column rail="…" '
                                        "with one of " + listed(layout.columns)))
    if rate is not None and not mapped.channels:
        raise InputError(mapped.questions)
    mapped.notes += [f"{question}." for question in mapped.questions]
    return mapped


def _find_time(mapped: Mapped, layout: Layout) -> None:
    """Time by the label's words, or as the only column of clock times; else a problem."""
    mapped.channels.pop("t", None)
    mapped.notes = [note for note in mapped.notes if not note.startswith("t is read")]
    mapped.questions = [question for question in mapped.questions if question.input != "t"]
    taken = {column.number for column in mapped.channels.values()}
    named = [column for column in candidates(layout.columns, "t") if column.number not in taken]
    clocks = [layout.columns[number - 1] for number in layout.clock if number not in taken]
    fits = named or clocks
    if len(fits) == 1:
        mapped.channels["t"] = fits[0]
        if not named:
            mapped.notes.append(f't is read from "{fits[0].name}", the only column of clock times.')
        return
    why = "more than one column could be the time" if fits else "no column is plainly the time"
    mapped.problems.append(Problem("t", None, why, 'say which: --column t="…" with one of '
                                   + listed(fits or layout.columns) + "; or give the sample rate: --rate 1000Hz"))


def _time_unit(mapped: Mapped, layout: Layout, option: str | None) -> Column:
    column = mapped.channels["t"]
    if column.number in layout.clock:
        if option:
            mapped.notes.append(f"t: the unit {option} is not used, the column holds clock times.")
        return column
    if option:
        column = replace(column, unit=option, unit_from="option")
    if not column.unit:
        mapped.problems.append(Problem("t", column.name, "has no unit in the file",
                                       "give it: --channel-unit t=s, or t=ms, or t=us"))
        return column
    if column.unit_from == "end of label":
        mapped.notes.append(f't: the unit {column.unit} is taken from the end of the label "{column.header}".')
    try:
        quantities.check(column.unit, "time")
    except Refused as refused:
        mapped.problems.append(Problem("unit of t", column.unit, refused.why, refused.would_do))
    return column
