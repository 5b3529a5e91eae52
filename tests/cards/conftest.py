"""Every card there is, each printed once a session, and what can be read off its pages."""

from __future__ import annotations

import io
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from functools import cache, partial
from importlib.metadata import entry_points
from typing import Any

import pytest

from baybook.cards.build import card_of
from baybook.cards.data import Card
from baybook_cards.offers import baybook_cards
from baybook_cards.pdf import Pdf
from baybook_cards.render import Paper, print_cards
from baybook_cards.sizes import CAPITAL_RATIO, Size, arcmin_of, size_named

POINT = 25.4 / 72


def calculators() -> list[Any]:
    """Every calculator that ships, by its own entry point."""
    found = []
    for entry in sorted(entry_points(group="baybook"), key=lambda entry: entry.name):
        module = entry.load()
        found += getattr(module, "baybook_calculators", list)()
    return found


def every_card() -> dict[str, Callable[[], Card]]:
    """Name and maker of every card; each is made once."""
    makers: dict[str, Callable[[], Card]] = {offer.name: cache(offer.make) for offer in baybook_cards()}
    return makers | {calculator.name: cache(partial(card_of, calculator)) for calculator in calculators()}


CARDS = every_card()
SIZES = ("A4", "A5", "A6", "ID-1")


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
    """A printed document."""

    pdf: Pdf
    size: Size
    _pages: list[Page] = field(default_factory=list)

    @property
    def pages(self) -> list[Page]:
        """The pages, read once."""
        if not self._pages:
            self._pages = read_pages(self.pdf.content)
        return self._pages

    def arcmin(self, points: float) -> float:
        """Angle of a capital letter of that font size at the card's reading distance."""
        return arcmin_of(points * POINT * CAPITAL_RATIO, self.size.distance)


def read_pages(content: bytes) -> list[Page]:
    """The pages of a PDF, by pdfplumber."""
    import pdfplumber

    with pdfplumber.open(io.BytesIO(content)) as document:
        return [
            Page(
                float(page.width),
                float(page.height),
                page.chars,
                page.extract_words(extra_attrs=["size", "fontname"], keep_blank_chars=False),
                page.extract_text(),
            )
            for page in document.pages
        ]


@pytest.fixture(scope="session")
def printed() -> Callable[..., Printed]:
    """printed("safety", "A6", mono=True): the card on that paper, printed once a session."""
    done: dict[Any, Printed] = {}

    def call(name: str, size: str, **paper: Any) -> Printed:
        key = (name, size, *sorted(paper.items()))
        if key not in done:
            pdf = print_cards([CARDS[name]()], Paper(size=size, date="2026-11-25", **paper))
            done[key] = Printed(pdf, size_named(size))
        return done[key]

    return call


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
