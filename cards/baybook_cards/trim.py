"""A face made to fit: columns balanced, the least important left out, and room that is left over used."""

from __future__ import annotations

from dataclasses import replace

from baybook_cards.estimate import Estimate
from baybook_cards.faces import Face
from baybook_cards.sizes import FIRST_COLUMN


def trimmed(face: Face, estimate: Estimate, short: float = 0.0) -> Face:
    """The face made lighter until it seems to fit, or until nothing more may go.

    short: em by which the estimate of this face was found short when it was laid out; 0 before that.
    """
    whole = face
    while not estimate.fits(face, short=short):
        moved = balanced(face, estimate)
        if estimate.fits(moved, short=short):
            return filled(moved, whole, estimate, short)
        lighter = face.lighter()
        if lighter == face:
            return moved
        face = lighter
    return filled(face, whole, estimate, short)


def balanced(face: Face, estimate: Estimate) -> Face:
    """A face that lies across with its columns about as high as each other: the share of the first column chosen, and
    blocks of the second moved into the first where that helps."""
    if not estimate.across:
        return face
    return min((_moved(replace(face, share=share), estimate) for share in FIRST_COLUMN), key=estimate.body)


def _moved(face: Face, estimate: Estimate) -> Face:
    while face.parted and (movable := face.beside(first=False)):
        moved = min((face.moving(block.title) for block in movable), key=estimate.body)
        if not moved.parted or estimate.body(moved) >= estimate.body(face):
            break
        face = moved
    return face


def filled(face: Face, whole: Face, estimate: Estimate, short: float) -> Face:
    """The face with anything of `whole` that it lacks and has room for after all; what was left out last comes first."""
    others = [*sorted(whole.parts - face.parts), *(block.title for block in whole.blocks if block not in face.blocks)]
    for name in dict.fromkeys((*reversed(face.left_out), *others)):
        fuller = balanced(face.again(name, whole), estimate)
        if estimate.fits(fuller, short=short):
            face = fuller
    return face
