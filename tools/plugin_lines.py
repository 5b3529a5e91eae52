"""How many lines each shipped plugin has, how many of them are not physics, and what those say.

    python tools/plugin_lines.py

Physics is a module that imports nothing of Baybook but numbers (`baybook_physics`, `baybook.dataclass`): plain values in, plain
values out. Blank lines and docstrings count, for they are written and read too; catalogues do not. The rest is parted by what
an author says in it: `declared` (the decorator's arguments with outputs, examples, sources and rules, the parameters with their
fields, meanings), `procedure` (the steps of the test), `sense` (what its outcome says of which places), `texts` (sentences and
other constants), `code` (the functions' bodies), `imports` (one name a line, as the formatter writes them) and `blank` (blank
lines, and the modules' own docstrings).
"""

from __future__ import annotations

import ast
import sys
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

PLUGINS = Path(__file__).resolve().parent.parent / "plugins" / "baybook_plugins"
MOST = 250
PARTS = ("declared", "procedure", "sense", "texts", "code", "imports", "blank")
DECLARING = {"Output", "Meaning", "Example", "Rule", "AnyOf", "Apart", "spec_range", "Placing"}
STEPS = {"Procedure", "Action", "Condition", "HoldPoint", "Caution"}
SENSES = {"Sense", "Senses", "Question", "Need", "Halt", "Place"}


def is_physics(source: str) -> bool:
    """Whether a module is plain arithmetic: without a reading, a message or a declaration."""
    found = [node.module or "" for node in ast.walk(ast.parse(source)) if isinstance(node, ast.ImportFrom) and not node.level]
    return bool(source.strip()) and not any(name.startswith("baybook.") and name != "baybook.dataclass" for name in found)


def parts(source: str) -> Counter[str]:
    """Lines of a module by what they say."""
    found: Counter[str] = Counter()
    for node in ast.parse(source).body:
        for part, lines in _parts(node):
            found[part] += lines
    found["blank"] += len(source.splitlines()) - found.total()
    return found


def _parts(node: ast.stmt) -> Iterator[tuple[str, int]]:
    lines = (node.end_lineno or node.lineno) - node.lineno + 1
    if isinstance(node, ast.Import | ast.ImportFrom):
        yield "imports", lines
    elif isinstance(node, ast.FunctionDef) and _is_calculator(node):
        first = min(decorator.lineno for decorator in node.decorator_list)
        yield "declared", node.body[0].lineno - first
        yield "code", (node.end_lineno or 0) - node.body[0].lineno + 1
    elif isinstance(node, ast.Assign | ast.AnnAssign):
        yield _said(node), lines
    elif isinstance(node, ast.FunctionDef | ast.ClassDef | ast.If):
        yield "code", lines
    elif not (isinstance(node, ast.Expr) and node.lineno == 1):
        yield "texts", lines


def _is_calculator(node: ast.FunctionDef) -> bool:
    return any(isinstance(made, ast.Call) and getattr(made.func, "id", "") == "calculator" for made in node.decorator_list)


def _said(node: ast.AST) -> str:
    """What a constant is of, by what is made in it."""
    calls = [call.func for call in ast.walk(node) if isinstance(call, ast.Call)]
    made = {part.id for call in calls for part in ast.walk(call) if isinstance(part, ast.Name)}
    if made & STEPS:
        return "procedure"
    if made & SENSES:
        return "sense"
    return "declared" if made & DECLARING else "texts"


def main() -> int:
    """Print the table; the exit code is 1 where a plugin has more than `MOST` lines beyond its physics."""
    print(f"{'plugin':<12}{'lines':>6}{'physics':>9}{'the rest':>10}   " + "".join(f"{part:>10}" for part in PARTS))
    over = False
    for folder in sorted(path for path in PLUGINS.iterdir() if path.is_dir() and path.name != "__pycache__"):
        sources = [file.read_text(encoding="utf-8") for file in folder.rglob("*.py")]
        physics = sum(len(source.splitlines()) for source in sources if is_physics(source))
        said = sum((parts(source) for source in sources if not is_physics(source)), Counter[str]())
        rest, over = said.total(), over or said.total() > MOST
        shares = "".join(f"{said[part]:>10}" for part in PARTS)
        print(f"{folder.name:<12}{physics + rest:>6}{physics:>9}{rest:>10}{' !' if rest > MOST else '  '} {shares}")
    return int(over)


if __name__ == "__main__":
    sys.exit(main())
