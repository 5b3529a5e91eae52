"""Make a job sheet and add steps to one, keeping the comments that a person wrote."""

from __future__ import annotations

import os
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from ..errors import InputError
from ..files import write_whole

TEMPLATE = """\
# Baybook job sheet. Fill in what you know; lines that begin with # are remarks.
# Readings are text with a unit and, if you know it, a 95 % uncertainty: "350 bar", "350 ± 5 bar", "1,5 MPa ± 1 %".
# Before any work on the fuel system: engine stopped, waited as long as the vehicle's data say, and rail pressure
# proven zero by a reading.

[job]
number = ""
date = "{date}"
workshop = ""
technician = ""
customer = ""
vehicle = ""
complaint = ""

# Limits are yours: type what the data for this vehicle say, and where they say it.
# [specs.leak]
# range = "<= 6 mL/min"
# source = "vehicle data, page …"

# Instruments and their 95 % uncertainty, in a unit or per cent of the reading.
# [instruments.gauge]
# what = "rail pressure gauge"
# uncertainty = "1 %"

# Steps in the order they were taken; `baybook job add FILE CALCULATOR …` writes them for you.
# [[steps]]
# calculator = "hold"
# title = "Rail hold after cranking"
# [steps.inputs]
# start = {{ reading = "350 bar", instrument = "gauge" }}
# end = {{ reading = "320 bar", instrument = "gauge" }}
# time = "30 s"
# volume = "25 ± 2 mL"
# limit = {{ spec = "leak" }}
"""


def new_sheet(job: Mapping[str, str], date: str) -> str:
    """The text of a new sheet with the fields of [job] that are known. Raises InputError for a field that is not."""
    import tomlkit

    from .sheet import JOB_KEYS

    document = tomlkit.parse(TEMPLATE.format(date=date))
    for key, value in job.items():
        if key not in JOB_KEYS:
            raise InputError.one("--set", key, "is not a field of a job", f"use {', '.join(JOB_KEYS)}")
        document["job"][key] = value
    return tomlkit.dumps(document)


def add_step(path: Path, calculator: str, title: str, note: str, inputs: Mapping[str, Any]) -> int:
    """Add a step at the end of the sheet; returns its number. The file is written whole or not at all.

    Raises InputError where the sheet cannot be read.
    """
    import tomlkit
    from filelock import FileLock

    from .sheet import load_toml

    with FileLock(_lock_file(path), timeout=10):
        load_toml(path)  # refuses what is not TOML, with its line
        document = tomlkit.parse(path.read_text(encoding="utf-8-sig"))
        steps = document.setdefault("steps", tomlkit.aot())
        step = tomlkit.table()
        step["calculator"] = calculator
        for key, value in (("title", title), ("note", note)):
            if value:
                step[key] = value
        step["inputs"] = _inputs(path, inputs)
        steps.append(step)
        step.trivia.indent = "\n"  # an empty line above each step
        write_whole(path, tomlkit.dumps(document).encode())
    return len(steps)


def _lock_file(path: Path) -> str:
    """Two terminals may add to one sheet; the lock lies in the folder for temporary files, not beside the sheet."""
    import tempfile
    import zlib

    return os.path.join(tempfile.gettempdir(), f"baybook-{zlib.crc32(str(path.resolve()).encode()):08x}.lock")


def _inputs(sheet: Path, inputs: Mapping[str, Any]) -> Any:
    """The step's inputs as TOML; a capture's file is written as seen from the sheet."""
    import tomlkit

    table = tomlkit.table()
    for name, value in inputs.items():
        if isinstance(value, Mapping):
            inline = tomlkit.inline_table()
            for key, part in value.items():
                if part:
                    inline[key] = os.path.relpath(str(part), sheet.absolute().parent) if key == "file" else part
            table[name] = inline
        else:
            table[name] = value
    return table
