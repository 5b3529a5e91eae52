"""The index of what is installed and what it offers: a small text file in the user's cache. Light: on the fastest path.

It is fresh while no folder of the import path, no plugin's source file, no setting and no version has changed; so an install,
an edit or a switch is noticed at the next command, and otherwise no plugin is imported to answer one.
"""

from __future__ import annotations

import os
import sys

from .. import __version__, units

FORMAT = "baybook-index 5"
Row = tuple[str, ...]


class Index:
    """Rows by their first word: `plugin`, `calculator`, `card`, `fuel`, `unit`; see `building`. notes: for standard error."""

    __slots__ = ("notes", "rows")

    def __init__(self, rows: list[Row], notes: tuple[str, ...] = ()) -> None:
        self.rows, self.notes = rows, notes

    def of(self, word: str) -> list[Row]:
        """The rows that begin with `word`, without it."""
        return [row[1:] for row in self.rows if row[0] == word]

    def complaints(self) -> list[str]:
        """A line for every plugin that is left out, with package, version and cause, and what else a person should know."""
        lines = [
            f"plugin {distribution} {version} [{name}] is left out: {reason}"
            for name, distribution, version, _, state, reason in self.of("plugin")
            if state == "left out"
        ]
        return [*lines, *self.notes]


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


def _folder(own: str, shared: str, home: str) -> str:
    if os.environ.get(own):
        return os.environ[own]
    base = os.environ.get(shared) or os.path.join(os.path.expanduser("~"), home)
    return os.path.join(base, "baybook")


def stamp() -> Row:
    """What must not have changed beside the watched files."""
    return ("stamp", __version__, sys.version.split()[0], sys.executable, ",".join(sorted(switched_off())), *import_folders())


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
    rows = [tuple(line.split("\t")) for line in text.split("\n")[1:]]
    if rows[0] != stamp():
        return None
    if any(row != watch(row[1]) for row in rows if row[0] == "watch"):
        return None
    return Index(rows)


def write(rows: list[Row]) -> str:
    """Keep the index. Returns "" or why it cannot be kept; then every command has to build it again."""
    path = index_file()
    text = "\n".join([FORMAT, *("\t".join(map(_clean, row)) for row in rows)])
    scratch = f"{path}.{os.getpid()}"
    try:
        os.makedirs(os.path.dirname(path), exist_ok=True)
        with open(scratch, "w", encoding="utf-8", errors="surrogateescape", newline="\n") as file:
            file.write(f"{text}\nend {_sum(text)}")
        os.replace(scratch, path)
    except OSError as error:
        return (
            f"the index of plugins cannot be kept in {os.path.dirname(path)} ({error.strerror}), so every command asks every "
            "plugin again; set BAYBOOK_CACHE to a folder that can be written"
        )
    return ""


def _clean(text: str) -> str:
    return " ".join(text.split()) if "\t" in text or "\n" in text or "\r" in text else text


def add_units(index: Index) -> None:
    """Make the units that plugins add known to this process; units that it knows already are left as they are."""
    known = {(family, unit.symbol) for family in units.families() for unit in units.in_family(family)}
    for _, family, symbol, factor, offset, *others in index.of("unit"):
        if (family, symbol) not in known:
            units.add(((family, symbol, float(factor), float(offset), tuple(others)),))
