"""A pytest plugin for one try of a mutant: bounds each test by processor time, and writes down what failed first and what ran.

Loaded by tools/mutants.py; takes its orders from MUTANTS_SESSION, a JSON text: report (path of the JSON file to write), seconds
(of processor time that each test file takes unmutated) and trace (whether to write down which functions run).
"""

from __future__ import annotations

import json
import os
import resource
import sys
from collections.abc import Iterator
from pathlib import Path
from types import FrameType
from typing import Any

import pytest

ORDERS = json.loads(os.environ.get("MUTANTS_SESSION", "{}"))
TIMES, SPARE = 10, 30.0
"""A test may take ten times as long as its whole file takes unmutated, and half a minute: only an endless loop does."""
ran: set[tuple[str, str]] = set()
first: dict[str, str] = {}


def used() -> float:
    """Seconds of processor time so far."""
    spent = resource.getrusage(resource.RUSAGE_SELF)
    return spent.ru_utime + spent.ru_stime


def allow(seconds: float) -> None:
    """Let the process run so much longer: the kernel ends it with SIGXCPU."""
    resource.setrlimit(resource.RLIMIT_CPU, (int(used() + seconds) + 1, resource.getrlimit(resource.RLIMIT_CPU)[1]))


def follow(frame: FrameType, event: str, value: Any) -> None:
    """Note each function that is called."""
    code = frame.f_code
    ran.add((code.co_filename, code.co_qualname))


if ORDERS:
    allow(SPARE + TIMES * max(ORDERS["seconds"].values(), default=60.0))
    if ORDERS["trace"]:
        sys.settrace(follow)


@pytest.hookimpl(wrapper=True)
def pytest_runtest_protocol(item: pytest.Item) -> Iterator[None]:
    """Each test has its own time."""
    allow(SPARE + TIMES * ORDERS["seconds"].get(item.nodeid.partition("::")[0], 60.0))
    if ORDERS["trace"]:
        sys.settrace(follow)  # a test may have taken it away
    return (yield)


def note(phase: str, name: str, said: str) -> None:
    """Keep the first failure."""
    if not first:
        first.update(phase=phase, name=name, said=said)


def pytest_collectreport(report: pytest.CollectReport) -> None:
    """A file that cannot be imported."""
    if report.failed:
        note("collect", report.nodeid, str(report.longrepr))


def pytest_runtest_logreport(report: pytest.TestReport) -> None:
    """A test that fails, or that cannot be set up."""
    if report.failed:
        note(report.when or "call", report.nodeid, str(report.longrepr))


def pytest_sessionfinish() -> None:
    """Write it down."""
    sys.settrace(None)
    root = str(Path.cwd()) + os.sep
    inside = sorted({(file.removeprefix(root), name) for file, name in ran if file.startswith(root)})
    Path(ORDERS["report"]).write_text(json.dumps({"first": first, "ran": inside}), encoding="utf-8")
