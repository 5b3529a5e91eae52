"""What one's own words and codes say, as plain text: a movement, a plug, the kinds of code."""

from __future__ import annotations

MOVING = ("wiggl", "shak", "tapped", "tapping", "knocked", "moved", "bump", "vibrat", "wackel", "rüttel", "klopf", "bewegt")
"""Parts of the words by which one's own words say that something was moved, in either language."""
AT_PLUG = ("plug", "loom", "wire", "wiring", "harness", "connector", "contact", "stecker", "kabel", "leitung", "kontakt")


def is_movement(words: str) -> bool:
    """Whether the words say that something was moved."""
    return any(part in words.casefold() for part in MOVING)


def is_at_plug(words: str) -> bool:
    """Whether the words speak of plug or loom, and not of a part itself."""
    return any(part in words.casefold() for part in AT_PLUG)


def kinds_of(code: str | None) -> list[str]:
    """The kinds of code that are stored, one or more with commas between them."""
    return [word.strip().casefold() for word in (code or "").split(",") if word.strip()]
