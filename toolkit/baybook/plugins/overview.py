"""What `baybook plugins list` and `show` say, read off the index: no plugin is imported."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from typing import Any

from ..columns import row_lines, table, wrap
from ..errors import InputError
from .index import CalculatorRecord, Index, OfferRecord, PluginRecord


@dataclass(frozen=True)
class Plugin:
    """A plugin as it stands: state is `accepted`, `switched off` or `left out`, the last with its reason."""

    name: str
    distribution: str
    version: str
    module: str
    state: str
    reason: str
    calculators: tuple[str, ...] = ()
    cards: tuple[str, ...] = ()
    fuels: tuple[str, ...] = ()
    units: tuple[str, ...] = ()

    def to_dict(self) -> dict[str, Any]:
        """For JSON."""
        return asdict(self)

    def offers(self) -> str:
        """In words: `calculator hold; fuels diesel, iso-4113`."""
        parts = []
        for one, names in (("calculator", self.calculators), ("card", self.cards), ("fuel", self.fuels), ("unit", self.units)):
            if names:
                parts.append(f"{one}{'s' * (len(names) > 1)} {', '.join(names)}")
        return "; ".join(parts)


def plugins(found: Index) -> list[Plugin]:
    """Every plugin that is installed, whatever its state."""
    return [_plugin(record, found) for record in found.plugins()]


def _plugin(record: PluginRecord, found: Index) -> Plugin:
    state = (record.name, record.distribution, record.version, record.module, record.state, record.reason)
    if record.state != "accepted":
        return Plugin(*state)

    def own(offers: Sequence[OfferRecord]) -> tuple[str, ...]:
        return tuple(offer.name for offer in offers if offer.plugin == record.name)

    units = tuple(unit.symbol for unit in found.units() if unit.plugin == record.name)
    return Plugin(*state, own(found.calculators()), own(found.cards()), own(found.fuels()), units)


def named(found: Index, name: str) -> list[Plugin]:
    """The plugins of that name, or of that package. Raises InputError with a near name."""
    known = plugins(found)
    fitting = [plugin for plugin in known if name in (plugin.name, plugin.distribution)]
    if fitting:
        return fitting
    from difflib import get_close_matches

    names = sorted({plugin.name for plugin in known} | {plugin.distribution for plugin in known})
    close = get_close_matches(name, names, n=1)
    raise InputError.one(
        "",
        name,
        "is not a plugin that is installed",
        f"did you mean {close[0]}?" if close else f"use one of {', '.join(names)}",
    )


def list_lines(found: Index) -> list[str]:
    """A line for each plugin, and beneath one that is left out the cause."""
    known = plugins(found)
    rows = row_lines([(p.name, f"{p.distribution} {p.version}", p.state, p.offers()) for p in known])
    lines: list[str] = []
    for plugin, row in zip(known, rows, strict=True):
        lines += row
        if plugin.reason:
            lines += wrap(plugin.reason, "        ", "      because ")
    return lines


def show_lines(found: Index, plugin: Plugin) -> list[str]:
    """All that the index knows of one plugin."""
    lines = [f"{plugin.name}: {plugin.distribution} {plugin.version}, {plugin.state}", f"  module  {plugin.module}"]
    if plugin.reason:
        lines += wrap(plugin.reason, "    ", "  because ")
    if plugin.state == "accepted":
        offers: list[OfferRecord] = [*found.calculators(), *found.cards(), *found.fuels()]
        rows = [
            (offer.word, offer.name, offer.summary if isinstance(offer, CalculatorRecord) else offer.title)
            for offer in offers
            if offer.plugin == plugin.name
        ]
        rows += [(unit.word, unit.symbol, unit.family) for unit in found.units() if unit.plugin == plugin.name]
        lines += table(rows)
    return lines
