"""Every card in every size: what a PDF reader finds on its pages."""

from __future__ import annotations

import io

import pytest

from baybook_cards.render import Paper, print_cards
from baybook_cards.sizes import BODY_ARCMIN, CAUTION_ARCMIN, FINE_ARCMIN, size_named

from .conftest import CARDS, POINT, SIZES, Page, calculators

matrix = pytest.mark.parametrize("size", SIZES), pytest.mark.parametrize("name", sorted(CARDS))


def each(function):
    for mark in matrix:
        function = mark(function)
    return function


def squeezed(text: str) -> str:
    """Text without space, hyphens of line breaks and the marks that fonts draw in several ways."""
    return "".join(text.split()).replace("-", "")


def test_every_calculator_has_a_card():
    """A card for every calculator that ships, beside the general ones."""
    assert {calculator.name for calculator in calculators()} <= set(CARDS)
    assert {"safety", "stages", "words", "units", "regulators", "balance", "first-aid"} <= set(CARDS)


@each
def test_one_page_for_each_face_it_declares_and_nothing_logged(printed, name, size):
    """Each face says on its page which side of which leaf it is; the bank card has one leaf. The renderer has nothing to
    complain of."""
    done = printed(name, size)
    count = -(-len(done.pages) // 2)
    assert count <= {"A4": 2, "A5": 3, "A6": 2, "ID-1": 1}[size]
    for place, page in enumerate(done.pages):
        side, leaf = ("front", "back")[place % 2], f", leaf {place // 2 + 1}/{count}"
        assert f"·{side}{leaf if count > 1 else ''}" in page.text.replace("· ", "·")
    assert done.pdf.log == ()


@each
def test_the_page_has_the_size_that_was_asked_for(printed, name, size):
    wanted = size_named(size)
    for page in printed(name, size).pages:
        assert (page.width * POINT, page.height * POINT) == pytest.approx(wanted.oriented(), abs=0.01)


@each
def test_no_letter_is_too_small_for_the_reading_distance(printed, name, size):
    """NUREG-0700 rev. 2, 1.3.1-4: 16 minutes of arc at least, also for indices, ticks and sources."""
    done = printed(name, size)
    smallest = min(letter["size"] for page in done.pages for letter in page.letters if letter["text"].strip())
    assert done.arcmin(smallest) >= FINE_ARCMIN - 0.01


@each
def test_cautions_and_steps_are_large_enough(printed, name, size):
    """Cautions at 24 minutes of arc or more, steps and other body text at 22 or more."""
    done = printed(name, size)
    card = CARDS[name]()
    front = done.pages[0]
    for caution in card.cautions:
        first = (caution.short or caution.text).split()[0]
        sizes = [word["size"] for word in front.words if word["text"] in (first, caution.text.split()[0])]
        assert sizes and done.arcmin(max(sizes)) >= CAUTION_ARCMIN - 0.01
    if card.steps and size != "ID-1":
        words = [word["size"] for word in front.words if word["text"] == card.steps[-1].split()[0]]
        assert words and done.arcmin(max(words)) >= BODY_ARCMIN - 0.01


@each
def test_the_card_states_its_reading_distance(printed, name, size):
    for page in printed(name, size).pages:
        assert f"Read at {size_named(size).distance:.0f} mm" in page.text


@each
def test_nothing_leaves_the_safe_area(printed, name, size):
    """Text keeps clear of the cut by the safe border, so that a laminate can seal."""
    safe = size_named(size).safe / POINT
    for page in printed(name, size).pages:
        ink = [letter for letter in page.letters if letter["text"].strip()]
        assert min(letter["x0"] for letter in ink) >= safe - 1
        assert max(letter["x1"] for letter in ink) <= page.width - safe + 1
        assert min(letter["top"] for letter in ink) >= safe - 2
        assert max(letter["bottom"] for letter in ink) <= page.height - safe + 2


def overlapping(page: Page) -> list[tuple[str, str]]:
    """Pairs of words whose ink would touch: boxes cut down to the height of a capital."""
    boxes = []
    for word in page.words:
        slack = (word["bottom"] - word["top"]) * 0.2
        boxes.append((word["top"] + slack, word["bottom"] - slack, word["x0"] + 0.2, word["x1"] - 0.2, word["text"]))
    boxes.sort()
    found = []
    for index, (top, bottom, left, right, text) in enumerate(boxes):
        for other in boxes[index + 1 :]:
            if other[0] >= bottom:
                break
            if min(bottom, other[1]) > max(top, other[0]) and other[2] < right and left < other[3]:
                found.append((text, other[4]))
    return found


@each
def test_no_words_overlap(printed, name, size):
    for page in printed(name, size).pages:
        assert overlapping(page) == []


@each
def test_cautions_come_before_everything_but_the_title(printed, name, size):
    """The most serious signal word stands above every heading of the card."""
    page = printed(name, size).pages[0]
    card = CARDS[name]()
    word = card.ordered_cautions[0].signal.upper()
    panel = min(found["top"] for found in page.words if found["text"] == word)
    for heading in ("Proves", "Steps", "Formula"):
        below = [found["top"] for found in page.words if found["text"] == heading]
        assert all(top > panel for top in below)


@pytest.mark.parametrize("size", SIZES)
def test_only_the_shipped_font_is_used_and_it_is_embedded(document, size):
    """In the file that holds every card."""
    import pikepdf

    with pikepdf.open(io.BytesIO(document(size).pdf.content)) as opened:
        fonts = [
            found
            for found in opened.objects
            if isinstance(found, pikepdf.Dictionary) and found.get("/Type") == "/FontDescriptor"
        ]
        assert fonts
        for font in fonts:
            assert "Baybook" in str(font["/FontName"])
            assert "/FontFile3" in font or "/FontFile2" in font


@pytest.mark.parametrize("size", SIZES)
def test_the_file_is_tagged_and_archivable(document, size):
    """Of every card in one file: PDF/A-2a with its output intent, marked as PDF/UA-1, a tag tree, a language, a title, text for
    every drawing."""
    import pikepdf

    with pikepdf.open(io.BytesIO(document(size).pdf.content)) as opened:
        root = opened.Root
        assert bool(root.MarkInfo.Marked)
        assert str(root.Lang) == "en"
        assert bool(root.ViewerPreferences.DisplayDocTitle)
        assert "/OutputIntents" in root
        metadata = bytes(root.Metadata.read_bytes())
        assert b'pdfaid:part="2"' in metadata and b'pdfaid:conformance="A"' in metadata
        assert b'pdfuaid:part="1"' in metadata
        assert metadata.count(b"<rdf:RDF") == 1  # (ISO 16684-1 allows one)
        assert str(opened.docinfo["/Title"])
        figures = [o for o in opened.objects if isinstance(o, pikepdf.Dictionary) and o.get("/S") == "/Figure"]
        assert figures
        assert all(str(figure.get("/Alt", "")).strip() for figure in figures)
        assert all("/Annots" not in page or len(page.Annots) == 0 for page in opened.pages)


@pytest.mark.parametrize("size", ["A4", "A5", "A6"])
@pytest.mark.parametrize("name", sorted(CARDS))
def test_a_card_holds_everything_it_was_given(printed, name, size):
    """What a size is made for stands on it: on the smallest all but record, example and sources, which need a table's width."""
    done = printed(name, size)
    card = CARDS[name]()
    text = squeezed("".join(page.text for page in done.pages))
    parts = [*card.steps, *card.needs, card.proves]
    parts += [told for meaning in card.meanings for told in (meaning.observation, meaning.next)]
    parts += [term.meaning for term in card.formula.terms] if card.formula else []
    blocks = [block for block in (*card.front, *card.back) if not getattr(block, "on_small_alone", False)]
    parts += [block.title for block in blocks if block.priority <= size_named(size).detail]
    if size != "A6":
        parts += [*card.sources, *(row.what for row in card.record)]
        parts += [step.numbers.split()[0] for step in card.formula.example] if card.formula else []
    assert [part for part in parts if not all(squeezed(word) in text for word in part.split())] == []
    assert "left out here" not in "".join(page.text for page in done.pages)
    for caution in card.cautions:
        assert any(all(squeezed(word) in text for word in told.split()) for told in (caution.text, caution.short) if told)


def test_grey_pages_hold_no_colour():
    """With `mono` every ink is black, white or a grey."""
    import pdfplumber

    content = print_cards([CARDS["safety"]()], Paper(size="A5", mono=True)).content
    with pdfplumber.open(io.BytesIO(content)) as document:
        inks = [
            found[key]
            for page in document.pages
            for kind in (page.chars, page.rects, page.curves, page.lines)
            for found in kind
            for key in ("stroking_color", "non_stroking_color")
            if found.get(key)
        ]
    assert inks
    assert all(max(ink) - min(ink) < 0.01 for ink in inks if len(ink) == 3)
