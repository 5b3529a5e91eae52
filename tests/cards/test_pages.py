"""Every card in every size: what a PDF reader finds on its pages."""

from __future__ import annotations

import io
import re

import pytest

from baybook.registry import registry
from baybook_cards.render import Paper, print_cards
from baybook_cards.sizes import LEAST_ARCMIN, size_named

from .conftest import CARDS, EACH, POINT, SIZES, Page, calculators

each = pytest.mark.parametrize(("name", "size"), EACH)
MOST_WORDS = 150
"""Words of the front of a test: what is read at a glance beside the vehicle."""
TESTS = sorted(name for name in CARDS if CARDS[name]().steps)


def squeezed(text: str) -> str:
    """Text without space, hyphens of line breaks and the marks that fonts draw in several ways."""
    return "".join(text.split()).replace("-", "")


def test_every_calculator_that_is_done_at_the_vehicle_has_a_card():
    """A card for each that has steps, beside the general ones; a conversion needs none."""
    assert {calculator.name for calculator in calculators() if calculator.how} <= set(CARDS)
    assert {"safety", "stages", "words", "units", "regulators", "balance", "first-aid"} <= set(CARDS)
    assert "convert" not in CARDS


@each
def test_a_card_is_one_front_and_one_back(printed, name, size):
    """One sheet for one task, and the renderer has nothing to complain of; one face may hold all of a key-ring card."""
    done = printed(name, size)
    assert len(done.pages) == 2 or (size == "ID-1" and len(done.pages) == 1)
    assert done.pdf.log == ()


@each
def test_the_page_has_the_size_that_was_asked_for(printed, name, size):
    wanted = size_named(size)
    for page in printed(name, size).pages:
        assert (page.width * POINT, page.height * POINT) == pytest.approx(wanted.oriented(), abs=0.01)


def test_cards_are_read_while_hands_are_busy():
    """common practice, no source: 600 mm beside the work, 400 mm for a card in the hand."""
    assert [size_named(size).distance for size in SIZES] == [600, 600, 400]


@each
def test_no_letter_is_too_small_for_the_reading_distance(printed, name, size):
    """NUREG-0700 rev. 2, 1.3.1-4: 16 minutes of arc at least, also for indices, ticks and sources."""
    done = printed(name, size)
    smallest = min(letter["size"] for page in done.pages for letter in page.letters if letter["text"].strip())
    assert LEAST_ARCMIN >= 16
    assert done.arcmin(smallest) >= LEAST_ARCMIN - 0.02


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


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("name", TESTS)
@pytest.mark.parametrize("language", ["en", "de"])
def test_the_front_is_read_at_a_glance(printed, name, size, language):
    """At most 150 words; units, letters and numbers are no words to read."""
    front = printed(name, size, language=language).pages[0].text
    units = {"bar", "mL", "min", "ohm", "mm"}
    words = [word for word in re.findall(r"[^\W\d_]{2,}", front) if word not in units]
    assert len(words) <= MOST_WORDS, len(words)


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("name", TESTS)
def test_the_front_holds_the_whole_task(printed, name, size):
    """One strong caution, who and when, entry, steps and end with what threatens at each; nothing of it overleaf."""
    card, front = CARDS[name](), squeezed(printed(name, size).pages[0].text)
    strong = card.strong or card.ordered_cautions[0]
    wanted = [
        strong.signal.upper(),
        strong.short or strong.text,
        "Job",
        "Date",
        "Vehicle",
        "By",
        "All true, or hands off",
        "End",
    ]
    wanted += [line.short or line.text for line in card.lines]
    wanted += [line.caution.short for line in card.lines if line.caution]
    assert [part for part in wanted if not all(squeezed(word) in front for word in part.split())] == []
    assert "left out here" not in printed(name, size).pages[0].text


@pytest.mark.parametrize("name", TESTS)
def test_there_is_a_box_for_every_line_and_a_blank_for_every_input_that_is_read(name):
    """What the lines of the card ask to be written down is what the steps read; a capture is a file, and no blank."""
    from baybook.fields import CaptureFile

    found, card = registry().calculator(name), CARDS[name]()
    reads = [read for read in found.how.reads if not isinstance(found.parameter(read).field, CaptureFile)]
    assert list(dict.fromkeys(slot.name for line in card.lines for slot in line.slots)) == reads
    assert [line.text for line in card.lines] == list(found.how)


