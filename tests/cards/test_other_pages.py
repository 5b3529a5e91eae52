"""Every card in every size in German, and laid the other way in both languages: longer words and narrower columns."""

from __future__ import annotations

import re

import pytest

from baybook.cards.build import RECORD_ROWS, card_of, label
from baybook.cards.translate import texts_of
from baybook.declare import Parameter
from baybook.fields import Limits, Quantity
from baybook_cards.language import language as language_named
from baybook_cards.render import Paper, print_cards
from baybook_cards.screen import render_html
from baybook_cards.sizes import size_named

from .conftest import CARDS, SIZES, calculators, read_pages
from .test_pages import overlapping, squeezed

PACKAGES = tuple(dict.fromkeys(calculator.package for calculator in calculators()))
GERMAN = language_named("de", PACKAGES)


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("name", sorted(CARDS))
def test_a_german_card_has_its_pages_and_keeps_what_keeps_hands_safe(printed, name, size):  # type: ignore[no-untyped-def]
    """One page a face, nothing logged or overlapping; signal words, cautions, steps and the first formula are there."""
    card, done = CARDS[name](), printed(name, size, language="de")
    assert len(done.pages) <= {"A4": 4, "A5": 6, "A6": 4, "ID-1": 2}[size]
    assert done.pdf.log == ()
    assert size == "ID-1" or GERMAN.text("left out here:") not in "".join(page.text for page in done.pages)
    assert all(overlapping(page) == [] for page in done.pages)
    text = squeezed("".join(page.text for page in done.pages))
    wanted = [GERMAN.text(caution.short or caution.text) for caution in card.cautions] if size == "ID-1" else []
    wanted += [GERMAN.text(step) for step in card.steps] if size != "ID-1" else []
    for part in wanted:
        assert all(squeezed(word) in text for word in part.split()), part
    assert all(GERMAN.text(caution.signal.upper()) in text for caution in card.cautions)


@pytest.mark.parametrize("name", sorted(CARDS))
def test_a_german_card_writes_its_numbers_with_a_comma(name):  # type: ignore[no-untyped-def]
    """In formulas, worked lines, tables and drawings; sources keep the numbers of chapters and versions."""
    page = render_html([CARDS[name]()], language="de")
    parts = re.findall(r'<p class="formula">.*?</p>|<ol class="worked">.*?</ol>|<table class="data">.*?</table>', page, re.S)
    parts += re.findall(r"<text[^>]*>(.*?)</text>", page, re.S)
    assert not [part for part in parts if re.search(r"\d\.\d", part)]


def sample(parameter: Parameter) -> object:
    """Something to fill an input with."""
    field = parameter.field
    return [field.example()] * max(2, field.at_least_count) if field.many else field.example()


@pytest.mark.parametrize("name", [calculator.name for calculator in calculators()])
def test_a_filled_german_card_has_room_for_its_labels(name):  # type: ignore[no-untyped-def]
    """Rows that stand on a card only when their value was typed are longer than the usual ones in places."""
    calculator = next(found for found in calculators() if found.name == name)
    given = [p for p in calculator.parameters if isinstance(p.field, Quantity | Limits)]
    for start in range(0, len(given), RECORD_ROWS):
        some = given[start : start + RECORD_ROWS]
        done = print_cards([card_of(calculator, {p.name: sample(p) for p in some})], Paper(size="A4", language="de"))
        assert done.log == () and done.lost == ()
        text = squeezed("".join(page.text for page in read_pages(done.content)))
        first = some[0]
        assert all(squeezed(word) in text for word in GERMAN.text(label(first)).split())


@pytest.mark.parametrize("language", ["en", "de"])
@pytest.mark.parametrize("size", SIZES)
def test_every_card_can_be_laid_the_other_way(document, size, language):  # type: ignore[no-untyped-def]
    """The way that is not the size's own: across for sheets, upright for the bank card."""
    way = "landscape" if size_named(size).natural == "portrait" else "portrait"
    cards = [make() for make in CARDS.values()]
    done = document(size, **({"language": "de"} if language == "de" else {}), orientation=way)
    assert done.pdf.log == ()
    pages = done.pages
    assert [pairs for page in pages if (pairs := overlapping(page))] == []
    say = language_named(language, PACKAGES).text
    for card in cards if size != "ID-1" else ():
        headings = [say(block.title) for block in card.front] + [say("Steps"), say("Proves")]
        imprint = f"{card.name} · {say('revision')}"
        faces = [page.text for page in pages if imprint in page.text]
        front = faces[0]
        assert say("left out here:") not in "".join(faces), card.name
        assert any(all(word in front for word in heading.split()) for heading in headings), f"{card.name}: cautions alone"


@pytest.mark.parametrize("way", ["portrait", "landscape"])
def test_no_german_word_is_broken_without_a_hyphen(document, way):  # type: ignore[no-untyped-def]
    """On A6, where columns are narrowest: no page holds both parts of a long word that stands nowhere on it whole."""
    printed = document("A6", language="de", **({} if way == "portrait" else {"orientation": way}))
    broken = []
    for name, make in CARDS.items():
        card = make()
        texts = [GERMAN.text(text) for text in texts_of(card)]
        words = {word.strip(".,;:()") for text in texts for word in text.split()}
        long = {word for word in words if len(word) > 9 and not {"-", "/"} & set(word)}
        for page in printed.of(name).pages:
            seen = {word["text"].strip(".,;:()") for word in page.words}
            broken += [
                (name, word) for word in sorted(long - seen)
                for cut in range(2, len(word)) if {word[:cut], word[cut:]} <= seen and not {word[:cut], word[cut:]} & words
            ]  # fmt: skip
    assert broken == []
