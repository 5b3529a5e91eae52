"""Which tests run a function of the parts that are tried, and what each takes: found by running every one of them once."""

from __future__ import annotations

import concurrent.futures
import hashlib
import json
import os
import signal
import subprocess
import sys
import tempfile
import threading
from dataclasses import asdict, dataclass, field
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))
from tools.mutants_changes import Mutant

FOLDERS = (
    "core", "physics", "fuels", "places", "published", "hold", "coil", "supply", "drop", "pump", "ripple", "cranking", "drive",
    "regulator", "returns", "fuel", "delivery", "sensor", "target", "jobs",
)  # fmt: skip
"""Of tests/: those that compute. Cards, command line, captures and fuzzing stay out; so do, wherever they stand, tests that
start a process, that do not pass unmutated, and that take longer than mutants_session.SLOWEST."""
LONGEST = 120.0
"""Seconds of processor time of all the tests that one mutant is tried against; taken with the tracing, which doubles them."""
WALL = 3600.0
"""A try that is not over after so many seconds of the clock gives no answer."""


@dataclass(frozen=True)
class TestFile:
    """One test file, unmutated: the functions that each useful test runs and its processor time in s, both by the test's name.

    What is common to the tests stands apart: the functions that run at import or in a fixture of the module, and its seconds.
    """

    __test__ = False
    digest: str
    shared: float
    seconds: dict[str, float]
    functions: list[str]
    common: list[int]
    ran: dict[str, list[int]]


@dataclass(frozen=True)
class Session:
    """How one run of pytest ended: its exit code (negative for a signal, None for the clock) and its first failure."""

    code: int | None
    seconds: float
    first: dict[str, str]
    told: dict[str, Any] = field(default_factory=dict)


