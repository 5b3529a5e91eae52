"""How wide a text is and in how many lines it breaks, by the advances of the shipped fonts."""

from __future__ import annotations

import re
from functools import cache, lru_cache
from importlib.resources import files

FONTS = {False: "fonts/Inter-Regular.otf", True: "fonts/Inter-Bold.otf"}
OTHER = 0.6
"""Advance of a letter that the font lacks."""
PIECE = re.compile(r"[^\s-]*-+(?=\w)|\S+")
"""What is not broken: a word, or a part of one with its hyphen."""


@cache
def advances(bold: bool = False) -> dict[str, float]:
    """The advance of each letter over the font size; all figures have the width of the widest, as they are set in tables."""
    from fontTools.ttLib import TTFont  # type: ignore[import-untyped]

    with files("baybook_cards").joinpath(FONTS[bold]).open("rb") as file:
        font = TTFont(file, lazy=True)
        unit, metrics = font["head"].unitsPerEm, font["hmtx"]
        found = {chr(code): metrics[glyph][0] / unit for code, glyph in font.getBestCmap().items()}
    return found | dict.fromkeys("0123456789", max(found[figure] for figure in "0123456789"))


@lru_cache(maxsize=8192)
def width(text: str, bold: bool = False) -> float:
    """Width of a text on one line, over the font size."""
    letters = advances(bold)
    return sum(letters.get(letter, OTHER) for letter in text)


@lru_cache(maxsize=8192)
def lines(text: str, room: float, bold: bool = False) -> int:
    """Lines that a text takes in a width of `room` font sizes; a word that is longer is broken anywhere. At least 1."""
    space, count, used = width(" ", bold), 1, 0.0
    for piece in PIECE.finditer(text):
        wide = width(piece.group(), bold)
        gap = space if used and text[piece.start() - 1].isspace() else 0.0
        if used and used + gap + wide > room:
            count, used, gap = count + 1, 0.0, 0.0
        used += gap + wide
        while used > room:
            count, used = count + 1, used - max(room, OTHER)
    return count
