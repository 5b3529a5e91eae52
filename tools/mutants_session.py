"""A pytest plugin for one try of a mutant: runs the tests it is told to, in their order, and bounds each by processor time.

Takes its orders from the JSON file that MUTANTS_SESSION names: report (the JSON file to write), tests (seconds of processor
time that each takes unmutated, by node id; all that are collected, if empty) and trace (whether to write down which functions
each test runs, and how long it takes).
"""

from __future__ import annotations

import contextlib
import functools
import json
import os
import resource
import signal
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from types import FrameType
from typing import Any

import pytest

ORDERS = json.loads(Path(os.environ["MUTANTS_SESSION"]).read_text(encoding="utf-8")) if "MUTANTS_SESSION" in os.environ else {}
TIMES, SPARE = 10, 30.0
"""A test may take ten times as long as unmutated, and half a minute: only an endless loop does."""
SLOWEST = 30.0
"""Seconds of processor time, with the tracing on, that a test may take to be of use."""
STARTS = ("subprocess.Popen", "os.fork", "os.forkpty", "os.posix_spawn")
first: dict[str, str] = {}


def used() -> float:
    """Seconds of processor time so far."""
    spent = resource.getrusage(resource.RUSAGE_SELF)
    return spent.ru_utime + spent.ru_stime


def allow(seconds: float) -> None:
    """Let the process run so much longer: the kernel ends it with SIGXCPU."""
    resource.setrlimit(resource.RLIMIT_CPU, (int(used() + seconds) + 1, resource.getrlimit(resource.RLIMIT_CPU)[1]))


class Trace:
    """What each test runs by itself, and what is common to the tests of a file: imports, the module's fixtures, what's kept."""

    def __init__(self) -> None:
        self.common, self.shared, self.depth = set[tuple[str, str]](), 0.0, 0
        self.ran: dict[str, set[tuple[str, str]]] = {}
        self.seconds: dict[str, float] = {}
        self.own, self.at, self.useless, self.kept = self.common, "", set[str](), set[tuple[str, str]]()

    def start(self) -> None:
        """From here on. What a function keeps for its next call, for lru_cache, counts for every test."""
        lru_cache = functools.lru_cache

        def noted(function: Any) -> Any:
            if code := getattr(function, "__code__", None):
                self.kept.add((code.co_filename, code.co_qualname))
            return function

        def keeping(maxsize: Any = 128, typed: bool = False) -> Any:
            if callable(maxsize):
                return lru_cache(noted(maxsize))
            return lambda function: lru_cache(maxsize, typed)(noted(function))

        functools.lru_cache = keeping
        sys.addaudithook(self.heard)
        signal.signal(signal.SIGXCPU, self.slow)
        sys.settrace(self.follow)

    def heard(self, event: str, _: object) -> None:
        """A test that starts a process is of no use: what runs there is not seen."""
        if event in STARTS and self.at and not self.depth:
            self.useless.add(self.at)

    def follow(self, frame: FrameType, event: str, value: Any) -> Callable[..., Any] | None:
        """Note each function that is called."""
        key = (frame.f_code.co_filename, frame.f_code.co_qualname)
        whole = key[1] == "<module>" or key in self.kept
        (self.common if self.depth or whole else self.own).add(key)
        if not whole:
            return None
        self.depth += 1
        frame.f_trace_lines = False
        return self.leave

    def leave(self, frame: FrameType, event: str, value: Any) -> Callable[..., Any]:
        """The end of a module, or of what is kept."""
        self.depth -= event == "return"
        return self.leave

    def slow(self, *_: Any) -> None:
        """Give a test up. It is skipped, since Hypothesis would look into one that fails."""
        allow(SLOWEST)
        pytest.skip("slow")

    @contextlib.contextmanager
    def test(self, name: str) -> Iterator[None]:
        """Follow one test."""
        self.own, self.at, self.depth = self.ran.setdefault(name, set()), name, 0
        begun = used() - self.shared
        sys.settrace(self.follow)  # a test may have taken it away
        yield
        self.seconds[name] = used() - self.shared - begun
        self.own, self.at = self.common, ""

    @contextlib.contextmanager
    def together(self) -> Iterator[None]:
        """Follow what is done once for all the tests."""
        begun, self.depth = used(), self.depth + 1
        yield
        self.depth, self.shared = self.depth - 1, self.shared + used() - begun

    def told(self) -> dict[str, Any]:
        """Seconds of each useful test, the functions of the tree that it runs, and what is common to all."""
        root = str(Path.cwd()) + os.sep
        ran = {
            name: sorted(f"{file.removeprefix(root)}::{function}" for file, function in keys if file.startswith(root))
            for name, keys in {**self.ran, "": self.common}.items() if name not in self.useless
        }  # fmt: skip
        return {"shared": self.shared, "seconds": self.seconds, "ran": ran}


def bound(name: str) -> None:
    """The time of a test, or of the import of one file."""
    known: dict[str, float] = ORDERS["tests"]
    allow(SLOWEST if ORDERS["trace"] else SPARE + TIMES * known.get(name, max(known.values(), default=SLOWEST)))


trace = Trace()
if ORDERS:
    bound("")
    if ORDERS["trace"]:
        trace.start()


@pytest.hookimpl(wrapper=True)
def pytest_make_collect_report(collector: pytest.Collector) -> Iterator[None]:
    """Each file has its own time."""
    bound(collector.nodeid)
    return (yield)


@pytest.hookimpl(trylast=True)
def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Leave the tests that are wanted, in their order."""
    found = {item.nodeid: item for item in items}
    if ORDERS["tests"]:
        items[:] = [found[name] for name in ORDERS["tests"] if name in found]


@pytest.hookimpl(wrapper=True)
def pytest_fixture_setup(fixturedef: pytest.FixtureDef[Any]) -> Iterator[None]:
    """A fixture of the module, or of all, is set up once."""
    with trace.together() if ORDERS["trace"] and fixturedef.scope != "function" else contextlib.nullcontext():
        return (yield)


@pytest.hookimpl(wrapper=True)
def pytest_runtest_protocol(item: pytest.Item) -> Iterator[None]:
    """Each test has its own time."""
    bound(item.nodeid)
    with trace.test(item.nodeid) if ORDERS["trace"] else contextlib.nullcontext():
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
    if not report.passed:
        trace.useless.add(report.nodeid)


def pytest_sessionfinish() -> None:
    """Write it down."""
    sys.settrace(None)
    Path(ORDERS["report"]).write_text(json.dumps({"first": first, **trace.told()}), encoding="utf-8")
