"""Build the index: find the entry points, ask each plugin, and decide which are accepted and which are left out.

Stages: found (distribution, version, entry point), asked, accepted or left out with the reason. Sorted, so that the order is
the same everywhere; Baybook's own come first, so that a stranger cannot take a name of theirs.

Rows: plugin: name, distribution, version, module, state, reason. calculator: plugin, name, stage, side, title, summary.
card: plugin, name, title. fuel: plugin, name, title. unit: plugin, family, symbol, factor, offset, other spellings.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from importlib import metadata
from typing import Any

from . import index
from .child import ask
from .index import Index, Row

GROUP = "baybook"
OWN = "baybook"


@dataclass(frozen=True)
class Found:
    """A plugin as its distribution declares it. fault: why it cannot even be asked."""

    name: str
    distribution: str
    version: str
    module: str
    fault: str = ""

    def words(self) -> str:
        """How it is named to a person, so that they know what to update."""
        return f"{self.distribution} {self.version} [{self.name}]"


def find(folders: Iterable[str] | None = None) -> list[Found]:
    """Every entry point of the group in the folders, own first, then by distribution and name."""
    found: dict[tuple[str, str], Found] = {}
    for distribution in metadata.distributions(path=list(index.import_folders() if folders is None else folders)):
        for plugin in _declared(distribution):
            found.setdefault((plugin.distribution, plugin.name), plugin)  # the first on the path is the one that is imported
    return sorted(found.values(), key=lambda plugin: (plugin.distribution != OWN, plugin.distribution, plugin.name))


def _declared(distribution: metadata.Distribution) -> Iterator[Found]:
    """The plugins of one distribution; damaged metadata that speaks of no plugin is none of our business."""
    try:
        text = distribution.read_text("entry_points.txt") or ""
        if f"[{GROUP}]" not in text:
            return
        name, version = str(distribution.metadata["Name"]), str(distribution.version)
    except Exception:  # unreadable, not text, without a version: whatever it is, it is not a plugin that could be used
        return
    try:
        points = [(point.name, point.value) for point in distribution.entry_points if point.group == GROUP]
    except Exception as error:
        yield Found(name, name, version, "", f"its entry points cannot be read: {error}")
        return
    for point, value in points:
        plain = value.replace(".", "").replace("_", "").isalnum()
        yield Found(point, name, version, value, "" if plain else f"its entry point must name a module, not {value!r:.60}")


def build() -> Index:
    """Build the index afresh and keep it."""
    found, off = find(), index.switched_off()
    asked = [plugin for plugin in found if not plugin.fault and not {plugin.name, plugin.distribution} & off]
    answers = dict(zip(asked, ask([plugin.module for plugin in asked]), strict=True))
    answers.update({plugin: {"reason": plugin.fault} for plugin in found if plugin.fault})
    rows = [index.stamp(), *(index.watch(folder) for folder in index.import_folders())]
    rows += decide(found, answers)
    files = sorted({file for answer in answers.values() for file in answer.get("files", ())})
    rows += [index.watch(file) for file in files]
    not_kept = index.write(rows)
    return Index(rows, (not_kept,) if not_kept else ())


def decide(found: Iterable[Found], answers: dict[Found, dict[str, Any]]) -> Iterator[Row]:
    """The rows of every plugin: accepted with its offers, left out because, or switched off (not asked)."""
    taken: dict[tuple[str, str], Found] = {}
    for plugin in found:
        start: Row = ("plugin", plugin.name, plugin.distribution, plugin.version, plugin.module)
        if plugin not in answers:
            yield (*start, "switched off", "")
            continue
        offers = _offer_rows(plugin, answers[plugin])
        reason = answers[plugin].get("reason") or _conflict(plugin, offers, taken)
        if reason:
            yield (*start, "left out", reason)
            continue
        taken.update({claim: plugin for row in offers for claim in _claims(row)})
        taken["plugin", plugin.name] = plugin
        yield (*start, "accepted", "")
        yield from offers


def _offer_rows(plugin: Found, answer: dict[str, Any]) -> list[Row]:
    rows: list[Row] = []
    for word in ("calculator", "card", "fuel"):
        rows += [(word, plugin.name, *offer) for offer in answer.get(f"{word}s", ())]
    for family, symbol, factor, offset, others in answer.get("units", ()):
        rows.append(("unit", plugin.name, family, symbol, repr(factor), repr(offset), *others))
    return rows


def _claims(row: Row) -> list[tuple[str, str]]:
    """The names that an offer claims: a calculator's card has its name, and each spelling of a unit is one."""
    if row[0] == "unit":
        return [("unit", f"{text} ({row[2]})") for text in (row[3], *row[6:])]
    return [(row[0], row[2]), ("card", row[2])] if row[0] == "calculator" else [(row[0], row[2])]


def _conflict(plugin: Found, offers: list[Row], taken: dict[tuple[str, str], Found]) -> str:
    from ..commands import COMMANDS

    if ("plugin", plugin.name) in taken:
        return f"the name {plugin.name} is taken by {taken['plugin', plugin.name].words()}"
    claims = [claim for row in offers for claim in _claims(row)]
    for word, name in claims:
        if word == "calculator" and name in COMMANDS:
            return f"the calculator {name} has the name of a command"
        if (word, name) in taken:
            return f"the {word} {name} is taken by {taken[word, name].words()}"
        if claims.count((word, name)) > 1:
            return f"it offers the {word} {name} twice"
    return ""
