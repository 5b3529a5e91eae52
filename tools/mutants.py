"""Random mutants of the parts that decide an answer, each tried against the tests that ought to notice.

    python tools/mutants.py --count 200 --seed 1 [--jobs 2] [--only toolkit/baybook/spec.py]

A mutant changes one comparison, sign, operator, boolean, constant or condition of one module in a copy of the tree. It is
killed when a test that runs its function fails, when the tests can no longer be imported, or when one takes ten times its
processor time unmutated and half a minute (an endless loop: told apart). What fails is held against the unmutated tree, by the
same tests in the same order. A run that ends otherwise, by the clock or by a fault of the set-up, is no answer, and counts as
neither. As other tools of the kind do, it leaves alone what can change no result: `strict` of zip, `compare` and `repr` of a
dataclass's field, `frozen` and `slots` of a dataclass. Other mutants whose results cannot differ count as survivors.

First every test is run once, unmutated, to learn which functions it runs and how long it takes; --store keeps that for the
next time (--count 0 does that alone). Exit code 1 below --least. Why those live that were met so far: mutants_survivors.md
beside it. Any file can be named by --only; without it the draw is from the parts of GROUPS but for the plugins.
"""

from __future__ import annotations

import argparse
import ast
import concurrent.futures
import os
import queue
import random
import shutil
import signal
import sys
import tempfile
from collections import Counter
from dataclasses import dataclass
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))
from tools.mutants_changes import Mutant, functions, mutants_of, written
from tools.mutants_tests import Session, TestFile, chosen, recorded, session

ROOT = Path(__file__).resolve().parent.parent
CORE, PHYSICS = ("tests/core",), ("tests/physics", "tests/fuels", "tests/published")
GROUPS: dict[str, tuple[tuple[str, ...], tuple[str, ...]]] = {  # the modules of a part, and its nearest tests
    "reading": (tuple(f"toolkit/baybook/{name}.py" for name in ("reading", "numbers", "quantity")), CORE),
    "spec": (("toolkit/baybook/spec.py",), CORE),
    "estimate": (tuple(f"toolkit/baybook/{name}.py" for name in ("estimate", "propagation", "draws")), CORE),
    "verdict": (tuple(f"toolkit/baybook/{name}.py" for name in ("verdicts", "result", "steps", "answers")), CORE),
    "evidence": (("toolkit/baybook/places",), ("tests/places",)),
    "fuels": (("toolkit/baybook_physics/fuels",), ("tests/fuels", "tests/published")),
    "inference": (("toolkit/baybook_physics/inference",), ("tests/physics", "tests/hold")),
    "physics": (("toolkit/baybook_physics",), PHYSICS),
    "plugins": (("plugins/baybook_plugins",), ("tests/published",)),
}
PARTS = ("toolkit/", "plugins/")
KILLED, AT_IMPORT, ENDLESS, SURVIVED, NO_ANSWER = "killed", "killed at import", "killed, endless", "survived", "no answer"


@dataclass(frozen=True)
class Tried:
    """What became of a mutant: the outcome, the test or the fault that says so, and the processor time in s."""

    outcome: str
    by: str
    seconds: float


def group_of(file: str) -> str:
    """The part that a module belongs to."""
    return next((name for name, (parts, _) in GROUPS.items() if file.startswith(parts)), "other")


def files_of(tree: Path, only: str) -> list[str]:
    """The modules that are tried, from the tree's root."""
    parts = (only,) if only else tuple(part for name, (parts, _) in GROUPS.items() if name != "plugins" for part in parts)
    paths = [path.relative_to(tree).as_posix() for part in PARTS for path in sorted((tree / part).rglob("*.py"))]
    return [path for path in paths if path.startswith(parts)]


def judged(done: Session, tree: Path, tests: dict[str, float]) -> Tried:
    """What the end of a run says about the mutant. A failure is held against the unmutated tree: the same tests, up to it."""
    by = done.first.get("name", "")
    if done.code == 0:
        return Tried(SURVIVED, f"{len(tests)} tests", done.seconds)
    if done.code == -signal.SIGXCPU:
        return Tried(ENDLESS, by, done.seconds)
    if (done.code in (1, 2) and done.first.get("phase") == "collect") or done.code == 4:
        sound = session(tree, tests, "--collect-only").code == 0
        return Tried(AT_IMPORT if sound else NO_ANSWER, by or "the tests' own fixtures", done.seconds)
    if done.code == 1 and by in tests and "TimeoutExpired" not in done.first["said"]:
        before = list(tests)[: list(tests).index(by) + 1]
        sound = session(tree, {name: tests[name] for name in before}).code == 0
        return Tried(KILLED if sound else NO_ANSWER, by, done.seconds)
    return Tried(NO_ANSWER, f"exit code {done.code} {by}", done.seconds)


