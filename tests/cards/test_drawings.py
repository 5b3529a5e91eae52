"""Graphs, ladders, signs and codes: places on the paper follow from the numbers."""

from __future__ import annotations

import math
import re
from xml.etree import ElementTree

import pytest

from baybook.cards.data import Axis, Chart, Ladder, Rung, Series
from baybook.cautions import CardDataError
from baybook_cards import figures, ladders, plots, symbols, ticks
from baybook_cards.html import Look, plot_svg
from baybook_cards.language import LANGUAGES, language
from baybook_cards.pictures import PICTURES
from baybook_cards.qr import QUIET, modules, svg
from baybook_cards.sizes import LEAST_SCALE, SIZES, fine_size

from . import lettering

ENGLISH = language("en")


def chart(*series: Series, x: Axis | None = None, y: Axis | None = None) -> Chart:
    return Chart("Fall", x or Axis("time", "s"), y or Axis("pressure", "bar"), series)


def drawn(made: Chart) -> plots.Plot:
    return plots.layout(made, 120, 70, 3.0, ENGLISH)


@pytest.mark.parametrize(
    ("low", "high", "count", "expected"),
    [
        (0, 10, 5, [0, 2, 4, 6, 8, 10]),
        (0, 1, 4, [0, 0.25, 0.5, 0.75, 1.0]),
        (212, 350, 5, [250, 300, 350]),
        (-0.5, 0.5, 4, [-0.5, -0.25, 0, 0.25, 0.5]),
    ],
)
def test_ticks_are_round_numbers_inside_the_range(low, high, count, expected):
    assert ticks.linear_ticks(low, high, count) == pytest.approx(expected)


def test_ticks_of_a_logarithmic_axis_are_one_two_five():
    assert ticks.log_ticks(1, 100, 10) == pytest.approx([1, 2, 5, 10, 20, 50, 100])
    assert ticks.log_ticks(1, 1000, 5) == pytest.approx([1, 10, 100, 1000])


@pytest.mark.parametrize(("values", "decimals"), [([0, 10, 20], 0), ([0, 0.5, 1], 1), ([0.25], 2), ([1e-5], 5)])
def test_tick_labels_show_just_enough_decimals(values, decimals):
    assert ticks.decimals_for(values) == decimals


def test_points_stand_where_their_numbers_say():
    """Linear in both directions: equal steps of the data are equal steps on the paper, upwards is up."""
    plot = drawn(chart(Series("reading", (0.0, 5.0, 10.0), (0.0, 50.0, 100.0), "points")))
    (x0, y0), (x1, y1), (x2, y2) = plot.traces[0].marks
    assert (x1 - x0, y1 - y0) == pytest.approx((x2 - x1, y2 - y1), abs=0.01)
    assert x0 < x2 and y2 < y0
    by_label = {tick.label: tick.at for tick in plot.x_ticks}
    assert by_label["10"] == pytest.approx(x2) and by_label["0"] == pytest.approx(x0)


def test_a_logarithmic_axis_gives_each_decade_the_same_length():
    plot = drawn(chart(Series("", (1.0, 10.0, 100.0), (1.0, 1.0, 2.0), "points"), x=Axis("flow", scale="log")))
    x0, x1, x2 = (x for x, _ in plot.traces[0].marks)
    assert x1 - x0 == pytest.approx(x2 - x1, abs=0.01)


def test_everything_lies_inside_the_drawing_with_room_for_its_labels():
    series = [Series(f"a series with a long name {n}", (0.0, 12345.0), (-0.001, 0.002), "line") for n in range(4)]
    plot = drawn(chart(*series))
    assert 0 < plot.left < plot.right < plot.width and 0 < plot.top < plot.bottom < plot.height
    assert all(plot.left - 0.01 <= tick.at <= plot.right + 0.01 for tick in plot.x_ticks)
    assert all(plot.top - 0.01 <= tick.at <= plot.bottom + 0.01 for tick in plot.y_ticks)
    assert max(entry.y for entry in plot.legend) <= plot.height
    widest = max(len(tick.label) for tick in plot.y_ticks) * 3.0 * 0.5
    assert plot.left >= widest


def test_series_differ_by_dash_and_mark_and_not_by_colour_alone():
    lines = [Series(str(n), (0.0, 1.0), (0.0, float(n + 1)), "line") for n in range(4)]
    points = [Series(str(n), (0.0, 1.0), (0.0, float(n + 1)), "points") for n in range(4)]
    assert len({trace.dash for trace in drawn(chart(*lines)).traces}) == 4
    assert len({trace.mark for trace in drawn(chart(*points)).traces}) == 4


