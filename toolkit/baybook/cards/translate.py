"""Put a card's text into another language: every text of the card is looked up, its codes and units are not."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import fields, is_dataclass, replace
from typing import TypeVar, cast

from baybook.cards.data import Card

CODES = frozenset({
    "against", "blank", "catalogue", "chosen", "command", "date", "drawing", "expression", "half_width", "job", "lead",
    "letter", "name", "number", "numbers", "result", "revision", "scale", "side", "signal", "stage", "step", "step_title",
    "style", "symbol", "symbols", "unit", "value", "verdict", "words",
})  # fmt: skip
"""Fields that hold a code, a unit or a number: the same in every language, but for the decimal sign."""
_INDEX = re.compile(r"_(\{[^{}]*\}|\w+)")
_WORD = re.compile(r"[^\W\d_]{4,}")

T = TypeVar("T")


def translated(part: T, look_up: Callable[[str], str]) -> T:
    """A copy of a card, or of a part of one, with each text replaced by `look_up(text)`, an unknown one by itself."""
    return _walk(part, look_up)


def _walk(part: T, look_up: Callable[[str], str]) -> T:
    if isinstance(part, str):
        return cast(T, look_up(part)) if part else part
    if isinstance(part, tuple):
        return cast(T, tuple(_walk(item, look_up) for item in part))
    if is_dataclass(part) and not isinstance(part, type):
        texts = [f.name for f in fields(part) if f.init and f.name not in CODES]
        return replace(part, **{name: _walk(getattr(part, name), look_up) for name in texts})
    return part


def texts_of(card: Card) -> tuple[str, ...]:
    """Every text of a card that a catalogue should hold, in the order of the card, each once.

    A formula line made of signs alone is not among them: a catalogue may hold it, and need not.
    """
    seen: dict[str, None] = {}
    _walk(card, lambda text: seen.setdefault(text) or text)
    signs = {line for line in (card.formula.expressions if card.formula else ()) if not has_words(line)}
    return tuple(text for text in seen if text not in signs)


def has_words(formula: str) -> bool:
    """Whether a formula line holds words to translate, and not only letters, indices and functions."""
    return any(word != "sqrt" for word in _WORD.findall(_INDEX.sub("", formula)))
