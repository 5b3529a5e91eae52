"""The language of a page: its catalogue, its decimal sign, its numbers."""

from __future__ import annotations

import re

from baybook import language as spoken
from baybook.language import DECIMAL_SIGNS, NAME
from baybook.language import read_catalogue as read_catalogue
from baybook.message import Message

LANGUAGES = DECIMAL_SIGNS
OWN_CATALOGUE = "baybook_cards"
PLACES = re.compile(r"\{\w+\}")
_NUMBER = r"[-\u2212]?\d+(?:\.\d+)?(?:e[-+]?\d+)?"
MEASURED = re.compile(rf"{_NUMBER}(?: ± \d+(?:\.\d+)?)?( \S+)?(?: \({_NUMBER} … {_NUMBER}\))?")
"""A number with its unit, and its interval; any other text that no catalogue has is somebody's own, dates and all."""


class Language(spoken.Language):
    """A language with the messages of one or more catalogues; unknown messages stay English."""

    __slots__ = ()

    def text(self, message: str) -> str:
        """The message in this language, or as it is."""
        return self.told(message) or message

    def named(self, name: str, word: str = "") -> str:
        """The name of an input or output, or a word that it takes; names may be told otherwise than the same word in a text."""
        context, message = (name, word) if word else (NAME, name)
        return self.messages.get(f"{context}\4{message}") or self.text(message)

    def told(self, message: str) -> str | None:
        """The message in this language, or None where no catalogue has it; one that begins with a capital is also found as one
        that does not."""
        if isinstance(message, Message) and message.arguments:
            return message.text(self) if self._has(message) else None
        found = self.messages.get(message)
        if found is None and message[:1].isupper() and (lower := self.messages.get(message[:1].lower() + message[1:])):
            found = lower[:1].upper() + lower[1:]
        return found

    def _has(self, message: Message) -> bool:
        """Whether a catalogue has the message, or none needs to: its template holds no word."""
        return message.template in self.messages or not any(map(str.isalpha, PLACES.sub("", message.template)))

    def measured(self, text: str) -> str:
        """A number with its unit, with this language's decimal sign; any other text that no catalogue has as it is."""
        return self.told(text) or (self.figures(text) if MEASURED.fullmatch(text) else text)

    def number(self, value: float, decimals: int = 0) -> str:
        """`value` with `decimals` places, a true minus sign, and a narrow space in long whole numbers (ISO 80000-1)."""
        if decimals == 0 and abs(value) >= 10_000:
            shown = f"{abs(value):,.0f}".replace(",", "\u202f")
        else:
            shown = f"{abs(value):.{decimals}f}".replace(".", self.decimal)
        return ("\u2212" if value < 0 and float(f"{value:.{decimals}f}") != 0 else "") + shown


def language(code: str = "en", catalogues: tuple[str, ...] = ()) -> Language:
    """The language `code` with the messages of this package and of the named ones; `ValueError` if it isn't there."""
    found = spoken.language(code, (*catalogues, OWN_CATALOGUE))
    return Language(code, found.decimal, found.messages)
