"""Drawings of this package that cards call by name: boxes, pipes and wires placed in millimetres."""

from __future__ import annotations

import textwrap
from collections.abc import Callable
from typing import TYPE_CHECKING

from baybook.cards.data import STAGES
from baybook_cards import symbols
from baybook_cards.pictures import PICTURES
from baybook_cards.shapes import Box, Drawing, Line, Note, Sign

if TYPE_CHECKING:
    from baybook_cards.language import Language


HYDRAULIC = (
    "tank, filter, low-pressure pumps",
    "high-pressure pump, metering",
    "rail and pipes, sensor, valve",
    "injectors, returns",
)
CONTROL = ("pump relay, pump supply", "metering valve current", "sensor signal, valve current", "injector drive")
LETTER_WIDTH = 0.56
"""Mean advance of a letter over the font size, a little generous."""
SIGN_ROW = 3.4
"""Height of a row of signs over the font size."""
EDGE = 0.3
"""Millimetres round a drawing for the ink of its outer lines; the template adds them, and letters keep their size."""
Draw = Callable[[float, float, "Language"], Drawing]
NARROWEST: dict[str, float] = {"stages": 27, "regulators": 27, "signs": 15}
"""Least width of each drawing in em of the card's letter; narrower, a word would leave its box."""


def stages(width: float, text: float, language: Language) -> Drawing:
    """The way of the fuel through the four stages, and below each what the control side does there."""
    say = language.text
    gap = width * 0.035
    box = (width - 3 * gap) / 4
    above = [wrapped(say(words), box, text) for words in HYDRAULIC]
    below = [wrapped(say(words), box, text) for words in CONTROL]
    row, foot = (text * (1.25 * max(map(len, lines)) + 1.4) for lines in (above, below))
    boxes, lines = [], []
    for index, name in enumerate(STAGES):
        x = round(index * (box + gap), 3)
        boxes.append(Box(x, 0, box, text * 2, (say(name),), "deep"))
        boxes.append(Box(x, text * 2, box, row, above[index]))
        boxes.append(Box(x, text * 3.4 + row, box, foot, below[index], "shade"))
        lines.append(Line(f"M{x + box / 2:g} {text * 2 + row:g}v{text * 1.4:g}", "wire"))
        if index:
            lines.append(Line(f"M{x - gap:g} {text:g}h{gap:g}", "pipe", (x, text, "right")))
    return Drawing(width, round(text * 3.4 + row + foot + 0.6, 3), text, tuple(boxes), tuple(lines))


def wrapped(words: str, width: float, text: float) -> tuple[str, ...]:
    """`words` in lines that fit a box `width` mm wide; a word too long for one is broken at its soft hyphen (U+00AD)."""
    most = max(6, int((width - 1.5) / (text * LETTER_WIDTH)))
    fitted = " ".join(_hyphenated(word, most) for word in words.split())
    return tuple(textwrap.wrap(fitted, most, break_long_words=False))


def _hyphenated(word: str, most: int) -> str:
    head, soft, tail = word.partition("\u00ad")
    return f"{head}- {tail}" if soft and len(head + tail) > most else head + tail


def sign_columns(width: float) -> int:
    """How many signs stand side by side."""
    return 3 if width > 120 else 2


def signs(width: float, text: float, language: Language) -> Drawing:
    """Every sign that the cards use, with its meaning."""
    columns = sign_columns(width)
    row, column = text * SIGN_ROW, width / columns
    places = [(round(index % columns * column, 3), round(index // columns * row, 3)) for index in range(len(symbols.SYMBOLS))]
    pictures = tuple(Sign(x, y, text * 2.9, code) for (x, y), code in zip(places, symbols.SYMBOLS, strict=True))
    notes: list[Note] = []
    for (x, y), symbol in zip(places, symbols.SYMBOLS.values(), strict=True):
        lines = wrapped(language.text(symbol.meaning), column - text * 3.8, text)
        for place, line in enumerate(lines):
            notes.append(Note(x + text * 3.4, round(y + text * (1.75 + 1.15 * (place - (len(lines) - 1) / 2)), 3), line))
    height = round(-(-len(places) // columns) * row, 3)
    return Drawing(width, height, text, notes=tuple(notes), signs=pictures)


def regulators(width: float, text: float, language: Language) -> Drawing:
    """The fuel's way with the inlet valve before the pump and the outlet valve after it."""
    say = language.text
    names = (("low side",), ("inlet", "valve"), ("pump", "elements"), ("rail",), ("injectors",))
    gap = width * 0.04
    box, high = (width - 4 * gap) / 5, text * 3.2
    boxes, lines = [], []
    for index, words in enumerate(names):
        x = round(index * (box + gap), 3)
        boxes.append(Box(x, 0, box, high, tuple(say(word) for word in words), "deep" if index == 1 else "shape"))
        if index:
            lines.append(Line(f"M{x - gap:g} {high / 2:g}h{gap:g}", "pipe", (x, round(high / 2, 3), "right")))
    rail = round(3 * (box + gap) + box / 2, 3)
    top, tall = text * 4.8, text * 3.2
    half = box * 0.7  # (German says "Druckregel-")
    boxes.append(Box(round(rail - half, 3), top, 2 * half, tall, (say("outlet"), say("valve")), "deep"))
    boxes.append(Box(0, top, box * 1.4, tall, (say("return"),), "shape"))
    lines.append(Line(f"M{rail:g} {high:g}V{top:g}", "pipe", (rail, top, "down")))
    level, end = top + tall / 2, round(box * 1.4, 3)
    lines.append(Line(f"M{rail - half:g} {level:g}H{end:g}", "pipe", (end, level, "left")))
    return Drawing(width, round(top + tall + 0.6, 3), text, tuple(boxes), tuple(lines))


DRAWINGS: dict[str, Draw] = {"stages": stages, "signs": signs, "regulators": regulators}


def named(name: str, width: float, text: float, language: Language) -> Drawing:
    """The drawing `name`, `width` mm wide with the ink of its edges. Raises `KeyError` for an unknown name."""
    return (PICTURES[name][0] if name in PICTURES else DRAWINGS[name])(width - 2 * EDGE, text, language)
