"""Languages: catalogues of messages, the decimal sign, and how numbers look. Light: on the way of every scalar command.

A package brings its messages as `locale/<code>/LC_MESSAGES/<package>.po` (gettext) among its files, `<package>` being the last
part of its name; a package inside another speaks with both catalogues, its own first.
"""

from __future__ import annotations

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping
    from importlib.resources.abc import Traversable

DECIMAL_SIGNS = {"en": ".", "de": ","}
"""The languages that ship, each with its decimal sign."""
NAME = "name"
"""Context (`msgctxt`) of the names of inputs and outputs."""
CORE = "baybook"
"""The core's own catalogue."""


class Language:
    """A language with the messages of one or more catalogues (context, \\4, message); what they lack stays English."""

    __slots__ = ("code", "decimal", "messages")

    def __init__(self, code: str, decimal: str = ".", messages: Mapping[str, str] | None = None) -> None:
        self.code, self.decimal, self.messages = code, decimal, messages or {}

    def text(self, message: str) -> str:
        """The message in this language, or as it is."""
        return self.messages.get(message) or message

    def word(self, word: str, context: str = NAME) -> str:
        """A word that has a context: a name of an input or output, or what it can be; as a person reads it."""
        plain = word.replace("_", " ")
        return self.messages.get(f"{context}\4{plain}") or self.text(plain)

    def figures(self, text: str) -> str:
        """A number or a formula with this language's decimal sign: each point between two digits."""
        if self.decimal == "." or "." not in text:
            return text
        parts = text.split(".")
        out = parts[0]
        for part in parts[1:]:
            out += (self.decimal if out[-1:].isdigit() and part[:1].isdigit() else ".") + part
        return out


ENGLISH = Language("en")


def language(code: str, packages: Iterable[str] = ()) -> Language:
    """The language of that code, with the messages of the named packages and the core's.

    Raises ValueError for one that is not there.
    """
    if code not in DECIMAL_SIGNS:
        raise ValueError(f"{code!r} is not a language that is there; use {', '.join(sorted(DECIMAL_SIGNS))}")
    messages: dict[str, str] = {}
    if code != ENGLISH.code:
        for package in dict.fromkeys((*packages, CORE)):
            messages = {**catalogue(package, code), **messages}
    return Language(code, DECIMAL_SIGNS[code], messages)


_read: dict[tuple[str, str], dict[str, str]] = {}


def catalogue(package: str, code: str) -> dict[str, str]:
    """The messages of a package, and of those that it lies in, in a language; empty where there are none."""
    if (package, code) not in _read:
        outer, _, name = package.rpartition(".")
        _read[package, code] = {**(catalogue(outer, code) if outer else {}), **_own(package, name, code)}
    return _read[package, code]


def _own(package: str, name: str, code: str) -> dict[str, str]:
    from importlib.resources import files

    try:
        path = files(package).joinpath("locale", code, "LC_MESSAGES", f"{name}.po")
    except (ModuleNotFoundError, TypeError):  # TypeError: a module that is no package, on Python 3.11
        return {}
    return read_catalogue(path) if path.is_file() else {}


def read_catalogue(path: Traversable) -> dict[str, str]:
    """Messages of a `.po` file, fuzzy and empty ones left out; a context stands before its message with a \\4 between them."""
    from babel.messages.pofile import read_po

    with path.open("rb") as file:
        found = read_po(file)
    pairs = ((f"{m.context}\4{m.id}" if m.context else m.id, m.string) for m in found if not m.fuzzy)
    return {said: told for said, told in pairs if isinstance(said, str) and isinstance(told, str) and said and told}