def test_a_band_is_closed_from_its_lower_to_its_upper_edge():
    plot = drawn(chart(Series("95 %", (0.0, 1.0), (1.0, 2.0), "band", (3.0, 4.0))))
    places = [tuple(map(float, place.split(","))) for place in plot.traces[0].points.split()]
    assert len(places) == 4
    assert places[0][0] == places[3][0] and places[0][1] > places[3][1]


@pytest.mark.parametrize(
    ("made", "message"),
    [
        (chart(), "chart 'Fall': time: no points, or one that is not a finite number"),
        (
            chart(Series("", (0.0, 1.0), (1.0, 1.0)), x=Axis("flow", scale="log")),
            "chart 'Fall': flow: a logarithmic axis can't show 0",
        ),
    ],
)
def test_a_chart_that_can_not_be_drawn_is_refused(made, message):
    with pytest.raises(plots.PlotError) as refused:
        drawn(made)
    assert str(refused.value) == message


def test_a_point_that_is_no_number_never_comes_to_a_chart():
    with pytest.raises(CardDataError, match="a number is not finite"):
        Series("", (0.0, math.nan), (0.0, 1.0))


def test_a_constant_is_drawn_in_the_middle():
    plot = drawn(chart(Series("", (0.0, 1.0), (5.0, 5.0), "points")))
    (_, y), _ = plot.traces[0].marks
    assert y == pytest.approx((plot.top + plot.bottom) / 2, abs=0.1)


def test_the_drawing_is_well_formed_and_says_what_it_shows():
    """Labels are escaped, every line has its fill or stroke from a class, the title tells a listener the axes."""
    made = chart(Series("<b>&", (0.0, 1.0), (0.0, 1.0)))
    text = str(plot_svg(made, 100, Look(ENGLISH, False, 4.0)))
    root = ElementTree.fromstring(text)
    title = root.find("{http://www.w3.org/2000/svg}title")
    assert title is not None and title.text == "Fall. Across: time (s); up: pressure (bar)."
    assert "<b>" not in text and "&lt;b&gt;&amp;" in text
    for element in root.iter("{http://www.w3.org/2000/svg}polyline"):
        assert element.get("class")
    assert all(re.search(rf"\.{name} {{", text) for name in ("line", "grid path", "axis", "text"))


def test_numbers_on_the_axes_follow_the_language():
    made = chart(Series("", (0.0, 1.0), (0.0, 0.5)))
    labels = {tick.label for tick in plots.layout(made, 120, 70, 3.0, language("de")).y_ticks}
    assert "0,1" in labels and not any("." in label for label in labels)


def test_equal_quantities_stand_level_on_a_ladder():
    """1 MPa is 10 bar (SI): both marks have the same height."""
    ladder = Ladder("p", (Rung("bar", 1.0), Rung("MPa", 0.1)), 1, 1000)
    bar, mpa = ladders.uprights(ladder, 100, 80, 3.0, ENGLISH)
    heights = {mark.label: mark.at for mark in bar.marks}
    for mark in mpa.marks:
        ten = ENGLISH.number(float(mark.label) * 10)
        if ten in heights:
            assert mark.at == pytest.approx(heights[ten], abs=0.01)
    assert bar.marks[0].at > bar.marks[-1].at
    assert bar.x < mpa.x


@pytest.mark.parametrize(("low", "high", "scale"), [(5, 5, "log"), (0, 5, "log"), (5, 1, "linear")])
def test_an_empty_ladder_is_refused(low, high, scale):
    with pytest.raises(ValueError, match="can't run"):
        Ladder("p", (Rung("bar", 1.0),), low, high, scale)


def test_the_unit_card_takes_its_factors_from_the_unit_table():
    """NIST SP 811: 1 bar is 14.503 77 psi and 1.019 716 kgf/cm2; 1 US gal/h is 63.090 2 mL/min."""
    from baybook_cards.general.units import factor

    assert factor("bar", "psi") == pytest.approx(14.50377, rel=1e-6)
    assert factor("bar", "kgf/cm2") == pytest.approx(1.019716, rel=1e-6)
    assert factor("US gal/h", "mL/min") == pytest.approx(63.0902, rel=1e-6)


@pytest.mark.parametrize("code", sorted(symbols.SYMBOLS))
@pytest.mark.parametrize("mono", [False, True])
def test_signs_are_drawn_inside_their_field_by_their_own_shape(code, mono):
    """ISO 3864-1: triangle warns, disc demands, barred ring forbids, square helps; the shape needs no colour."""
    picture = ElementTree.fromstring(f"<svg>{symbols.drawing(code, mono)}</svg>")
    first = picture[0]
    shape = {"W": ("path", "Z"), "M": ("circle", "48"), "P": ("circle", "43"), "E": ("rect", "96"), "F": ("rect", "96")}[
        code[0]
    ]
    assert first.tag == shape[0]
    assert shape[1] in "".join(first.attrib.values())
    assert (len(picture.findall("circle[@r='43']")) == 2) == (code[0] == "P")
    assert symbols.SYMBOLS[code].meaning
    assert "{" not in symbols.drawing(code, mono)


