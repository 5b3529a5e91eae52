"""Random mutants of the parts that decide an answer, each tried against the tests that ought to notice.

    python tools/mutants.py --count 200 --seed 1 [--jobs 2] [--only toolkit/baybook/spec.py]

A mutant changes one comparison, sign, operator, boolean, constant or condition of one module in a copy of the tree; it is
killed when a test of that module's own fails. Prints every survivor with its line, and the share that was killed. Exit code 1
below --least.
"""

from __future__ import annotations

import argparse
import ast
import concurrent.futures
import os
import random
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
CORE = tuple(
    f"tests/core/test_{name}.py"
    for name in ("reading", "numbers", "spec", "verdict", "estimate", "propagation", "quantity", "running", "answers",
                 "several", "typing", "messages", "declared_once", "completion")
)  # fmt: skip
"""Those that start no process, so that a survivor costs seconds."""
STATISTICS = "tests/published/test_statistics.py"
PUBLISHED = tuple(
    f"tests/published/test_{name}.py"
    for name in ("hold_balance", "electrical", "copper", "outlier_tables", "regulator_facts", "statistics", "fuels_tables")
)
PLUGINS = tuple(
    f"tests/{name}"
    for name in ("coil", "supply", "drop", "pump", "ripple", "cranking", "drive", "regulator", "returns", "fuel")
)
HOLD = (
    *(f"tests/hold/test_{name}.py" for name in ("find_hold", "two_readings", "capture_estimate", "what_clears")),
    "tests/hold",
)
TESTS = {  # the nearest tests first: the first failure ends a mutant
    "toolkit/baybook/reading.py": (*CORE, "tests/published/test_units.py"),
    "toolkit/baybook/numbers.py": (*CORE, "tests/cards/test_report.py"),
    "toolkit/baybook/spec.py": ("tests/core/test_spec.py", *CORE, "tests/jobs"),
    "toolkit/baybook/estimate.py": ("tests/core/test_estimate.py", *CORE, STATISTICS),
    "toolkit/baybook/propagation.py": ("tests/core/test_propagation.py", *CORE, STATISTICS),
    "toolkit/baybook/steps.py": ("tests/core/test_running.py", *CORE, "tests/jobs"),
    "toolkit/baybook/verdicts.py": ("tests/core/test_verdict.py", *CORE, "tests/jobs"),
    "toolkit/baybook/result.py": ("tests/core/test_verdict.py", *CORE, STATISTICS, "tests/jobs"),
    "toolkit/baybook/places": ("tests/places", "tests/jobs"),
    "toolkit/baybook_physics/fuels": ("tests/fuels", "tests/published/test_fuels_tables.py", *PUBLISHED, *HOLD),
    "toolkit/baybook_physics/inference": ("tests/physics", *HOLD),
    "toolkit/baybook_physics": ("tests/physics", "tests/fuels", *PLUGINS, *PUBLISHED, *HOLD),
    "plugins/baybook_plugins/hold": (*HOLD, "tests/published/test_hold_balance.py", "tests/plugins/test_card_charts.py"),
    "plugins/baybook_plugins/returns": ("tests/returns", "tests/published"),
    "plugins/baybook_plugins/coil": ("tests/coil", "tests/published"),
    "plugins/baybook_plugins/regulator": ("tests/regulator", "tests/published"),
}
SWAPS: dict[type, tuple[type, ...]] = {
    ast.Lt: (ast.LtE, ast.Gt), ast.LtE: (ast.Lt, ast.GtE), ast.Gt: (ast.GtE, ast.Lt), ast.GtE: (ast.Gt, ast.LtE),
    ast.Eq: (ast.NotEq,), ast.NotEq: (ast.Eq,), ast.Is: (ast.IsNot,), ast.IsNot: (ast.Is,),
    ast.In: (ast.NotIn,), ast.NotIn: (ast.In,),
    ast.Add: (ast.Sub,), ast.Sub: (ast.Add,), ast.Mult: (ast.Div,), ast.Div: (ast.Mult,), ast.Pow: (ast.Mult,),
    ast.And: (ast.Or,), ast.Or: (ast.And,),
}  # fmt: skip


@dataclass(frozen=True)
class Mutant:
    """One change: of the file, the number of the place in it, and which of that place's changes."""

    file: str
    place: int
    which: int
    line: int
    words: str


def changes(node: ast.AST) -> list[tuple[str, ast.AST]]:
    """The ways to change one node: words for a person, and the new node."""
    found: list[tuple[str, ast.AST]] = []
    if isinstance(node, ast.Compare) and len(node.ops) == 1:
        for new in SWAPS.get(type(node.ops[0]), ()):
            found.append((f"{type(node.ops[0]).__name__} -> {new.__name__}", ast.Compare(node.left, [new()], node.comparators)))
    elif isinstance(node, ast.BinOp):
        for new in SWAPS.get(type(node.op), ()):
            found.append((f"{type(node.op).__name__} -> {new.__name__}", ast.BinOp(node.left, new(), node.right)))
    elif isinstance(node, ast.BoolOp):
        for new in SWAPS[type(node.op)]:
            found.append((f"{type(node.op).__name__} -> {new.__name__}", ast.BoolOp(new(), node.values)))
    elif isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.Not | ast.USub):
        found.append((f"{type(node.op).__name__} dropped", node.operand))
    elif isinstance(node, ast.IfExp):
        found.append(("branches exchanged", ast.IfExp(node.test, node.orelse, node.body)))
    elif isinstance(node, ast.Constant):
        found += other_constants(node.value)
    return found


