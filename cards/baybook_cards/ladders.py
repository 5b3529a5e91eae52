"""Unit scales side by side, like a nomogram with level lines: read across to convert."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from baybook_cards import ticks as tick

if TYPE_CHECKING:
    from baybook.cards.data import Ladder
    from baybook_cards.language import Language


@dataclass(frozen=True, slots=True)
class Mark:
    """A line across a scale, with its label or none."""

    at: float
    label: str


@dataclass(frozen=True, slots=True)
class Upright:
    """One scale on the paper."""

    unit: str
    x: float
    marks: tuple[Mark, ...]
    fine: tuple[float, ...]


def _values(low: float, high: float, scale: str, room: int) -> list[float]:
    return (tick.log_ticks if scale == "log" else tick.linear_ticks)(low, high, room)


def height_of(text: float) -> float:
    """Height in mm of a ladder: 18 lines of its labels of font size `text` mm."""
    return round(text * 18, 3)


def uprights(ladder: Ladder, width: float, height: float, text: float, language: Language) -> tuple[Upright, ...]:
    """Place the scales of `ladder` on `width` by `height` mm; equal quantities lie on one level."""
    top, bottom = text * 2.4, height - text * 0.6
    room = max(2, int((bottom - top) / (text * 1.5)))

    def place(value: float, factor: float) -> float:
        first, last = ladder.low * factor, ladder.high * factor
        share = math.log(value / first) / math.log(last / first) if ladder.scale == "log" else (value - first) / (last - first)
        return round(bottom - share * (bottom - top), 3)

    step = width / len(ladder.rungs)
    found = []
    for index, rung in enumerate(ladder.rungs):
        values = _values(ladder.low * rung.factor, ladder.high * rung.factor, ladder.scale, room)
        marks = tuple(Mark(place(v, rung.factor), language.number(v, tick.decimals_for([v]))) for v in values)
        ends = (ladder.low * rung.factor, ladder.high * rung.factor)
        fine = tuple(place(v, rung.factor) for v in tick.fine_ticks(*ends, ladder.scale, values))
        found.append(Upright(rung.unit, round(step * (index + 0.55), 3), marks, fine))
    return tuple(found)
