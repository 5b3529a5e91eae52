"""Make a job sheet and add steps to one, keeping the comments that a person wrote."""

from __future__ import annotations

import os
import tomllib
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeAlias, TypeVar

from ..changes import as_it_was, changed
from ..errors import InputError, Problem
from ..result import FORMAT
from ..small_files import read_small

if TYPE_CHECKING:
    from ..declare import Calculator
    from ..result import Result
    from .sheet import Sheet, SheetStep

T = TypeVar("T")
Made: TypeAlias = Callable[[Sequence[Mapping[str, Any]]], list[Mapping[str, Any]]]
"""The steps to be added, by those there are."""
TEMPLATE = """\
# Baybook job sheet. Fill in what you know; lines that begin with # are remarks.
# Readings are text with a unit and, if you know it, a 95 % uncertainty: "350 bar", "350 ± 5 bar", "1,5 MPa ± 1 %".
# Before any work on the fuel system: engine stopped, waited as long as the vehicle's data say, and rail pressure
# proven zero by a reading.

format = {format}  # of this sheet; leave it as it is

[job]
number = ""
date = "{date}"
workshop = ""
technician = ""
customer = ""
vehicle = ""
complaint = ""

# What the customer complains of, by its kind: {kinds}.
# [complaint]
# kind = "does not start"
# text = "in the customer's words"
# shows = ["hot"]  # only where it does not always show: hot, cold, idle, load, cranking or bumps
# after = ["filter"]  # what was worked on just before it began

# What is fitted, as far as you know it; what is left out counts as not known to be fitted.
# [system]
# low_pressure = ["tank pump"]  # of tank pump, intermediate pump, suction pump
# filter = true
# inlet_valve = true
# outlet_valve = "rail"  # rail, pump or none
# injector_bleed = false  # whether the control bleeds the rail through the injectors
# pump_elements = 3  # all of them; how many are switched off in a condition is an input of the test that asks (pump, off)
# injectors = 4
# returns = "separate"  # or common
# open_at_rest = ["outlet valve"]  # through which the rail empties without current; [] where none

# Limits are yours: type what the data for this vehicle say, and where they say it.
# [specs.leak]
# range = "<= 6 mL/min"
# source = "vehicle data, page …"

# Instruments and their 95 % uncertainty, in a unit or per cent of the reading.
# [instruments.gauge]
# what = "rail pressure gauge"
# uncertainty = "1 %"

# Steps in the order they were taken; `baybook job add FILE CALCULATOR …` writes them for you.
# [[steps]]
# calculator = "hold"
# title = "Rail hold after cranking"
# condition = "hot, idle"  # in which it was taken: said of the step, above its inputs, whatever its calculator
# [steps.inputs]
# start = {{ reading = "350 bar", instrument = "gauge" }}
# end = {{ reading = "320 bar", instrument = "gauge" }}
# time = "30 s"
# volume = "25 ± 2 mL"
# limit = {{ spec = "leak" }}

# A repair is a step, and so is the complaint tried again; repeat the test that showed the fault after it.
# [[steps]]
# repair = ["injector 3"]
# [[steps]]
# complaint = "gone"  # or "stands"

# What it was, once the job is finished; `baybook archive` learns from it.
# [outcome]
# place = "injector 3"  # or "no fault", or "not on the map"
# confirmed = "the same test within its limit after the repair"

# How often a test comes out bad for a fault at a place, where you know better than what is declared.
# [reach."feed pressure"]
# "filter" = 0.9
"""


def new_sheet(job: Mapping[str, str], date: str) -> str:
    """The text of a new sheet with the fields of [job] that are known. Raises InputError for a field that is not."""
    import tomlkit

    from ..places.complaint import COMPLAINTS
    from ..shop import shop
    from .job_fields import job_problems

    kept = shop()
    document = tomlkit.parse(TEMPLATE.format(date=date, format=FORMAT, kinds=", ".join(COMPLAINTS)))
    own = {key: kept.texts[key] for key in ("workshop", "technician") if key in kept.texts}
    problems = [Problem("--set", p.given, p.why, p.hint) for p in job_problems(job)]
    if problems:
        raise InputError(problems)
    for key, value in {**own, **job}.items():
        document["job"][key] = value
    for name, tool in kept.instruments.items():
        document.setdefault("instruments", tomlkit.table(is_super_table=True))[name] = dict(tool)
    return tomlkit.dumps(document)


def add_step(path: Path, calculator: Calculator, inputs: Mapping[str, Any], *, after: Sequence[str] = (), **said: str) -> int:
    """Add a step at the end of the sheet; returns its number, see `added_step`."""
    return added_step(path, calculator, inputs, after=after, **said)[0]


def added_step(
    path: Path, calculator: Calculator, inputs: Mapping[str, Any], *, after: Sequence[str] = (), **said: str
) -> tuple[int, Result | None]:
    """Add a step at the end of the sheet; its number, and its result where it is not planned.

    The file is written whole or not at all.
    after: the parts that were repaired before it was taken; the repair is added as a step, unless it is the last one there.
    said: title, note, object, condition. Raises InputError where the sheet cannot be read, and for inputs that cannot be worked
    out; without any the step is planned.
    """
    from ..execution import run

    step = {
        "calculator": calculator.name,
        **{key: text for key, text in said.items() if text},
        "inputs": as_seen_from(path, calculator, inputs),
    }

    results: list[Result] = []

    def check(added: SheetStep, sheet: Sheet) -> None:
        if added.inputs:
            results.append(run(calculator, added.inputs, spell="--"))
            refuse_off_the_map(added, sheet)

    def steps(before: Sequence[Mapping[str, Any]]) -> list[Mapping[str, Any]]:
        last: Any = next((each["repair"] for each in reversed(before) if "repair" in each), [])
        repaired = after and list(after) != ([last] if isinstance(last, str) else list(last))
        return [{"repair": list(after)}, step] if repaired else [step]

    return _added(path, steps, check), results[0] if results else None


