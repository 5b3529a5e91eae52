"""The index of what is installed and what it offers: a small text file in the user's cache. Light: on the fastest path.

A line is a record, parted by tabs: `stamp` and `watch` say whether it is fresh, the others what there is. It is fresh while no
folder of the import path, no source of a plugin, no setting and no version has changed; else no plugin is imported to answer.
"""

from __future__ import annotations

import os
import sys

from .. import units
from ..kinds import KINDS, Kind
from ..version import __version__

FORMAT = f"baybook-index {6 + 10 * sys.flags.optimize}"  # one of its own where docstrings are left out
Row = tuple[str, ...]


class Record:
    """A line of the index: `word`, then its parts by name, all of them text."""

    __slots__: tuple[str, ...] = ()
    word = ""
    names: tuple[str, ...] = ()

    def __init__(self, *parts: str) -> None:
        for name, part in zip(self.names, parts, strict=True):
            setattr(self, name, part)

    def row(self) -> Row:
        """The line's parts, the word first."""
        return (self.word, *(getattr(self, name) for name in self.names))


class PluginRecord(Record):
    """An installed plugin. state: `accepted`, `left out` (with the reason) or `switched off`."""

    names = __slots__ = ("name", "distribution", "version", "module", "state", "reason")
    word = "plugin"
    name: str
    distribution: str
    version: str
    module: str
    state: str
    reason: str

    def words(self) -> str:
        """How it is named to a person, so that they know what to update."""
        return f"plugin {self.distribution} {self.version} [{self.name}]"


class OfferRecord(Record):
    """A calculator, card or fuel on offer."""

    __slots__ = ()
    plugin: str
    name: str
    title: str


class CalculatorRecord(OfferRecord):
    """A calculator on offer: what a list and the help say of it, and where a hand goes for it, by `placing.TOUCHED`."""

    names = __slots__ = ("plugin", "name", "stage", "side", "title", "summary", "touches")
    word = "calculator"
    stage: str
    side: str
    summary: str
    touches: str


class CardRecord(OfferRecord):
    """A card on offer that belongs to no calculator."""

    names = __slots__ = ("plugin", "name", "title")
    word = "card"


class FuelRecord(OfferRecord):
    """A fuel on offer."""

    names = __slots__ = ("plugin", "name", "title")
    word = "fuel"


class UnitRecord(Record):
    """A unit that a plugin adds: `value in the family's base unit = factor · value + offset`; others: further spellings."""

    names = __slots__ = ("plugin", "family", "symbol", "factor", "offset", "others")
    word = "unit"
    plugin: str
    family: str
    symbol: str
    factor: float
    offset: float
    others: tuple[str, ...]

    def __init__(self, plugin: str, family: str, symbol: str, factor: float | str, offset: float | str, *others: str) -> None:
        self.plugin, self.family, self.symbol = plugin, family, symbol
        self.factor, self.offset, self.others = float(factor), float(offset), others

    def row(self) -> Row:
        """The line's parts, the word first and the other spellings last."""
        return (self.word, self.plugin, self.family, self.symbol, repr(self.factor), repr(self.offset), *self.others)


class KindRecord(Record):
    """A kind of quantity that a plugin adds; shown: the symbols of its usual units."""

    names = __slots__ = ("plugin", "name", "family", "unit", "example", "reference", "shown")
    word = "kind"
    plugin: str
    name: str
    family: str
    unit: str
    example: str
    reference: str
    shown: tuple[str, ...]

    def __init__(self, plugin: str, name: str, family: str, unit: str, example: str, reference: str, *shown: str) -> None:
        self.plugin, self.name, self.family, self.unit = plugin, name, family, unit
        self.example, self.reference, self.shown = example, reference, shown

    def row(self) -> Row:
        """The line's parts, the word first and the usual units last."""
        return (self.word, self.plugin, self.name, self.family, self.unit, self.example, self.reference, *self.shown)


class ChannelRecord(Record):
    """A channel of captures that a plugin adds. words, but_not: those of its label, parted by `|`."""

    names = __slots__ = ("plugin", "name", "what", "kind", "words", "but_not")
    word = "channel"
    plugin: str
    name: str
    what: str
    kind: str
    words: str
    but_not: str


class Index:
    """What is installed and on offer, read from the rows when it is asked for. notes: for standard error."""

    __slots__ = ("notes", "rows")

    def __init__(self, rows: list[Row], notes: tuple[str, ...] = ()) -> None:
        self.rows, self.notes = rows, notes

    def plugins(self) -> list[PluginRecord]:
        """Every plugin that is installed, whatever its state."""
        return [PluginRecord(*row[1:]) for row in self.rows if row[0] == "plugin"]

    def calculators(self) -> list[CalculatorRecord]:
        """Every calculator on offer."""
        return [CalculatorRecord(*row[1:]) for row in self.rows if row[0] == "calculator"]

    def cards(self) -> list[CardRecord]:
        """Every card on offer that belongs to no calculator."""
        return [CardRecord(*row[1:]) for row in self.rows if row[0] == "card"]

    def fuels(self) -> list[FuelRecord]:
        """Every fuel on offer."""
        return [FuelRecord(*row[1:]) for row in self.rows if row[0] == "fuel"]

    def units(self) -> list[UnitRecord]:
        """Every unit that a plugin adds."""
        return [UnitRecord(*row[1:]) for row in self.rows if row[0] == "unit"]

    def kinds(self) -> list[KindRecord]:
        """Every kind of quantity that a plugin adds."""
        return [KindRecord(*row[1:]) for row in self.rows if row[0] == "kind"]

    def channels(self) -> list[ChannelRecord]:
        """Every channel of captures that a plugin adds."""
        return [ChannelRecord(*row[1:]) for row in self.rows if row[0] == "channel"]

    def owner(self, what: str, name: str) -> PluginRecord | None:
        """The accepted plugin that offers the calculator, card or fuel of that name; no other record is made for it."""
        owner = next((row[1] for row in self.rows if row[0] == what and row[2] == name), None)
        named = (row for row in self.rows if row[0] == "plugin" and row[1] == owner and row[5] == "accepted")
        return next((PluginRecord(*row[1:]) for row in named), None)

    def complaints(self) -> list[str]:
        """A line for every plugin that is left out, with package, version and cause, and what else a person should know."""
        left_out = [PluginRecord(*row[1:]) for row in self.rows if row[0] == "plugin" and row[5] == "left out"]
        return [*(f"{plugin.words()} is left out: {plugin.reason}" for plugin in left_out), *self.notes]


