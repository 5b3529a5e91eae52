"""The language of a page: its catalogue, its decimal sign, its paper."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

from baybook.language import CORE, DECIMAL_SIGNS, NAME, catalogue
from baybook.language import read_catalogue as read_catalogue
from baybook.message import Message

LANGUAGES = DECIMAL_SIGNS
OWN_CATALOGUE = "baybook_cards"
POINT = re.compile(r"(?<=\d)\.(?=\d)")
LISTED = re.compile(r"(, | and )")
PLACES = {
    "{}": r"([-\u2212]?\d+(?:\.\d+)?(?:e[-+]?\d+)?(?: ± \d+(?:\.\d+)?)?)",
    "{text}": r"([^\4]+?)",
    "{list}": r"([^\4]+?)",
}
"""What a place in a message stands for: a number, another text, several texts with commas or "and" between them."""
MEASURED = re.compile(f"{PLACES['{}']}( \\S+)?")
"""A number with its unit; any other text that no catalogue has is somebody's own, dates and all."""
PLACES_NAMED = re.compile(r"\{\w+\}")
PLACE = re.compile(r"(\{(?:text|list)?\})")


def pattern_of(message: str) -> re.Pattern[str]:
    """What finds the texts that a message with places stands for."""
    return re.compile("".join(PLACES.get(part, re.escape(part)) for part in PLACE.split(message)))


@dataclass(frozen=True)
class Language:
    """A language with the messages of one or more catalogues; unknown messages stay English."""

    code: str
    decimal: str = "."
    messages: Mapping[str, str] = field(default_factory=dict)

    def text(self, message: str) -> str:
        """The message in this language, or as it is."""
        return self.told(message) or message

    def word(self, word: str, context: str = NAME) -> str:
        """A word that has a context, as a message holds it; as a person reads it."""
        plain = word.replace("_", " ")
        return self._known(f"{context}\4{plain}") or self.text(plain)

    def named(self, name: str, word: str = "") -> str:
        """The name of an input or output, or a word that it takes; names may be told otherwise than the same word in a text."""
        context, message = (name, word) if word else (NAME, name)
        return self._known(f"{context}\4{message}") or self.text(message)

    def told(self, message: str) -> str | None:
        """The message in this language, or None where no catalogue has it.

        Known too are a message that differs from a known one in its first capital alone; one that a message with places stands
        for ("from 400 bar" is found as "from {} bar"; see `PLACES`), the translation taking its parts in turn; and several
        known ones with semicolons between them.
        """
        if isinstance(message, Message) and message.arguments:
            return message.text(self) if self._has(message) else None
        found = self._known(message)
        if found is None and message[:1].isupper() and (lower := self._known(message[:1].lower() + message[1:])):
            found = lower[:1].upper() + lower[1:]
        if found is None and "; " in message:
            parts = [self.told(part) for part in message.split("; ")]
            found = "; ".join(part for part in parts if part) if all(parts) else None
        return found

    def _has(self, message: Message) -> bool:
        """Whether a catalogue has the message, or none needs to: its template holds no word."""
        return message.template in self.messages or not any(map(str.isalpha, PLACES_NAMED.sub("", message.template)))

    def _known(self, message: str) -> str | None:
        found = self.messages.get(message)
        if found is not None or not message:
            return found
        for pattern, places, told in self._patterns:
            if match := pattern.fullmatch(message):
                parts = iter([self._part(place, text) for place, text in zip(places, match.groups(), strict=True)])
                return "".join(next(parts, piece) if PLACE.fullmatch(piece) else piece for piece in PLACE.split(told))
        return None

    @cached_property
    def _patterns(self) -> list[tuple[re.Pattern[str], list[str], str]]:
        """Messages with places, the one with the most letters of its own first."""
        held = [(message, told) for message, told in self.messages.items() if PLACE.search(message)]
        held.sort(key=lambda pair: len(PLACE.sub("", pair[0])), reverse=True)
        return [(pattern_of(message), PLACE.findall(message), told) for message, told in held]

    def _part(self, place: str, text: str) -> str:
        """A part of a message in this language."""
        if place == "{}":
            return self.figures(text)
        if place == "{text}":
            return self.measured(text)
        return "".join(self._piece(piece) for piece in LISTED.split(text))

    def _piece(self, piece: str) -> str:
        if LISTED.fullmatch(piece):
            return piece.replace("and", self.text("and"))
        return self.named(piece.replace("_", " "))

    def measured(self, text: str) -> str:
        """A number or a range with its unit in this language; any other text that no catalogue has as it is."""
        return self.told(text) or (self.figures(text) if MEASURED.fullmatch(text) else text)

    def figures(self, text: str) -> str:
        """A formula or a number with this language's decimal sign."""
        return POINT.sub(self.decimal, text)

    def number(self, value: float, decimals: int = 0) -> str:
        """`value` with `decimals` places, a true minus sign, and a narrow space in long whole numbers (ISO 80000-1)."""
        if decimals == 0 and abs(value) >= 10_000:
            shown = f"{abs(value):,.0f}".replace(",", "\u202f")
        else:
            shown = f"{abs(value):.{decimals}f}".replace(".", self.decimal)
        return ("\u2212" if value < 0 and float(f"{value:.{decimals}f}") != 0 else "") + shown


def language(code: str = "en", catalogues: tuple[str, ...] = ()) -> Language:
    """The language `code` with the messages of this package and of the named packages; `ValueError` if it isn't there.

    A package brings its messages as `baybook.language` says.
    """
    if code not in LANGUAGES:
        raise ValueError(f"{code!r} is not a language of the cards; there are {', '.join(sorted(LANGUAGES))}")
    messages: dict[str, str] = {}
    if code != "en":
        for package in dict.fromkeys((*catalogues, OWN_CATALOGUE, CORE)):
            messages = {**catalogue(package, code), **messages}
    return Language(code, LANGUAGES[code], messages)