@pytest.mark.parametrize("name", TESTS)
def test_the_boxes_and_blanks_are_on_the_paper(name):
    """As many squares to tick and rules to write on as the lines ask for, in the laid-out face."""
    from baybook_cards import html
    from baybook_cards.faces import faces_of
    from baybook_cards.language import language
    from baybook_cards.render import Setting

    card = CARDS[name]()
    size = size_named("A5")
    setting = Setting(Paper(size="A5"), size, language("en"), (card,))
    page = setting.face(faces_of(card, size)[0])
    slots = [slot for line in card.lines for slot in line.slots]
    boxes = sum(not line.bar for line in card.lines) + sum(len(slot.words) for slot in slots)
    assert page.count('class="box"') == boxes
    blanks = sum(bool(line.blank) for line in card.lines) + 1  # (and one for the emergency number, in the foot)
    assert page.count('class="write') == sum(not slot.words for slot in slots) + blanks
    assert page.count('<li class="bar">') == sum(line.bar and not line.danger for line in card.lines)
    assert page.count('<li class="bar danger">') == sum(line.danger for line in card.lines)
    assert html.badge(card, html.Look(language("en"), False, 4.0))


SIGNED = {"F001": "extinguisher", "M003": "ear protection", "M004": "goggles", "M009": "gloves"}
"""What a bar says on a screen, by the sign of ISO 7010 that is printed for it: wear ear, eye protection, protective gloves."""


@pytest.mark.parametrize("look", ["colour", "mono"])
@pytest.mark.parametrize("name", TESTS)
def test_what_is_worn_is_said_on_a_screen_and_drawn_on_paper(name, look):
    """A bar's words that its printed form lacks are those of its signs, and each sign is drawn in the bar, with its text."""
    from html import unescape

    from baybook_cards import symbols
    from baybook_cards.faces import faces_of
    from baybook_cards.language import language
    from baybook_cards.render import Setting
    from baybook_cards.screen import render_html

    card, size = CARDS[name](), size_named("A5")
    setting = Setting(Paper(size="A5", mono=look == "mono"), size, language("en"), (card,))
    page, screen = unescape(setting.face(faces_of(card, size)[0])), unescape(render_html([card]))
    drawn = re.findall(r'<li class="bar(?: danger)?">(.*?)</li>', page, re.S)
    bars = [line for line in card.lines if line.bar]
    assert len(drawn) == len(bars) and any(line.symbols for line in bars)
    for line, bar in zip(bars, drawn, strict=True):
        said = re.sub(r"<svg.*?</svg>", "", bar, flags=re.S)
        assert (line.short or line.text) in re.sub(r"<.*?>", "", said)
        alert = ["safety alert"] if line.danger else []
        assert re.findall(r"<title>(.*?)</title>", bar) == alert + [symbols.SYMBOLS[code].meaning for code in line.symbols]
        gone = [word for word in re.findall(r"\w+", line.text) if line.short and word not in re.findall(r"\w+", line.short)]
        assert gone == [word for code in sorted(line.symbols) for word in SIGNED[code].split()]
        assert f"{line.text}</li>" in screen


def test_a_bar_is_shortened_only_by_signs():
    from baybook.action import HoldPoint
    from baybook.errors import PluginError

    with pytest.raises(PluginError, match=r"shortened to 'Brake\.' without a sign"):
        HoldPoint("Brake; goggles.", short="Brake.")


@each
def test_a_caution_stands_above_everything_but_the_title(printed, name, size):
    page = printed(name, size).pages[0]
    card = CARDS[name]()
    word = (card.strong or card.ordered_cautions[0]).signal.upper()
    assert min(found["top"] for found in page.words if found["text"] == word) < page.height * (0.3 if size != "ID-1" else 0.4)


def test_danger_stands_only_where_it_threatens():
    """Cards that are read and not worked with begin with a notice."""
    calm = {name for name in CARDS if (CARDS[name]().strong or CARDS[name]().ordered_cautions[0]).signal == "notice"}
    assert {"units", "words", "stages"} <= calm
    assert not calm & set(TESTS)


