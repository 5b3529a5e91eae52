"""The language of a page: its catalogue, its decimal sign, its paper."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from importlib.resources import files
from importlib.resources.abc import Traversable

LANGUAGES: dict[str, str] = {"en": ".", "de": ","}
"""The languages that ship, each with its decimal sign."""
OWN_CATALOGUE = "baybook_cards"
NUMBER = re.compile(r"\d+(?:\.\d+)?")
POINT = re.compile(r"(?<=\d)\.(?=\d)")
PLACE = re.compile(r"\{\}")


def pattern_of(message: str) -> str:
    """The message as a catalogue holds it whose numbers differ from vehicle to vehicle: `{}` for each."""
    return NUMBER.sub("{}", message)


@dataclass(frozen=True, slots=True)
class Language:
    """A language with the messages of one or more catalogues; unknown messages stay English."""

    code: str
    decimal: str = "."
    messages: Mapping[str, str] = field(default_factory=dict)

    def text(self, message: str) -> str:
        """The message in this language, or as it is."""
        return self.told(message) or message

    def told(self, message: str) -> str | None:
        """The message in this language, or None where no catalogue has it.

        Known too are a message that differs from a known one in its first capital alone, and one that holds numbers where
        the catalogue has `{}`: "from 400 bar" is found as "from {} bar", and the translation's `{}` take the numbers in turn.
        """
        found = self._known(message)
        if found is None and (pattern := pattern_of(message)) != message and (found := self._known(pattern)):
            numbers = iter(NUMBER.findall(message))
            found = PLACE.sub(lambda place: self.figures(next(numbers, place[0])), found)
        return found

    def _known(self, message: str) -> str | None:
        found = self.messages.get(message)
        if found is None and (lower := self.messages.get(message[:1].lower() + message[1:])):
            return lower[:1].upper() + lower[1:]
        return found

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

    A package brings its messages as `locale/<code>/LC_MESSAGES/<package>.po` among its files.
    """
    if code not in LANGUAGES:
        raise ValueError(f"{code!r} is not a language of the cards; there are {', '.join(sorted(LANGUAGES))}")
    messages: dict[str, str] = {}
    for package in dict.fromkeys((*catalogues, OWN_CATALOGUE)):
        messages = {**_messages(package, code), **messages}
    return Language(code, LANGUAGES[code], messages)


@lru_cache(maxsize=32)
def _messages(package: str, code: str) -> dict[str, str]:
    """The messages of one package, empty where it has none for this language."""
    try:
        path = files(package).joinpath("locale", code, "LC_MESSAGES", f"{package.rpartition('.')[2]}.po")
    except ModuleNotFoundError:
        return {}
    return read_catalogue(path) if path.is_file() else {}


def read_catalogue(path: Traversable) -> dict[str, str]:
    """Messages of a `.po` file, fuzzy and empty ones left out."""
    from babel.messages.pofile import read_po

    with path.open("rb") as file:
        catalogue = read_po(file)
    pairs = ((m.id, m.string) for m in catalogue if not m.fuzzy)
    return {said: told for said, told in pairs if isinstance(said, str) and isinstance(told, str) and said and told}
