"""Every card in every size in German, and laid the other way in both languages: longer words and narrower columns."""

from __future__ import annotations

import re

import pytest

from baybook.cards.translate import texts_of
from baybook_cards.language import language as language_named
from baybook_cards.screen import render_html

from .conftest import CARDS, EACH, SIZES, calculators
from .test_pages import TESTS, overlapping, squeezed

PACKAGES = tuple(dict.fromkeys(calculator.package for calculator in calculators()))
GERMAN = language_named("de", PACKAGES)


@pytest.mark.parametrize(("name", "size"), EACH)
def test_a_german_card_has_its_pages_and_keeps_what_keeps_hands_safe(printed, name, size):  # type: ignore[no-untyped-def]
    """A front and a back, nothing logged or overlapping; the strong caution and every line are on the front."""
    card, done = CARDS[name](), printed(name, size, language="de")
    say = language_named("de", (card.catalogue,)).text
    assert len(done.pages) == 2 or (size == "ID-1" and len(done.pages) == 1)
    assert done.pdf.log == ()
    assert all(overlapping(page) == [] for page in done.pages)
    front = squeezed(done.pages[0].text)
    strong = card.strong or card.ordered_cautions[0]
    wanted = [say(strong.short or strong.text)]
    wanted += [say(line.short or line.text) for line in card.lines]
    for part in wanted:
        assert all(squeezed(word) in front for word in part.split()), part


@pytest.mark.parametrize("name", sorted(CARDS))
def test_a_german_card_writes_its_numbers_with_a_comma(name):  # type: ignore[no-untyped-def]
    """In formulas, worked lines, tables and drawings; sources keep the numbers of chapters and versions."""
    page = render_html([CARDS[name]()], language="de")
    parts = re.findall(r'<p class="formula">.*?</p>|<ol class="worked">.*?</ol>|<table class="data">.*?</table>', page, re.S)
    parts += re.findall(r"<text[^>]*>(.*?)</text>", page, re.S)
    assert not [part for part in parts if re.search(r"\d\.\d", part)]


@pytest.mark.parametrize("language", ["en", "de"])
@pytest.mark.parametrize("size", SIZES)
def test_every_card_can_be_laid_the_other_way(document, size, language):  # type: ignore[no-untyped-def]
    """The way that is not the size's own: across."""
    done = document(size, language=language, orientation="landscape")
    assert done.pdf.log == ()
    assert [pairs for page in done.pages if (pairs := overlapping(page))] == []


def stands(word: str, text: str) -> bool:
    """Whether a word is there, whole or, where it is long, hyphenated at the end of a line of its column."""
    cuts = range(4, len(word) - 3) if len(word) > 11 else ()
    return word in text or any(word[:cut] in text and word[cut:] in text for cut in cuts)


@pytest.mark.parametrize("language", ["en", "de"])
@pytest.mark.parametrize("size", SIZES)
def test_what_a_result_means_stands_on_the_back_also_across_and_in_german(document, size, language):  # type: ignore[no-untyped-def]
    """A card is turned over for it: no back is without it, however long the words and narrow the page."""
    papers = [{"language": language, "orientation": "landscape"}] + ([{"language": "de"}] if language == "de" else [])
    missing = []
    for paper in papers:
        done = document(size, **paper)
        for name in TESTS:
            card = CARDS[name]()
            say = language_named(language, (card.catalogue,)).text
            back = squeezed(done.of(name).pages[1].text)
            told = [say(part) for meaning in card.meanings for part in (meaning.observation, meaning.says, meaning.next)]
            missing += [(name, part) for part in told if not all(stands(squeezed(word), back) for word in part.split())]
    assert missing == []


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
