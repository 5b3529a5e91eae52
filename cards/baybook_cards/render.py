"""Cards on paper: what the command line calls. Nothing heavy is imported until a page is made."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any, Literal

from baybook.cards.data import Card
from baybook.cards.translate import translated
from baybook_cards.faces import Face, faces_of
from baybook_cards.sizes import BLEED, PUNCHED, SHEETS, Orientation, Size, fine_size, size_named

if TYPE_CHECKING:
    from baybook_cards.imposition import Sheet
    from baybook_cards.language import Language
    from baybook_cards.pdf import Duplex, Pdf, Press

MAX_PAGES = 100
"""Pages of one document: about 300 MB of memory while it is made, 2 MB a page."""
PER_PAGE = {1: 4, 2: 10, 3: 16, 4: 22}
"""Cards on a page of the contents, by what the size has room for."""
Pages = list[tuple[Face, Any]]
"""Faces as they fit, each with its laid-out page."""


@dataclass(frozen=True, slots=True)
class Paper:
    """How cards are printed.

    `size`: A4, A5, A6 or ID-1. `orientation`: the size's natural one if none is given (ID-1 lies across, sheets stand).
    `sheet`: A4 or A3 to set several up with crop marks, or none for one face a page.
    `marks`: bleed beyond the cut and crop marks outside it; without, cards on a sheet share their cuts. `double_sided`: an
    empty back stands behind a front that has none, so that the next front is on the next sheet of paper. `binder`:
    contents, bookmarks, page numbers and a margin to punch. `all_leaves`: a further face for what only the bench needs.
    `link`: the shop's own address of its cards as HTML, for a telephone. `emergency`: the number on the first-aid card. `date`
    (YYYY-MM-DD) is printed on cards that have none of their own and goes into the file's metadata; no clock does.
    """

    size: str = "A4"
    orientation: Orientation | Literal[""] = ""
    mono: bool = False
    marks: bool = False
    sheet: str = ""
    double_sided: bool = True
    binder: bool = False
    all_leaves: bool = False
    language: str = "en"
    title: str = ""
    date: str = ""
    link: str = ""
    emergency: str = ""


def render_pdf(cards: Sequence[Card], paper: Paper | None = None) -> bytes:
    """The cards as a PDF. Raises `LayoutError` where even the least of a card does not fit, `ValueError` for a bad choice."""
    return print_cards(cards, paper or Paper()).content


def language_of(card: Card, code: str) -> Language:
    """The language with the catalogues of this card alone: another's may use the same word in another sense."""
    from baybook_cards.language import language

    return language(code, tuple(dict.fromkeys((card.catalogue, *(stop.catalogue for stop in card.stops)))))


def spoken_cards(cards: Sequence[Card], paper: Paper) -> tuple[list[Card], Language]:
    """The cards in the paper's language, each dated, and that language as the document's own words need it."""
    from baybook_cards.language import language

    if not cards:
        raise ValueError("no card to print")
    spoken = language(paper.language)
    dated = [card if card.date else replace(card, date=paper.date) for card in cards]
    return [translated(card, language_of(card, paper.language).text) for card in dated], spoken


def print_cards(cards: Sequence[Card], paper: Paper) -> Pdf:
    """The cards as a PDF with its page count and the renderer's log."""
    from baybook_cards import pdf

    size = size_named(paper.size)
    told, spoken = spoken_cards(cards, paper)
    setting = Setting(paper, size, spoken, tuple(told))
    sets = [faces_of(card, size, paper.all_leaves) for card in told]
    _check_pages(sum(map(len, sets)))
    duplex = setting.duplex
    done = pdf.written(setting.css, lambda press: setting.document(sets, press), duplex)
    return replace(done, advice=ADVICE[duplex] if done.pages > 1 else ADVICE["Simplex"])


