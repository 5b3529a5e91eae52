"""Does everything stand where it should? Walks the laid-out boxes of a document, before it becomes a PDF."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

TOLERANCE = 0.6
"""CSS pixels (0.16 mm): rounding of line heights."""


@dataclass(frozen=True, slots=True)
class Overflow:
    """A face whose content does not fit, by how many millimetres, and the text where it happens."""

    face: str
    millimetres: float
    text: str


def overflows(document: Any) -> list[Overflow]:
    """Faces whose body runs into the footer or past the edge, or that run onto another page; text wider than its column, and
    tables, whose rules are as wide as they."""
    seen: set[Any] = set()
    found: list[Overflow] = []
    for page in document.pages:
        for face in _faces(page._page_box):
            name = face.element.get("data-face", "contents")
            found.extend(_face_overflow(face, name))
            if face.element in seen:
                found.append(Overflow(name, max(map(_height_used, _columns(face)), default=0.0), "runs onto another page"))
            seen.add(face.element)
    return found


def pages_of_faces(document: Any) -> dict[str, Any]:
    """The page on which each face begins, by the face's name."""
    found: dict[str, Any] = {}
    for page in document.pages:
        for face in _faces(page._page_box):
            found.setdefault(face.element.get("data-face", ""), page)
    return found


def part_heights(document: Any) -> dict[str, list[float]]:
    """The height in mm that each part of every face takes of it, by the face's name: where it lies in columns, its share."""
    return {
        face.element.get("data-face", ""): [height / 96 * 25.4 for height in _heights(face)]
        for page in document.pages
        for face in _faces(page._page_box)
    }


def _heights(face: Any) -> list[float]:
    """A part that goes on in the next column has a box in each."""
    columns = 2 if _across(face) else 1
    found: dict[Any, float] = {}
    for box in _of_class(face, "part"):
        found[box.element] = found.get(box.element, 0.0) + box.height / columns
    return list(found.values())


def filled(page: Any) -> float:
    """The share of the room above its foot that the face of a page fills; the fullest column of one that lies across."""
    face = next(_faces(page._page_box))
    footer, top = _with_tag(face, "footer"), face.content_box_y()
    floor = footer.position_y if footer is not None else top + face.height
    lowest = max((t.position_y + t.height for part in _children(face) if part is not footer for t in _texts(part)), default=top)
    return float((lowest - top) / (floor - top))


def _across(face: Any) -> bool:
    """Whether it is set in two columns."""
    return "across" in face.element.get("class", "").split()


def _columns(face: Any) -> Iterator[Any]:
    """The columns of a face that lies across."""
    if _across(face):
        yield from (column for whole in _of_class(face, "whole") for column in _children(whole))


def _height_used(column: Any) -> float:
    """How high in mm a column is filled."""
    lowest = max((text.position_y + text.height for text in _texts(column)), default=column.position_y)
    return float((lowest - column.position_y) / 96 * 25.4)


def _of_class(box: Any, name: str) -> Iterator[Any]:
    for child in _children(box):
        if child.element is not None and child.element.get("class") == name and child.element is not box.element:
            yield child
        else:
            yield from _of_class(child, name)


def beyond_pages(document: Any) -> list[Overflow]:
    """Text and drawings that leave the page area of a flowing document, sideways or below."""
    found = []
    for number, page in enumerate(document.pages, 1):
        area = page._page_box
        right, floor = area.content_box_x() + area.width, area.content_box_y() + area.height
        for child in _children(area):
            if not type(child).__name__.startswith("Margin"):
                found += [overflow for leaf in _texts(child) for overflow in _beyond(leaf, right, floor, f"page {number}")]
    return found


def _beyond(leaf: Any, right: float, floor: float, name: str) -> list[Overflow]:
    beyond = max(leaf.position_x + leaf.width - right, leaf.position_y + leaf.height - floor)
    hidden = leaf.style["visibility"] != "visible"
    return [] if beyond <= TOLERANCE or hidden else [Overflow(name, beyond / 96 * 25.4, _said(leaf))]


def _children(box: Any) -> Iterator[Any]:
    for child in getattr(box, "children", ()):
        yield getattr(child, "_box", child)


def _faces(box: Any) -> Iterator[Any]:
    """Boxes of faces, the outermost box of each element only."""
    for child in _children(box):
        element = child.element
        if element is not None and "face" in (element.get("class") or "").split():
            yield child
        else:
            yield from _faces(child)


def _with_tag(box: Any, tag: str) -> Any | None:
    return next((child for child in _children(box) if child.element_tag == tag), None)


def _face_overflow(face: Any, name: str) -> Iterator[Overflow]:
    left, right = face.content_box_x(), face.content_box_x() + face.width
    footer = _with_tag(face, "footer")
    floor = footer.position_y if footer is not None else face.content_box_y() + face.height
    columns = list(_columns(face))
    for body in _children(face):
        limit = floor if body is not footer else face.content_box_y() + face.height
        for text in (*_texts(body), *_tables(body), *_frames(body)):
            beyond = max(
                text.position_y + text.height - limit,
                text.position_x + text.width - right,
                left - text.position_x,
            )
            if text.position_x >= right and _across(face):  # a third column: each of the two lacks half of its height
                beyond = (text.position_y + text.height - face.content_box_y()) / 2
            for column in columns if body is not footer else ():
                if column.position_x <= text.position_x + 1 <= column.position_x + column.width:
                    beyond = max(beyond, text.position_x + text.width - column.position_x - column.width)
            if beyond > TOLERANCE:
                yield Overflow(name, beyond / 96 * 25.4, _said(text))


def _frames(box: Any) -> Iterator[Any]:
    """Framed places to write in, which hold no text."""
    if box.element is not None and box.element.get("class") == "frame":
        yield box
        return
    for child in _children(box):
        yield from _frames(child)


def _tables(box: Any) -> Iterator[Any]:
    if type(box).__name__ == "TableBox":
        yield box
    for child in _children(box):
        yield from _tables(child)


def _texts(box: Any) -> Iterator[Any]:
    """Text and pictures, the leaves that carry ink."""
    kind = type(box).__name__
    if kind in ("TextBox", "BlockReplacedBox", "InlineReplacedBox", "InlineLevelReplacedBox") and box.width > 0:
        yield box  # (a space at which a line breaks has no width)
    for child in _children(box):
        yield from _texts(child)


def _said(box: Any) -> str:
    return getattr(box, "text", "") or ("a table" if type(box).__name__ == "TableBox" else "a drawing")
