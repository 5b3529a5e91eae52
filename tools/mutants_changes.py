"""The changes that make a mutant: of one comparison, sign, operator, boolean, constant or condition."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

SWAPS: dict[type, tuple[type, ...]] = {
    ast.Lt: (ast.LtE, ast.Gt), ast.LtE: (ast.Lt, ast.GtE), ast.Gt: (ast.GtE, ast.Lt), ast.GtE: (ast.Gt, ast.LtE),
    ast.Eq: (ast.NotEq,), ast.NotEq: (ast.Eq,), ast.Is: (ast.IsNot,), ast.IsNot: (ast.Is,),
    ast.In: (ast.NotIn,), ast.NotIn: (ast.In,),
    ast.Add: (ast.Sub,), ast.Sub: (ast.Add,), ast.Mult: (ast.Div,), ast.Div: (ast.Mult,), ast.Pow: (ast.Mult,),
    ast.And: (ast.Or,), ast.Or: (ast.And,),
}  # fmt: skip
IDLE = {"zip": {"strict"}, "field": {"compare", "repr"}, "dataclass": {"frozen", "slots"}}
"""Arguments, by the function that is called, that can change no result of sound code: they are left alone."""


@dataclass(frozen=True)
class Mutant:
    """One change: of the file, the number of the place in it, and which of that place's changes; the function that holds it."""

    file: str
    place: int
    which: int
    line: int
    words: str
    function: str


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
    """(parent, field, place in a list) of every node that may change; neither texts, annotations, decorators nor IDLE."""
    idle = {
        each
        for call in ast.walk(tree) if isinstance(call, ast.Call) and isinstance(call.func, ast.Name)
        for each in call.keywords if each.arg in IDLE.get(call.func.id, ())
    }  # fmt: skip
    for parent in ast.walk(tree):
        for name, value in ast.iter_fields(parent):
            if parent in idle or name in ("annotation", "returns", "decorator_list"):
                continue
            items = list(enumerate(value)) if isinstance(value, list) else [(None, value)]
            yield from ((parent, name, at) for at, item in items if isinstance(item, ast.AST) and changes(item))


def child(parent: ast.AST, name: str, at: int | None) -> ast.AST:
    """The node that stands there."""
    value = getattr(parent, name)
    found: ast.AST = value if at is None else value[at]
    return found


def functions(tree: ast.Module) -> list[tuple[int, int, str]]:
    """(first line, last line, qualified name) of every function, the outer before the inner."""
    found: list[tuple[int, int, str]] = []

    def walk(node: ast.AST, prefix: str) -> None:
        for inner in ast.iter_child_nodes(node):
            if isinstance(inner, ast.FunctionDef | ast.AsyncFunctionDef):
                body = inner.body[0].lineno
                found.append((body, inner.end_lineno or body, prefix + inner.name))
                walk(inner, f"{prefix}{inner.name}.<locals>.")
            else:
                walk(inner, f"{prefix}{inner.name}." if isinstance(inner, ast.ClassDef) else prefix)

    walk(tree, "")
    return found


def mutants_of(root: Path, file: str) -> Iterator[Mutant]:
    """Every mutant of a file. One outside every function's body belongs to "<module>"."""
    tree = ast.parse((root / file).read_text(encoding="utf-8"))
    known = functions(tree)
    for place, spot in enumerate(nodes(tree)):
        node = child(*spot)
        line = getattr(node, "lineno", 0)
        holds = [name for start, end, name in known if start <= line <= end]
        for which, (words, _) in enumerate(changes(node)):
            yield Mutant(file, place, which, line, words, holds[-1] if holds else "<module>")


def written(root: Path, mutant: Mutant) -> str:
    """The file's text with the change made."""
    tree = ast.parse((root / mutant.file).read_text(encoding="utf-8"))
    parent, name, at = list(nodes(tree))[mutant.place]
    _, new = changes(child(parent, name, at))[mutant.which]
    if at is None:
        setattr(parent, name, new)
    else:
        getattr(parent, name)[at] = new
    return ast.unparse(ast.fix_missing_locations(tree))
