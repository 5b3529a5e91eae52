"""The index of what is installed and what it offers: a small text file in the user's cache. Light: on the fastest path.

It is fresh while no folder of the import path, no plugin's source file, no setting and no version has changed; so an install,
an edit or a switch is noticed at the next command, and otherwise no plugin is imported to answer one.
"""

from __future__ import annotations

import os
import sys

from .. import __version__

FORMAT = "baybook-index 3"
Row = tuple[str, ...]


class Index:
    """Rows by their first word: `plugin`, `calculator`, `card`, `fuel`, `unit`; see `building`."""

    __slots__ = ("rows",)

    def __init__(self, rows: list[Row]) -> None:
        self.rows = rows

    def of(self, word: str) -> list[Row]:
        """The rows that begin with `word`, without it."""
        return [row[1:] for row in self.rows if row[0] == word]


def import_folders() -> list[str]:
    """The folders in which distributions are looked for: the import path without the script's own folder or the current one."""
    own = os.path.dirname(os.path.abspath(sys.argv[0])) if sys.argv and sys.argv[0] else ""
    skip = {"", own, os.getcwd()} if not sys.flags.safe_path else set()
    return [folder for folder in dict.fromkeys(sys.path) if folder not in skip and os.path.isdir(folder)]


def switched_off() -> set[str]:
    """Names of plugins that the user does without: BAYBOOK_WITHOUT="a,b" and the lines of the switch file."""
    names = os.environ.get("BAYBOOK_WITHOUT", "").split(",")
    try:
        with open(switch_file(), encoding="utf-8") as file:
            names += [line for line in file.read().splitlines() if not line.startswith("#")]
    except OSError:
        pass
    return {name.strip() for name in names if name.strip()}


def switch_file() -> str:
    """The file with the names of plugins that are switched off, a line each."""
    return os.path.join(_folder("BAYBOOK_CONFIG", "XDG_CONFIG_HOME", ".config"), "switched-off")


def index_file() -> str:
    """This environment's index file."""
    import binascii

    tag = f"{binascii.crc32(sys.prefix.encode()):08x}"
    return os.path.join(_folder("BAYBOOK_CACHE", "XDG_CACHE_HOME", ".cache"), f"plugins-{tag}.txt")


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
    except OSError:
        return ("watch", path, "0")


def read() -> Index | None:
    """The index, or None where there is none, it is damaged, or something has changed since."""
    try:
        with open(index_file(), encoding="utf-8") as file:
            lines = file.read().split("\n")
    except (OSError, UnicodeDecodeError):
        return None
    if lines[0] != FORMAT or lines[-1] != "end":
        return None
    rows = [tuple(line.split("\t")) for line in lines[1:-1]]
    if not rows or rows[0] != stamp():
        return None
    if any(row != watch(row[1]) for row in rows if row[0] == "watch"):
        return None
    return Index(rows)


def write(rows: list[Row]) -> None:
    """Keep the index; where the cache cannot be written the next command builds it again."""
    path = index_file()
    text = "\n".join([FORMAT, *("\t".join(map(_clean, row)) for row in rows), "end"])
    scratch = f"{path}.{os.getpid()}"
    try:
        os.makedirs(os.path.dirname(path), exist_ok=True)
        with open(scratch, "w", encoding="utf-8") as file:
            file.write(text)
        os.replace(scratch, path)
    except OSError:
        pass


def _clean(text: str) -> str:
    return " ".join(text.split()) if "\t" in text or "\n" in text or "\r" in text else text


def unit_rows(index: Index) -> tuple[tuple[str, str, float, float, tuple[str, ...]], ...]:
    """The units that plugins add, as rows of the unit table."""
    return tuple(
        (family, symbol, float(factor), float(offset), tuple(others))
        for _, family, symbol, factor, offset, *others in index.of("unit")
    )
