"""The channels that plugins offer, from the index of plugins."""

from __future__ import annotations

import re
from functools import cache
from typing import NamedTuple

from ..environment import is_provided, of_process


class PluginChannel(NamedTuple):
    """As a plugin offers it; family: of its units; words, but_not: regular expressions for a label."""

    name: str
    what: str
    family: str
    words: str
    but_not: str


def plugin_channels() -> tuple[PluginChannel, ...]:
    """Every channel on offer whose kind is known; none where captures are read without plugins."""
    return _offered() if is_provided() else ()


@cache
def _offered() -> tuple[PluginChannel, ...]:
    from ..kinds import KINDS

    offered = of_process().channels()
    return tuple(
        PluginChannel(told.name, told.what, KINDS[told.kind].family, _beginnings(told.words), _beginnings(told.but_not))
        for told in offered
        if told.kind in KINDS
    )


def families() -> frozenset[str]:
    """The families of their units."""
    return frozenset(channel.family for channel in plugin_channels())


def _beginnings(words: str) -> str:
    return "|".join(rf"\b{re.escape(word.lower())}" for word in words.split("|") if word)
