"""Safety symbols after ISO 7010 and ISO 3864, drawn here from plain geometry on a field of 100 by 100.

The shape carries the kind (triangle: warning; disc: must do; barred ring: must not; square: safe condition, fire
equipment), so that a symbol keeps its meaning on a grey printer.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Kind = Literal["warning", "mandatory", "prohibition", "safe", "fire"]
KINDS: dict[str, Kind] = {"W": "warning", "M": "mandatory", "P": "prohibition", "E": "safe", "F": "fire"}


@dataclass(frozen=True, slots=True)
class Symbol:
    """A symbol: its code, what it says, and its pictogram as SVG with the placeholder colour `currentColor`."""

    code: str
    meaning: str
    drawing: str

    @property
    def kind(self) -> Kind:
        """The kind, from the first letter of the code."""
        return KINDS[self.code[0]]


# Stroke helpers keep the drawings short; the ink is set by the enclosing group.
_LINE = 'fill="none" stroke="{ink}" stroke-linecap="round" stroke-linejoin="round"'

_DRAWINGS: dict[str, tuple[str, str]] = {
    "W001": (
        "general warning",
        '<rect x="45.5" y="34" width="9" height="29" rx="4" fill="{ink}"/><circle cx="50" cy="73" r="5.5" fill="{ink}"/>',
    ),
    "W012": ("electricity", '<path d="M55 30 L41 58 H50 L44 80 L62 50 H52 L60 30 Z" fill="{ink}"/>'),
    "W017": (
        "hot surface",
        f'<g {_LINE} stroke-width="4.5"><path d="M28 78 H72"/><path d="M38 70 C33 63 43 58 38 50"/>'
        '<path d="M50 70 C45 61 55 55 50 42"/><path d="M62 70 C57 63 67 58 62 50"/></g>',
    ),
    "W021": (
        "flammable material",
        '<path d="M51 32 C53 45 65 49 64 62 C63 71 57 75 50 75 C42 75 36 70 37 61 C38 55 42 53 43 46 C47 49 48 52 48 55 '
        'C52 49 52 41 51 32 Z" fill="{ink}"/><rect x="33" y="77" width="34" height="4.5" fill="{ink}"/>',
    ),
    # A jet and a hand: our own warning for injection through the skin; ISO 7010 has none, so it carries no ISO number.
    "W-JET": (
        "fluid jet can pierce the skin",
        f'<g {_LINE} stroke-width="3.4"><path d="M44 80 V50 Q44 46 47 46 Q50 46 50 50 V42 Q50 38 53 38 Q56 38 56 42 V46 '
        'Q56 43 59 43 Q62 43 62 47 V60 L66 57 Q70 55 71 59 L64 80 Z"/></g>'
        '<path d="M18 64 L74 67.5 V72.5 L18 76 Z" fill="{ink}"/>',
    ),
    "M002": (
        "read the instructions",
        '<path d="M50 44 C44 39 34 38 26 40 V70 C34 68 44 69 50 74 C56 69 66 68 74 70 V40 C66 38 56 39 50 44 Z" fill="{ink}"/>'
        '<path d="M50 46 V72" stroke="{ground}" stroke-width="3"/><circle cx="50" cy="27" r="7" fill="{ink}"/>',
    ),
    "M003": (
        "wear ear protection",
        f'<circle cx="50" cy="50" r="17" fill="{{ink}}"/><path d="M27 50 C27 22 73 22 73 50" {_LINE} stroke-width="5.5"/>'
        '<rect x="21" y="45" width="12" height="21" rx="5" fill="{ink}"/>'
        '<rect x="67" y="45" width="12" height="21" rx="5" fill="{ink}"/>',
    ),
    "M004": (
        "wear eye protection",
        '<path d="M24 46 H76 V54 C76 64 58 66 53 55 C52 52 48 52 47 55 C42 66 24 64 24 54 Z" fill="{ink}"/>'
        f'<path d="M24 46 L18 40 M76 46 L82 40" {_LINE} stroke-width="5"/>',
    ),
    "M009": (
        "wear protective gloves",
        '<path d="M36 80 V56 L29 47 C26 43 31 39 35 43 L40 49 V27 C40 22 46.5 22 46.5 27 V43 H48.5 V23 C48.5 18 55 18 55 23 '
        'V43 H57 V26 C57 21 63.5 21 63.5 26 V46 H65.5 V34 C65.5 29.5 71 29.5 71 34 V60 C71 67 66 71 66 76 V80 Z" '
        'fill="{ink}"/><rect x="35" y="82" width="32" height="4" fill="{ink}"/>',
    ),
    "P003": (
        "no open flame, no smoking",
        '<rect x="47" y="47" width="6" height="34" rx="1" fill="{ink}"/>'
        '<path d="M50 20 C53 29 60 33 59 40 C58 45 54 47 50 47 C46 47 41 45 42 39 C43 33 49 30 50 20 Z" fill="{ink}"/>',
    ),
    "F001": (
        "fire extinguisher",
        '<path d="M36 40 Q36 32 44 32 H50 Q58 32 58 40 V82 H36 Z" fill="{ink}"/><rect x="43" y="20" width="8" height="14" '
        'fill="{ink}"/>'
        f'<path d="M47 23 L66 17 M51 27 C66 27 70 34 70 50" {_LINE} stroke-width="5"/>',
    ),
    "E003": ("first aid", '<path d="M41 20 H59 V41 H80 V59 H59 V80 H41 V59 H20 V41 H41 Z" fill="{ink}"/>'),
    "E004": (
        "emergency telephone",
        '<path d="M26 25 C33 22 38 27 40 34 C41 38 36 41 37 44 C40 52 47 59 56 63 C59 64 62 59 66 60 C73 62 78 67 75 74 '
        'C72 80 64 81 57 78 C40 72 26 58 21 42 C19 35 20 28 26 25 Z" fill="{ink}"/>'
        '<path d="M73 22 H79 V30 H87 V36 H79 V44 H73 V36 H65 V30 H73 Z" fill="{ink}"/>',
    ),
}
"""Code: what the sign says, and its pictogram in `{ink}` on `{ground}`."""
SYMBOLS: dict[str, Symbol] = {code: Symbol(code, *parts) for code, parts in _DRAWINGS.items()}

COLOURS: dict[Kind, tuple[str, str, str]] = {
    # ground, edge, pictogram: the safety colours of ISO 3864-4 in a printable sRGB approximation.
    "warning": ("#ffd100", "#000000", "#000000"),
    "mandatory": ("#004c8c", "#004c8c", "#ffffff"),
    "prohibition": ("#ffffff", "#b3001b", "#000000"),
    "safe": ("#00663a", "#00663a", "#ffffff"),
    "fire": ("#b3001b", "#b3001b", "#ffffff"),
}
GREYS: dict[Kind, tuple[str, str, str]] = {
    "warning": ("#ffffff", "#000000", "#000000"),
    "mandatory": ("#000000", "#000000", "#ffffff"),
    "prohibition": ("#ffffff", "#000000", "#000000"),
    "safe": ("#000000", "#000000", "#ffffff"),
    "fire": ("#000000", "#000000", "#ffffff"),
}


def _frame(kind: Kind, ground: str, edge: str) -> str:
    if kind == "warning":
        return f'<path d="M50 8 L96 88 H4 Z" fill="{ground}" stroke="{edge}" stroke-width="7" stroke-linejoin="round"/>'
    if kind == "mandatory":
        # (a white edge, for a dark ground)
        return f'<circle cx="50" cy="50" r="48" fill="{ground}" stroke="#ffffff" stroke-width="4"/>'
    if kind == "prohibition":
        return f'<circle cx="50" cy="50" r="43" fill="{ground}"/>'
    return f'<rect x="2" y="2" width="96" height="96" rx="6" fill="{ground}"/>'


def _bar(kind: Kind, edge: str) -> str:
    """The ring and bar of a prohibition lie over the pictogram (ISO 3864-1)."""
    if kind != "prohibition":
        return ""
    return (
        f'<circle cx="50" cy="50" r="43" fill="none" stroke="{edge}" stroke-width="10"/>'
        f'<path d="M20.500 20.500 L79.500 79.500" stroke="{edge}" stroke-width="8.500"/>'
    )


def drawing(code: str, mono: bool = False) -> str:
    """SVG elements of a symbol on a 100 by 100 field. Raises `KeyError` for an unknown code."""
    symbol = SYMBOLS[code]
    ground, edge, ink = (GREYS if mono else COLOURS)[symbol.kind]
    pictogram = symbol.drawing.replace("{ink}", ink).replace("{ground}", ground)
    return _frame(symbol.kind, ground, edge) + pictogram + _bar(symbol.kind, edge)
