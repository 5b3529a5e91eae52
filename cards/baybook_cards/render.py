"""Cards on paper: what the command line calls. Nothing heavy is imported until a page is made."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal, TypeVar

from baybook.cards.data import Card
from baybook.cards.translate import translated
from baybook_cards.estimate import Estimate
from baybook_cards.faces import Face, faces_of
from baybook_cards.leaves import MAX_LEAVES, Faces, pairs, spread
from baybook_cards.sizes import BLEED, SHEETS, STACKED, Orientation, Size, size_named
from baybook_cards.trim import trimmed

if TYPE_CHECKING:
    from baybook_cards.imposition import Sheet
    from baybook_cards.language import Language
    from baybook_cards.pdf import Duplex, LayoutError, Pdf

MAX_PAGES = 100
"""Pages of one document: about 300 MB of memory while it is made, 2 MB a page."""
MAX_ROUNDS = 12
"""How often full faces may be set lighter before the card is refused."""

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Paper:
    """How cards are printed.

    `size`: A4, A5, A6 or ID-1. `orientation`: the size's natural one if none is given (ID-1 lies across, sheets stand).
    `sheet`: A4 or A3 to set several up with crop marks, or none for one face a page.
    `marks`: bleed beyond the cut and crop marks outside it; without, cards on a sheet share their cuts. `double_sided`: an
    empty back stands behind a front that has none, so that the next front is on the next sheet of paper. `binder`:
    contents, bookmarks and page numbers. `one_leaf`: what has no
    room on a front and a back is left out, instead of standing on further leaves. `date` (YYYY-MM-DD) is
    printed on cards that have none of their own and goes into the file's metadata; no clock does.
    """

    size: str = "A4"
    orientation: Orientation | Literal[""] = ""
    mono: bool = False
    marks: bool = False
    sheet: str = ""
    double_sided: bool = True
    binder: bool = False
    one_leaf: bool = False
    language: str = "en"
    title: str = ""
    date: str = ""


def render_pdf(cards: Sequence[Card], paper: Paper | None = None) -> bytes:
    """The cards as a PDF. Raises `LayoutError` where even the least of a card does not fit, `ValueError` for a bad choice."""
    return print_cards(cards, paper or Paper()).content


def spoken_cards(cards: Sequence[Card], paper: Paper) -> tuple[list[Card], Language]:
    """The cards in the paper's language, each dated, and that language."""
    from baybook_cards.language import language

    if not cards:
        raise ValueError("no card to print")
    spoken = language(paper.language, tuple(dict.fromkeys(card.catalogue for card in cards)))
    dated = [card if card.date else replace(card, date=paper.date) for card in cards]
    return [translated(card, spoken.text) for card in dated], spoken


def print_cards(cards: Sequence[Card], paper: Paper) -> Pdf:
    """The cards as a PDF with its page count and the renderer's log."""
    from baybook_cards import pdf

    size = size_named(paper.size)
    told, spoken = spoken_cards(cards, paper)
    room = Estimate(size, *size.oriented(paper.orientation or None), spoken)
    whole = [faces_of(card, size) for card in told]
    leaves = 1 if paper.one_leaf or size.detail == 1 else MAX_LEAVES
    duplex = _duplex(paper, size)
    cards_set, done = _settled(
        whole, leaves, room, lambda faces: pdf.write(*page_of(faces, paper, size, spoken), duplex=duplex)
    )
    advice = ADVICE[duplex] if done.pages > 1 else ADVICE["Simplex"]
    return replace(done, lost=tuple(lost for faces in cards_set if (lost := _lost(faces))), advice=advice)


ADVICE: dict[Duplex, str] = {
    "Simplex": "print at 100 %",
    "DuplexFlipLongEdge": "print at 100 %, on both sides, flip on the long edge",
    "DuplexFlipShortEdge": "print at 100 %, on both sides, flip on the short edge",
}
"""How a document is to be printed; a printer turns a sheet about the edge that was told, and backs are laid out for that."""


def _duplex(paper: Paper, size: Size) -> Duplex:
    """Backs are mirrored about the upright edge of a page, which is the short one where the page lies across."""
    if not paper.double_sided:
        return "Simplex"
    width, height = _sheets((), paper, size.oriented(paper.orientation or None))[1]
    return "DuplexFlipShortEdge" if width > height else "DuplexFlipLongEdge"


def _settled(whole: Sequence[Faces], leaves: int, room: Estimate, lay: Callable[[list[Faces]], T]) -> tuple[list[Faces], T]:
    """The faces, lighter ones where they are too full, and what `lay` makes of them. Raises `LayoutError` where nothing more
    may go."""
    from baybook_cards.pdf import LayoutError

    short: dict[str, float] = {}  # by face, the em by which its estimate was found short
    cards = [spread(faces, room, short, leaves) for faces in whole]
    for _ in range(MAX_ROUNDS):
        try:
            return cards, lay(cards)
        except LayoutError as error:
            full = {overflow.face for overflow in error.found}
            short |= {face.name: _short(face, error, room) for faces in cards for face in faces if face.name in full}
            before, cards = cards, [spread(faces, room, short, leaves) for faces in whole]
            if cards == before:
                raise
    return cards, lay(cards)


