"""Formulas and cells as safe HTML: the text is escaped first, then indices and powers are set."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from baybook.cards.data import Number

if TYPE_CHECKING:
    from markupsafe import Markup

    from baybook_cards.language import Language

_INDEX = re.compile(r"([_^])(?:\{([^{}]*)\}|(\d+,\d+|[^\s_^{}()·*/+\-−=,;]+))")
_TAGS = {"_": "sub", "^": "sup"}


def formula(text: str, language: Language) -> Markup:
    """`p_m`, `V_{rail}`, `10^{-6}` with real indices, numbers with the language's decimal sign; everything else is text."""
    from markupsafe import Markup, escape

    def index(match: re.Match[str]) -> str:
        tag = _TAGS[match[1]]
        return f"<{tag}>{match[2] if match[2] is not None else match[3]}</{tag}>"

    return Markup(_INDEX.sub(index, str(escape(language.figures(text)))))  # (escaped above, before any tag is added)


def plain(text: str) -> str:
    """The same formula for places without markup, such as an SVG title."""
    return _INDEX.sub(lambda match: match[1] + (match[2] if match[2] is not None else match[3]), text)


def cell(value: str | Number | None, language: Language) -> str:
    """A table cell as text."""
    if isinstance(value, Number):
        return language.number(value.value, value.decimals) + (f" {value.unit}" if value.unit else "")
    return value or ""
