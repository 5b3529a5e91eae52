"""The engine's sentences and words as messages, which any language can say."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from ..language import Language
from ..message import Message, Word, places
from ..places.choice import NextTest
from ..places.place import OFF_MAP
from ..places.sentences import Sentence
from ..placing import OPENED, cautioned, touched
from ..registry import registry
from ..text import said
from .offered import offered_tests

if TYPE_CHECKING:
    from ..message import Argument

TOLD = ("stage", "side", "chance", "rest", "stages")
NAMES = ("part", "test", "first", "second", "others")
"""Arguments that are tests or parts; a sentence among them is a sentence."""
OUTSIDE = "outside the fuel system"
TELLS = ((0.5, "tells much"), (0.15, "tells some"), (0.0, "tells little"))
"""By the expected fall of entropy in bits."""
REASONS = {
    "contradiction": "to be repeated: it contradicts another test",
    "after repair": "to be repeated: it proves the repair",
    "another repaired": "to be repeated: it was outside before another part was repaired",
    "undecided": "to be repeated: it was undecided",
    "other condition": "to be repeated in the condition in which the complaint shows",
    "unmet": "to be repeated: what it needs was not met",
}


def sentence(found: Sentence) -> Message:
    """A sentence of the engine as a message."""
    return Message(found.template, **{name: _argument(name, found.arguments[name]) for name in places(found.template)})


def _argument(name: str, value: Sentence | str | int) -> Argument:
    if isinstance(value, int):
        return value
    if isinstance(value, Sentence):
        return sentence(value)
    text = str(value)
    if name == "places":
        return [Message.numbered(label) for label in text.split("; ")]
    if name in NAMES:
        return [test(each) for each in text.split("; ")]
    if name == "inputs":
        return [Word(each) for each in text.split(", ")]
    return [Message.of(each) for each in text.split(", ")] if name in TOLD else Message.numbered(text)


def test(name: str, made_on: str = "") -> Message:
    """A test, or a part, as it is named in a sentence: "returns (injector 3)"."""
    outer, _, inner = name.partition(" (")
    made_on = made_on or inner.removesuffix(")")
    if not made_on:
        return Message("{test}", test=_test(outer))
    return Message("{test} ({part})", test=_test(outer), part=Message.numbered(made_on))


def place(name: str, language: Language) -> str:
    """A place by its name, which commands and sheets take; in another language as a person reads it."""
    return said(placed(name), language)


def placed(name: str) -> Message:
    """A place by its name, and what is not on the map by where it is."""
    return Message.of(OUTSIDE) if name == OFF_MAP else Message.numbered(name)


def _test(name: str) -> str:
    """A calculator keeps its name in every language, because it is typed."""
    return name if name in {listed.name for listed in registry().listed()} else Message.numbered(name)


def next_test(found: NextTest) -> Message:
    """An open test in a line: what, on what, how long, what hands must do, how much it tells, why again, what to mind."""
    offered = offered_tests().get(found.test)
    hands = touched(offered.sense, offered.calculator) if offered else frozenset({OPENED.get(found.hands, "")})
    return cautioned(_line(found), hands)


def _line(found: NextTest) -> Message:
    tells = next(word for least, word in TELLS if found.gain >= least)
    made_on = [found.object, *found.also] if found.object else []
    name = Message("{test} ({part})", test=_test(found.test), part=[Message.numbered(each) for each in made_on])
    words: Mapping[str, Argument] = {
        "test": name if made_on else _test(found.test), "minutes": round(found.minutes), "hands": Message.of(found.hands),
        "tells": Message.of(tells),
    }  # fmt: skip
    if found.reason in REASONS:
        return Message("{test}: {minutes} min, {hands}, {tells}; {why}", **words, why=Message.of(REASONS[found.reason]))
    return Message("{test}: {minutes} min, {hands}, {tells}", **words)
