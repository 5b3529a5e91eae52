"""Paper and card sizes, and the letter height that each must keep.

The height rule is NUREG-0700 rev. 2, 1.3.1-4: h = 6.283 D MA / 21600, with D the reading distance, h in the same
unit, and MA the visual angle in minutes of arc; 16 is the minimum for reading, 20 to 22 preferred. "Height" is the
height of a capital letter.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Orientation = Literal["portrait", "landscape"]

BODY_ARCMIN = 22.0
"""Preferred height of steps, cautions and all other text."""
LEAST_ARCMIN = 16.0
"""Least height of anything at all."""
LEAST_SCALE = LEAST_ARCMIN / BODY_ARCMIN
"""How small the letters of a full face may get, as a share of the preferred ones."""
FINE = 0.76
"""Small print, as a share of the text that it stands below; never below the least height."""

CAPITAL_RATIO = 2048 / 2816
"""Height of a capital letter over the font size: OS/2 sCapHeight over unitsPerEm of the shipped font."""


@dataclass(frozen=True, slots=True)
class Size:
    """A card size in millimetres (upright), its reading distance, and which block priorities it has room for."""

    name: str
    width: float
    height: float
    distance: float
    detail: int
    safe: float
    natural: Orientation = "portrait"

    @property
    def font_size(self) -> float:
        """Body font size in mm that gives `BODY_ARCMIN` at the reading distance."""
        return letter_height(self.distance, BODY_ARCMIN) / CAPITAL_RATIO

    def oriented(self, orientation: Orientation | None = None) -> tuple[float, float]:
        """Width and height in mm as the card is held; its natural way without `orientation`."""
        short, long = sorted((self.width, self.height))
        return (short, long) if (orientation or self.natural) == "portrait" else (long, short)


def letter_height(distance: float, arcmin: float) -> float:
    """Height that `arcmin` minutes of arc cover at `distance` (NUREG-0700 rev. 2, 1.3.1-4); same unit as `distance`."""
    return 6.283 * distance * arcmin / 21600


def fine_size(size: Size, font_size: float) -> float:
    """Font size in mm of small print and of letters in drawings beside text of `font_size` mm."""
    return max(FINE * font_size, size.font_size * LEAST_SCALE)


def arcmin_of(height: float, distance: float) -> float:
    """The visual angle in minutes of arc of a letter of `height` at `distance` (the same rule turned round)."""
    return height * 21600 / (6.283 * distance)


# Sheets: ISO 216. Key-ring card: ISO/IEC 7810 ID-1. Distances: a sheet that lies or hangs beside the work while hands are busy,
# smaller cards in the hand (common practice, no source). Safe border: kept free for the laminate seal, and for what an office
# printer leaves white.
SIZES: dict[str, Size] = {
    size.name: size
    for size in (
        Size("A4", 210, 297, distance=600, detail=4, safe=11),
        Size("A5", 148, 210, distance=600, detail=3, safe=8.5),
        Size("A6", 105, 148, distance=400, detail=2, safe=6.5),
        Size("ID-1", 53.98, 85.60, distance=300, detail=1, safe=3.5, natural="landscape"),
    )
}
SHEETS: dict[str, tuple[float, float]] = {"A4": (210, 297), "A3": (297, 420)}
PUNCHED = 18.0
"""Inner margin in mm of a page that is punched: ring holes end 15 mm from the edge (ISO 838: centres at 12 mm, 6 mm wide)."""
BLEED = 3.0
"""Millimetres of ink beyond the cut."""
ID1_CORNER = 3.18
"""Corner radius of ID-1, inside the 2.88 to 3.48 mm of ISO/IEC 7810."""


def size_named(name: str) -> Size:
    """The size called `name`, in any case; raises `ValueError` with the choices."""
    for size in SIZES.values():
        if size.name.lower().replace("-", "") == name.strip().lower().replace("-", ""):
            return size
    raise ValueError(f"{name!r} is not a card size; there are {', '.join(SIZES)}")
