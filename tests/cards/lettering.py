"""How wide a text is, by the advances of the shipped fonts."""

from __future__ import annotations

from functools import cache, lru_cache
from importlib.resources import files

FONTS = {False: "fonts/Inter-Regular.otf", True: "fonts/Inter-Bold.otf"}
OTHER = 0.6
"""Advance of a letter that the font lacks."""


@cache
def advances(bold: bool = False) -> dict[str, float]:
    """The advance of each letter over the font size; all figures have the width of the widest, as they are set in tables."""
    from fontTools.ttLib import TTFont

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
