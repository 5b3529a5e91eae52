"""Faces laid out and measured: letters as large as there is room for, never below the least, and no text ever cut."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from baybook_cards.check import Overflow, overflows, pages_of_faces, part_heights
from baybook_cards.faces import Face
from baybook_cards.pdf import LayoutError

MAX_ROUNDS = 14
"""How often full faces are set tighter before the card is refused."""
Lay = Callable[[Sequence[Face]], Any]
"""Lays faces out: a document with a page for each."""


def fitted(faces: Sequence[Face], lay: Lay, room: float) -> list[tuple[Face, Any]]:
    """Each face as it fits, with its page. room: mm from edge to edge inside the border. Raises LayoutError where nothing more
    may go."""
    done: dict[int, tuple[Face, Any]] = {}
    left = dict(enumerate(faces))
    for _ in range(MAX_ROUNDS):
        document = lay(list(left.values()))
        found = overflows(document)
        too_high = {name: max(o.millimetres for o in found if o.face == name) for name in {o.face for o in found}}
        pages = pages_of_faces(document)
        done |= {place: (face, pages[face.name]) for place, face in left.items() if face.name not in too_high}
        full = {place: face for place, face in left.items() if face.name in too_high}
        if not full:
            return [done[place] for place in range(len(faces))]
        heights = part_heights(document)
        left = {place: _tighter(face, room, too_high[face.name], heights[face.name], found) for place, face in full.items()}
    raise LayoutError(found)


def _tighter(face: Face, room: float, over: float, heights: Sequence[float], found: Sequence[Overflow]) -> Face:
    smaller = face.tighter(room, over, heights)
    if smaller is None:
        raise LayoutError([overflow for overflow in found if overflow.face == face.name])
    return smaller