def add_happening(path: Path, happening: Mapping[str, Any]) -> int:
    """Add a step that is no test: a repair, or the complaint tried again; returns its number. Raises InputError."""
    return _added(path, lambda before: [happening], refuse_off_the_map)


def set_outcome(path: Path, place: str, confirmed: str) -> None:
    """Write what the job was into its `[outcome]`. Raises InputError for a place that is not on its map."""
    import tomlkit

    from .sheet import sheet_of

    table = {"place": place, **({"confirmed": confirmed} if confirmed else {})}

    def change(data: dict[str, Any], text: str) -> tuple[str, None]:
        sheet_of({**data, "outcome": table}, path)
        document = tomlkit.parse(text)
        document["outcome"] = table
        return tomlkit.dumps(document), None

    sheet_changed(path, change)


def sheet_changed(path: Path, change: Callable[[dict[str, Any], str], tuple[str, T]], *, again: bool = True) -> T:
    """Write what `change` makes of the sheet's data and text. again: as `changes.changed`, whose errors it raises."""
    from ..toml_file import HINT, text_of, toml_of

    def of_bytes(before: bytes) -> tuple[bytes, T]:
        text, told = change(toml_of(before, path), text_of(before, path))
        return as_it_was(before, text), told

    return changed(path, lambda file: read_small(file, hint=HINT), of_bytes, again=again)


def refuse_off_the_map(step: SheetStep, sheet: Sheet) -> None:
    """Raise InputError for a step that the sheet contradicts, see `at_odds`."""
    from .at_odds import at_odds
    from .conclusion import grown
    from .worked import worked_out

    taken = [worked_out(each, sheet) for each in sheet.steps if each.number == step.number or each.repair]
    error = at_odds(next(w for w in taken if w.step.number == step.number), grown(sheet, taken))
    if isinstance(error, InputError):
        raise InputError(
            Problem(f"--{p.input.replace('_', '-')}" if p.input else "", p.given, p.why, p.hint) for p in error.problems
        )


def _added(path: Path, made: Made, check: Callable[[SheetStep, Sheet], None]) -> int:
    """The number of the last of the steps that `made` gives, which are added to those there are."""
    from .sheet import sheet_of

    def change(before: dict[str, Any], text: str) -> tuple[str, int]:
        sheet_of(before, path)  # refuses, with every problem, what is no sheet to add to
        steps = made(before.get("steps", ()))
        after = {**before, "steps": [*before.get("steps", ()), *steps]}
        sheet = sheet_of(after, path)
        added = sheet.steps[-1]
        check(added, sheet)
        for step in steps:
            text = _with_step(text, step)
        if loaded(text) != after:  # no edit of a text may lose or change what a person wrote
            raise InputError.one("", path, "holds steps in a form that cannot be added to", "write [[steps]] above each step")
        return text, added.number

    return sheet_changed(path, change)


def loaded(text: str) -> dict[str, Any] | None:
    """The text's TOML; None where it is none."""
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        return None


def _with_step(text: str, step: Mapping[str, Any]) -> str:
    """The sheet's text with the step at its end, in the form that its steps have: tables, or one list `steps = […]`."""
    import tomlkit

    document = tomlkit.parse(text)
    steps = document.setdefault("steps", tomlkit.aot())
    if not isinstance(steps, tomlkit.items.AoT):
        steps.append(inline(step))
        return tomlkit.dumps(document)
    table = tomlkit.table()
    for key, value in step.items():
        table[key] = inline(value) if key != "inputs" else tomlkit.table()
    for name, value in step.get("inputs", {}).items():
        table["inputs"][name] = inline(value)
    steps.append(table)
    table.trivia.indent = "\n"  # an empty line above each step
    return tomlkit.dumps(document)


def inline(value: Any) -> Any:
    """The value for one line of TOML."""
    import tomlkit

    if isinstance(value, Mapping):
        table = tomlkit.inline_table()
        for key, part in value.items():
            table[key] = inline(part)
        return table
    if isinstance(value, list):
        items = tomlkit.array()
        for item in value:
            items.append(inline(item))
        return items
    return value


def _told(value: Any) -> Any:
    """The value in TOML's types, without parts that say nothing."""
    if isinstance(value, Mapping):
        return {key: _told(part) for key, part in value.items() if part is not None and part != {}}
    return [_told(item) for item in value] if isinstance(value, list | tuple) else value


def as_seen_from(sheet: Path, calculator: Calculator, inputs: Mapping[str, Any]) -> dict[str, Any]:
    """The inputs as they stand in the sheet: files are named as seen from its folder."""
    folder = sheet.absolute().parent
    fields = {parameter.name: parameter.field for parameter in calculator.parameters}
    told = {name: _told(value) for name, value in inputs.items()}
    return {
        name: fields[name].moved(value, lambda file: os.path.relpath(file, folder)) if name in fields else value
        for name, value in told.items()
    }
