"""Cards as one HTML file for a tablet in the bay: fonts, styles, drawings and the one script inside, nothing to load."""

from __future__ import annotations

import base64
import hashlib
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from baybook_cards.fetch import FONTS, font_bytes
from baybook_cards.render import Paper, language_of, spoken_cards

if TYPE_CHECKING:
    from baybook.cards.data import Card

LETTER = 4.4
"""Letter size in mm that drawings are made for; the page scales them with the screen."""
WIDTH = 130.0
"""Width in mm that drawings are made for: on a telephone their letters are still 3 mm high."""
POLICY = "default-src 'none'; style-src 'unsafe-inline'; font-src data:; img-src data:; script-src 'sha256-{script}'"
"""What a browser may load and run: nothing but what stands in the file."""


def render_html(cards: Sequence[Card], language: str = "en", title: str = "", date: str = "", emergency: str = "") -> str:
    """The cards as one HTML page; `emergency`: the number that the first-aid card dials.

    Raises `ValueError` for no card or an unknown language.
    """
    from markupsafe import Markup

    from baybook_cards import html

    told, spoken = spoken_cards(cards, Paper(language=language, date=date))
    single = len(told) == 1
    shown: dict[str, Any] = {"width": WIDTH, "single": single, "level": 2 if single else 3, "emergency": emergency}
    looks = [
        html.Look(own, mono=False, font_size=LETTER, screen=True) for own in (language_of(card, language) for card in told)
    ]
    bodies = [
        Markup(html.render("screen_card.html.j2", look, card=card, **shown)) for card, look in zip(told, looks, strict=True)
    ]  # (made here)
    look = html.Look(spoken, mono=False, font_size=LETTER, screen=True)
    title = title or (told[0].title if single else spoken.text("Baybook cards"))
    page = html.render("screen.html.j2", look, cards=list(zip(told, bodies, strict=True)), title=title, single=single)
    styles = ("palette.css", "parts.css", "drawing.css", "screen.css", "dark.css")
    script = html.style("screen.js") if any(card.lines for card in told) else ""
    return self_contained(page, [_faces(), *(html.style(name) for name in styles)], script)


def _faces() -> str:
    return "".join(
        f'@font-face {{ font-family: Baybook; font-weight: {weight}; src: url("{url}"); }}\n'
        for url, weight in zip(FONTS, (400, 700), strict=True)
    )


def self_contained(page: str, styles: Sequence[str], script: str = "") -> str:
    """A page with its styles in the head, the fonts inside the styles, and the script that alone may run at its end."""
    css = "\n".join(styles)
    for url, name in FONTS.items():
        css = css.replace(url, f"data:font/otf;base64,{base64.b64encode(font_bytes(name)).decode('ascii')}")
    digest = base64.b64encode(hashlib.sha256(script.encode()).digest()).decode("ascii")
    head = (
        f'<meta http-equiv="Content-Security-Policy" content="{POLICY.format(script=digest)}">'
        f'<meta name="viewport" content="width=device-width, initial-scale=1"><style>{css}</style></head>'
    )
    body = f"<script>{script}</script></body>" if script else "</body>"
    return page.replace("</head>", head, 1).replace("</body>", body, 1)
