"""In which condition a complaint shows, and in which a test was made: hot or cold, idling, under load, cranking, on bumps.

A leak that opens hot is not seen cold, and a supply that is enough at idle may not be at full load. Where the condition of a
test is not that of the complaint, less of its reach is left, and it is said; unless something that was found in that condition
shows that the fault is there as well.
"""

from __future__ import annotations

from collections.abc import Mapping
from difflib import get_close_matches
from typing import Any

from ..errors import Problem
from ..estimate import Estimate
from ..places.sense import Sense

BUMPS, HOT, COLD = "bumps", "hot", "cold"
CONDITIONS: Mapping[str, str] = {
    HOT: "temperature", COLD: "temperature", "idle": "load", "raised": "load", "load": "load", "cranking": "load",
    BUMPS: "movement",
}  # fmt: skip
"""The words, by what they are about: two of one kind exclude each other."""
HINT = f"use {', '.join(CONDITIONS)}, several with commas between them"
DIFFERS = 0.4
"""Share of a test's reach that is left in another condition than the complaint's. Common practice, no source."""
STILL = 0.5
"""The same for a complaint that shows on bumps, where nobody said that something moved. Common practice, no source."""
UNSAID = 0.8
"""The same where nobody said in which it was made. Common practice, no source."""


def conditions(where: str, given: Any, problems: list[Problem], *, at_once: bool = True) -> tuple[str, ...]:
    """The conditions that were typed: one, several with commas between them, or a list; none where nothing was.

    Beside one that is known any other words may stand ("cold, after the night"): they are kept in the sheet and count for
    nothing. What is nearly a known word is a slip. at_once: they are those of one test, which is not hot and cold.
    """
    words = given.split(",") if isinstance(given, str) else given if isinstance(given, list) else [given]
    if given is None:
        return ()
    found = [word.strip() if isinstance(word, str) else word for word in words]
    others = [word for word in found if word not in CONDITIONS]
    slips = [word for word in others if not isinstance(word, str) or not word or get_close_matches(word.casefold(), CONDITIONS)]
    if slips or len(others) == len(found):
        wrong = (slips or others or [given])[0]
        problems.append(Problem(where, wrong, "is no condition that is known", f"{HINT}; other words may stand beside them"))
        return ()
    if at_once and {"hot", "cold"} <= set(found):
        problems.append(Problem(where, given, "is hot and cold at once", "make each a step of its own"))
        return ()
    return tuple(dict.fromkeys(word for word in found if word in CONDITIONS))


def of_inputs(given: Mapping[str, Any]) -> tuple[str, ...]:
    """What a test's own inputs say of its condition: the words in an input `condition`, with commas between them, and each
    input that is named like a condition: the pressure under `load`, or that it was read so; not where it says no. What was
    below 0 °C was cold."""
    told = {key: word.get("text") if isinstance(word, Mapping) else word for key, word in given.items()}
    words = [part.strip() for part in str(told.get("condition") or "").split(",")]
    named = [key for key, word in told.items() if key in CONDITIONS and word not in (None, "", "no")]
    frost = [COLD] if HOT not in words and _frozen(given.get("temperature")) else []
    return tuple(dict.fromkeys(part for part in (*words, *named, *frost) if part in CONDITIONS))


def _frozen(record: Any) -> bool:
    if not isinstance(record, Mapping) or "low" not in record:
        return False
    read = Estimate(record["value"], record["unit"], record["low"], record["high"], kind="temperature")
    return read.to("°C").high < 0.0


def by_kind(taken: tuple[str, ...]) -> dict[str, frozenset[str]]:
    """The conditions of a test by what they are about."""
    kinds = dict.fromkeys(CONDITIONS[word] for word in taken)
    return {kind: frozenset(word for word in taken if CONDITIONS[word] == kind) for kind in kinds}


def that_can_be(shows: tuple[str, ...], sense: Sense, *, warm: bool = False) -> tuple[str, ...]:
    """Of the conditions in which a complaint shows those that a test can be made in: none of load with the engine at rest, none
    of temperature where it is asked of what is warm."""
    never = {*(() if sense.turning and not sense.stopped else ("load",)), *(("temperature",) if warm else ())}
    return tuple(word for word in shows if CONDITIONS[word] not in never)


def with_usual(taken: tuple[str, ...], sense: Sense) -> tuple[str, ...]:
    """The conditions of a test, with the one in which it is usually made where nobody says under which load it was."""
    if not sense.made_in or any(CONDITIONS[word] == CONDITIONS[sense.made_in] for word in taken):
        return taken
    return (*taken, sense.made_in)


def answered(sense: Sense, shows: tuple[str, ...], taken: tuple[str, ...]) -> dict[str, bool]:
    """What the condition says of a test's needs: whether it was read under load, or while cranking.

    For a complaint that shows under one load alone, a test under another counts less by that already.
    """
    found = {}
    for need in sense.needs:
        words = [word for word in taken if need.condition and CONDITIONS[word] == CONDITIONS[need.condition]]
        if words:
            weighed = any(CONDITIONS[word] == CONDITIONS[need.condition] for word in shows)
            found[need.name] = weighed or need.condition in words
    return found


def left(shows: tuple[str, ...], taken: tuple[str, ...]) -> float:
    """The share of its reach that a test keeps which was made in these conditions, for a complaint that shows in those."""
    share = 1.0
    for kind in dict.fromkeys(CONDITIONS[word] for word in shows):
        wanted, had = ({word for word in words if CONDITIONS[word] == kind} for words in (shows, taken))
        share *= 1.0 if wanted & had else DIFFERS if had else STILL if kind == "movement" else UNSAID
    return share


def elsewhere(shows: tuple[str, ...], taken: tuple[str, ...]) -> str:
    """The other condition than the complaint's in which a test is known to have been made, "" where it is not known to be
    another."""
    found = []
    for kind in dict.fromkeys(CONDITIONS[word] for word in shows):
        wanted, had = ({word for word in words if CONDITIONS[word] == kind} for words in (shows, taken))
        if not wanted & had and (had or kind == "movement"):
            found += sorted(had) or ["at rest"]
    return ", ".join(found)