def test_the_signs_of_the_core_are_all_drawn():
    """Every code that a shipped caution names has a drawing."""
    from baybook import cautions

    named = {c for value in vars(cautions).values() if isinstance(value, cautions.Caution) for c in value.symbols}
    assert named <= set(symbols.SYMBOLS)


@pytest.mark.parametrize("name", sorted(figures.DRAWINGS))
@pytest.mark.parametrize("width", [90.0, 190.0])
@pytest.mark.parametrize("code", ["en", "de"])
def test_words_of_a_figure_fit_their_boxes(name, width, code):
    """Boxes lie inside the drawing and hold their lines, in both languages."""
    made = figures.named(name, width, 2.5, language(code))
    for box in made.boxes:
        assert box.x >= 0 and box.x + box.width <= made.width + 0.01
        assert box.y >= 0 and box.y + box.height <= made.height + 0.01
        assert len(box.lines) * made.text * 1.2 <= box.height
        assert all(len(line) * made.text * 0.5 <= box.width for line in box.lines)


def test_a_code_leads_back_to_its_text():
    """Read back by the standard's own rules: finder patterns in three corners, a quiet zone of four modules (ISO/IEC 18004)."""
    rows = modules("tel:112")
    size = len(rows)
    finder = [[True] * 7, [True, *[False] * 5, True]]
    for left, top in ((0, 0), (size - 7, 0), (0, size - 7)):
        assert rows[top][left : left + 7] == finder[0]
        assert rows[top + 1][left : left + 7] == finder[1]
    picture = ElementTree.fromstring(str(svg("tel:112", "code")))
    assert picture.get("viewBox") == f"0 0 {size + 2 * QUIET} {size + 2 * QUIET}"
    assert QUIET >= 4


