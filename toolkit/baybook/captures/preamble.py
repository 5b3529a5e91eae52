"""What the lines above the rows say of time: interval, start and units, as oscilloscopes and recorders write them."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from ..dataclass import dataclass
from .cells import read_number
from .labels import split_brackets
from .quantities import second_factor

# common practice, no source: the words of instruments' preambles
_INTERVAL = re.compile(
    r"(sample|sampling|recording|log(ging)?|x|horizontal|time)[ _]?(interval|period|increment|step)|"
    r"delta[ _]?[xt]|increment|d[xt]|interval|abtastintervall|messintervall|intervall",
    re.IGNORECASE,
)
_START = re.compile(r"x[ _]?0|start|(x|horizontal)[ _]?(zero|origin)", re.IGNORECASE)
_TIME_UNIT = re.compile(r"(horizontal|x|time)[ _]?(axis[ _]?)?units?([ _]?label)?|x[ _]?dimension", re.IGNORECASE)
_TELLING = re.compile(r"unit|interval|rate|sampl|period|increment|delta|\bdt\b|dimension|freq|abtast", re.IGNORECASE)
_SHOWN = 3


@dataclass(frozen=True)
class Timing:
    """interval and start: as numbers, in `unit`, a unit of time or "" where none is said.

    telling: the lines that may help a person; mixed: the file gives different intervals for its columns.
    """

    interval: float | None = None
    start: float | None = None
    unit: str = ""
    telling: tuple[str, ...] = ()
    mixed: bool = False

    @property
    def hint(self) -> str:
        """What a question about the time may add: the lines above the rows that say something of it."""
        return f" (above the rows stands: {', '.join(self.telling)})" if self.telling else ""


def timing_of(lines: Iterable[Sequence[str]], decimal: str) -> Timing:
    """From lines as cells: a key, then its values; or "key: value" in one cell."""
    interval = start = None
    unit = ""
    mixed = False
    telling: list[str] = []
    for cells in map(_key_first, lines):
        if len(cells) < 2:
            continue
        key, own_unit = split_brackets(cells[0].strip("#*%/ :="))
        numbers = [read_number(cell, decimal) for cell in cells[1:]]
        values = [value for value, kind in numbers if kind == "number"]
        texts = [cell for cell, (_, kind) in zip(cells[1:], numbers, strict=True) if kind == "unreadable"]
        if _TELLING.search(key):
            telling.append('"' + " ".join(cell for cell in cells[:3] if cell)[:60] + '"')
        if _INTERVAL.fullmatch(key) and values and values[0] > 0:
            interval, mixed = values[0], mixed or len(set(values)) > 1
            unit = unit or next((text for text in (own_unit, *texts[:1]) if second_factor(text)), "")
        elif _START.fullmatch(key) and values:
            start = values[0]
        elif _TIME_UNIT.fullmatch(key) and texts:
            unit = "s" if texts[0].lower() == "time" else texts[0] if second_factor(texts[0]) else unit
    return Timing(interval, start, unit, tuple(telling[:_SHOWN]), mixed)


def _key_first(cells: Sequence[str]) -> list[str]:
    """The cells, the first one parted at a colon or an equals sign where that holds a value, too."""
    filled = [cell for cell in cells if cell]
    if not filled:
        return []
    parted = re.fullmatch(r"([^:=]*[^:=\d\s])\s*[:=]\s*(\S.*)", filled[0])
    if not parted:
        return filled
    number = re.fullmatch(r"([+-]?[\d.,]+(?:[eE][+-]?\d+)?)\s*([^\W\d]\S*)", parted[2])
    return [parted[1], *(number.groups() if number else (parted[2],)), *filled[1:]]
