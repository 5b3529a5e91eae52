"""A card for the key ring says on its front what it is carried for; nobody turns it over to learn that."""

from __future__ import annotations

from typing import Any

import pytest

from baybook.cards.data import Section

from .conftest import CARDS, SMALL


@pytest.mark.parametrize("name", SMALL)
def test_the_front_holds_more_than_a_warning(name: str, document: Any) -> None:
    """The first short list of the card stands on its front, whole."""
    card = CARDS[name]()
    short = next(block.short for block in (*card.front, *card.back) if isinstance(block, Section) and block.short)
    front = " ".join(document("ID-1").of(name).pages[0].text.split())
    assert [line for line in short if line not in front] == []
