"""What is in a capture file, told from its beginning, without reading all of it."""

from __future__ import annotations

import os
from collections.abc import Mapping
from typing import Any

from ..dataclass import dataclass
from .choice import choose
from .layout import recognise
from .model import Column, Dialect
from .outcome import dialect_of, source_notes
from .source import Source, head_as_lines, open_source


@dataclass(frozen=True)
class Inspection:
    """The dialect and the columns; `channels`: the known ones that labels settle; `questions`: what they leave open.

    first_row: the cells of the first row; rows: how many there are, `exact` or reckoned from the file's size.
    """

    file: str
    dialect: Dialect
    columns: tuple[Column, ...]
    channels: Mapping[str, Column]
    first_row: tuple[str, ...]
    rows: int
    exact: bool
    questions: tuple[str, ...]
    notes: tuple[str, ...]

    def to_dict(self) -> dict[str, Any]:
        """The same for JSON."""
        from dataclasses import asdict

        return asdict(self)


def inspect(
    path: str | os.PathLike[str], *, decimal: str | None = None, delimiter: str | None = None, encoding: str | None = None
) -> Inspection:
    """What is in the file, from its first 256 KB. Raises InputError where that cannot be told."""
    source = open_source(path, encoding)
    with source.raw:
        layout = recognise(source, delimiter, decimal)
    mapped, _ = choose(layout, {}, {}, (), None)
    questions = [str(each) for each in (*mapped.problems, *mapped.questions)]
    return Inspection(
        source.name,
        dialect_of(source, layout),
        layout.columns,
        mapped.channels,
        layout.sample[0],
        _rows(source, layout.first_data_line),
        source.whole,
        tuple(questions),
        (*source_notes(source), *layout.notes, *mapped.notes),
    )


def _rows(source: Source, first_data_line: int) -> int:
    lines = [line for line in head_as_lines(source) if line.text.strip()]
    rows = sum(line.number >= first_data_line for line in lines)
    return rows if source.whole or source.compressed else round(rows * source.size / max(1, len(source.head)))
