"""Readings as paper and habit write them, put into the grammar of `reading`. Loaded only where that has refused."""

from __future__ import annotations

import re

from .errors import Refused

_MARK = re.compile(r"\s*(?:~|\bplus\s*[/-]?\s*minus\b|\+\s*/?\s+-|-\s*/?\s*\+)\s*(?=[\d.,])", re.IGNORECASE)
_CLOCK = re.compile(
    r"(\d{1,3}):([0-5]\d)(?::([0-5]\d))?([.,]\d+)?\s*(min|mins|minutes?|h|hr|hours?|std|s)?\b\s*(.*)", re.IGNORECASE
)
_IN_BRACKETS = re.compile(r"([\d.,]+)\s*\(\s*([\d.,]+\s*%?)\s*\)\s*(.*)")
_BEHIND = re.compile(r"([\d.,]+\s*[^\d\s±–-]+)\s+([\d.,]+\s*%)")


def own_form(text: str, family: str | None) -> str | None:
    """The same in the grammar's own form; None where nothing about it is known. family: of the units that are wanted.

    `1000 ~10 bar` and `1000 plusminus 10 bar` have a ±; `1:30 min` are 90 s and `1:30 h` 90 min. Raises Refused for what is
    likely meant so and may mean something else.
    """
    if (words := text.partition(" --")[2].split()) and text[text.index(" --") + 3 :][:1].strip():
        option = "--" + words[0]
        raise Refused("holds an option", f"a quote is missing before {option}")
    marked = _MARK.sub(" ± ", text.replace("+/-", "±").replace("+-", "±"))
    timed = _clock(marked.strip()) if family in (None, "time") else None
    if timed is not None or _MARK.search(text):
        return timed if timed is not None else marked
    if found := _IN_BRACKETS.fullmatch(text.strip()):
        value, width, unit = found.groups()
        raise Refused(f'has "({width})" behind its number', f"write {value} +- {width} {unit}".rstrip())
    if found := _BEHIND.fullmatch(text.strip()):
        raise Refused(f'has "{found[2]}" behind its unit', f"write {found[1]} +- {found[2]}")
    return None


def _clock(text: str) -> str | None:
    """`m:ss`, `h:mm:ss`, or `h:mm h`, perhaps with a ± behind, in its smallest unit."""
    found = _CLOCK.fullmatch(text)
    if found is None or (found[6] and not found[6].startswith("±")):
        return None
    first, second, third, fraction, unit = int(found[1]), int(found[2]), found[3], found[4] or "", (found[5] or "").lower()
    if third is None and unit.startswith(("h", "std")):
        return f"{60 * first + second}{fraction} min {found[6]}".rstrip()
    whole = 60 * first + second if third is None else 3600 * first + 60 * second + int(third)
    return f"{whole}{fraction} s {found[6]}".rstrip()
