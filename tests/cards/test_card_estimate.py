"""The estimate of a face's height and of a text's lines, against what the renderer makes of them."""

from __future__ import annotations

import pytest

from baybook_cards import advances, render
from baybook_cards.estimate import Estimate
from baybook_cards.render import Paper, spoken_cards
from baybook_cards.sizes import size_named

from .conftest import CARDS, DATE, POINT, laid_out


@pytest.mark.parametrize("bold", [False, True])
def test_a_word_is_as_wide_as_on_the_page(printed, bold):
    """Every longer word of a printed card, in em, as a PDF reader measures it; kerning and the other "l" move it by little.

    Signal words and the title, which are spaced otherwise, are not among them.
    """
    words = [
        (word["text"], (word["x1"] - word["x0"]) / word["size"])
        for page in printed("hold", "A4").pages
        for word in page.words
        if word["text"].isalpha() and len(word["text"]) > 4 and ("Bold" in word["fontname"]) == bold
        if not word["text"].isupper() and word["size"] < 1.5 * size_named("A4").font_size / POINT
    ]
    assert len(words) > 10
    assert [(text, wide) for text, wide in words if advances.width(text, bold) != pytest.approx(wide, rel=0.03)] == []


def test_lines_break_at_spaces_and_hyphens_and_long_words_anywhere():
    """Counted by hand, in a font where every figure is as wide as "0"."""
    figure = advances.width("0")
    assert advances.lines("00 00 00", 5 * figure) == 2  # (a space is narrower than a figure)
    assert advances.lines("00-00-00", 3 * figure) == 3
    assert advances.lines("0" * 10, 4.5 * figure) == 3
    assert advances.lines("", 10) == 1
    assert advances.width("1" * 7) == pytest.approx(7 * figure)


@pytest.mark.parametrize("language", ["en", "de"])
@pytest.mark.parametrize("way", ["portrait", "landscape"])
@pytest.mark.parametrize("size", ["A4", "A5", "A6"])
def test_faces_are_about_as_high_as_was_estimated(monkeypatch, size, way, language):
    """Within a line and a half for every face of every card, so that hardly any page has to be laid out twice.

    What is left free on the page is measured from the last letter, below which every block keeps about half an em. A face
    that was laid out and found too high gives something up before it is laid out again, and its card may come out with other
    faces; so the faces are those that were printed, and of the ones found too high it is asked by how much.
    """
    faces, short = {}, {}
    settled, found_short = render._settled, render._short

    def settle(*given):
        cards, done = settled(*given)
        faces.update({face.name: face for card in cards for face in card})
        return cards, done

    def find_short(face, *given):
        return short.setdefault(face.name, found_short(face, *given))

    monkeypatch.setattr(render, "_settled", settle)
    monkeypatch.setattr(render, "_short", find_short)
    paper = Paper(size=size, orientation=way, language=language, date=DATE)
    cards, sized = [make() for make in CARDS.values()], size_named(size)
    free = laid_out(cards, paper).free
    room = Estimate(sized, *sized.oriented(way), spoken_cards(cards, paper)[1])
    assert free.keys() == faces.keys()
    off = {name: free[name] / room.em - (room.room - room.height(face)) - 0.5 for name, face in faces.items()}
    assert {name: round(by, 2) for name, by in off.items() if abs(by) >= 1.92} == {}
    assert {name: round(by, 2) for name, by in short.items() if by >= 1.92} == {}
    assert len(short) <= 3
