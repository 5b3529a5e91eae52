"""The fields of a sheet's [job]: some that have a place in the report, and any others that a workshop wants to keep."""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Mapping
from difflib import get_close_matches
from math import isfinite
from typing import Any

from ..errors import Problem

JOB_KEYS = ("number", "date", "workshop", "technician", "customer", "vehicle", "registration", "mileage", "engine", "complaint",
            "note")  # fmt: skip


def job_problems(job: Mapping[str, Any]) -> Iterator[Problem]:
    """What is wrong: a field that is likely one of the usual misspelt, and a date that is none."""
    for key in job:
        close = get_close_matches(key, JOB_KEYS, n=1, cutoff=0.75)
        if key not in JOB_KEYS and close:
            yield Problem("[job]", key, "is not known there", f"did you mean {close[0]}?")
    for key, value in job.items():
        if isinstance(value, float) and not isfinite(value):
            yield Problem(f"[job], {key}", value, "is no number", "give one, or leave it out")
    given = job.get("date", "")
    if isinstance(given, str) and given.strip() and not _is_date(given.strip()):
        yield Problem("[job], date", given, "is not a date", "give year, month, day, such as 2026-11-28, or 28.11.2026")


def _is_date(text: str) -> bool:
    for form in ("%Y-%m-%d", "%d.%m.%Y", "%d/%m/%Y"):
        try:
            datetime.datetime.strptime(text, form)
        except ValueError:
            continue
        return True
    return False
