"""The shipped calculators speak German on their cards: nothing lacks, nothing is left over."""

from __future__ import annotations

from importlib.resources import files

import pytest

from baybook.cards.build import card_of
from baybook.cards.translate import texts_of
from baybook.registry import registry
from baybook_cards.language import language, read_catalogue


def shipped() -> list[str]:
    """The calculators of Baybook's own plugins, as the index lists them."""
    known = registry()
    own = {plugin.name for plugin in known.index.plugins() if plugin.distribution == "baybook"}
    return [listed.name for listed in known.listed() if listed.plugin in own]


def texts(name: str) -> tuple[str, ...]:
    """Every text of the calculator's card."""
    return texts_of(card_of(registry().calculator(name)))


@pytest.mark.parametrize("name", shipped())
def test_every_text_of_a_calculators_card_is_translated(name: str) -> None:
    german = language("de", (registry().calculator(name).package,))
    assert [text for text in texts(name) if any(map(str.isalpha, text)) and german.told(text) is None] == []


@pytest.mark.parametrize("name", shipped())
def test_numbers_and_signs_in_a_text_survive_its_translation(name: str) -> None:
    """A limit or a factor must not change with the language; the decimal sign may."""
    package = registry().calculator(name).package
    folder = package.rpartition(".")[2]
    own = read_catalogue(files(package).joinpath("locale", "de", "LC_MESSAGES", f"{folder}.po"))
    assert own
    for message, told in own.items():
        figures = [digit for digit in message if digit.isdigit()]
        assert [digit for digit in told if digit.isdigit()] == figures, message


def test_what_a_job_fills_into_a_german_card_is_german() -> None:
    """Limits, words that were chosen, results with their interval: none stays English beside a decimal comma."""
    given = {
        "start": "350 ± 5 bar", "end": "310 ± 5 bar", "time": "25.0 s", "volume": "22 ± 2 mL", "limit": "max 4.5 mL/min; sheet",
        "outlet_valve": "driven-shut",
    }  # fmt: skip
    card, german = card_of(registry().calculator("hold"), given), language("de", ("baybook_plugins.hold",))
    slots = {slot.name: german.measured(slot.value) for line in card.lines for slot in line.slots}
    assert (slots["limit"], slots["outlet_valve"], slots["time"]) == ("höchstens 4,5 mL/min", "zugehalten", "25,0")
    told = [(german.measured(outcome.value), german.measured(outcome.against)) for outcome in card.outcomes]
    assert told
    assert all("." not in value and "," in value and against == "höchstens 4,5 mL/min" for value, against in told)
