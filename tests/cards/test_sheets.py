"""Several cards on a sheet, bleed and marks, the binder."""

from __future__ import annotations

import io
import re

import pytest

from baybook.cards.data import Card, Caution, Section
from baybook_cards.faces import faces_of
from baybook_cards.imposition import EDGE, grid, sheets
from baybook_cards.render import Paper, print_cards
from baybook_cards.sizes import BLEED, SHEETS, SIZES

from .conftest import CARDS, POINT, laid_out, read_pages

BOUND = ("safety", "stages", "words", "coil")
A6 = (105.0, 148.0)
ID1 = (85.6, 53.98)


@pytest.mark.parametrize(
    ("sheet", "card", "bleed", "count"),
    [
        # ISO 216: each size is half the next, so an A4 holds two A5 or four A6 edge to edge, an A3 twice as many.
        ("A4", (148, 210), 0.0, 2),
        ("A4", A6, 0.0, 4),
        ("A3", A6, 0.0, 8),
        # With 3 mm of bleed about each and 5 mm of white edge, counted by hand.
        ("A4", A6, BLEED, 2),
        ("A3", A6, BLEED, 4),
        ("A4", ID1, BLEED, 9),
        ("A4", ID1, 0.0, 10),
    ],
)
def test_as_many_cards_as_fit(sheet, card, bleed, count):
    assert len(grid(SHEETS[sheet], card, bleed).corners) == count


@pytest.mark.parametrize("bleed", [0.0, BLEED])
@pytest.mark.parametrize("card", [A6, ID1])
def test_cards_on_a_sheet_never_touch_each_other_or_its_edge(card, bleed):
    """Cards with their bleed lie side by side; with bleed the white edge of an office printer stays free."""
    places = grid(SHEETS["A4"], card, bleed)
    edge = EDGE if bleed else 0.0
    for index, (x, y) in enumerate(places.corners):
        assert edge <= x - bleed + 1e-6 and x + card[0] + bleed <= places.width - edge + 1e-6
        assert edge <= y - bleed + 1e-6 and y + card[1] + bleed <= places.height - edge + 1e-6
        for other_x, other_y in places.corners[index + 1 :]:
            apart = abs(x - other_x) >= card[0] + 2 * bleed - 1e-6 or abs(y - other_y) >= card[1] + 2 * bleed - 1e-6
            assert apart


def cards_of(names, size):
    return [faces_of(CARDS[name](), SIZES[size]) for name in names]


def test_backs_lie_behind_their_fronts():
    """Turned over along the upright edge, each back covers its own front: x counts from the other side."""
    names = ["safety", "stages", "words", "units", "balance"]
    cards = cards_of(names, "A6")
    places = grid(SHEETS["A4"], A6, 0.0)
    printed = sheets(cards, places)
    assert len(printed) == 4
    for front, back in (printed[:2], printed[2:]):
        assert len(front.places) == len(back.places)
        for one, other in zip(front.places, back.places, strict=True):
            assert one.face.card.name == other.face.card.name
            assert (one.face.side, other.face.side) == ("front", "back")
            assert one.x + A6[0] + other.x == pytest.approx(places.width)
            assert one.y == other.y


def test_single_sided_sheets_show_every_face_once():
    cards = cards_of(["safety", "stages"], "A6")
    shown = [place.face for sheet in sheets(cards, grid(SHEETS["A4"], A6, 0.0), double_sided=False) for place in sheet.places]
    assert shown == [face for faces in cards for face in faces]


@pytest.mark.parametrize("marks", [False, True])
def test_a_sheet_prints_its_cards_at_full_size_and_silently(marks):
    """The letters on a sheet are as large as on the card alone, and nothing is logged."""
    paper = Paper(size="A6", sheet="A4", marks=marks, date="2026-11-25")
    done = print_cards([CARDS[name]() for name in ("safety", "words")], paper)
    assert (done.pages, done.log) == (2, ())
    page = read_pages(done.content)[0]
    assert sorted(round(side * POINT) for side in (page.width, page.height)) == [210, 297]
    alone = read_pages(print_cards([CARDS["safety"]()], Paper(size="A6", date="2026-11-25")).content)[0]
    assert {round(letter["size"], 2) for letter in alone.letters} <= {round(letter["size"], 2) for letter in page.letters}
    for word in ("Before", "touching", "Signs"):
        assert word in page.text