def test_every_front_has_a_picture_of_its_own():
    """Told apart when blurred: the badges differ."""
    from baybook_cards import pictograms

    shapes = [pictograms.drawing(name, CARDS[name]().title).partition("</title>")[2] for name in CARDS]
    drawn = [name for name in CARDS if name in pictograms.PICTOGRAMS]
    assert {*TESTS, "units", "words", "stages", "safety", "first-aid"} <= set(drawn)
    assert len({shape for name, shape in zip(CARDS, shapes, strict=True) if name in drawn}) == len(drawn)


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("name", TESTS)
def test_the_back_says_what_the_result_means(printed, name, size):
    card, back = CARDS[name](), squeezed(printed(name, size).pages[1].text)
    parts = [told for meaning in card.meanings for told in (meaning.observation, meaning.says, meaning.next)]
    assert [part for part in parts if not all(squeezed(word) in back for word in part.split())] == []


def test_what_only_the_bench_needs_is_asked_for():
    card = CARDS["hold"]()
    assert print_cards([card], Paper(size="A5")).pages == 2
    assert print_cards([card], Paper(size="A5", all_leaves=True)).pages == 3


@pytest.mark.parametrize("size", [*SIZES, "ID-1"])
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


@pytest.mark.parametrize("size", [*SIZES, "ID-1"])
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


@pytest.mark.parametrize("orientation", ["portrait", "landscape"])
@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("language", ["en", "de"])
def test_what_to_mind_is_never_what_is_left_out(document, size, language, orientation):
    """Of every card, lying or standing: a drawing, a table, the sources go before a caution does."""
    from baybook_cards.language import language as speak

    paper = ({} if language == "en" else {"language": language}) | (
        {} if orientation == "portrait" else {"orientation": orientation}
    )
    done, mind = document(size, **paper), speak(language).text("Mind")
    left = speak(language).text("left out here:")
    backs = {
        name.removesuffix(" back"): page.text
        for name, page in zip(done.faces, done.pages, strict=True)
        if name.endswith("back")
    }
    due = [name for name in backs if len(CARDS[name]().cautions) > 1 or CARDS[name]().lines]
    assert due and [name for name in due if mind not in backs[name].partition(left)[0]] == []
    assert [name for name in due if mind in backs[name].partition(left)[2]] == []


@pytest.mark.parametrize("name", TESTS)
def test_the_foot_of_a_test_tells_whom_to_call(name):
    """Signs of first aid and emergency telephone, with the number where the shop gave one."""
    from baybook_cards.faces import faces_of
    from baybook_cards.language import language
    from baybook_cards.render import Setting

    card, size = CARDS[name](), size_named("A5")
    for number in ("", "112"):
        foot = Setting(Paper(size="A5", emergency=number), size, language("en"), (card,)).face(faces_of(card, size)[0])
        foot = foot[foot.index("<footer>") :]
        assert "first aid" in foot and "emergency telephone" in foot
        assert (f"<b>{number}</b>" if number else '<b class="write">') in foot


def test_the_card_of_the_valves_says_never_to_unplug_one_in_every_size(printed):
    for size in (*SIZES, "ID-1"):
        assert squeezed("Engine running: never unplug a pressure valve.") in squeezed(printed("regulators", size).pages[0].text)


def test_the_key_ring_card_of_safety_says_when_to_stop_and_whom_to_call(printed):
    front = squeezed(printed("safety", "ID-1").pages[0].text)
    for words in ("DANGER", "No fall: the rail is loaded, stop here.", "Key off and with you.", "Goggles", "Emergency number"):
        assert squeezed(words) in front, words


def test_the_key_ring_card_of_first_aid_sends_to_hand_surgery(printed):
    assert squeezed("be driven to hand surgery") in squeezed(printed("first-aid", "ID-1").pages[0].text)


def test_what_has_to_be_filled_in_is_said_only_while_it_is_empty():
    for number, said in (("", True), ("112", False)):
        done = print_cards([CARDS["first-aid"]()], Paper(size="A5", emergency=number))
        from .conftest import read_pages

        assert (squeezed("fill in before it hangs") in squeezed(read_pages(done.content)[0].text)) is said
