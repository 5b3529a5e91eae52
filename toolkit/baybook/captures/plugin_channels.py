"""The channels that plugins offer, from the index of plugins."""

from __future__ import annotations

import re
from functools import cache
from typing import NamedTuple


class PluginChannel(NamedTuple):
    """As a plugin offers it; family: of its units; words, but_not: regular expressions for a label."""

    name: str
    what: str
    family: str
    words: str
    but_not: str


@cache
def plugin_channels() -> tuple[PluginChannel, ...]:
    """Every channel on offer whose kind is known."""
    from ..kinds import KINDS
    from ..registry import registry

    rows = [row[1:] for row in registry().index.of("channel")]
    return tuple(
        PluginChannel(name, what, KINDS[kind].family, _beginnings(words), _beginnings(but_not))
        for name, what, kind, words, but_not in rows
        if kind in KINDS
    )


def families() -> frozenset[str]:
    """The families of their units."""
    return frozenset(channel.family for channel in plugin_channels())


def _beginnings(words: str) -> str:
    return "|".join(rf"\b{re.escape(word.lower())}" for word in words.split("|") if word)
