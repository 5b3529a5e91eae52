"""Write the reference part of DEVELOPERS.md from the hook specifications and the public names; `--check` only compares.

Run by hand after a change of the interface; a test runs it with `--check`.
"""

from __future__ import annotations

import ast
import inspect
import re
import sys
from collections.abc import Iterator
from dataclasses import fields
from itertools import pairwise
from pathlib import Path
from typing import Any

from baybook import api, hooks
from baybook.commands import COMMANDS
from baybook.fields import Field, Quantity
from baybook.kinds import KINDS, Kind
from baybook.places.known import every_place
from baybook.places.place import OUTSIDE, SIDES, STAGES
from baybook.testing import CHECKS

TARGET = Path(__file__).resolve().parent.parent / "DEVELOPERS.md"
BEGIN, END = "<!-- reference: begin (tools/make_reference.py writes it; do not edit) -->", "<!-- reference: end -->"


def main(arguments: list[str]) -> int:
    """0, or 1 where `--check` finds another text."""
    before, begin, rest = TARGET.read_text(encoding="utf-8").partition(BEGIN)
    _, end, after = rest.partition(END)
    if not begin or not end:
        sys.stderr.write(f"{TARGET.name} lacks the marks of the reference\n")
        return 1
    text = f"{before}{BEGIN}\n\n{reference()}\n{END}{after}"
    if "--check" in arguments:
        return 0 if text == TARGET.read_text(encoding="utf-8") else 1
    TARGET.write_text(text, encoding="utf-8")
    return 0


def reference() -> str:
    """The whole reference."""
    parts = [
        f"### Hooks (interface version {hooks.INTERFACE})", *_hooks(),
        "### Declaring: `baybook.api`", *_names(),
        "### Places that a pattern may name", _places(),
        "### Kinds of quantity", _kinds(),
        "### Checks of `baybook plugins check`", _checks(),
        "### Commands of the core", "\n".join(f"- `baybook {name}`: {words}" for name, words in COMMANDS.items()),
    ]  # fmt: skip
    return "\n\n".join(parts) + "\n"


def _hooks() -> Iterator[str]:
    for name, function in sorted(vars(hooks).items()):
        if hasattr(function, "baybook_spec"):
            returns = str(inspect.signature(function).return_annotation)
            yield f"#### `{name}() -> {returns}`\n\n{_markdown(inspect.getdoc(function) or '')}"


def _markdown(doc: str) -> str:
    """A docstring with its `Example::` block as fenced code."""
    words, example, rest = doc.partition("::\n\n")
    if not example:
        return doc
    code = [line for line in rest.splitlines() if line.startswith("    ") or not line]
    after = [line for line in rest.splitlines() if line and not line.startswith("    ")]
    fenced = "\n".join(line[4:] for line in code).strip()
    return f"{words}:\n\n```text\n{fenced}\n```\n\n" + "\n".join(after)


def _names() -> Iterator[str]:
    """Every public name by what it is, with its first line."""
    groups: dict[str, list[str]] = {"Decorator and functions": [], "Fields for parameters": [], "Classes": [], "Values": []}
    of_one_kind: list[str] = []
    for name in sorted(api.__all__, key=str.lower):
        thing = getattr(api, name)
        if _of_one_kind(name, thing):
            of_one_kind.append(f"`{name}`")
        else:
            groups[_group(thing)] += [f"- `{name}{_signature(thing)}`: {_first(name, thing)}", *_parts(name, thing)]
    options = ", ".join(option.name for option in fields(Quantity) if option.kw_only and option.name != "kind")
    groups["Fields for parameters"].insert(0, f"- {', '.join(of_one_kind)} `(help, {options})`: a reading of that kind.")
    for title, lines in groups.items():
        yield f"**{title}**\n\n" + "\n".join(lines)


def _of_one_kind(name: str, thing: Any) -> bool:
    return callable(thing) and name.replace("_", " ") in KINDS


