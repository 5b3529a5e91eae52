"""Letter heights, paper sizes and contrast against published figures."""

from __future__ import annotations

import re
from importlib.resources import files

import pytest

from baybook_cards.sizes import (
    BODY_ARCMIN,
    CAPITAL_RATIO,
    ID1_CORNER,
    LEAST_ARCMIN,
    SHEETS,
    SIZES,
    arcmin_of,
    letter_height,
)


def luminance(colour: str) -> float:
    """Relative luminance of `#rrggbb` (WCAG 2.x)."""
    parts = [int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5)]
    linear = [part / 12.92 if part <= 0.03928 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two colours (WCAG 2.x)."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


@pytest.mark.parametrize(
    ("ink", "ground", "ratio"),
    [
        # WCAG 2.x: black on white is 21; 4.54 and 8.59 as printed for #767676 and #0000FF; the others by its formula.
        ("#000000", "#ffffff", 21.0),
        ("#767676", "#ffffff", 4.542),
        ("#777777", "#ffffff", 4.478),
        ("#595959", "#ffffff", 7.005),
        ("#0000ff", "#ffffff", 8.592),
        ("#ff0000", "#ffffff", 3.998),
        ("#000000", "#ffff00", 19.556),
    ],
)
def test_the_contrast_formula_gives_the_published_ratios(ink, ground, ratio):
    assert contrast(ink, ground) == pytest.approx(ratio, abs=1e-3)


def palettes() -> dict[str, dict[str, str]]:
    """The colours of each look, as the stylesheets hold them."""
    root = files("baybook_cards") / "styles"
    light, mono = re.findall(r"\{(.*?)\}", (root / "palette.css").read_text(), re.S)
    dark = re.search(r":root \{(.*?)\}", (root / "dark.css").read_text(), re.S)
    assert dark is not None
    found = {"light": colours(light)}
    found["mono"] = found["light"] | colours(mono)
    found["dark"] = found["light"] | colours(dark[1])
    return found


def colours(css: str) -> dict[str, str]:
    return dict(re.findall(r"--([a-z-]+): (#[0-9a-f]{6})", css))


INK_ON_GROUND = [
    ("ink", "paper"), ("quiet", "paper"), ("deep", "paper"), ("paper", "deep"), ("danger-ink", "danger"),
    ("warning-ink", "warning"), ("careful-ink", "careful"), ("notice-ink", "notice"),
]  # fmt: skip


@pytest.mark.parametrize("look", ["light", "mono", "dark"])
@pytest.mark.parametrize(("ink", "ground"), INK_ON_GROUND)
def test_every_ink_keeps_seven_to_one(look, ink, ground):
    """WCAG 2.x 1.4.6 asks for 7:1."""
    palette = palettes()[look]
    assert contrast(palette[ink], palette[ground]) >= 7


@pytest.mark.parametrize("name", ["drawing.css", "drawing-mono.css"])
def test_text_and_lines_of_drawings_stand_out(name):
    """Text in drawings 7:1; lines and marks 3:1 (WCAG 2.x 1.4.11)."""
    css = (files("baybook_cards") / "styles" / name).read_text()
    rules = dict(re.findall(r"\.([a-z0-9-]+) \{ (?:fill|stroke): (#[0-9a-f]{6})", css))
    assert contrast(rules["text"], "#ffffff") >= 7
    assert contrast(rules["on-deep"], re.search(r"\.deep \{ fill: (#[0-9a-f]{6})", css)[1]) >= 7
    assert contrast(rules["text"], re.search(r"\.shade \{ fill: (#[0-9a-f]{6})", css)[1]) >= 7
    for number in range(4):
        assert contrast(rules[f"ink{number}"], "#ffffff") >= 3


@pytest.mark.parametrize(
    ("distance", "arcmin", "height"),
    # NUREG-0700 rev. 2, 1.3.1-4, worked out with its own formula
    [(500, 16, 2.33), (500, 20, 2.91), (500, 22, 3.20), (1000, 16, 4.65), (1000, 22, 6.40)],
)
def test_letter_heights_follow_the_published_rule(distance, arcmin, height):
    assert letter_height(distance, arcmin) == pytest.approx(height, abs=0.005)
    assert arcmin_of(letter_height(distance, arcmin), distance) == pytest.approx(arcmin)


def test_the_rule_of_a_two_hundredth_is_seventeen_minutes():
    """h = D/200, common practice for signs: 17.19 minutes of arc."""
    assert arcmin_of(1000 / 200, 1000) == pytest.approx(17.19, abs=0.005)


def test_our_limits_keep_the_published_ones():
    """16 is the published minimum for reading, 20 to 22 preferred."""
    assert LEAST_ARCMIN >= 16
    assert BODY_ARCMIN >= 22


@pytest.mark.parametrize(
    ("name", "width", "height"),
    # ISO 216 (from memory; A7 is 74 x 105) and ISO/IEC 7810 ID-1
    [("A4", 210, 297), ("A5", 148, 210), ("A6", 105, 148), ("ID-1", 53.98, 85.60)],
)
def test_sizes_are_the_standard_ones(name, width, height):
    assert (SIZES[name].width, SIZES[name].height) == (width, height)


def test_each_a_size_is_half_the_next():
    """ISO 216: the longer side halves, rounded down to a millimetre."""
    assert SHEETS["A3"] == (297, 420)
    for larger, smaller in (("A4", "A5"), ("A5", "A6")):
        assert SIZES[smaller].height == SIZES[larger].width
        assert SIZES[smaller].width == SIZES[larger].height // 2


def test_key_ring_corner_is_inside_the_standard():
    """ISO/IEC 7810: 2.88 to 3.48 mm."""
    assert 2.88 <= ID1_CORNER <= 3.48


@pytest.mark.parametrize("name", ["Inter-Regular.otf", "Inter-Bold.otf"])
def test_capitals_of_the_font_are_as_high_as_its_tables_say(name):
    """The letter-height rule rests on the drawn height of H, read from the font itself."""
    from fontTools.pens.boundsPen import BoundsPen
    from fontTools.ttLib import TTFont

    with TTFont(files("baybook_cards") / "fonts" / name) as font:
        glyphs = font.getGlyphSet()
        pen = BoundsPen(glyphs)
        glyphs[font.getBestCmap()[ord("H")]].draw(pen)
        drawn = pen.bounds[3] / font["head"].unitsPerEm
        needed = "⚠Ωµ±≤≥°·√Δ−×÷→←↑↓²³äöüßÄÖÜ„“✓✗▲▼□■●ηρ∂∫≠≈"
        assert drawn == pytest.approx(CAPITAL_RATIO, abs=0.001)
        assert [sign for sign in needed if ord(sign) not in font.getBestCmap()] == []
