"""Cells seen as bytes: where they end, which are empty, and which hold what no plain number holds. Shapes: (n,) each.

`figures` is a block of whole lines as bytes, `seps` the places where its cells end, `sep` the byte that parts them.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

LF = 10
_SWAP = bytes.maketrans(b".,", b",.")


def plain(data: bytes, delimiter: str, decimal: str) -> bytes:
    """The block with a decimal point, single blanks and no quotes. Lines stay lines.

    Where the mark is a comma, points become commas: 12.5 in a file of decimal commas is not to pass for a number.
    """
    if delimiter == " ":
        data = re.sub(rb"[ \t]+", b" ", data)
        data = re.sub(rb"(?m)^ | $", b"", data)
    if delimiter == decimal:
        data = re.sub(rb'"([^"\n]*)"', lambda quoted: quoted[1].replace(b",", b"."), data)
    elif decimal == ",":
        data = data.translate(_SWAP)
    return data.replace(b'"', b"") if b'"' in data else data


def cell_ends(figures: NDArray[np.uint8], sep: int) -> NDArray[np.int64]:
    """Where each cell ends."""
    import numpy as np

    return np.flatnonzero((figures == sep) | (figures == LF))


def fill_empty(data: bytes, ends: NDArray[np.int64]) -> bytes:
    """`nan` into empty cells, which the reader refuses; `ends`: where they end."""
    import numpy as np

    nan = np.frombuffer(b"nan", np.uint8)
    return np.insert(np.frombuffer(data, np.uint8), np.repeat(ends, 3), np.tile(nan, len(ends))).tobytes()


def odd_cells(
    figures: NDArray[np.uint8], seps: NDArray[np.int64], sep: int, width: int, columns: Sequence[int]
) -> NDArray[np.int64]:
    """Places (row * width + column) of cells of `columns` that are blank or hold what no plain number does, rising."""
    import numpy as np

    strange = (figures - np.uint8(ord("+")) > 14) | (figures == ord("/"))  # all but + , - . and the figures
    for byte in (sep, LF, *b" eE"):
        strange &= figures != byte
    if sep != ord(","):
        strange |= figures == ord(",")
    cells = [np.searchsorted(seps, np.append(np.flatnonzero(strange), _dashes(figures)))]
    marks = np.flatnonzero((figures == ord(".")) | (figures == sep) | (figures == LF))
    dots = figures[marks] == ord(".")
    cells.append(np.searchsorted(seps, marks[1:][dots[1:] & dots[:-1]]))  # a second point in a cell
    if sep != ord(" ") and (figures == ord(" ")).any():
        ink = np.cumsum(figures != ord(" "))[seps]  # up to each separator, itself counted
        cells.append(np.flatnonzero(np.diff(ink, prepend=0) == 1))
    odd = np.unique(np.concatenate(cells))
    return odd[np.isin(odd % width, list(columns))]


def blank(figures: NDArray[np.uint8], starts: NDArray[np.int64], ends: NDArray[np.int64]) -> None:
    """Write a zero and blanks into cells, in place: what stood there was read already."""
    import numpy as np

    lengths = ends - starts
    figures[np.repeat(ends - np.cumsum(lengths), lengths) + np.arange(lengths.sum())] = ord(" ")
    figures[starts] = ord("0")


def _dashes(figures: NDArray[np.uint8]) -> NDArray[np.int64]:
    """Where a minus is no sign: not before a figure, or after one. The last byte is a line end."""
    import numpy as np

    places = np.flatnonzero(figures == ord("-"))
    before_figure = figures[places + 1] - np.uint8(ord(".")) <= 11
    after_figure = (places > 0) & (figures[places - 1] - np.uint8(ord(".")) <= 11)
    return places[~before_figure | after_figure]
