"""The code that leads from a card back to the tool, as SVG."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from markupsafe import Markup

MODULE = 0.5
"""Millimetres; about the least that a telephone reads through a laminate (common practice, no source)."""
QUIET = 4
"""Empty modules around the code (ISO/IEC 18004)."""


def call(number: str) -> str:
    """The address that makes a telephone dial a number as it is written on a card (RFC 3966): its digits, +, * and # alone."""
    return "tel:" + "".join(sign for sign in number.replace("(0)", "") if sign in "+*#0123456789")


@lru_cache(maxsize=256)
def modules(text: str) -> list[list[bool]]:
    """The dark modules of the QR code of `text`, row by row, without the quiet zone."""
    import segno

    return [[bool(module) for module in row] for row in segno.make(text, error="m", micro=False).matrix]


def side(text: str) -> float:
    """Side of the code with its quiet zone, in mm."""
    return (len(modules(text)) + 2 * QUIET) * MODULE


def svg(text: str, title: str) -> Markup:
    """The code, dark on white also on a dark screen."""
    from markupsafe import Markup, escape

    rows = modules(text)
    count = len(rows) + 2 * QUIET
    runs = "".join(f"M{x + QUIET} {y + QUIET}h1v1h-1z" for y, row in enumerate(rows) for x, dark in enumerate(row) if dark)
    size = side(text)
    return Markup(  # (numbers from here; the only text is escaped)
        f'<svg xmlns="http://www.w3.org/2000/svg" class="qr" role="img" width="{size}mm" height="{size}mm" '
        f'viewBox="0 0 {count} {count}"><title>{escape(title)}</title><rect width="{count}" height="{count}" fill="#ffffff"/>'
        f'<path d="{runs}" fill="#000000"/></svg>'
    )