MASKS = (
    lambda i, j: (i + j) % 2, lambda i, j: i % 2, lambda i, j: j % 3, lambda i, j: (i + j) % 3,
    lambda i, j: (i // 2 + j // 3) % 2, lambda i, j: i * j % 2 + i * j % 3, lambda i, j: (i * j % 2 + i * j % 3) % 2,
    lambda i, j: ((i + j) % 2 + i * j % 3) % 2,
)  # fmt: skip
"""Where a module is turned over, as remainder 0: ISO/IEC 18004:2015, table 10."""


LEVELS = {0b00: "M", 0b11: "Q", 0b10: "H"}
BLOCKS = {
    "M": {1: (16, 1), 2: (28, 1), 3: (44, 1), 4: (64, 2)},
    "Q": {1: (13, 1), 2: (22, 1), 3: (34, 2), 4: (48, 2)},
    "H": {1: (9, 1), 2: (16, 1), 3: (26, 2), 4: (36, 4)},
}
"""Codewords of data and blocks by level and version: ISO/IEC 18004:2015, tables 7 and 9, from memory."""


def decoded(rows: list[list[bool]]) -> str:
    """What a code of version 1 to 4, level M or higher, says in bytes or capitals: ISO/IEC 18004:2015, 7.4, 7.7, 7.9.

    Written from the standard, sharing nothing with the encoder: the format beside the finder, the mask, the zigzag of the
    codewords, their blocks, mode and count.
    """
    size = len(rows)
    version = (size - 17) // 4
    form = [rows[8][place] for place in (0, 1, 2, 3, 4, 5, 7, 8)]
    bits = int("".join("1" if bit else "0" for bit in form[:5]), 2) ^ 0b10101
    mask = MASKS[bits & 0b111]

    def free(i: int, j: int) -> bool:
        corner = (i < 9 and (j < 9 or j >= size - 8)) or (i >= size - 8 and j < 9)
        aligned = version > 1 and abs(i - (size - 7)) <= 2 and abs(j - (size - 7)) <= 2
        return not corner and not aligned and 6 not in (i, j)

    read, up = "", True
    for right in [*range(size - 1, 6, -2), *range(5, 0, -2)]:
        for i in range(size - 1, -1, -1) if up else range(size):
            read += "".join(str(int(rows[i][j] ^ (mask(i, j) == 0))) for j in (right, right - 1) if free(i, j))
        up = not up
    words = [read[place : place + 8] for place in range(0, len(read) - 7, 8)]
    count, blocks = BLOCKS[LEVELS[bits >> 3]][version]
    data = "".join(word for block in range(blocks) for word in words[block:count:blocks])
    return spelled(data)


CAPITALS = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:"


def spelled(data: str) -> str:
    """The text of the first segment; for versions 1 to 9: ISO/IEC 18004:2015, table 3."""
    mode, data = data[:4], data[4:]
    if mode == "0100":
        count, data = int(data[:8], 2), data[8:]
        return bytes(int(data[8 * place : 8 * place + 8], 2) for place in range(count)).decode()
    assert mode == "0010"
    count, data = int(data[:9], 2), data[9:]
    pairs = [divmod(int(data[11 * place : 11 * place + 11], 2), 45) for place in range(count // 2)]
    text = "".join(CAPITALS[high] + CAPITALS[low] for high, low in pairs)
    start = 11 * (count // 2)
    return text + (CAPITALS[int(data[start : start + 6], 2)] if count % 2 else "")


@pytest.mark.parametrize("text", [
    "tel:112", "tel:+4989123450", "https://shop.example/cards.html#hold", "D-101", "JOB 7/26", "https://shop.example/b/c#leak-chart",
])  # fmt: skip
def test_a_telephone_reads_what_a_code_was_made_for(text):
    assert decoded(modules(text)) == text


@pytest.mark.parametrize("code", sorted(LANGUAGES))
@pytest.mark.parametrize("name", sorted(figures.DRAWINGS))
def test_no_word_leaves_its_box(name, code):
    """On every size, at the letters that a full face may have."""
    seen = 0
    for size in (SIZES["A4"], SIZES["A5"], SIZES["A6"]):
        for scale in (1.0, LEAST_SCALE):
            width, text = size.width - 2 * size.safe, fine_size(size, scale * size.font_size)
            for box in figures.named(name, width, text, language(code)).boxes:
                bold = box.shape == "deep"
                assert set("".join(box.lines)) <= lettering.advances(bold).keys()
                assert all(lettering.width(line, bold) * text < box.width for line in box.lines), (size.name, scale, box)
                seen += 1
    assert seen or name == "signs"


@pytest.mark.parametrize("code", sorted(LANGUAGES))
@pytest.mark.parametrize("name", sorted(PICTURES))
def test_no_label_of_a_picture_leaves_it(name, code):
    """As wide as half an A5 or A6 face, at the letters that a full face may have; what it shows is told in words."""
    said = language(code)
    for size in (SIZES["A4"], SIZES["A5"], SIZES["A6"]):
        width, text = (size.width - 2 * size.safe) / 2 - 2, fine_size(size, LEAST_SCALE * size.font_size)
        drawn = figures.named(name, width, text, said)
        for note in drawn.notes:
            wide = lettering.width(note.text) * text
            left = note.x - {"start": 0.0, "middle": wide / 2, "end": wide}[note.anchor]
            assert left >= -0.5 and left + wide <= drawn.width + 0.5, (size.name, note)
            assert 0 < note.y <= drawn.height + 0.5, (size.name, note)
    assert code == "en" or said.told(PICTURES[name][1])


def test_an_axis_that_counts_has_whole_numbers_alone():
    """Injector 1, 2, 3: no tick between; with a unit the axis measures and may have one."""
    points = Series("flow", (1.0, 2.0, 3.0), (10.0, 20.0, 30.0), "points")
    counted = plots.layout(chart(points, x=Axis("injector")), 180, 70, 3.0, ENGLISH)
    assert [tick.label for tick in counted.x_ticks] == ["1", "2", "3"]
    measured = plots.layout(chart(points, x=Axis("time", "s")), 180, 70, 3.0, ENGLISH)
    assert "1.2" in [tick.label for tick in measured.x_ticks]


def test_what_is_compared_thing_by_thing_stands_on_zero_with_half_a_place_beside():
    """Four injectors between 20 and 26: their axis runs from 0.5 to 4.5 and the flow's from 0, so that alike looks alike."""
    points = Series("flow", (1.0, 2.0, 3.0, 4.0), (22.0, 24.0, 23.0, 23.0), "points")
    plot = plots.layout(Chart("t", Axis("injector", ""), Axis("flow", "mL/min"), (points,)), 87, 46, 3.1, language("en"))
    assert [tick.label for tick in plot.x_ticks] == ["1", "2", "3", "4"]
    first, second = plot.x_ticks[:2]
    assert first.at - plot.left == pytest.approx((second.at - first.at) / 2, abs=0.01)
    assert plot.y_ticks[0].label == "0" and plot.y_ticks[0].at == plot.bottom
