"""Faces laid out and measured: letters as large as there is room for, never below the least, and no text ever cut."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Any

from baybook_cards.check import Overflow, filled, overflows, pages_of_faces, part_heights
from baybook_cards.faces import GROWING, SMALLER, Face
from baybook_cards.pdf import LayoutError
from baybook_cards.sizes import LEAST_SCALE

MAX_ROUNDS = 14
"""How often full faces are set tighter before the card is refused."""
STEPS, TABLES, SENTENCES = 2.4, 2.6, 1.6
"""Squares of its size that a letter takes with its share of all else on a face, so that most faces fit at their first layout:
on fronts with steps, on other fronts, on backs (measured). Only how long fitting takes depends on it, never what fits."""
LOOSE = 0.8
"""A face that fills less than this share of its room is set once more with larger letters."""
WORDLESS = re.compile(r"<svg.*?</svg>|<[^>]+>|\s+", re.DOTALL)
"""What no letter of a page is."""
Lay = Callable[[Sequence[Face]], Any]
"""Lays faces out: a document with a page for each."""


def begun(face: Face, html: str, area: float, letter: float) -> Face:
    """The face with letters as its number of them suggests. html: of the face; area: of it, mm2; letter: preferred, mm."""
    each = SENTENCES if face.side != "front" else STEPS if face.card.lines else TABLES
    taken = each * max(len(WORDLESS.sub("", html)), 1) * letter**2
    return replace(face, scale=min(1.0, max(LEAST_SCALE, (area / taken) ** 0.5)))


def fitted(faces: Sequence[Face], lay: Lay, room: float) -> list[tuple[Face, Any]]:
    """Each face as it fits, with its page. room: mm from edge to edge inside the border. Raises LayoutError where nothing more
    may go."""
    done: dict[int, tuple[Face, Any]] = {}
    grown: set[int] = set()
    left = dict(enumerate(faces))
    for _ in range(MAX_ROUNDS):
        document = lay(list(left.values()))
        found = overflows(document)
        too_high = {name: max(o.millimetres for o in found if o.face == name) for name in {o.face for o in found}}
        pages = pages_of_faces(document)
        done |= {place: (face, pages[face.name]) for place, face in left.items() if face.name not in too_high}
        full = {place: face for place, face in left.items() if face.name in too_high and place not in done}
        loose = {place: _larger(face, filled(pages[face.name])) for place, face in left.items() if place in done}
        loose = {place: face for place, face in loose.items() if place not in grown and face != done[place][0]}
        if not full and not loose:
            return [done[place] for place in range(len(faces))]
        grown |= set(loose)
        heights = part_heights(document)
        left = loose | {
            place: _tighter(face, room, too_high[face.name], heights[face.name], found) for place, face in full.items()
        }
    raise LayoutError(found)


def _larger(face: Face, share: float) -> Face:
    """The face with larger letters where they fill only a small share of its room."""
    return replace(face, scale=min(1.0, face.scale * SMALLER / share**GROWING)) if share < LOOSE and face.scale < 1 else face


def _tighter(face: Face, room: float, over: float, heights: Sequence[float], found: Sequence[Overflow]) -> Face:
    smaller = face.tighter(room, over, heights)
    if smaller is None:
        raise LayoutError([overflow for overflow in found if overflow.face == face.name])
    return smaller
