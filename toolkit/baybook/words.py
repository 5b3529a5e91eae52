"""The words of a command line, put together into readings again: a shell parts `300 bar` at its space. Light."""

from __future__ import annotations

from . import units

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Iterable

MARKS = ("±", "+-", "+/-", "~", "plusminus")
BEFORE = (*MARKS, "<", "<=", ">", ">=", "≤", "≥")
"""What belongs to the number behind it."""
_REFERENCES = ("abs", "absolute", "gauge", "rel", "(g)", "(a)", "(abs)", "(gauge)")
_OF_READING = ("of", "the", "reading", "rdg")
OVERLOAD = frozenset(
    ("ol", "o.l", "o.l.", "0l", "0.l", ".ol", "1 .", "∞", "open", "offen", "over range", "over-range", "overrange", "überlauf")
)
_NUMBER = "0123456789.,+-−±~<>=≤≥/ "


def grouped(words: Iterable[str]) -> list[str]:
    """The readings and other words: `300 bar psi` are "300 bar" and "psi"; one that has a space already stays as it is."""
    found: list[str] = []
    for word in words:
        if found and continues(found[-1], word):
            found[-1] += f" {word}"
        else:
            found.append(word)
    return found


def continues(before: str, word: str) -> bool:
    """Whether the word belongs to what stands before it: a unit behind a number, the rest of a unit, a ± and what is behind."""
    last = before.rpartition(" ")[2]
    if last in BEFORE or word.startswith((*MARKS, "@")):
        return True
    word = word.partition("@")[0]
    unit = unit_of(before)
    if not unit:
        return bool(units.families_of(word)) or units.begins_one(word)
    return (
        bool(units.families_of(f"{unit} {word}"))
        or (word in _REFERENCES and bool(units.families_of(unit)))
        or (word in _OF_READING and (unit.startswith("%") or last in _OF_READING))
    )


def unit_of(text: str) -> str:
    """What stands behind the last of a text's numbers; "" behind a bare one, and the text itself where it has none."""
    tail = text.partition("@")[0].rstrip()  # behind it an instrument is named
    for mark in MARKS:
        tail = tail.rpartition(mark)[2]
    return tail.lstrip(_NUMBER)


def is_number(text: str) -> bool:
    """Whether the text begins with a number, perhaps behind what bounds it."""
    return text.lstrip("+-−<>=≤≥~.,± ")[:1].isdigit()


def is_overload(text: str) -> bool:
    """Whether it is what a meter shows beyond its range: OL."""
    return " ".join(text.lower().split()) in OVERLOAD
