"""A list of readings as it is written in one text."""

from __future__ import annotations

from .errors import Refused
from .numbers import split_number

NOT_MEASURED = ("-", "–", "−")
ABOVE = (">=", ">", "≥", "more than ", "over ", "mehr als ", "über ")
_NUMBER = "0123456789.,+-−±~ /"


def parts(text: str) -> list[str]:
    """Its items: parted by `;`, else by a comma or a slash with a space behind, else by spaces: `30 31 - 60 ml`.

    A unit that only the last has is that of all. Raises Refused for two numbers that may be one with its thousands apart.
    """
    separator = next((mark for mark in (";", ", ", " / ") if mark in text), "")
    return with_unit([part.strip() for part in text.split(separator)] if separator else _by_spaces(text))


def _by_spaces(text: str) -> list[str]:
    """Each number begins an item; what stands behind it up to the next number is its unit, and its ±."""
    items: list[str] = []
    joined = False
    for word in text.split():
        starts = word in NOT_MEASURED or word[0].isdigit() or word.startswith((*ABOVE[:3], ".", ",", "-", "+", "−"))
        starts = starts and not word.startswith(("+-", "+/-"))
        items[-1:] = [f"{items[-1]} {word}"] if items and (joined or not starts) else [*items[-1:], word]
        joined = word in ("±", "+-", "+/-", "~", *ABOVE[:3])
    first, *rest = items or [""]
    if len(rest) == 1 and " " in split_number(f"{first} {rest[0]}")[0]:
        raise Refused("could be one reading or two", f"part two by ;, or write {first}{rest[0]}")
    return items


def with_unit(items: list[str]) -> list[str]:
    """The items, those that are bare numbers with the one unit that the list ends with."""
    units = [_unit(item) for item in items if item and item not in NOT_MEASURED]
    if not units or not units[-1] or set(units) != {"", units[-1]}:
        return items
    return [f"{item} {units[-1]}" if item and item not in NOT_MEASURED and not _unit(item) else item for item in items]


def _unit(item: str) -> str:
    word = next((word for word in ABOVE if item.lower().startswith(word)), "")
    return item[len(word) :].lstrip(_NUMBER)
