"""The bold picture of each card, told apart across the bay: drawn here on a field of 100 by 100, white on dark."""

from __future__ import annotations

from markupsafe import escape

_STROKE = 'fill="none" stroke="#ffffff" stroke-width="9" stroke-linecap="round" stroke-linejoin="round"'

PICTOGRAMS: dict[str, str] = {
    "hold": f'<path {_STROKE} d="M16 20V84H86"/><path {_STROKE} d="M22 30C44 34 60 58 84 66"/>',
    "returns": '<g fill="#ffffff"><path d="M14 60h14v24h-14z"/><path d="M34 56h14v28h-14z"/><path d="M54 22h14v62h-14z"/>'
    '<path d="M74 58h14v26h-14z"/></g>',
    "balance": '<g fill="#ffffff"><path d="M12 20h76v9h-76z"/><path d="M12 40h76v9h-76z"/><path d="M12 60h76v9h-76z"/>'
    '<path d="M12 80h50v9h-50z"/></g>',
    "coil": f'<path {_STROKE} d="M8 62h10c0-34 16-34 16 0c0-34 16-34 16 0c0-34 16-34 16 0c0-34 16-34 16 0h10"/>',
    "coil-table": f'<path {_STROKE} d="M40 14h18v46a18 18 0 1 1-18 0z"/><circle cx="49" cy="74" r="8" fill="#ffffff"/>',
    "regulator": f'<path {_STROKE} d="M10 76V30H38V76H66V30H90"/>',
    "regulators": f'<path {_STROKE} d="M12 28L50 52L12 76ZM88 28L50 52L88 76Z"/>',
    "leak-chart": f'<path {_STROKE} d="M16 16V84H86"/><path {_STROKE} d="M20 80L82 24"/>',
    "units": f'<path {_STROKE} d="M30 14V86M30 26H48M30 50H56M30 74H48M74 14V86"/>',
    "words": f'<path {_STROKE} d="M50 16L88 82H12ZM50 42V58"/>',
    "cranking": f'<path {_STROKE} d="M77 34A33 33 0 1 0 83 56M79 10V35H54"/>',
    "delivery": f'<path {_STROKE} d="M50 12V32M50 48L22 86M50 48V88M50 48L78 86"/>',
    "drive": f'<path {_STROKE} d="M8 84H24L36 16L46 50H72V84H92"/>',
    "drop": f'<path {_STROKE} d="M10 18H34V42H60V66H88"/><circle cx="84" cy="86" r="7" fill="#ffffff"/>',
    "fuel": '<path fill="#ffffff" d="M50 8C66 34 80 48 80 63A30 30 0 0 1 20 63C20 48 34 34 50 8Z"/>',
    "line": f'<path {_STROKE} d="M8 24H30C46 24 44 40 58 40H92M8 76H30C46 76 44 60 58 60H92"/>',
    "pump": f'<circle {_STROKE} cx="50" cy="50" r="37"/><path fill="#ffffff" d="M50 16L74 58H26Z"/>',
    "ripple": f'<path {_STROKE} d="M8 56C16 20 26 20 34 50S52 80 60 50S78 20 92 56"/>',
    "sensor": f'<path {_STROKE} d="M12 74A38 38 0 0 1 88 74M50 74L66 44"/>',
    "supply": f'<path {_STROKE} d="M12 44V86H62V44M37 70V20H86M74 8L86 20L74 32"/>',
    "target": f'<circle {_STROKE} cx="50" cy="50" r="36"/><circle cx="50" cy="50" r="15" fill="#ffffff"/>',
    "static-return": f'<path {_STROKE} d="M24 50V88H76V50"/>'
    '<path fill="#ffffff" d="M50 6C60 22 67 30 67 40A17 17 0 0 1 33 40C33 30 40 22 50 6Z"/>',
    "common-return": f'<path {_STROKE} d="M12 14L50 52M50 14V88M88 14L50 52"/>',
    "return-parts": f'<path {_STROKE} d="M10 40V82H28V40M41 40V82H59V40M72 40V82H90V40M19 14V24M50 14V24M81 14V24"/>',
    "stages": '<g fill="#ffffff"><circle cx="18" cy="50" r="11"/><circle cx="40" cy="50" r="11"/>'
    '<circle cx="62" cy="50" r="11"/><circle cx="84" cy="50" r="11"/></g>',
    "safety": f'<path {_STROKE} d="M8 50H40M46 22V84M60 16V84M74 24V84M88 36V84"/>',
    "first-aid": '<path fill="#ffffff" d="M38 12h24v26h26v24h-26v26h-24v-26h-26v-24h26z"/>',
    "inside-cover": '<path fill="#ffffff" d="M38 12h24v26h26v24h-26v26h-24v-26h-26v-24h26z"/>',
}  # fmt: skip


def drawing(name: str, title: str, mono: bool = False) -> str:
    """The picture of that card as SVG, for its badge, on black in grey print; of a card without one the first letter of its
    title."""
    how = 'x="50" y="80" text-anchor="middle" font-size="88" font-weight="700" font-family="Baybook" fill="#ffffff"'
    shape = PICTOGRAMS.get(name) or f"<text {how}>{escape(title[:1].upper())}</text>"
    ground = "#000000" if mono else "#00643c" if name in ("first-aid", "inside-cover") else "#0d4350"
    return (
        '<svg xmlns="http://www.w3.org/2000/svg" class="picture" viewBox="0 0 100 100" aria-hidden="true" role="presentation">'
        f'<title>{escape(title)}</title><rect width="100" height="100" rx="6" fill="{ground}"/>{shape}</svg>'
    )
