"""From the rows read to the channels and the report: what is missing, what was left out, how the file is written."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from contextlib import suppress
from typing import TYPE_CHECKING

from ..errors import InputError, Problem, Refused
from . import quantities
from .layout import Layout
from .model import Channel, Column, Dialect, Missing
from .rows import LineNumbers, Tally
from .source import Source, line_end

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from .model import Floats


def missing_cells(
    values: Mapping[str, Floats], rows: NDArray[np.int64] | range, lines: LineNumbers, tally: Tally, order: Sequence[str]
) -> tuple[Missing, ...]:
    """Cells without a number, channel by channel; those with a mark of their own apart from the empty ones."""
    import numpy as np

    found = []
    for name, column in values.items():
        place = order.index(name)
        marked = 0
        for kind in ("over range", "unreadable"):
            marks = tally.marks.get((place, kind))
            if marks:
                count = sum(marks.values())
                marked += count
                found.append(Missing(name, count, tally.first[place, kind], kind, _commonest(marks)))
        empty = np.flatnonzero(np.isnan(column))
        if len(empty) > marked:
            marks = tally.marks.get((place, "missing"))
            first = lines[rows[empty[0]]]
            if marked:
                first = tally.first.get((place, "missing"), first)
            found.append(Missing(name, len(empty) - marked, first, "missing", _commonest(marks) if marks else ()))
    return tuple(found)


def _commonest(marks: Mapping[str, int]) -> tuple[str, ...]:
    return tuple(sorted(marks, key=lambda mark: -marks[mark])[:3])


def refuse_empty(
    values: Mapping[str, Floats], channels: Mapping[str, Column], tally: Tally, order: Sequence[str]
) -> None:
    """Raise InputError for channels without a single number."""
    import numpy as np

    problems = []
    for name, column in values.items():
        if np.isnan(column).all():
            marks = next((tally.marks[place, kind] for place, kind in tally.marks
                          if place == order.index(name) and kind == "unreadable"), None)
            seen = f' (there is "{_commonest(marks)[0]}")' if marks else ""
            problems.append(Problem(name, channels[name].name, f"holds no number at all{seen}", "name another column"))
    if problems:
        raise InputError(problems)


def channel_of(name: str, column: Column, values: Floats) -> Channel:
    """The channel with the unit's symbol, and gauge or absolute apart from it."""
    unit, reference = quantities.split_reference(column.unit)
    with suppress(Refused):  # a unit of a channel that Baybook does not know: its text is all there is
        unit = quantities.check(unit, "")
    return Channel(name, column.label, unit, values, reference)


_ENCODINGS = {"utf-8": "UTF-8", "utf-16-le": "UTF-16", "utf-16-be": "UTF-16 (big-endian)", "utf-32-le": "UTF-32",
              "utf-32-be": "UTF-32 (big-endian)"}


def dialect_of(source: Source, layout: Layout) -> Dialect:
    """What a report says of how the file is written."""
    encoding = _ENCODINGS.get(source.encoding, source.encoding) + (" with byte-order mark" if source.mark else "")
    return Dialect(encoding, source.compressed, layout.delimiter, layout.decimal, line_end(source.head), layout.header_line,
                   layout.units_line, layout.first_data_line, layout.preamble, layout.comments)


def source_notes(source: Source) -> list[str]:
    """What was inferred or lost on the way to text."""
    notes = []
    if source.encoding == "cp1252":
        notes.append("The text is not UTF-8; it is read as cp1252.")
    if source.cut_short:
        notes.append("The packed file is cut short; what came before is read.")
    return notes