def _lost(faces: Faces) -> tuple[str, int] | None:
    """A card's name and how many of the values that it was given stand on none of its faces; None where all do."""
    record = faces[0].card.record
    room = sum(face.lines_of("record") for face in faces if "record" in face.parts)
    lost = sum(bool(row.value) for row in record[room:])
    return (faces[0].card.key, lost) if lost else None


def _short(face: Face, error: LayoutError, room: Estimate) -> float:
    """Em by which the estimate of a face was short, now that it was laid out and found too high."""
    over = max(overflow.millimetres for overflow in error.found if overflow.face == face.name)
    return room.room - room.height(face) + max(1.0, over / room.em)


def page_of(cards: Sequence[Faces], paper: Paper, size: Size, spoken: Language) -> tuple[str, list[str]]:
    """The HTML of the faces and its stylesheets."""
    from baybook_cards import html

    width, height = size.oriented(paper.orientation or None)
    look = html.Look(spoken, paper.mono, size.font_size)
    bleed = BLEED if paper.marks else 0.0
    set_up, page = _sheets(cards, paper, (width, height))
    room = Estimate(size, width, height, spoken)
    contents = _contents([faces[0].card for faces in cards], room) if paper.binder else []
    cover = _inside_cover(room, spoken) if paper.binder and not paper.sheet else None
    faces = [] if paper.sheet else _leaves(cards, paper)
    before = len(contents) + (cover is not None)
    blank = paper.double_sided and before % 2 == 1
    _check_pages(len(set_up) + len(faces) + before + blank)
    text = html.render(
        "pages.html.j2",
        look,
        title=paper.title or _title(cards, spoken),
        date=paper.date,
        contents=contents,
        cover=cover,
        blank=blank,
        faces=faces,
        sheets=set_up,
        size=size,
        columns=lambda face: columns_of(face, width, height, size),
        stacked=STACKED * size.font_size,
        bleed=bleed if paper.sheet else 0.0,
    )
    page_css = (
        html.environment()
        .get_template("page.css.j2")
        .render(
            size=size,
            width=width,
            height=height,
            page_width=page[0],
            page_height=page[1],
            bleed=0 if paper.sheet else bleed,
            sheet_bleed=bleed,
            numbered=paper.binder,
            page_word=spoken.text("page"),
        )
    )
    return text, [html.style("palette.css"), html.style("parts.css"), html.style("print.css"), page_css]


def _inside_cover(room: Estimate, spoken: Language) -> Face:
    """The front of the first-aid card behind the first page of the contents, where a binder falls open; it is no leaf of its
    own, so that bookmarks and contents lead to the card."""
    from baybook_cards.general.first_aid import card

    front = replace(faces_of(translated(card(), spoken.text), room.size)[0], leaf=0)
    return trimmed(front, room)


@dataclass(frozen=True, slots=True)
class ContentsPage:
    """A page of the list of contents: its cards and the number of the first."""

    first: int
    cards: list[Card]


def _contents(cards: list[Card], room: Estimate) -> list[ContentsPage]:
    """The list of contents, on as many pages as it takes."""
    pages, start = [], 0
    for count in room.pages_of([card.title for card in cards]):
        pages.append(ContentsPage(start + 1, cards[start : start + count]))
        start += count
    return pages


def _leaves(cards: Sequence[Faces], paper: Paper) -> list[Face | None]:
    """Faces in turn; printed on both sides, None stands for the empty back of a front before another."""
    if not paper.double_sided:
        return [face for faces in cards for face in faces]
    leaves = [face for faces in cards for face in (*faces, *([None] if len(faces) % 2 else []))]
    return leaves if leaves[-1] else leaves[:-1]


def _check_pages(pages: int) -> None:
    if pages > MAX_PAGES:
        raise ValueError(f"a document holds at most {MAX_PAGES} pages and this would be {pages}; print fewer cards at a time")


def columns_of(face: Face, width: float, height: float, size: Size) -> tuple[float, float]:
    """Widths in mm of the two columns of a face that lies across (cautions, then steps); of any other, twice the whole."""
    inner = width - 2 * size.safe
    if width <= height or size.detail == 1 or not face.parted:
        return round(inner, 3), round(inner, 3)
    first = (inner - size.safe) * face.share
    return round(first, 3), round(inner - size.safe - first, 3)


def _sheets(cards: Sequence[Faces], paper: Paper, card: tuple[float, float]) -> tuple[tuple[Sheet, ...], tuple[float, float]]:
    if not paper.sheet:
        return (), card
    from baybook_cards.imposition import grid, sheets

    if paper.sheet not in SHEETS:
        raise ValueError(f"{paper.sheet!r} is not a sheet; there are {', '.join(SHEETS)}")
    places = grid(SHEETS[paper.sheet], card, bleed=BLEED if paper.marks else 0.0)
    return sheets([leaf for faces in cards for leaf in pairs(faces)], places, paper.double_sided), (places.width, places.height)


def _title(cards: Sequence[Faces], spoken: Language) -> str:
    return cards[0][0].card.title if len(cards) == 1 else spoken.text("Baybook cards")
