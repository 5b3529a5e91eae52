"""Change the steps of a job sheet: remove, move, fill or correct one. What a person wrote beside them stays."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

from ..errors import InputError
from .edits import as_seen_from, inline, loaded, sheet_changed

if TYPE_CHECKING:
    from ..declare import Calculator

Steps = list[dict[str, Any]]


def remove_step(path: Path, number: int) -> str:
    """Take the step out; the calculator's name. Raises InputError for a step that is not there."""

    def change(text: Any, data: Steps) -> str:
        del text[number - 1]
        return str(data.pop(number - 1).get("calculator", "event"))

    return _changed(path, number, change)


def move_step(path: Path, number: int, to: int) -> str:
    """Put the step at another place; the calculator's name. Raises InputError for places that are not there."""

    def change(text: Any, data: Steps) -> str:
        if not 1 <= to <= len(data):
            raise _no_step(path, to, len(data))
        text.insert(to - 1, text.pop(number - 1))
        data.insert(to - 1, data.pop(number - 1))
        return str(data[to - 1].get("calculator", "event"))

    return _changed(path, number, change)


def edit_step(path: Path, number: int, calculator: Calculator, texts: Mapping[str, str], inputs: Mapping[str, Any]) -> None:
    """Give the step these inputs, over those that it has, and these texts (title, note).

    Raises InputError for a step that is not there, and for inputs that cannot be worked out together.
    """
    from ..execution import run
    from .sheet import sheet_of

    told = as_seen_from(path, calculator, inputs)

    def change(text: Any, data: Steps) -> str:
        import tomlkit

        step, shown = data[number - 1], text[number - 1]
        step.update(texts)
        for key, value in texts.items():
            shown[key] = value
        if told:
            step["inputs"] = {**step.get("inputs", {}), **told}
            if "inputs" not in shown:
                shown["inputs"] = tomlkit.table() if isinstance(text, tomlkit.items.AoT) else tomlkit.inline_table()
            for key, value in told.items():
                shown["inputs"][key] = inline(value)
        return calculator.name

    def check(data: Mapping[str, Any]) -> None:
        step = sheet_of(data, path).steps[number - 1]
        if step.inputs:
            run(calculator, step.inputs, spell="--")

    _changed(path, number, change, check)


def _changed(
    path: Path, number: int, change: Callable[[Any, Steps], str], check: Callable[[Mapping[str, Any]], None] | None = None
) -> str:
    """Change the steps of the file's text and, alike, of its data; written only where both agree and the sheet can be read."""
    import tomlkit

    from .sheet import sheet_of

    def of_sheet(data: dict[str, Any], before: str) -> tuple[str, str]:
        sheet_of(data, path)
        steps: Steps = data.get("steps", [])
        if not 1 <= number <= len(steps):
            raise _no_step(path, number, len(steps))
        document = tomlkit.parse(before)
        name = change(document["steps"], steps)
        if not steps:
            del document["steps"], data["steps"]
        text = tomlkit.dumps(document)
        sheet_of(data, path)
        if check is not None:
            check(data)
        if loaded(text) != data:  # no edit of a text may lose or change what a person wrote
            raise InputError.one("", path, "holds steps in a form that cannot be changed here", "change it in an editor")
        return text, name

    return sheet_changed(path, of_sheet, again=False)  # the number may be another step's by now


def _no_step(path: Path, number: int, count: int) -> InputError:
    hint = f"{path} has steps 1 to {count}" if count else f"{path} has no steps"
    return InputError.one("STEP", number, "is not a step of the sheet", hint)


def step_rows(path: Path) -> Iterator[tuple[str, str, str, str]]:
    """(number, calculator or what happened, title, state) of every step."""
    from .sheet import read_sheet

    for step in read_sheet(path).steps:
        if step.repair:
            yield str(step.number), "repair", ", ".join(step.repair), step.note
        elif step.complaint:
            yield str(step.number), "complaint", step.complaint, step.note
        else:
            yield str(step.number), step.calculator, step.title, "taken" if step.inputs else "planned"
