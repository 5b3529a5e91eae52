"""The shipped calculators speak German on their cards: nothing lacks, nothing is left over."""

from __future__ import annotations

from importlib.resources import files

import pytest

from baybook.cards.build import card_of
from baybook.cards.translate import texts_of
from baybook.registry import registry
from baybook_cards.language import language, read_catalogue

OWN = read_catalogue(files("baybook_plugins").joinpath("locale", "de", "LC_MESSAGES", "baybook_plugins.po"))


def shipped() -> list[str]:
    """The calculators of Baybook's own plugins, as the index lists them."""
    known = registry()
    own = {row[0] for row in known.index.of("plugin") if row[1] == "baybook"}
    return [listed.name for listed in known.listed() if listed.plugin in own]


def texts(name: str) -> tuple[str, ...]:
    """Every text of the calculator's card."""
    return texts_of(card_of(registry().calculator(name)))


@pytest.mark.parametrize("name", shipped())
def test_every_text_of_a_calculators_card_is_translated(name: str) -> None:
    german = language("de", ("baybook_plugins",))
    same_in_both = {text for text in texts(name) if not any(letter.isalpha() for letter in text)}
    lacking = [text for text in texts(name) if german.text(text) == text and text not in same_in_both]
    assert lacking == []


def test_no_translation_is_left_of_a_text_that_is_gone() -> None:
    said = {text for name in shipped() for text in texts(name)}
    said |= {text[:1].lower() + text[1:] for text in said}
    assert [message for message in OWN if message not in said] == []


def test_numbers_and_signs_in_a_text_survive_its_translation() -> None:
    """A limit or a factor must not change with the language; the decimal sign may."""
    for message, told in OWN.items():
        figures = [digit for digit in message if digit.isdigit()]
        assert [digit for digit in told if digit.isdigit()] == figures, message
