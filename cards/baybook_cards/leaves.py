"""A card over as many leaves as it takes: a front and a back, and further ones for what has no room on those."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from baybook_cards.estimate import Estimate
from baybook_cards.faces import Face
from baybook_cards.trim import filled, trimmed

MAX_LEAVES = 3
"""A card is no book: what has no room on so many leaves is left out, and its last face says so."""

Faces = tuple[Face, ...]
"""The faces of a card in order: front and back of its first leaf, then those of further leaves."""


def spread(whole: Faces, room: Estimate, short: Mapping[str, float], leaves: int = MAX_LEAVES) -> Faces:
    """A card's faces, each with what it has room for, and further faces with the rest.

    The last few rows of the record, when they are empty, are no reason for another leaf; but where there is one anyway, what
    the first leaf would hold cut short stands there whole.

    whole: the front and the back with all they should hold. short: by face, the em by which its estimate was found
    short. leaves: at most so many.
    """
    single = tuple(trimmed(face, room, short.get(face.name, 0.0)) for face in whole)
    full = any(not room.fits(face, short=short.get(face.name, 0.0)) for face in single)
    if leaves == 1 or not (full or any(face.left_out or _hides_rows(face) for face in single)):
        return single
    whole = tuple(replace(face, overleaf=full) for face in whole)
    left, faces = replace(whole[0], parts=frozenset(), blocks=()), list[Face]()
    for face in whole:
        if "steps" in left.parts:  # (they go on before anything else)
            face = replace(face, card=left.card, parts=face.parts | {"steps"}, first_step=left.first_step)
        wanted = _with(left, face)
        found = filled(_uncut(face, room, short), wanted, room, short.get(face.name, 0.0))
        faces, left = [*faces, found], _without(wanted, found)
    for place, face in enumerate(faces):  # (a block may stand anywhere before it opens a leaf of its own)
        beside = replace(face, blocks=(*face.blocks, *left.blocks))
        faces[place] = filled(face, beside, room, short.get(face.name, 0.0))
        left = replace(left, blocks=tuple(block for block in left.blocks if block not in faces[place].blocks))
    while (left.parts or left.blocks) and len(faces) < 2 * leaves:
        found = _uncut(_next(left, len(faces)), room, short)
        if not (found.blocks or found.parts - {"formula"}):  # (not even alone)
            break
        faces, left = [*faces, found], _without(left, found)
    out = (*sorted(left.parts), *(block.title for block in left.blocks))
    faces = [replace(face, leaves=len(pairs(tuple(faces))), left_out=()) for face in faces]
    return (*faces[:-1], replace(faces[-1], left_out=out))


def pairs(faces: Faces) -> list[Faces]:
    """The leaves of a card: each a front, and its back if it has one."""
    return [faces[place : place + 2] for place in range(0, len(faces), 2)]


def _hides_rows(face: Face) -> bool:
    """Whether the record is cut above a row that has its value, or has lost most of its rows."""
    rows = face.card.record[face.lines_of("record") :] if "record" in face.parts else ()
    return any(row.value for row in rows) or 2 * len(rows) > len(face.card.record)


def _with(left: Face, face: Face) -> Face:
    """What is left and all that the next face should hold."""
    return replace(left, parts=left.parts | face.parts, blocks=(*left.blocks, *face.blocks))


def _uncut(face: Face, room: Estimate, short: Mapping[str, float]) -> Face:
    """The face with what it has room for; nothing is cut short but what has no room on a face of its own either.

    The record goes overleaf, too, where whole cautions can stand in its place.
    """
    lines = short.get(face.name, 0.0)
    found = trimmed(face, room, lines)
    while cut := {
        name for name in found.cut - {"steps"} if not face.further or not trimmed(_alone(face, name), room, lines).cut
    }:
        face = replace(face, parts=face.parts - cut)
        found = trimmed(face, room, lines)
    if found.brief and not face.brief and "record" in found.parts:
        safer = trimmed(replace(face, parts=face.parts - {"record"}), room, lines)
        return found if safer.brief else safer
    return found


def _alone(face: Face, name: str) -> Face:
    """A face with one part and nothing else; an example stands beside its formula."""
    formula = {"formula"} if name == "example" else set[str]()
    return replace(face, parts=frozenset({name} | formula), blocks=())


def _without(left: Face, face: Face) -> Face:
    """What is left when this face is printed: of a part that is cut short there, its other lines."""
    card = left.card
    if "steps" in face.cut:
        count = face.lines_of("steps")
        card = replace(card, steps=card.steps[count:])
        left = replace(left, first_step=face.first_step + count)
    if "record" in face.cut:
        card = replace(card, record=card.record[face.lines_of("record") :])
    if "meanings" in face.cut:
        card = replace(card, meanings=card.meanings[face.lines_of("meanings") :])
        left = replace(left, slim=face.slim)
    if "example" in face.cut and card.formula:
        card = replace(card, formula=replace(card.formula, example=card.formula.example[face.lines_of("example") :]))
    blocks = tuple(block for block in left.blocks if block not in face.blocks)
    return replace(left, card=card, parts=left.parts - (face.parts - face.cut) - {"formula"}, blocks=blocks)


def _next(left: Face, place: int) -> Face:
    """The next face with all that is left; letters and example stand beside their formula."""
    formula = {"formula"} if left.parts & {"terms", "example"} else set()
    side = "back" if place % 2 else "front"
    return Face(
        left.card, side, left.parts | formula, left.blocks, slim=left.slim, leaf=place // 2 + 1, further=True,
        overleaf=left.overleaf, first_step=left.first_step,
    )  # fmt: skip
