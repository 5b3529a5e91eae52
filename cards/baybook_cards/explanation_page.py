"""What a calculator is, on A4 for a class."""

from __future__ import annotations

from collections.abc import Iterable
from html import escape
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from baybook.explanation import Part

PAGE = """
@page { size: A4; margin: 18mm 20mm;
  @bottom-right { content: counter(page) " / " counter(pages); font: 2.8mm Baybook, sans-serif; } }
body { font: 3.6mm/1.4 Baybook, sans-serif; overflow-wrap: anywhere; }
h1 { font-size: 6mm; margin: 0 0 4mm; bookmark-level: 1; }
h2 { font-size: 4.4mm; margin: 5mm 0 1.5mm; break-after: avoid; bookmark-level: 2; }
p, ul { margin: 0; } ul { padding-left: 5mm; } li { margin-bottom: 0.8mm; }
.working { white-space: pre-wrap; font-size: 3.3mm; }
"""


def explanation_pdf(title: str, parts: Iterable[Part], language: str) -> bytes:
    """The parts under their heads as PDF. title and parts: in the language already. Raises `RendererMissing`."""
    from . import html
    from .check import beyond_pages
    from .pdf import write

    page = f'<!doctype html><html lang="{escape(language)}"><head><meta charset="utf-8"><title>{escape(title)}</title></head>'
    page += f"<body><h1>{escape(title)}</h1>{''.join(map(_html, parts))}</body></html>"
    return write(page, [html.style("palette.css"), html.style("report.css"), PAGE], check=beyond_pages).content


def _html(part: Part) -> str:
    found = f"<h2>{escape(part.head)}</h2>"
    if part.paragraph:
        found += f"<p>{escape(part.paragraph)}</p>"
    if part.items:
        found += f"<ul>{''.join(f'<li>{escape(item)}</li>' for item in part.items)}</ul>"
    if part.lines:
        lines = "\n".join(part.lines)
        found += f'<div class="working">{escape(lines)}</div>'
    return found