TOLD = ("Sense", "Question", "Need", "Halt", "Answer", "Place", "Meaning")
"""Classes whose every part is said in a line of its own."""


def _parts(name: str, thing: Any) -> list[str]:
    """The parts of a class, each as its docstring says it: "part: what it is."."""
    if name not in TOLD:
        return []
    known = set(inspect.signature(thing).parameters)
    words = " ".join((inspect.getdoc(thing) or "").split()).partition(" Raises ")[0]
    found = [m for m in re.finditer(r"(?:^|(?<=[.;\)] ))(\w+(?:, \w+)*): ", words) if known.issuperset(m[1].split(", "))]
    ends = [m.start() for m in found[1:]] + [len(words)]
    return [f"  - `{m[1]}`: {words[m.end() : end].strip(' ;').removesuffix('.')}." for m, end in zip(found, ends, strict=True)]


def _value(name: str) -> str:
    """What the string behind a value's assignment says of it, wherever in the package it is assigned."""
    for path in sorted(Path(api.__file__).parent.rglob("*.py")):
        body = ast.parse(path.read_text(encoding="utf-8")).body
        for item, after in pairwise(body):
            targets = item.targets if isinstance(item, ast.Assign) else [item.target] if isinstance(item, ast.AnnAssign) else []
            named = name in [target.id for target in targets if isinstance(target, ast.Name)]
            if named and isinstance(after, ast.Expr) and isinstance(after.value, ast.Constant):
                return " ".join(str(after.value.value).split())
    return ""


def _group(thing: Any) -> str:
    if inspect.isclass(thing):
        return "Fields for parameters" if issubclass(thing, Field) else "Classes"
    if callable(thing) and hasattr(thing, "__name__"):
        return "Fields for parameters" if thing.__module__.startswith("baybook.fields") else "Decorator and functions"
    return "Values"


def _signature(thing: Any) -> str:
    if not callable(thing):
        return ""
    try:
        names = [p.name + ("…" if p.kind is p.VAR_KEYWORD else "") for p in inspect.signature(thing).parameters.values()]
    except (TypeError, ValueError):
        return ""
    return f"({', '.join(names)})"


def _first(name: str, thing: Any) -> str:
    if isinstance(thing, api.Caution):
        return f"{thing.signal.upper()}: {thing.text}"
    if isinstance(thing, api.Action | api.HoldPoint):
        return f"{'step' if isinstance(thing, api.Action) else 'hold point'}: {thing.text}"
    if isinstance(thing, int | float):
        return f"{thing:g}"
    if name == "KINDS":
        return "every Kind by its name; see below."
    if name == "hookimpl":
        return "marks a function of the plugin's module as the implementation of the hook of its name."
    told = "" if _group(thing) != "Values" else _value(name)
    return told or " ".join((inspect.getdoc(thing) or "").partition("\n\n")[0].split())


def _places() -> str:
    """By stage and side, those that are numbered with a star; and what lies outside the fuel system."""
    found: dict[tuple[str, str], dict[str, None]] = {(stage, side): {} for stage in STAGES for side in SIDES}
    for place in every_place():
        found[place.stage, place.side][place.kind] = None
    rows = [f"- {stage}, {side}: {', '.join(f'`{name}`' for name in names)}" for (stage, side), names in found.items() if names]
    told = "`{object}` and `{n}` stand for the part that the test is made on, and its number; `injector *` for each."
    return "\n".join([told, "", *rows, f"- outside the fuel system, as the object of a look: {', '.join(OUTSIDE)}"])


def _kinds() -> str:
    rows = ["| kind | unit | usual units | example |", "|---|---|---|---|"]
    rows += [_kind_row(kind) for kind in KINDS.values()]
    return "\n".join(rows)


def _kind_row(kind: Kind) -> str:
    return f"| {kind.name} | {kind.unit} | {', '.join(kind.shown)} | `{kind.example}` |"


def _checks() -> str:
    return "\n".join(f"- **{check.name}**: {check.promise}" for check in CHECKS)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