ADVICE: dict[Duplex, str] = {
    "Simplex": "print at 100 %",
    "DuplexFlipLongEdge": "print at 100 %, on both sides, flip on the long edge",
    "DuplexFlipShortEdge": "print at 100 %, on both sides, flip on the short edge",
}
"""How a document is to be printed; a printer turns a sheet about the edge that was told, and backs are laid out for that."""


@dataclass(frozen=True, slots=True)
class Setting:
    """Everything that the pages of one document share."""

    paper: Paper
    size: Size
    spoken: Language
    cards: tuple[Card, ...]

    @property
    def card_size(self) -> tuple[float, float]:
        """Width and height of a card in mm."""
        return self.size.oriented(self.paper.orientation or None)

    @property
    def page_size(self) -> tuple[float, float]:
        """Width and height of a page of the document in mm."""
        if not self.paper.sheet:
            return self.card_size
        places = self._grid()
        return places.width, places.height

    @property
    def duplex(self) -> Duplex:
        """Backs are mirrored about the upright edge of a page, which is the short one where the page lies across."""
        if not self.paper.double_sided:
            return "Simplex"
        width, height = self.page_size
        return "DuplexFlipShortEdge" if width > height else "DuplexFlipLongEdge"

    @property
    def inner(self) -> float:
        """The margin in mm at the edge that is bound."""
        return max(PUNCHED, self.size.safe) if self.paper.binder and self.size.detail > 2 else self.size.safe

    @property
    def css(self) -> list[str]:
        """The stylesheets of the document."""
        from baybook_cards import html

        paper, (width, height), page = self.paper, self.card_size, self.page_size
        bleed = BLEED if paper.marks else 0.0
        own = html.environment().get_template("page.css.j2").render(
            size=self.size, width=width, height=height, inner=self.inner, page_width=page[0], page_height=page[1],
            bleed=0 if paper.sheet else bleed, sheet_bleed=bleed, fine=fine_size(self.size, self.size.font_size),
        )  # fmt: skip
        return [html.style("palette.css"), html.style("parts.css"), html.style("print.css"), own]

    def document(self, sets: Sequence[Sequence[Face]], press: Press) -> Any:
        """The whole document: faces as they fit, on pages of their own or on sheets, behind the contents."""
        from baybook_cards.fit import begun, fitted

        cover = self._cover()
        width, room = (side - 2 * self.size.safe for side in self.card_size)
        faces = [
            begun(face, self.face(face), width * room, self.size.font_size)
            for face in (*cover, *(face for card in sets for face in card))
        ]
        first = self._contents_pages(press)
        done = fitted(faces, lambda found: press.lay_out(self.page("".join(map(self.face, found)))), room)
        if self.paper.sheet:
            return press.lay_out(self.page("".join(self._sheets(sets, [face for face, _ in done]))))
        front = [*first, *(page for _, page in done[: len(cover)])]
        blank = press.lay_out(self.page('<div class="face"></div>')).pages[0] if self.paper.double_sided else None
        if blank and len(front) % 2:
            front.append(blank)
        pages = [*front, *self._in_turn(sets, done[len(cover) :], blank)]
        _check_pages(len(pages))
        whole = press.lay_out(self.page('<div class="face"></div>'))
        return whole.copy(pages)

    @staticmethod
    def _in_turn(sets: Sequence[Sequence[Face]], done: Pages, blank: Any) -> list[Any]:
        """The pages card by card; printed on both sides, an empty one stands behind a front before another."""
        pages, start = list[Any](), 0
        for faces in sets:
            pages += [page for _, page in done[start : start + len(faces)]]
            start += len(faces)
            if blank and len(faces) % 2 and start < len(done):
                pages.append(blank)
        return pages

    def page(self, body: str) -> str:
        """A whole HTML page around faces or sheets."""
        from markupsafe import Markup

        from baybook_cards import html

        title = self.paper.title or (self.cards[0].title if len(self.cards) == 1 else self.spoken.text("Baybook cards"))
        look = html.Look(self.spoken, self.paper.mono, self.size.font_size)
        return html.render("pages.html.j2", look, title=title, date=self.paper.date, body=Markup(body))  # (made here)

    def face(self, face: Face) -> str:
        """A face as HTML."""
        from baybook_cards import html

        letter = round(self.size.font_size * face.scale, 3)
        own = language_of(face.card, self.paper.language)
        look = html.Look(own, self.paper.mono, letter, fine=round(fine_size(self.size, letter), 3))
        width = self.card_size[0] - self.size.safe - self.inner
        across = self.card_size[0] > self.card_size[1] and self.size.detail > 1 and not face.broad
        return html.render(
            "face.html.j2", look, f=face, card=face.card, size=self.size, letter=letter, fine=look.fine, across=across,
            width=round((width - 7) / 2 - 0.6 if across else width, 3), numbered=self.paper.binder, number=self._number(face),
            link=self.paper.link, emergency=self.paper.emergency, tiny=self.size.detail == 1,
            detail=self.size.detail, look_whole=self.size.detail == 4,
        )  # fmt: skip

    def _number(self, face: Face) -> int:
        """The page that the card begins on in a binder of two-faced cards, for its foot; 0 outside a binder."""
        return self.cards.index(face.card) + 1 if self.paper.binder and face.card in self.cards else 0

    def _contents_pages(self, press: Press) -> list[Any]:
        from baybook_cards import html

        if not self.paper.binder:
            return []
        look = html.Look(self.spoken, self.paper.mono, self.size.font_size * 0.8, fine=self.size.font_size * 0.76)
        cards = list(enumerate(self.cards, 1))
        most = PER_PAGE[self.size.detail]
        parts = [cards[start : start + most] for start in range(0, len(cards), most)]
        title = self.paper.title or self.spoken.text("Baybook cards")
        told = [html.render("contents.html.j2", look, cards=part, title=title, first=n == 0) for n, part in enumerate(parts)]
        return list(press.lay_out(self.page("".join(told))).pages)

    def _cover(self) -> list[Face]:
        """The front of the first-aid card behind the contents, where a binder falls open."""
        from baybook_cards.general.first_aid import card

        if not self.paper.binder or self.paper.sheet:
            return []
        told = translated(card(), language_of(card(), self.paper.language).text)
        return [faces_of(replace(told, name="inside-cover"), self.size)[0]]

    def _grid(self) -> Any:
        from baybook_cards.imposition import grid

        if self.paper.sheet not in SHEETS:
            raise ValueError(f"{self.paper.sheet!r} is not a sheet; there are {', '.join(SHEETS)}")
        return grid(SHEETS[self.paper.sheet], self.card_size, bleed=BLEED if self.paper.marks else 0.0)

    def _sheets(self, sets: Sequence[Sequence[Face]], done: Sequence[Face]) -> list[str]:
        from baybook_cards import html
        from baybook_cards.imposition import sheets

        leaves, start = list[tuple[Face, ...]](), 0
        for faces in sets:
            own = done[start : start + len(faces)]
            leaves += [tuple(own[place : place + 2]) for place in range(0, len(own), 2)]
            start += len(faces)
        set_up: tuple[Sheet, ...] = sheets(leaves, self._grid(), self.paper.double_sided)
        _check_pages(len(set_up))
        look = html.Look(self.spoken, self.paper.mono, self.size.font_size)
        bleed = BLEED if self.paper.marks else 0.0
        return [html.render("sheet.html.j2", look, sheet=sheet, face=self._marked_face, bleed=bleed) for sheet in set_up]

    def _marked_face(self, face: Face) -> Any:
        from markupsafe import Markup

        return Markup(self.face(face))  # (made here)


def _check_pages(pages: int) -> None:
    if pages > MAX_PAGES:
        raise ValueError(f"a document holds at most {MAX_PAGES} pages and this would be {pages}; print fewer cards at a time")
