"""Every card there is, all of them in one document for each kind of paper, printed and read once a session."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from functools import cache, cached_property, partial
from importlib.metadata import entry_points
from typing import Any

import pytest

from baybook.cards.build import card_of
from baybook.cards.data import Card
from baybook.registry import registry
from baybook_cards import check, pdf
from baybook_cards.pdf import Pdf
from baybook_cards.render import Paper, print_cards
from baybook_cards.sizes import CAPITAL_RATIO, Size, arcmin_of, size_named

POINT = 25.4 / 72
DATE = "2026-11-25"


@cache
def offered(what: str) -> tuple[Any, ...]:
    """Everything of a kind that ships, such as "calculators", by its own entry points."""
    entries = sorted(entry_points(group="baybook"), key=lambda entry: entry.name)
    return tuple(offer for entry in entries for offer in getattr(entry.load(), f"baybook_{what}", list)())


def calculators() -> list[Any]:
    """Every calculator that ships."""
    known = registry()  # (a module that offers nothing else than calculators needs no hook)
    return [known.calculator(listed.name) for listed in known.listed()]


def every_card() -> dict[str, Callable[[], Card]]:
    """Name and maker of every card; each is made once."""
    makers: dict[str, Callable[[], Card]] = {offer.name: cache(offer.made) for offer in offered("cards")}
    return makers | {found.name: cache(partial(card_of, found)) for found in calculators() if found.how}


CARDS = every_card()
SIZES = ("A4", "A5", "A6")
SMALL = sorted(name for name, make in CARDS.items() if make().small)
"""The cards that work as key-ring cards."""
EACH = [(name, size) for size in SIZES for name in sorted(CARDS)] + [(name, "ID-1") for name in SMALL]


@dataclass
class Page:
    """What a PDF reader sees of one page. Letters: (text, left, top, right, bottom, size in points, font)."""

    width: float
    height: float
    letters: list[dict[str, Any]]
    words: list[dict[str, Any]]
    text: str


@dataclass
class Printed:
    """The pages of one card in a printed document."""

    pdf: Pdf
    size: Size
    pages: list[Page]

    def arcmin(self, points: float) -> float:
        """Angle of a capital letter of that font size at the card's reading distance."""
        return arcmin_of(points * POINT * CAPITAL_RATIO, self.size.distance)


@dataclass
class Document:
    """Every card on one kind of paper: the file, the names of the faces by page ("" for an empty back), and how many mm each
    face has left between its last letter and its footer."""

    pdf: Pdf
    size: Size
    faces: list[str] = field(default_factory=list)
    free: dict[str, float] = field(default_factory=dict)

    @cached_property
    def pages(self) -> list[Page]:
        """The pages, read once."""
        return read_pages(self.pdf.content)

    def of(self, name: str) -> Printed:
        """The pages of the card of that name."""
        sides = (f"{name} front", f"{name} back", f"{name} more")
        faces = zip(self.pages, self.faces, strict=True)
        return Printed(self.pdf, self.size, [page for page, face in faces if face.startswith(sides)])


def laid_out(cards: list[Card], paper: Paper) -> Document:
    """Print cards and keep what can be seen of the boxes only before they become a PDF."""
    seen: list[Any] = []
    written = pdf.written

    def kept(css: list[str], lay: Any, *how: Any) -> Pdf:
        return written(css, lambda press: seen.append(lay(press)) or seen[-1], *how)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(pdf, "written", kept)
        document = Document(print_cards(cards, paper), size_named(paper.size))
    for page in seen[-1].pages:
        boxes = list(check._faces(page._page_box))
        names = [box.element.get("data-face", "") for box in boxes]
        document.faces += names
        document.free |= {name: _free(box) for name, box in zip(names, boxes, strict=True) if name}
    return document


def _free(face: Any) -> float:
    footer = check._with_tag(face, "footer")
    texts = [text for part in check._children(face) if part is not footer
             for text in (*check._texts(part), *check._frames(part))]  # fmt: skip
    return float((footer.position_y - max(text.position_y + text.height for text in texts)) / 96 * 25.4)


def read_pages(content: bytes) -> list[Page]:
    """The pages of a PDF: letters by PDFium, words and lines by pdfplumber, whose own parser takes far longer."""
    import pypdfium2
    from pdfplumber.utils import extract_text, extract_words

    pages = []
    for page in pypdfium2.PdfDocument(content):
        width, height = page.get_size()
        letters = list(_letters(page, height))
        words = extract_words(letters, extra_attrs=["size", "fontname"], keep_blank_chars=False)
        pages.append(Page(float(width), float(height), letters, words, extract_text(letters)))
    return pages


LINE_END_HYPHENS = (0x02, 0xAD, 0xFFFE)
"""What PDFium makes of a hyphen at the end of a line."""


def _letters(page: Any, height: float) -> Iterator[dict[str, Any]]:
    """The letters of a page as pdfplumber has them: from the top, in points, as high as their font's size."""
    import ctypes

    import pypdfium2.raw as pdfium

    text, box, matrix = page.get_textpage(), pdfium.FS_RECTF(), pdfium.FS_MATRIX()
    name, flags = ctypes.create_string_buffer(100), ctypes.c_int()
    for place in range(text.count_chars()):
        if pdfium.FPDFText_IsGenerated(text, place):  # (a space or line break that the file does not hold)
            continue
        pdfium.FPDFText_GetLooseCharBox(text, place, box)
        pdfium.FPDFText_GetMatrix(text, place, matrix)
        pdfium.FPDFText_GetFontInfo(text, place, name, 100, flags)
        size, bottom = pdfium.FPDFText_GetFontSize(text, place) * matrix.d, height - box.bottom
        code = pdfium.FPDFText_GetUnicode(text, place)
        yield {
            "text": "-" if code in LINE_END_HYPHENS else chr(code), "x0": box.left, "x1": box.right, "top": bottom - size,
            "bottom": bottom, "doctop": bottom - size, "width": box.right - box.left, "height": size, "size": size,
            "fontname": name.value.decode(), "upright": True,
        }  # fmt: skip


@pytest.fixture(scope="session")
def document() -> Callable[..., Document]:
    """document("A6", language="de"): every card on that paper, printed once a session."""

    @cache
    def call(size: str, **paper: Any) -> Document:
        cards = [make() for name, make in CARDS.items() if size != "ID-1" or name in SMALL]
        return laid_out(cards, Paper(size=size, date=DATE, **paper))

    return call


@pytest.fixture(scope="session")
def printed(document: Callable[..., Document]) -> Callable[..., Printed]:
    """printed("safety", "A6", language="de"): the card's pages in the document of every card."""
    return lambda name, size, **paper: document(size, **paper).of(name)


@pytest.fixture
def no_network(monkeypatch: pytest.MonkeyPatch) -> Iterator[list[str]]:
    """Any attempt to open a connection or a resource by its address is noted and fails."""
    import socket
    import urllib.request

    tried: list[str] = []

    def refuse(*where: object, **_: object) -> None:
        tried.append(repr(where))
        raise OSError("no network in this test")

    monkeypatch.setattr(socket, "create_connection", refuse)
    monkeypatch.setattr(socket.socket, "connect", refuse)
    monkeypatch.setattr(urllib.request.OpenerDirector, "open", refuse)
    yield tried