def import_folders() -> list[str]:
    """The folders in which distributions are looked for: the import path without what Python itself put first (-P does not)."""
    folders = sys.path if sys.flags.safe_path else sys.path[1:]
    return [folder for folder in dict.fromkeys(folders) if folder and os.path.isdir(folder)]


def switched_off() -> set[str]:
    """Names of plugins or packages that the user does without: BAYBOOK_WITHOUT="a,b" and the lines of the switch file."""
    return switched_off_here() | switched_off_in_file()


def switched_off_here() -> set[str]:
    """Those that BAYBOOK_WITHOUT names."""
    return {name.strip() for name in os.environ.get("BAYBOOK_WITHOUT", "").split(",") if name.strip()}


def switched_off_in_file() -> set[str]:
    """Those that the switch file names."""
    try:
        with open(switch_file(), encoding="utf-8", errors="replace") as file:
            names = [line.strip() for line in file.read().splitlines()]
    except OSError:
        return set()
    return {name for name in names if name and not name.startswith("#")}


def switch_file() -> str:
    """The file with the names of plugins that are switched off, a line each."""
    return os.path.join(_folder("BAYBOOK_CONFIG", "XDG_CONFIG_HOME", ".config"), "switched-off")


def index_file() -> str:
    """This environment's index file: one for each Python and import path, so that two in turn don't undo each other's."""
    place = "\n".join([sys.prefix, *import_folders()])
    return os.path.join(_folder("BAYBOOK_CACHE", "XDG_CACHE_HOME", ".cache"), f"plugins-{_sum(place)}.txt")


def _sum(text: str) -> str:
    import binascii

    return f"{binascii.crc32(text.encode(errors='surrogateescape')):08x}"


def _folder(own: str, shared: str, below: str) -> str:
    if os.environ.get(own):
        return os.environ[own]
    from ..settings_folder import home

    base = os.environ.get(shared) or os.path.join(home(), below)
    return os.path.join(base, "baybook")


def stamp() -> Row:
    """What must not have changed beside the watched files."""
    return ("stamp", __version__, sys.version.split()[0], ",".join(sorted(switched_off())), *import_folders())


def watch(path: str) -> Row:
    """A row that notes when the path last changed; a path that is gone has the time 0."""
    try:
        return ("watch", path, str(os.stat(path).st_mtime_ns))
    except (OSError, ValueError):
        return ("watch", path, "0")


def read() -> Index | None:
    """The index, or None where there is none, it is damaged, or something has changed since."""
    try:
        with open(index_file(), encoding="utf-8", errors="surrogateescape", newline="\n") as file:
            text, _, checksum = file.read().rpartition("\nend ")
    except (OSError, ValueError):
        return None
    if not text.startswith(FORMAT + "\n") or checksum != _sum(text):
        return None
    lines = text.split("\n")
    if tuple(lines[1].split("\t")) != stamp():
        return None
    if any(line != "\t".join(watch(line.split("\t")[1])) for line in lines if line.startswith("watch\t")):
        return None
    return Index([tuple(line.split("\t")) for line in lines[1:] if not line.startswith("watch\t")])


def write(rows: list[Row]) -> str:
    """Keep the index. Returns "" or why it cannot be kept; then every command has to build it again."""
    from pathlib import Path

    from ..errors import InputError
    from ..files import write_whole

    path = index_file()
    text = "\n".join([FORMAT, *("\t".join(map(_clean, row)) for row in rows)])
    try:
        os.makedirs(os.path.dirname(path), exist_ok=True)
        write_whole(Path(path), f"{text}\nend {_sum(text)}".encode(errors="surrogateescape"), own=True)
    except (OSError, InputError) as error:
        cause = error.__cause__ if isinstance(error, InputError) else error
        why = getattr(cause, "strerror", None) or str(error)
        return (
            f"the index of plugins cannot be kept in {os.path.dirname(path)} ({why}), so every command asks every "
            "plugin again; set BAYBOOK_CACHE to a folder that can be written"
        )
    return ""


def _clean(text: str) -> str:
    return " ".join(text.split()) if "\t" in text or "\n" in text or "\r" in text else text


def add_units(index: Index) -> None:
    """Make the units and kinds that plugins add known to this process; those that it knows already are left as they are."""
    known = {(family, unit.symbol) for family in units.families() for unit in units.in_family(family)}
    for unit in index.units():
        if (unit.family, unit.symbol) not in known:
            units.add(((unit.family, unit.symbol, unit.factor, unit.offset, unit.others),))
    for kind in index.kinds():
        KINDS.setdefault(kind.name, Kind(kind.name, kind.family, kind.unit, kind.example, kind.shown, kind.reference))