def test_the_same_card_may_stand_on_a_sheet_several_times():
    done = print_cards([CARDS["safety"]()] * 4, Paper(size="A6", sheet="A4"))
    assert (done.pages, done.log) == (2, ())
    assert read_pages(done.content)[0].text.count("Safety: before touching high-pressure fuel") == 4


def test_crop_marks_lie_outside_the_cards():
    """With bleed every mark keeps off the card; without, it stays in the safe border."""

    for bleed in (0.0, BLEED):
        places = grid(SHEETS["A4"], A6, bleed)
        (sheet,) = sheets([cards_of(["safety"], "A6")[0][:1]], places)
        x, y = places.corners[0]
        path = re.search(r' d="([^"]+)"', str(sheet.marks))[1]
        for start_x, start_y, way, length in re.findall(r"M([\d.]+) ([\d.]+)([vh])(-?[\d.]+)", path):
            ends = [float(start_x if way == "h" else start_y), float(start_x if way == "h" else start_y) + float(length)]
            low, high = (x, x + A6[0]) if way == "h" else (y, y + A6[1])
            inside = [low + 1e-6 < end < high - 1e-6 for end in ends]
            assert any(inside) == (bleed == 0.0)
            assert all(min(abs(end - low), abs(end - high)) <= max(BLEED, 2.0) for end in ends)


def test_marks_on_a_single_page_add_bleed_round_the_trim_size():
    import pikepdf

    content = print_cards([CARDS["safety"]()], Paper(size="A6", marks=True)).content
    with pikepdf.open(io.BytesIO(content)) as document:
        for page in document.pages:
            trim, media = ([float(v) for v in page[key]] for key in ("/TrimBox", "/MediaBox"))
            assert (trim[2] - trim[0]) * POINT == pytest.approx(105, abs=0.01)
            assert (trim[3] - trim[1]) * POINT == pytest.approx(148, abs=0.01)
            assert trim[0] - media[0] >= BLEED / POINT - 0.01


def test_the_thumb_tab_reaches_into_the_bleed():
    """Colour runs past the cut, so that a cut slightly off leaves no white line."""
    import pdfplumber

    content = print_cards([CARDS["stages"]()], Paper(size="A6", marks=True)).content
    with pdfplumber.open(io.BytesIO(content)) as document:
        cut = 105 / POINT  # the origin is the corner of the trimmed card
        tabs = [rect for rect in document.pages[0].rects if rect["fill"] and rect["x0"] < cut < rect["x1"]]
        assert max(tab["x1"] for tab in tabs) == pytest.approx(cut + BLEED / POINT, abs=0.1)


@pytest.fixture(scope="module")
def binder():
    paper = Paper(size="A6", binder=True, title="Handbook of the bay", date="2026-11-25")
    return print_cards([CARDS[name]() for name in BOUND], paper)


def test_the_binder_has_contents_bookmarks_and_numbers(binder):
    """Each title stands in the contents with its number, is a bookmark that leads to its front, which has the number too."""
    import pikepdf

    cards = [CARDS[name]() for name in BOUND]
    pages = read_pages(binder.content)
    assert binder.log == ()
    assert len(pages) == binder.pages <= 50
    with pikepdf.open(io.BytesIO(binder.content)) as document:
        with document.open_outline() as outline:
            marks = {str(item.title): item for item in outline.root}
        places = {page.objgen: index for index, page in enumerate(document.pages)}
        for number, card in enumerate(cards, 1):
            front = pages[places[marks[card.title].destination[0].objgen]]
            assert card.title.split()[0] in front.text and f"No. {number}" in front.text
            assert f"{number}. {card.title}"[:20] in pages[0].text
    assert pages[0].text.startswith("Handbook of the bay")


def test_a_binder_leaves_room_to_punch():
    """Ring holes end 15 mm from the edge (ISO 838): the inner margin is wider, on the left of fronts, on the right of backs."""
    done = print_cards([CARDS["hold"]()], Paper(size="A5", binder=True))
    front, back = read_pages(done.content)[-2:]
    assert min(letter["x0"] for letter in front.letters if letter["text"].strip()) * 25.4 / 72 > 15
    assert (back.width - max(letter["x1"] for letter in back.letters if letter["text"].strip())) * 25.4 / 72 > 15


