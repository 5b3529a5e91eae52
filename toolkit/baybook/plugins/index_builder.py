"""Build the index: find the entry points, ask each plugin, and decide which are accepted and which are left out.

Stages: found (distribution, version, entry point), asked, accepted or left out with the reason. Sorted, so that the order is
the same everywhere; Baybook's own come first, so that a stranger cannot take a name of theirs.
"""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator, Mapping
from importlib import metadata
from typing import Any

from ..dataclass import dataclass
from ..kinds import OWN as OWN_KINDS
from . import index
from .alike import face
from .child import ask
from .index import (
    CalculatorRecord,
    CardRecord,
    ChannelRecord,
    FuelRecord,
    Index,
    KindRecord,
    OfferRecord,
    PluginRecord,
    Record,
    UnitRecord,
)

GROUP = "baybook"
OWN = "baybook"
Claim = tuple[str, str]


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
    folder = str(getattr(distribution, "_path", "a distribution")).rpartition(os.sep)[2]
    try:
        text = distribution.read_text("entry_points.txt") or ""
        if f"[{GROUP}]" not in text:
            return
    except Exception as error:
        if _speaks_of_us(distribution):
            yield Found(folder, folder, "", "", f"its entry points cannot be read: {type(error).__name__}")
        return
    try:
        said = distribution.metadata  # (one that it lacks is None in some versions of Python, and an error in others)
        name, version = (str(said[key]) if key in said else "" for key in ("Name", "Version"))
    except Exception as error:
        yield Found(folder, folder, "", "", f"its METADATA cannot be read: {type(error).__name__}; install it again")
        return
    if not (name and version):
        yield Found(folder, folder, "", "", "its METADATA has no name or no version; install it again")
        return
    try:
        points = [(point.name, point.value) for point in distribution.entry_points if point.group == GROUP]
    except Exception as error:
        yield Found(name, name, version, "", f"its entry points cannot be read: {error}")
        return
    for point, value in points:
        plain = value.replace(".", "").replace("_", "").isalnum()
        yield Found(point, name, version, value, "" if plain else f"its entry point must name a module, not {value!r:.60}")


def _speaks_of_us(distribution: metadata.Distribution) -> bool:
    """Whether entry points that are no text name our group."""
    try:
        path = getattr(distribution, "_path", None)
        return path is not None and f"[{GROUP}]".encode() in (path / "entry_points.txt").read_bytes()
    except OSError:
        return False


def build() -> Index:
    """Build the index afresh and keep it."""
    found, off = find(), index.switched_off()
    asked = [plugin for plugin in found if not plugin.fault and not {plugin.name, plugin.distribution} & off]
    answers = dict(zip(asked, ask([plugin.module for plugin in asked]), strict=True))
    answers.update({plugin: {"reason": plugin.fault} for plugin in found if plugin.fault})
    records = list(decide(found, answers))
    files = sorted({file for answer in answers.values() for file in answer.get("files", ())})
    rows = [index.stamp(), *map(index.watch, (*index.import_folders(), *files)), *(record.row() for record in records)]
    not_kept = index.write(rows)
    return Index(rows, (not_kept,) if not_kept else ())


def decide(found: Iterable[Found], answers: Mapping[Found, Mapping[str, Any]]) -> Iterator[Record]:
    """The records of every plugin: accepted with its offers, left out because, or switched off (not asked)."""
    taken: dict[Claim, Found] = {}
    for plugin in found:
        state, reason, offers = "switched off", "", []
        if plugin in answers:
            offers = _offers(plugin, answers[plugin])
            reason = answers[plugin].get("reason") or _conflict(plugin, offers, taken)
            state = "left out" if reason else "accepted"
        yield PluginRecord(plugin.name, plugin.distribution, plugin.version, plugin.module, state, reason)
        if state == "accepted":
            taken.update({claim: plugin for offer in offers for claim in _claims(offer)})
            taken["plugin", face(plugin.name)] = plugin
            yield from offers


def _offers(plugin: Found, answer: Mapping[str, Any]) -> list[Record]:
    """The records of what a plugin says that it offers."""
    kinds: tuple[type[Record], ...] = (CalculatorRecord, CardRecord, FuelRecord, KindRecord, ChannelRecord)
    records = [kind(plugin.name, *offer) for kind in kinds for offer in answer.get(f"{kind.word}s", ())]
    return [*records, *(UnitRecord(plugin.name, *unit, *others) for *unit, others in answer.get("units", ()))]


def _claims(offer: Record) -> list[Claim]:
    """The names that an offer claims: a calculator's card has its name, and each spelling of a unit is one."""
    if isinstance(offer, UnitRecord):
        return [("unit", f"{text} ({offer.family})") for text in (offer.symbol, *offer.others)]
    assert isinstance(offer, OfferRecord | KindRecord | ChannelRecord)
    own = (offer.word, face(offer.name))
    return [own, ("card", face(offer.name))] if isinstance(offer, CalculatorRecord) else [own]


def _conflict(plugin: Found, offers: list[Record], taken: Mapping[Claim, Found]) -> str:
    from ..commands import COMMANDS

    if ("plugin", face(plugin.name)) in taken:
        return f"the name {plugin.name} is taken by {taken['plugin', face(plugin.name)].words()}"
    claims = [(claim, offer) for offer in offers for claim in _claims(offer)]
    for (word, name), offer in claims:
        shown = name if isinstance(offer, UnitRecord) else str(getattr(offer, "name", name))
        if word in ("kind", "channel") and name in map(face, _own_names(word)):
            return f"the {word} {shown} is one of Baybook's own"
        if word == "calculator" and name in map(face, COMMANDS):
            return f"the calculator {shown} has the name of a command"
        if (word, name) in taken:
            return f"the {word} {shown} is taken by {taken[word, name].words()}"
        if [claim for claim, _ in claims].count((word, name)) > 1:
            return f"it offers the {word} {shown} twice"
    return ""


def _own_names(word: str) -> Iterable[str]:
    if word == "kind":
        return OWN_KINDS
    from ..captures import channels

    return channels.OWN