def other_constants(value: object) -> list[tuple[str, ast.AST]]:
    """A number moved by one, or by a tenth of itself; the other truth."""
    if isinstance(value, bool):
        return [(f"{value} -> {not value}", ast.Constant(not value))]
    if not isinstance(value, int | float):
        return []
    moved = [(f"{value} -> {value + 1}", ast.Constant(value + 1))]
    return [*moved, (f"{value} -> {value * 1.1:g}", ast.Constant(value * 1.1))] if value else [*moved]


def nodes(tree: ast.AST) -> Iterator[tuple[ast.AST, str, int | None]]:
    """(parent, field, place in a list) of every node that may change; texts, annotations and decorators are left alone."""
    for parent in ast.walk(tree):
        for name, value in ast.iter_fields(parent):
            if name in ("annotation", "returns", "decorator_list"):
                continue
            items = list(enumerate(value)) if isinstance(value, list) else [(None, value)]
            yield from ((parent, name, at) for at, item in items if isinstance(item, ast.AST) and changes(item))


def child(parent: ast.AST, name: str, at: int | None) -> ast.AST:
    """The node that stands there."""
    value = getattr(parent, name)
    found: ast.AST = value if at is None else value[at]
    return found


def mutants_of(file: str) -> Iterator[Mutant]:
    """Every mutant of a file."""
    for place, spot in enumerate(nodes(ast.parse((ROOT / file).read_text(encoding="utf-8")))):
        node = child(*spot)
        for which, (words, _) in enumerate(changes(node)):
            yield Mutant(file, place, which, getattr(node, "lineno", 0), words)


def written(mutant: Mutant) -> str:
    """The file's text with the change made."""
    tree = ast.parse((ROOT / mutant.file).read_text(encoding="utf-8"))
    parent, name, at = list(nodes(tree))[mutant.place]
    _, new = changes(child(parent, name, at))[mutant.which]
    if at is None:
        setattr(parent, name, new)
    else:
        getattr(parent, name)[at] = new
    return ast.unparse(ast.fix_missing_locations(tree))


def killed(mutant: Mutant, seconds: float) -> bool:
    """Whether a test of the module's own fails, or takes for ever."""
    tests = next(tests for part, tests in TESTS.items() if mutant.file.startswith(part))
    with tempfile.TemporaryDirectory() as folder:
        copy = Path(folder) / "tree"
        shutil.copytree(ROOT, copy, ignore=shutil.ignore_patterns(".*", "__pycache__", "demo_output"))
        (copy / mutant.file).write_text(written(mutant), encoding="utf-8")
        where = os.pathsep.join(str(copy / part) for part in ("toolkit", "plugins", "cards"))
        environment = {**os.environ, "PYTHONPATH": where, "PYTHONDONTWRITEBYTECODE": "1", "OMP_NUM_THREADS": "1"}
        command = [sys.executable, "-m", "pytest", "-x", "-q", "-p", "no:cacheprovider", "-p", "no:xdist", *tests]
        try:
            done = subprocess.run(command, cwd=copy, env=environment, capture_output=True, timeout=seconds, check=False)
        except subprocess.TimeoutExpired:
            return True
        return done.returncode == 1


def tried(chosen: list[Mutant], jobs: int, seconds: float) -> int:
    """How many are killed; prints each that is not."""
    dead = 0
    with concurrent.futures.ThreadPoolExecutor(jobs) as pool:
        outcomes = pool.map(lambda mutant: killed(mutant, seconds), chosen)
        for number, (mutant, gone) in enumerate(zip(chosen, outcomes, strict=True), 1):
            dead += gone
            if not gone:
                print(f"survived  {mutant.file}:{mutant.line}  {mutant.words}", flush=True)
            print(f"{number}/{len(chosen)}: {dead} killed", file=sys.stderr, end="\r", flush=True)
    return dead


def files_of(only: str) -> list[str]:
    """The modules that are tried, from the repository's root."""
    parts = [ROOT / part for part in TESTS]
    paths = [path for part in parts for path in ([part] if part.suffix else sorted(part.rglob("*.py")))]
    names = dict.fromkeys(path.relative_to(ROOT).as_posix() for path in paths)
    return [name for name in names if name.startswith(only)]


def main() -> int:
    """Draw, try, and tell."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--count", type=int, default=200)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--jobs", type=int, default=2)
    parser.add_argument("--seconds", type=float, default=600.0, help="a mutant that runs for longer counts as killed")
    parser.add_argument("--only", default="", help="a file or folder, instead of all")
    parser.add_argument("--least", type=float, default=85.0, help="per cent")
    given = parser.parse_args()
    every = [mutant for file in files_of(given.only) for mutant in mutants_of(file)]
    chosen = random.Random(given.seed).sample(every, min(given.count, len(every)))
    dead = tried(chosen, given.jobs, given.seconds)
    share = 100 * dead / max(len(chosen), 1)
    print(f"{dead} of {len(chosen)} killed, {share:.0f} %, of {len(every)} possible")
    return int(share < given.least)


if __name__ == "__main__":
    sys.exit(main())
