"""Which test files run a function of the parts that are tried, and what each takes: found by running every one of them once."""

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
    "regulator", "returns", "fuel", "delivery", "sensor", "target",
)  # fmt: skip
JOBS = ("archive", "demo_jobs", "electric", "job_schema", "plain")
"""Of tests/: those that compute in their own process. Cards, command line, captures, fuzzing and processes stay out, and of the
jobs those that take longer than LONGEST."""
SLOWEST = 60.0
"""Seconds of processor time that a test file may take to be of use here."""
LONGEST = 20.0
"""Seconds of processor time of all test files that one mutant is tried against, but for the first of them; they are taken with
the tracing on, which doubles them."""
WALL = 3600.0
"""A try that is not over after so many seconds of the clock gives no answer."""


@dataclass(frozen=True)
class TestFile:
    """One test file, unmutated: whether it passes, its processor time in s, and the functions that it runs, by file."""

    __test__ = False
    digest: str
    passes: bool
    seconds: float
    ran: dict[str, list[str]] = field(default_factory=dict)


@dataclass(frozen=True)
class Session:
    """How one run of pytest ended: its exit code (negative for a signal, None for the clock) and its first failure."""

    code: int | None
    seconds: float
    first: dict[str, str]
    ran: list[list[str]]


def session(tree: Path, tests: list[str], seconds: dict[str, float], *more: str, trace: bool = False) -> Session:
    """Run tests in a tree."""
    with tempfile.TemporaryDirectory() as folder:
        report = Path(folder) / "report.json"
        orders = json.dumps({"report": str(report), "seconds": seconds, "trace": trace})
        paths = os.pathsep.join(str(tree / part) for part in ("toolkit", "plugins", "cards", "."))
        one = dict.fromkeys(("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS"), "1")
        environment = {**os.environ, **one, "PYTHONPATH": paths, "MUTANTS_SESSION": orders, "TMPDIR": folder}
        command = [sys.executable, "-m", "pytest", "-x", "-q", "-p", "no:cacheprovider", "-p", "no:xdist", "-p"]
        command += ["tools.mutants_session", "--hypothesis-seed=0", *more, *tests]
        quiet = {"stdin": subprocess.DEVNULL, "stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL}
        process = subprocess.Popen(command, cwd=tree, env=environment, start_new_session=True, **quiet)  # type: ignore[call-overload]
        code, spent = ended(process)
        told: dict[str, Any] = json.loads(report.read_text(encoding="utf-8")) if report.exists() else {"first": {}, "ran": []}
        return Session(code, spent, told["first"], told["ran"])


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
    """Every test file; those that the store holds as they are now are not run again."""
    known = json.loads(store.read_text(encoding="utf-8")) if store.exists() else {}
    found: dict[str, TestFile] = {}
    lock = threading.Lock()

    def look(path: Path) -> None:
        name, digest = path.relative_to(tree).as_posix(), hashlib.sha256(path.read_bytes()).hexdigest()
        if known.get(name, {}).get("digest") == digest:
            found[name] = TestFile(**known[name])
            return
        test = record(tree, name, digest, parts)
        with lock:
            found[name] = test
            store.write_text(json.dumps(known | {name: asdict(test) for name, test in found.items()}), encoding="utf-8")
        print(f"{name}: {test.seconds:.1f} s{'' if test.passes else ', left out'}", file=sys.stderr, flush=True)

    paths = [path for folder in FOLDERS for path in sorted((tree / "tests" / folder).glob("test_*.py"))]
    paths += [tree / "tests" / "jobs" / f"test_{name}.py" for name in JOBS]
    with concurrent.futures.ThreadPoolExecutor(jobs) as pool:
        list(pool.map(look, paths))
    return found


def record(tree: Path, name: str, digest: str, parts: tuple[str, ...]) -> TestFile:
    """Run one test file, and note which functions of the parts it runs."""
    done = session(tree, [name], {name: (SLOWEST - 30) / 10}, trace=True)
    ran: dict[str, list[str]] = {}
    for file, function in done.ran:
        if file.startswith(parts):
            ran.setdefault(file, []).append(function)
    return TestFile(digest, done.code == 0 and done.seconds <= SLOWEST, done.seconds, ran)


def chosen(tests: dict[str, TestFile], mutant: Mutant, known: set[str], nearest: tuple[str, ...]) -> list[str]:
    """The test files that run a mutant's function: of the module's name and the part's folders first, then the quickest, up to
    LONGEST in all.

    What stands outside every function is tried by the files that run any of the module's functions (known), or else import it.
    """
    wanted = known if mutant.function == "<module>" else {mutant.function}
    able = {name: set(test.ran[mutant.file]) for name, test in tests.items() if test.passes and mutant.file in test.ran}
    useful = [name for name, ran in able.items() if ran & wanted] or [*able]
    own = f"test_{Path(mutant.file).stem}"
    useful.sort(key=lambda name: (own not in name, not name.startswith(nearest), tests[name].seconds))
    total, kept = 0.0, list[str]()
    for name in useful:
        if not kept or total + tests[name].seconds <= LONGEST:
            total += tests[name].seconds
            kept.append(name)
    return kept
