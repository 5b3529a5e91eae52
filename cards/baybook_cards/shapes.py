"""What a drawing is made of: boxes, lines, words and signs, in millimetres."""

from __future__ import annotations

from dataclasses import dataclass


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
class Sign:
    """A safety sign, `size` mm wide and high."""

    x: float
    y: float
    size: float
    code: str


@dataclass(frozen=True, slots=True)
class Drawing:
    """A drawing of `width` by `height` mm with letters of font size `text` mm."""

    width: float
    height: float
    text: float
    boxes: tuple[Box, ...] = ()
    lines: tuple[Line, ...] = ()
    notes: tuple[Note, ...] = ()
    signs: tuple[Sign, ...] = ()
