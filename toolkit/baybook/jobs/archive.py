"""What a folder of finished jobs says: how often which place it was, and how good the stated chances were.

Each job is worked out by itself and leaves one line of JSON; the lines add up, so a run that was stopped goes on where it was.
"""

from __future__ import annotations

import hashlib
import json
import os
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path
from typing import Any

from ..dataclass import dataclass, field
from ..errors import BaybookError, InputError
from ..places.archive import Tally, base_rates
from ..places.system import SystemMap
from ..version import __version__

CHUNK = 16
"""Sheets that a process takes at a time."""
SMALL = 64
"""Sheets that one process works out sooner than others could be started."""
Line = Mapping[str, Any]


def line_of(file: str) -> dict[str, Any]:
    """The line of one job: what it was, and the chances that were stated before any repair; or why it was passed over.

    stated: by place, with `no fault` and `not on the map`, rounded to a millionth and without those that are below it.
    """
    from .evaluation import before_repair
    from .sheet import read_sheet

    line: dict[str, Any] = {"file": file, "sha256": "", "baybook": __version__}
    try:
        line["sha256"] = _digest(file)
        sheet = read_sheet(file)
        if sheet.outcome is None:
            return {**line, "outcome": None}
        found = before_repair(sheet)
        chances = found.chances
        stated = {name: round(chance, 6) for name, chance in chances.items() if chance >= 1e-6}
        return {
            **line, "outcome": sheet.outcome.place, "confirmed": sheet.outcome.confirmed, "places": len(chances),
            "tests": sum(item.is_test for item in found.history.epochs[0].evidence), "stated": stated,
        }  # fmt: skip
    except (BaybookError, OSError) as error:
        told = str(error.strerror) if isinstance(error, OSError) else "; ".join(str(error).splitlines())
        return {**line, "error": told}


def _digest(file: str) -> str:
    with open(file, "rb") as sheet:
        return hashlib.file_digest(sheet, "sha256").hexdigest()


def sheets_in(folder: Path) -> list[str]:
    """The job sheets in a folder and those in it, by name. Raises InputError where it is no folder, or has none."""
    if not folder.is_dir():
        raise InputError.one("DIR", folder, "is not a folder", "give the folder of the finished job sheets")
    found = sorted(str(path) for path in folder.rglob("*.toml") if path.is_file())
    if not found:
        raise InputError.one("DIR", folder, "holds no job sheet", "give the folder of the finished job sheets (.toml)")
    return found


def lines_of(files: Iterable[str], known: Mapping[str, Line], processes: int | None = None) -> Iterator[tuple[Line, bool]]:
    """The line of each sheet, and whether it is new; one that is known and has not changed since is taken as it is.

    On all processors unless `processes` says how many. They come in the order of the files.
    """
    files = list(files)
    new = [file for file in files if not _still(known.get(file), file)]
    waiting = _worked(new, processes or os.cpu_count() or 1)
    fresh = set(new)
    for file in files:
        yield (next(waiting), True) if file in fresh else (known[file], False)


def _still(line: Line | None, file: str) -> bool:
    try:
        return line is not None and line.get("baybook") == __version__ and line["sha256"] == _digest(file)
    except OSError:
        return False


def _worked(files: list[str], processes: int) -> Iterator[dict[str, Any]]:
    if processes == 1 or len(files) <= SMALL:
        yield from map(line_of, files)
        return
    with ProcessPoolExecutor(processes) as pool:
        for start in range(0, len(files), CHUNK * processes * 8):  # so much in flight at most, however many there are
            yield from pool.map(line_of, files[start : start + CHUNK * processes * 8], chunksize=CHUNK)


def read_lines(path: Path) -> dict[str, Line]:
    """The lines that an earlier run wrote, by file; one that was cut off is left out. Raises InputError."""
    known: dict[str, Line] = {}
    try:
        with path.open(encoding="utf-8") as lines:
            for text in lines:
                try:
                    line = json.loads(text)
                    known[line["file"]] = line
                except (ValueError, KeyError, TypeError):
                    continue
    except FileNotFoundError:
        return {}
    except (OSError, UnicodeDecodeError) as error:
        raise InputError.one(
            "--lines", path, "cannot be read", "give a file that an earlier run wrote, or a new name"
        ) from error
    return known


@dataclass
class Archive:
    """What the lines add up to. passed_over: the first sheets that could not be used, with why; unusable: how many."""

    outcomes: Counter[str] = field(default_factory=Counter)
    leading: Tally = field(default_factory=Tally)
    every: Tally = field(default_factory=Tally)
    sheets: int = 0
    unfinished: int = 0
    unusable: int = 0
    untested: int = 0

    def add(self, line: Line) -> None:
        """Count a job: one without an outcome is not finished, one without a test says nothing of the stated chances."""
        self.sheets += 1
        if "error" in line:
            self.unusable += 1
        elif line["outcome"] is None:
            self.unfinished += 1
        else:
            self.outcomes[line["outcome"]] += 1
            if line["tests"]:
                self._score(line)
            else:
                self.untested += 1

    def _score(self, line: Line) -> None:
        stated, true = line["stated"], line["outcome"]
        first = max(stated, key=lambda name: stated[name])
        self.leading.add(stated[first], first == true)
        for name, chance in stated.items():
            self.every.add(chance, name == true)
        for _ in range(line["places"] - len(stated)):
            self.every.add(0.0, False)

    @property
    def finished(self) -> int:
        """Jobs with an outcome."""
        return sum(self.outcomes.values())

    def rates(self) -> dict[str, float]:
        """Base rates by kind of place, on the generic map."""
        return base_rates(self.outcomes, SystemMap.of())

    def to_dict(self) -> dict[str, Any]:
        """For JSON, and for `--rates`."""
        return {
            "sheets": self.sheets, "finished": self.finished, "unfinished": self.unfinished, "unusable": self.unusable,
            "untested": self.untested, "outcomes": dict(sorted(self.outcomes.items())), "base_rates": self.rates(),
            "leading": [row.to_dict() for row in self.leading.table()], "every": [row.to_dict() for row in self.every.table()],
            "brier": self.every.brier if self.every.count else None,
        }  # fmt: skip


def learned(lines: Iterable[tuple[Line, bool]], told: Callable[[Line, bool], None]) -> Archive:
    """The archive that the lines add up to. told: is called with each line, and whether it is new."""
    found = Archive()
    for line, new in lines:
        found.add(line)
        told(line, new)
    return found
