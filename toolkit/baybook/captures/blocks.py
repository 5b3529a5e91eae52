"""A capture in blocks of whole lines, so that a file of any size takes little memory."""

from __future__ import annotations

from collections.abc import Iterator

from ..dataclass import dataclass
from ..errors import InputError
from .source import Progress, Source, line_end, one_line_end

LONGEST_LINE = 1 << 24


@dataclass(frozen=True)
class Block:
    """Whole lines, each ended by one LF; `first_line` numbers the first from 1; `cut` if the file ends without a line end."""

    data: bytes
    first_line: int
    cut: bool = False


def blocks(source: Source, skip: int, on_progress: Progress | None = None) -> Iterator[Block]:
    """The lines after the first `skip`, in blocks. Raises InputError for a line that is longer than any capture's."""
    end = b"\r" if line_end(source.head) == "CR" else b"\n"
    rest, number = b"", 1
    for piece in source.pieces(on_progress):
        rest += piece
        cut = rest.rfind(end) + 1
        if cut:
            data, rest = one_line_end(rest[:cut]), rest[cut:]
            count = data.count(b"\n")
            yield from _after(data, number, count, skip)
            number += count
        elif len(rest) > LONGEST_LINE:
            raise InputError.one(
                "capture",
                source.name,
                f"has a line of more than {LONGEST_LINE >> 20} MB",
                "export the recording as CSV, one row a line",
            )
    if rest.strip(b"\0\x1a \t"):
        yield from _after(one_line_end(rest) + b"\n", number, 1, skip, cut=True)


def _after(data: bytes, number: int, count: int, skip: int, cut: bool = False) -> Iterator[Block]:
    """The part of `data` after line `skip` of the file."""
    if number + count <= skip + 1:
        return
    if number <= skip:
        data = b"\n".join(data.split(b"\n", skip + 1 - number)[skip + 1 - number :])
        number = skip + 1
    yield Block(data, number, cut)
