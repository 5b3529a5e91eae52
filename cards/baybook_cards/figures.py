"""Drawings of this package that cards call by name: boxes, pipes and wires placed in millimetres."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from baybook_cards.language import Language


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle with lines of text in its middle."""

    x: float
    y: float
    width: float
    height: float
    lines: tuple[str, ...]
    shape: str = "shape"


@dataclass(frozen=True, slots=True)
class Line:
    """A pipe or a wire along a path, with an arrow head at the end when `arrow` says where it points."""

    path: str
    shape: str = "pipe"
    arrow: tuple[float, float, str] | None = None


@dataclass(frozen=True, slots=True)
class Note:
    """A word beside a line."""

    x: float
    y: float
    text: str
    anchor: str = "start"


@dataclass(frozen=True, slots=True)
class Drawing:
    """A drawing of `width` by `height` mm with letters of font size `text` mm."""

    width: float
    height: float
    text: float
    boxes: tuple[Box, ...] = ()
    lines: tuple[Line, ...] = ()
    notes: tuple[Note, ...] = ()


HYDRAULIC = (
    ("tank, filter,", "low-pressure pumps"),
    ("high-pressure pump,", "metering"),
    ("rail and pipes,", "sensor, valve"),
    ("injectors,", "returns"),
)
CONTROL = (
    ("pump relay,", "pump supply"),
    ("metering valve", "current"),
    ("sensor signal,", "valve current"),
    ("injector", "drive"),
)
Draw = Callable[[float, float, "Language"], Drawing]


def stages(width: float, text: float, language: Language) -> Drawing:
    """The way of the fuel through the four stages, and below each what the control side does there."""
    say = language.text
    names = ("supply", "generation", "storage", "delivery")
    gap = width * 0.035
    box = (width - 3 * gap) / 4
    row = text * 4.6
    boxes, lines = [], []
    for index, name in enumerate(names):
        x = round(index * (box + gap), 3)
        boxes.append(Box(x, 0, box, text * 2, (say(name),), "deep"))
        boxes.append(Box(x, text * 2, box, row, tuple(say(t) for t in HYDRAULIC[index])))
        boxes.append(Box(x, text * 3.4 + row, box, row, tuple(say(t) for t in CONTROL[index]), "shade"))
        lines.append(Line(f"M{x + box / 2:g} {text * 2 + row:g}v{text * 1.4:g}", "wire"))
        if index:
            lines.append(Line(f"M{x - gap:g} {text:g}h{gap:g}", "pipe", (x, text, "right")))
    return Drawing(width, round(text * 3.4 + 2 * row + 0.6, 3), text, tuple(boxes), tuple(lines))


DRAWINGS: dict[str, Draw] = {"stages": stages}


def named(name: str, width: float, text: float, language: Language) -> Drawing:
    """The drawing `name`, `width` mm wide. Raises `KeyError` for an unknown name."""
    return DRAWINGS[name](width, text, language)
