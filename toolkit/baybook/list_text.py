"""A list of readings as it is written in one text."""

from __future__ import annotations

from .errors import Refused
from .numbers import split_number

NOT_MEASURED = ("-", "–", "−")
ABOVE = (">=", ">", "≥", "more than ", "over ", "mehr als ", "über ")
PLUS_MINUS = ("±", "+-", "+/-")
_NUMBER = "0123456789.,+-−±~ /"


def parts(text: str) -> list[str]:
    """Its items: parted by `;`, else by a comma or a slash with a space behind, else by spaces: `30 31 - 60 ml`.

    A unit that only the last has is that of all, and so is a ± behind that unit. Raises Refused for pairs of numbers that may
    be one each with its thousands apart, and for a ± that only the last has, before that unit.
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
    pairs = list(zip(items[::2], items[1::2], strict=False))
    short = len(items) == 2 or all(len(one) < 3 for one, _ in pairs)  # (310 308 312 309 are four)
    if rest and len(items) % 2 == 0 and short and all(" " in split_number(f"{one} {other}")[0] for one, other in pairs):
        many = "one reading or two" if len(items) == 2 else f"{len(pairs)} readings or {len(items)}"
        raise Refused(f"could be {many}", f"part them by ;, or write {first}{rest[0]}")
    return items


def with_unit(items: list[str]) -> list[str]:
    """The items, those that are bare numbers with the one unit that the list ends with."""
    units = [_unit(item) for item in items if item and item not in NOT_MEASURED]
    if not units or not units[-1] or set(units) != {"", units[-1]}:
        return items
    bare = [item.removesuffix(units[-1]) for item in items]
    if len(items) > 1 and _told(bare[-1]) and not any(map(_told, bare[:-1])):
        raise Refused("has a ± at the last alone", "write it behind each, or behind the unit for all: 30 31 mL ± 1 mL")
    return [f"{item} {units[-1]}" if item and item not in NOT_MEASURED and not _unit(item) else item for item in items]


def _unit(item: str) -> str:
    word = next((word for word in ABOVE if item.lower().startswith(word)), "")
    return item[len(word) :].lstrip(_NUMBER)


def _told(item: str) -> bool:
    return any(mark in item for mark in PLUS_MINUS)
