"""From the rows read to the channels and the report: what is missing, what was left out, how the file is written."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from ..errors import InputError, Problem
from . import quantities
from .channels import KNOWN
from .decimal_mark import refuse_thousands
from .layout import Layout
from .model import Channel, Column, Dialect, Missing
from .rows import LABELS_AGAIN, UNLIKE, LineNumbers, Tally
from .source import Source, line_end

if TYPE_CHECKING:
    from .model import Floats


def missing_cells(
    signals: Mapping[str, Floats], lines: LineNumbers, tally: Tally, order: Sequence[str], channels: Mapping[str, Column]
) -> tuple[Missing, ...]:
    """Cells without a number in all rows read, channel by channel; those out of range or unreadable apart from the others."""
    import numpy as np

    found = []
    for name in order:
        if name not in channels:
            continue
        marked = [_marked(name, order.index(name), kind, tally) for kind in ("over range", "unreadable")]
        told = [each for each in marked if each]
        empty = np.flatnonzero(np.isnan(signals[name]))
        count = len(empty) - sum(each.count for each in told)
        found += told
        if count:
            tallied = _marked(name, order.index(name), "missing", tally)
            first = lines[empty[0]]
            # what the first, plain blocks lack is not in the tally, and comes before all that is
            if tallied and any(each.first_line <= first for each in told):
                first = tallied.first_line
            found.append(Missing(name, count, first, "missing", tallied.marks if tallied else ()))
    return tuple(found)


def _marked(name: str, place: int, kind: str, tally: Tally) -> Missing | None:
    marks = tally.marks.get((place, kind))
    return Missing(name, sum(marks.values()), tally.first[place, kind], kind, _commonest(marks)) if marks else None


def _commonest(marks: Mapping[str, int]) -> tuple[str, ...]:
    return tuple(sorted(marks, key=lambda mark: -marks[mark])[:3])


def refuse_empty(values: Mapping[str, Floats], channels: Mapping[str, Column], tally: Tally, order: Sequence[str]) -> None:
    """Raise InputError for channels without a single number."""
    import numpy as np

    problems = []
    for name, column in values.items():
        if np.isnan(column).all():
            marks = next(
                (
                    tally.marks[place, kind]
                    for place, kind in tally.marks
                    if place == order.index(name) and kind == "unreadable"
                ),
                None,
            )
            seen = f' (there is "{_commonest(marks)[0]}")' if marks else ""
            problems.append(Problem(name, channels[name].name, f"holds no number at all{seen}", "name another column"))
    if problems:
        raise InputError(problems)


def refuse_mostly_unread(
    rows: int, without_time: int, tally: Tally, order: Sequence[str], channels: Mapping[str, Column], what: str, decimal: str
) -> None:
    """Raise InputError where more of the rows are left out, have no time or no readable number than are read.

    rows: those that are read, `without_time` of them without a time; decimal: the mark, "" where it was told. A result from the
    smaller part is no result.
    """
    if decimal:
        refuse_thousands(
            ((text, tally.first[key]) for key, texts in tally.marks.items() for text in texts if key[1] == "unreadable"),
            decimal,
        )
    _refuse_left_out(rows, without_time, tally, what)
    problems = []
    for place, name in enumerate(order):
        unread = sum(tally.marks.get((place, "unreadable"), {}).values())
        if name in channels and rows > unread > rows / 2:
            mark = _commonest(tally.marks[place, "unreadable"])[0]
            problems.append(
                Problem(
                    name,
                    channels[name].name,
                    f'holds no number in {unread} of {rows} rows (there is "{mark}")',
                    "name another column",
                )
            )
    if problems:
        raise InputError(problems)


def _refuse_left_out(rows: int, without_time: int, tally: Tally, what: str) -> None:
    """Raise InputError where more rows are left out or without a time than are read."""
    left_out = {why: tallied for why, tallied in tally.lines.items() if why in UNLIKE}
    count = without_time + sum(tallied[0] for tallied in left_out.values())
    total = rows + sum(tallied[0] for tallied in left_out.values())
    if 2 * count > total and without_time < rows:
        first = min(left_out.values(), key=lambda tallied: tallied[1], default=None)
        why = (
            "no readable time"
            if 2 * without_time > count or first is None
            else (f'another shape, the first in line {first[1]}: "{first[2]}"')
        )
        raise InputError.one(
            "capture",
            what,
            f"leaves out {count} of {total} rows: {why}",
            "look at its rows with a text editor, or name another column for t",
        )


def refuse_labels_again(tally: Tally, order: Sequence[str], channels: Mapping[str, Column], what: str) -> None:
    """Raise InputError where the labels stand among rows without a date: how much later they go on cannot be told."""
    for place, name in enumerate(order):
        header = channels[name].header if name in channels else ""
        if LABELS_AGAIN in tally.lines or (header and header[:30] in tally.marks.get((place, "unreadable"), ())):
            raise InputError.one("capture", what, "has its labels again among the rows", "give one recording to a file")


def channel_of(name: str, column: Column, values: Floats) -> Channel:
    """The channel with its unit and kind."""
    known = KNOWN.get(name)
    unit, kind = quantities.unit_and_kind(column.unit, column.label, known.family if known else "")
    return Channel(name, column.label, unit, kind, values, column.unit)


_ENCODINGS = {
    "utf-8": "UTF-8",
    "utf-16-le": "UTF-16",
    "utf-16-be": "UTF-16 (big-endian)",
    "utf-32-le": "UTF-32",
    "utf-32-be": "UTF-32 (big-endian)",
}


def dialect_of(source: Source, layout: Layout) -> Dialect:
    """What a report says of how the file is written."""
    encoding = _ENCODINGS.get(source.encoding, source.encoding) + (" with byte-order mark" if source.mark else "")
    return Dialect(
        encoding,
        source.compressed,
        layout.delimiter,
        layout.decimal,
        line_end(source.head),
        layout.header_line,
        layout.units_line,
        layout.first_data_line,
        layout.preamble,
        layout.comments,
    )


def source_notes(source: Source) -> list[str]:
    """What was inferred or lost on the way to text."""
    notes = []
    if source.encoding == "cp1252":
        notes.append("The text is not UTF-8; it is read as cp1252.")
    if source.cut_short:
        notes.append("The packed file is cut short; what came before is read.")
    return notes
