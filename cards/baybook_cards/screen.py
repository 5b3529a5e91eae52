"""Cards as one HTML file for a tablet in the bay: fonts, styles and drawings inside, no script, nothing to load."""

from __future__ import annotations

import base64
from collections.abc import Sequence
from typing import TYPE_CHECKING

from baybook_cards.fetch import FONTS, font_bytes
from baybook_cards.render import Paper, spoken_cards

if TYPE_CHECKING:
    from baybook.cards.data import Card

LETTER = 4.4
"""Letter size in mm that drawings are made for; the page scales them with the screen."""
WIDTH = 190.0
"""Width in mm that drawings are made for."""
POLICY = "default-src 'none'; style-src 'unsafe-inline'; font-src data:; img-src data:"
"""What a browser may load: nothing but what stands in the file."""


def render_html(cards: Sequence[Card], language: str = "en", title: str = "", date: str = "") -> str:
    """The cards as one HTML page. Raises `ValueError` for no card or an unknown language."""
    from baybook_cards import html

    told, spoken = spoken_cards(cards, Paper(language=language, date=date))
    look = html.Look(spoken, mono=False, font_size=LETTER, screen=True)
    single = len(told) == 1
    page = html.render(
        "screen.html.j2", look, cards=told, width=WIDTH, single=single, level=2 if single else 3,
        title=title or (told[0].title if single else spoken.text("Baybook cards")),
    )  # fmt: skip
    styles = ("palette.css", "parts.css", "drawing.css", "screen.css")
    return self_contained(page, [_faces(), *(html.style(name) for name in styles)])


def _faces() -> str:
    return "".join(
        f'@font-face {{ font-family: Baybook; font-weight: {weight}; src: url("{url}"); }}\n'
        for url, weight in zip(FONTS, (400, 700), strict=True)
    )


def self_contained(page: str, styles: Sequence[str]) -> str:
    """A page with its styles in the head and the fonts inside the styles."""
    css = "\n".join(styles)
    for url, name in FONTS.items():
        css = css.replace(url, f"data:font/otf;base64,{base64.b64encode(font_bytes(name)).decode('ascii')}")
    head = (
        f'<meta http-equiv="Content-Security-Policy" content="{POLICY}">'
        f'<meta name="viewport" content="width=device-width, initial-scale=1"><style>{css}</style></head>'
    )
    return page.replace("</head>", head, 1)
