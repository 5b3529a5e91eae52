"""Recordings in the dialects of general-purpose recorders, made up, each with what it says beside it.

An invented mill, Fennimore's, logs an invented pump: every number is made here first and written then, so that `time` and
`values` are the truth, and no reader of files stands between.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from datetime import datetime, timedelta

NAN = math.nan


@dataclass(frozen=True)
class Case:
    """A file, what is to be asked of it, and what it says: time in s from the first row, values by channel."""

    name: str
    text: str
    time: list[float]
    values: dict[str, list[float]]
    columns: dict[str, str] = field(default_factory=dict)
    units: dict[str, str] = field(default_factory=dict)
    rate: float | None = None
    decimal: str | None = None
    encoding: str = "utf-8"
    counted: bool = False  # nothing but the place of a row tells its time

    @property
    def data(self) -> bytes:
        return self.text.encode(self.encoding)


COUNT = 40
STEPS = [f"{each * 0.02:.2f}" for each in range(COUNT)]
A = [f"{3.6 + math.sin(each / 7):.3f}" for each in range(COUNT)]
B = [f"{-12.5 + each % 9:.2f}" for each in range(COUNT)]
START = datetime(2024, 7, 26, 22, 50)


def floats(texts: list[str]) -> list[float]:
    return [float(text) for text in texts]


def table(*columns: list[str], sep: str = ",", end: str = "") -> str:
    return "".join(sep.join(row) + end + "\n" for row in zip(*columns, strict=True))


def times(step: timedelta, form: str = "", count: int = COUNT, start: datetime = START) -> list[str]:
    """Texts of dates and clocks by `strftime`."""
    return [(start + each * step).strftime(form) for each in range(count)]


def evenly(step: float, count: int = COUNT) -> list[float]:
    return [each * step for each in range(count)]


# nothing but the place of a row tells its time in these
COUNTED = (
    "labels name start and increment, the second line holds them", "one channel with start and increment",
    "the line of start and increment taken out", "only values, the interval above them", "no column of times",
    "a clock too coarse, with the rate told",
)  # fmt: skip


def case_of(name: str, text: str, time: list[float], a: str = "column 2", b: str = "column 3", **more: object) -> Case:
    columns = {"a": a, **({"b": b} if b else {}), **more.pop("columns", {})}  # type: ignore[dict-item]
    values = more.pop("values", None) or {"a": floats(A), **({"b": floats(B)} if b else {})}
    return Case(name, text, time, values, columns, counted=name in COUNTED, **more)  # type: ignore[arg-type]


S = floats(STEPS)
T = {"t": "column 1"}
