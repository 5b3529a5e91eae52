"""Several cards on one sheet: where each face stands, and where to cut. Backs are mirrored so that they match."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from markupsafe import Markup

from baybook_cards.faces import Face
from baybook_cards.sizes import BLEED

EDGE = 5.0
"""What an office printer leaves white at the edge of a sheet, in mm (common practice, no source)."""


class SheetError(ValueError):
    """The card does not fit on the sheet at all."""


@dataclass(frozen=True, slots=True)
class Place:
    """A face on a sheet, its upper left cut corner in mm."""

    x: float
    y: float
    face: Face


@dataclass(frozen=True, slots=True)
class Sheet:
    """One side of a sheet."""

    places: tuple[Place, ...]
    marks: Markup


@dataclass(frozen=True, slots=True)
class Grid:
    """Cut corners of the places, row by row, for one sheet."""

    width: float
    height: float
    card: tuple[float, float]
    corners: tuple[tuple[float, float], ...]
    bleed: float


def grid(sheet: tuple[float, float], card: tuple[float, float], bleed: float = BLEED) -> Grid:
    """As many places as fit, sheet upright or across, each with its bleed. Raises `SheetError` for none.

    Without bleed the cards share their cuts and may reach the sheet's edge: four A6 on one A4.
    """
    best = max((_grid(width, height, card, bleed) for width, height in (sheet, sheet[::-1])), key=lambda g: len(g.corners))
    if not best.corners:
        raise SheetError(f"a card of {card[0]:g} × {card[1]:g} mm with {bleed:g} mm of bleed does not fit on this sheet")
    return best


def _grid(width: float, height: float, card: tuple[float, float], bleed: float) -> Grid:
    pitch_x, pitch_y = card[0] + 2 * bleed, card[1] + 2 * bleed
    edge = EDGE if bleed else 0.0
    columns, rows = int((width - 2 * edge) // pitch_x), int((height - 2 * edge) // pitch_y)
    left = (width - columns * pitch_x) / 2 + bleed
    top = (height - rows * pitch_y) / 2 + bleed
    corners = tuple((round(left + c * pitch_x, 3), round(top + r * pitch_y, 3)) for r in range(rows) for c in range(columns))
    return Grid(width, height, card, corners, bleed)


def sheets(leaves: Sequence[tuple[Face, ...]], places: Grid, double_sided: bool = True) -> tuple[Sheet, ...]:
    """Front and back sheets in turn, turned over along the upright edge; without `double_sided` faces follow each other.

    Where any card has a back every front sheet gets one, an empty one if need be: the next front is on the next sheet of paper.
    """
    if not double_sided:
        leaves = [(face,) for faces in leaves for face in faces]
    backs = any(len(faces) > 1 for faces in leaves)
    found: list[Sheet] = []
    for start in range(0, len(leaves), len(places.corners)):
        batch = leaves[start : start + len(places.corners)]
        found.append(_sheet([faces[0] for faces in batch], places, mirrored=False))
        if backs:
            found.append(_sheet([faces[1] if len(faces) > 1 else None for faces in batch], places, mirrored=True))
    return tuple(found)


def _sheet(faces: Sequence[Face | None], places: Grid, mirrored: bool) -> Sheet:
    corners = [(round(places.width - x - places.card[0], 3) if mirrored else x, y) for x, y in places.corners[: len(faces)]]
    stands = tuple(Place(x, y, face) for (x, y), face in zip(corners, faces, strict=True) if face is not None)
    return Sheet(stands, crop_marks(places, corners))


def crop_marks(places: Grid, corners: Sequence[tuple[float, float]]) -> Markup:
    """Lines at the corners of each cut: outside it where there is bleed, else short ticks inside the safe border."""
    width, height = places.card
    strokes = []
    for x, y in corners:
        for cx, out_x in ((x, -1), (x + width, 1)):
            for cy, out_y in ((y, -1), (y + height, 1)):
                gap, reach = (0.8, places.bleed - 1) if places.bleed else (0.0, -2.0)
                strokes.append(f"M{cx:g} {cy + out_y * gap:g}v{out_y * reach:g}M{cx + out_x * gap:g} {cy:g}h{out_x * reach:g}")
    return Markup(  # (numbers from here only)
        f'<svg xmlns="http://www.w3.org/2000/svg" class="marks" width="{places.width:g}mm" height="{places.height:g}mm" '
        f'viewBox="0 0 {places.width:g} {places.height:g}"><title>crop marks</title>'
        f'<path d="{"".join(strokes)}" fill="none" stroke="#000000" stroke-width="0.15"/></svg>'
    )
