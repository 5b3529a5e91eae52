"""A module is one idea and a function fits in view: at most 300 lines, at most 40 behind the head and the docstring."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
MODULE, FUNCTION = 300, 40
LONGER = {"toolkit/baybook/plugins/index.py": 306, "drop": 41, "card": 42}
"""What is longer still, by file or function, and how long: lowered, never raised."""
FILES = sorted(file for part in ("toolkit", "plugins", "cards", "tools") for file in (ROOT / part).rglob("*.py"))


def body(function: ast.FunctionDef | ast.AsyncFunctionDef) -> int:
    """Lines from the first statement behind the docstring to the end; a calculator's head is its declaration."""
    first = function.body[1] if ast.get_docstring(function) is not None and len(function.body) > 1 else function.body[0]
    return (function.end_lineno or first.lineno) - first.lineno + 1


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.relative_to(ROOT).as_posix())
def test_modules_and_functions_stay_short(file: Path) -> None:
    source = file.read_text(encoding="utf-8")
    assert len(source.splitlines()) <= LONGER.get(file.relative_to(ROOT).as_posix(), MODULE)
    functions = [node for node in ast.walk(ast.parse(source)) if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)]
    too_long = {one.name: body(one) for one in functions if body(one) > LONGER.get(one.name, FUNCTION)}
    assert too_long == {}