def test_the_contents_take_as_many_pages_as_they_need():
    """On a small card the list runs on, numbered through."""
    cards = [Card(f"card-{n}", f"Card number {n} with a title of its own", (Caution("notice", "Mind"),)) for n in range(1, 13)]
    done = laid_out(cards, Paper(size="ID-1", binder=True))
    lists = [page for page, name in zip(done.pages, done.faces, strict=True) if name == "contents"]
    assert len(lists) > 1 and done.pdf.log == ()
    numbers = [word["text"] for page in lists for word in page.words if word["text"][:-1].isdigit() and word["text"][-1] == "."]
    assert numbers == [f"{number}." for number in range(1, 13)]


def test_the_contents_lead_to_the_cards(binder):
    """Every line of the contents is a link that a screen reader can name."""
    import pikepdf

    with pikepdf.open(io.BytesIO(binder.content)) as document:
        links = [note for note in document.pages[0].Annots if note.Subtype == "/Link"]
        assert len(links) >= len(BOUND)


def test_a_binder_of_too_many_pages_is_refused():
    with pytest.raises(ValueError, match="at most 100 pages"):
        print_cards([CARDS["safety"]()] * 51, Paper(size="A6"))


def one_sided(name: str) -> Card:
    """A card that has no back."""
    return Card(name, f"Card {name}", (Caution("notice", "Mind"),))


def two_sided(name: str) -> Card:
    """A card with a back."""
    return Card(name, f"Card {name}", (Caution("notice", "Mind"),), back=(Section("tale", "A line and more of it."),))


def sides(paper: Paper, cards: list[Card]) -> list[str]:
    """Which side of which card each page shows; "" for an empty page."""
    return laid_out(cards, paper).faces


def test_a_binder_printed_on_both_sides_has_its_fronts_on_the_right():
    """Odd pages are right-hand ones: an empty page follows a front that has no back; first aid is inside the cover."""
    cards = [CARDS["safety"](), one_sided("alone"), two_sided("other")]
    both = sides(Paper(size="A6", binder=True), cards)
    tail = ["other front", "other back"]
    first = ["contents", "inside-cover front", "safety front", "safety back", "alone front"]
    assert both == [*first, "", *tail]
    assert sides(Paper(size="A6", binder=True, double_sided=False), cards) == [*first, *tail]


def test_fronts_and_backs_never_shift():
    """Sheets of paper are pages in pairs: on each stands a front with its own back, or an empty one, also without a binder."""
    cards = [one_sided("alone"), two_sided("other"), one_sided("last")]
    shown = sides(Paper(size="A6"), cards)
    assert shown == ["alone front", "", "other front", "other back", "last front"]
    assert sides(Paper(size="A6", double_sided=False), cards) == [side for side in shown if side]


@pytest.mark.parametrize(
    ("paper", "duplex", "advice"),
    [
        (Paper(size="A6"), "/DuplexFlipLongEdge", "print at 100 %, on both sides, flip on the long edge"),
        (Paper(size="ID-1"), "/DuplexFlipShortEdge", "print at 100 %, on both sides, flip on the short edge"),
        (Paper(size="A6", sheet="A4"), "/DuplexFlipLongEdge", "print at 100 %, on both sides, flip on the long edge"),
        (Paper(size="A5", sheet="A4"), "/DuplexFlipShortEdge", "print at 100 %, on both sides, flip on the short edge"),
        (Paper(size="A6", double_sided=False), "/Simplex", "print at 100 %"),
    ],
)
def test_the_file_says_how_it_is_to_be_printed(paper, duplex, advice):
    """ISO 32000-1, table 150. Backs are mirrored about the upright edge: the short one of a page that lies across."""
    import pikepdf

    done = print_cards([two_sided("one"), one_sided("other")], paper)
    assert done.advice == advice
    with pikepdf.open(io.BytesIO(done.content)) as document:
        assert str(document.Root.ViewerPreferences.Duplex) == duplex
        assert str(document.Root.ViewerPreferences.PrintScaling) == "/None"
        across = document.pages[0].MediaBox[2] > document.pages[0].MediaBox[3]
    assert across == ("Short" in duplex)


def test_a_sheet_of_fronts_without_backs_gets_an_empty_back():
    """Else the next fronts would be printed behind it."""
    cards = [one_sided(str(number)) for number in range(5)] + [CARDS["safety"]()] * 4
    faces = [faces_of(card, SIZES["A6"]) for card in cards]
    printed = sheets(faces, grid(SHEETS["A4"], A6, 0.0))
    assert [[place.face.side for place in sheet.places] for sheet in printed][1] == []
    assert len(printed) % 2 == 0
    only_fronts = sheets(faces[:5], grid(SHEETS["A4"], A6, 0.0))
    assert len(only_fronts) == 2