def session(tree: Path, tests: dict[str, float], *more: str, trace: bool = False) -> Session:
    """Run tests in a tree, in their order, each with the processor time in s that it takes unmutated; or a file, to trace it.

    No test has a deadline by the clock, and made examples are the same at each run.
    """
    with tempfile.TemporaryDirectory() as folder:
        report, orders = Path(folder) / "report.json", Path(folder) / "orders.json"
        orders.write_text(
            json.dumps({"report": str(report), "tests": {} if trace else tests, "trace": trace}), encoding="utf-8"
        )
        paths = os.pathsep.join(str(tree / part) for part in ("toolkit", "plugins", "cards", "."))
        one = dict.fromkeys(("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS"), "1")
        own = {"PYTHONPATH": paths, "MUTANTS_SESSION": str(orders), "TMPDIR": folder, "PYTHONDONTWRITEBYTECODE": ""}
        command = [
            sys.executable,
            "-m",
            "pytest",
            "-q",
            "-p",
            "no:cacheprovider",
            "-p",
            "no:xdist",
            "-p",
            "tools.mutants_session",
        ]
        command += [
            "--hypothesis-profile=ci",
            *(() if trace else ("-x",)),
            *more,
            *dict.fromkeys(name.partition("::")[0] for name in tests),
        ]
        quiet = {"stdin": subprocess.DEVNULL, "stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL}
        process = subprocess.Popen(command, cwd=tree, env={**os.environ, **one, **own}, start_new_session=True, **quiet)  # type: ignore[call-overload]
        code, spent = ended(process)
        told: dict[str, Any] = json.loads(report.read_text(encoding="utf-8")) if report.exists() else {"first": {}}
        return Session(code, spent, told["first"], told)


def ended(process: subprocess.Popen[bytes]) -> tuple[int | None, float]:
    """Exit code and processor time of a process and its children; None if the clock ran out."""
    late: list[bool] = []

    def stop() -> None:
        late.append(True)
        os.killpg(process.pid, signal.SIGKILL)

    clock = threading.Timer(WALL, stop)
    clock.start()
    _, status, spent = os.wait4(process.pid, 0)
    clock.cancel()
    process.returncode = os.waitstatus_to_exitcode(status)
    return None if late else process.returncode, spent.ru_utime + spent.ru_stime


def recorded(tree: Path, store: Path, parts: tuple[str, ...], jobs: int) -> dict[str, TestFile]:
    """Every test file; those that the store holds as they are now, written by the plugin as it is now, are not run again."""
    plugin = (Path(__file__).parent / "mutants_session.py").read_bytes()
    known = json.loads(store.read_text(encoding="utf-8")) if store.exists() else {}
    found: dict[str, TestFile] = {}
    lock = threading.Lock()

    def look(path: Path) -> None:
        name, digest = path.relative_to(tree).as_posix(), hashlib.sha256(plugin + path.read_bytes()).hexdigest()
        if known.get(name, {}).get("digest") == digest:
            found[name] = TestFile(**known[name])
            return
        test = record(tree, name, digest, parts)
        with lock:
            found[name] = test
            store.write_text(json.dumps(known | {name: asdict(test) for name, test in found.items()}), encoding="utf-8")
        print(f"{name}: {len(test.ran)} tests, {test.shared + sum(test.seconds.values()):.1f} s", file=sys.stderr, flush=True)

    paths = [path for folder in FOLDERS for path in sorted((tree / "tests" / folder).glob("test_*.py"))]
    with concurrent.futures.ThreadPoolExecutor(jobs) as pool:
        list(pool.map(look, paths))
    return found


def record(tree: Path, name: str, digest: str, parts: tuple[str, ...]) -> TestFile:
    """Run one test file, and note which functions of the parts each of its tests runs."""
    told = session(tree, {name: 0.0}, trace=True).told
    ran = {test: [each for each in keys if each.startswith(parts)] for test, keys in told.get("ran", {"": []}).items()}
    number = {each: at for at, each in enumerate(sorted({each for keys in ran.values() for each in keys}))}
    numbers = {test: [number[each] for each in keys] for test, keys in ran.items()}
    common = numbers.pop("")
    return TestFile(
        digest, told.get("shared", 0.0), {test: told["seconds"][test] for test in numbers}, list(number), common, numbers
    )


def chosen(files: dict[str, TestFile], mutant: Mutant, known: set[str], nearest: tuple[str, ...]) -> dict[str, float]:
    """The tests that run a mutant's function, in the order in which they are tried, with their seconds; up to LONGEST in all.

    Those that run it by themselves come before those of whose file only an import or a fixture does; then those of the module's
    name and of the part's folders, then the quickest: below 1 s, below 10 s, and file by file within, as fixtures want it.
    What stands outside every function is tried by the tests that run any of the module's functions (known), or else import it.
    """
    useful = running(files, mutant.file, {mutant.function})
    if mutant.function == "<module>":
        useful = running(files, mutant.file, known) or useful

    def order(test: str) -> tuple[Any, ...]:
        name = test.partition("::")[0]
        price = files[name].shared + files[name].seconds[test]
        own = f"test_{Path(mutant.file).stem}." in name
        return not useful[test], not own, not name.startswith(nearest), price > 1, price > 10, files[name].shared, name, price

    total, kept, seen = 0.0, dict[str, float](), set[str]()
    for test in sorted(useful, key=order):
        name = test.partition("::")[0]
        price = files[name].seconds[test] + (name not in seen) * files[name].shared
        if total + price <= LONGEST:
            total += price
            seen.add(name)
            kept[test] = files[name].shared + files[name].seconds[test]
    return kept


def running(files: dict[str, TestFile], file: str, wanted: set[str]) -> dict[str, bool]:
    """The tests that run one of the functions of a file; true if by themselves."""
    keys, found = {f"{file}::{name}" for name in wanted}, dict[str, bool]()
    for test in files.values():
        at = {number for number, name in enumerate(test.functions) if name in keys}
        everyone = not at.isdisjoint(test.common)
        own = {name: not at.isdisjoint(ran) for name, ran in test.ran.items()}
        found |= {name: runs for name, runs in own.items() if runs or everyone}
    return found
