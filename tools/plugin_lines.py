"""How many lines each shipped plugin has, and how many of them are not physics.

    python tools/plugin_lines.py

Physics is a module that imports nothing of Baybook but numbers (`baybook_physics`, `baybook.dataclass`): plain values in, plain
values out. Blank lines and docstrings count, for they are written and read too; catalogues do not.
"""

from __future__ import annotations

import ast
import sys
from pathlib import Path

PLUGINS = Path(__file__).resolve().parent.parent / "plugins" / "baybook_plugins"
MOST = 250


def is_physics(source: str) -> bool:
    """Whether a module is plain arithmetic: without a reading, a message or a declaration."""
    found = [node.module or "" for node in ast.walk(ast.parse(source)) if isinstance(node, ast.ImportFrom) and not node.level]
    return bool(source.strip()) and not any(name.startswith("baybook.") and name != "baybook.dataclass" for name in found)


def main() -> int:
    """Print the table; the exit code is 1 where a plugin has more than `MOST` lines beyond its physics."""
    rows = []
    for folder in sorted(path for path in PLUGINS.iterdir() if path.is_dir() and path.name != "__pycache__"):
        sources = [file.read_text(encoding="utf-8") for file in folder.rglob("*.py")]
        physics = sum(len(source.splitlines()) for source in sources if is_physics(source))
        whole = sum(len(source.splitlines()) for source in sources)
        rows.append((folder.name, whole, physics, whole - physics))
    print(f"{'plugin':<14}{'lines':>7}{'physics':>9}{'the rest':>10}")
    for name, whole, physics, rest in rows:
        print(f"{name:<14}{whole:>7}{physics:>9}{rest:>10}" + (f"   over {MOST}" if rest > MOST else ""))
    return int(any(rest > MOST for *_, rest in rows))


if __name__ == "__main__":
    sys.exit(main())
