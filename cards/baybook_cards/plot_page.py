"""One plot by itself, as an SVG file or on a page of its own as PDF."""

from __future__ import annotations

from collections.abc import Mapping
from html import escape
from typing import Any

from .language import language as speak
from .report import LETTER, chart_of

WIDTH = 160.0
"""mm"""
PAGE = "@page { size: A4; margin: 20mm } h1 { font: bold 14pt Baybook, sans-serif; margin: 0 0 6mm }"


def plot_svg(plot: Mapping[str, Any], language: str = "en", catalogues: tuple[str, ...] = ()) -> str:
    """The plot as an SVG file, in millimetres. plot: as in a report's data."""
    from baybook.cards.translate import translated

    from . import html

    look = html.Look(speak(language, catalogues), False, LETTER)
    return str(html.plot_svg(translated(chart_of(plot), look.language.text), WIDTH, look))


def plot_pdf(plot: Mapping[str, Any], language: str = "en", catalogues: tuple[str, ...] = ()) -> bytes:
    """The plot on a page under its title. Raises `RendererMissing`."""
    from . import html
    from .check import beyond_pages
    from .pdf import write

    title = escape(speak(language, catalogues).text(str(plot["title"])))
    page = f'<!doctype html><html lang="{language}"><head><meta charset="utf-8"><title>{title}</title></head>'
    page += f"<body><h1>{title}</h1>{plot_svg(plot, language, catalogues)}</body></html>"
    return write(page, [html.style("palette.css"), PAGE], check=beyond_pages).content