class Trees:
    """Copies of the repository: one that stays as it is, and one for each mutant at work, which is written in and taken out."""

    def __init__(self, folder: Path, jobs: int):
        self.clean = folder / "clean"
        shutil.copytree(ROOT, self.clean, ignore=shutil.ignore_patterns(".*", "__pycache__", "demo_output"))
        self.date = 0
        self.free: queue.Queue[Path] = queue.Queue()
        for number in range(jobs):
            self.free.put(Path(shutil.copytree(self.clean, folder / f"tree{number}")))

    def tried(self, mutant: Mutant, files: dict[str, TestFile]) -> Tried:
        """Run the tests that ought to notice. Each mutant has a date of its own, so that no module compiled before is taken."""
        group = group_of(mutant.file)
        known = {name for *_, name in functions(ast.parse((self.clean / mutant.file).read_text(encoding="utf-8")))}
        tests = chosen(files, mutant, known, GROUPS[group][1] if group in GROUPS else CORE)
        if not tests:
            return Tried(SURVIVED, "no test runs it", 0.0)
        tree = self.free.get()
        changed = tree / mutant.file
        try:
            changed.write_text(written(self.clean, mutant), encoding="utf-8")
            self.date += 1
            os.utime(changed, (self.date, self.date))
            return judged(session(tree, tests), self.clean, tests)
        finally:
            shutil.copy2(self.clean / mutant.file, changed)
            self.free.put(tree)


def summary(drawn: list[Mutant], outcomes: list[Tried]) -> float:
    """Print the figures by part; the share killed of those that answered, in per cent."""
    share, table = 0.0, {name: Counter[str]() for name in [*GROUPS, "other", "all"]}
    for mutant, tried in zip(drawn, outcomes, strict=True):
        for name in (group_of(mutant.file), "all"):
            table[name][tried.outcome] += 1
    for name, count in table.items():
        dead = count[KILLED] + count[AT_IMPORT] + count[ENDLESS]
        if answered := dead + count[SURVIVED]:
            share = 100 * dead / answered
            print(f"{name:9} {dead} of {answered} killed, {share:.0f} %; of these {count[AT_IMPORT]} at import, "
                  f"{count[ENDLESS]} endless; no answer: {count[NO_ANSWER]}")  # fmt: skip
    return share


def main() -> int:
    """Draw, try, and tell."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--count", type=int, default=200)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--jobs", type=int, default=2)
    parser.add_argument("--only", default="", help="a file or folder, instead of all")
    parser.add_argument("--store", type=Path, help="a JSON file that keeps which functions each test runs")
    parser.add_argument("--least", type=float, default=85.0, help="per cent")
    given = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder, concurrent.futures.ThreadPoolExecutor(given.jobs) as pool:
        trees = Trees(Path(folder), given.jobs)
        every = [mutant for file in files_of(trees.clean, given.only) for mutant in mutants_of(trees.clean, file)]
        drawn = random.Random(given.seed).sample(every, min(given.count, len(every)))
        files = recorded(trees.clean, given.store or Path(folder) / "store.json", PARTS, given.jobs)
        print(f"{sum(len(file.ran) for file in files.values())} tests of {len(files)} files")
        outcomes = []
        for mutant, tried in zip(drawn, pool.map(lambda mutant: trees.tried(mutant, files), drawn), strict=True):
            outcomes.append(tried)
            where = f"{mutant.file}:{mutant.line} {mutant.function}  {mutant.words}"
            print(f"{tried.outcome}  {where}  {tried.by}  {tried.seconds:.0f} s", flush=True)
    print(f"{len(drawn)} of {len(every)} possible, seed {given.seed}")
    return int(summary(drawn, outcomes) < given.least)


if __name__ == "__main__":
    sys.exit(main())
