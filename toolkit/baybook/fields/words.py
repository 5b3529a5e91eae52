"""Fields for what is no reading: a choice, a count, yes or no, a short text."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Any

from ..dataclass import dataclass, field
from ..errors import Refused
from .base import Field


@dataclass(frozen=True)
class Choice(Field):
    """One of several words; `words` maps each to what it means."""

    words: Mapping[str, str] = field(default_factory=dict, kw_only=True)

    def parse(self, raw: Any) -> str:
        """The word, however it is cased, or its beginning where that fits one alone. Raises Refused with the choices."""
        text = str(raw.get("text", "") if isinstance(raw, Mapping) else raw).strip().lower()
        fits = [word for word in self.words if word == text] or [word for word in self.words if text and word.startswith(text)]
        if len(fits) == 1:
            return fits[0]
        raise Refused("is not one of the choices", f"use {', '.join(self.words)}")

    def example(self) -> str:
        """The first word."""
        return next(iter(self.words), "")

    def schema(self) -> dict[str, Any]:
        """An enumeration."""
        return {"enum": list(self.words), "description": self.help}


@dataclass(frozen=True)
class Count(Field):
    """A whole number, exact. usual: one that serves as an example."""

    at_least: int = field(default=1, kw_only=True)
    at_most: int = field(default=1000, kw_only=True)
    usual: int | None = field(default=None, kw_only=True)

    def parse(self, raw: Any) -> int:
        """The number. Raises Refused."""
        text = str(raw.get("text", "") if isinstance(raw, Mapping) else raw).strip()
        if isinstance(raw, bool) or not (text.isascii() and text.lstrip("-").isdigit() and len(text) <= 12):
            raise Refused("is not a whole number", f"give one, such as {self.example()}")
        if not self.at_least <= int(text) <= self.at_most:
            raise Refused("is not possible here", f"give a whole number from {self.at_least} to {self.at_most}")
        return int(text)

    def example(self) -> str:
        """The usual number, the default, or one within the limits."""
        if self.usual is not None:
            return str(self.usual)
        return str(self.default if isinstance(self.default, int) else min(max(4, self.at_least), self.at_most))

    def schema(self) -> dict[str, Any]:
        """An integer within its limits."""
        return {"type": "integer", "minimum": self.at_least, "maximum": self.at_most, "description": self.help}


@dataclass(frozen=True)
class Flag(Field):
    """Yes or no; no where nothing is said."""

    default: Any = field(default=False, kw_only=True)

    def parse(self, raw: Any) -> bool:
        """The truth of a JSON boolean, or of yes and no. Raises Refused."""
        raw = raw.get("value") if isinstance(raw, Mapping) else raw
        text = str(raw).strip().lower()
        if text not in ("yes", "no", "true", "false"):
            raise Refused("is neither yes nor no", "give yes or no")
        return text in ("yes", "true")

    def record(self, value: bool) -> dict[str, Any]:
        """As yes or no."""
        return {**super().record(value), "text": "yes" if value else "no"}

    def example(self) -> str:
        """Yes."""
        return "yes"

    def schema(self) -> dict[str, Any]:
        """A boolean."""
        return {"type": "boolean", "description": self.help}


@dataclass(frozen=True)
class Text(Field):
    """A short text. suggests: what a shell may complete, as (text, what it is), of what is typed so far.

    known: texts that mean something of themselves, each with what it is; they are taken however they are cased, and completed.
    """

    known: Mapping[str, str] = field(default_factory=dict, kw_only=True)
    at_most: int = field(default=200, kw_only=True)
    suggests: Callable[[str], Iterable[tuple[str, str]]] | None = field(default=None, kw_only=True)

    def parse(self, raw: Any) -> str:
        """The text without space around it. Raises Refused for none and for too much."""
        text = str(raw.get("text", "") if isinstance(raw, Mapping) else raw).strip()
        if not text or len(text) > self.at_most:
            raise Refused("is empty" if not text else f"is longer than {self.at_most} characters", "give a short text")
        return next((known for known in self.known if known.casefold() == text.casefold()), text)

    def example(self) -> str:
        """The first that is known, else any text."""
        return next(iter(self.known), "text")


def near_names(text: str, names: Iterable[str], most: int = 3) -> list[str]:
    """The names that a text may mean: those that hold it, or all of its words, before those that are spelt nearly alike."""
    from difflib import get_close_matches

    listed, wanted = list(names), text.casefold().split()
    holding = [name for name in listed if wanted and all(word in name.casefold() for word in wanted)]
    return list(dict.fromkeys([*holding, *get_close_matches(text.casefold(), listed, n=most, cutoff=0.7)]))[:most]
