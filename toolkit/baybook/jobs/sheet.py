"""Read a job sheet. Everything wrong with it is told at once, a line each."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

from ..dataclass import dataclass, field
from ..errors import BaybookError, InputError, Problem, Refused
from ..places.system import SystemMap
from ..reading import check_uncertainty
from ..result import FORMAT
from ..spec import check_range
from ..toml_file import load_toml
from .condition import conditions
from .events import Complaint, Found, complaint_of, happening, instruments_in, is_happening, outcome_of, system_of
from .job_fields import job_problems
from .reach import Reach, reach_of, unused
from .resolution import is_range, resolve

if TYPE_CHECKING:
    from ..fields import Field

MOST_STEPS = 300
"""So that a sheet is worked out within seconds."""
SHEET_KEYS = ("format", "job", "system", "complaint", "outcome", "reach", "specs", "instruments", "steps")
STEP_KEYS = ("calculator", "title", "note", "object", "condition", "inputs")


@dataclass(frozen=True)
class Spec:
    """A spec range as typed, with where it comes from."""

    name: str
    range: str
    source: str


@dataclass(frozen=True)
class Instrument:
    """An instrument; uncertainty is a 95 % half-width, in a unit ("0.05 bar") or of the reading ("1 %")."""

    name: str
    what: str
    uncertainty: str


@dataclass(frozen=True)
class SheetStep:
    """A step: which calculator, and its raw inputs with spec names and instruments resolved. Empty inputs: not taken yet.

    object: the place that it was made on, such as "injector 3"; "" where that was not said. instruments: labels of those used.
    condition: in which it was taken, of `condition.CONDITIONS`, as far as that was said.
    A step without a calculator is no test: repair: the parts that were repaired; complaint: `gone` or `stands`, tried again.
    """

    number: int
    calculator: str
    title: str
    note: str
    inputs: Mapping[str, Any]
    object: str = ""
    instruments: tuple[str, ...] = ()
    repair: tuple[str, ...] = ()
    complaint: str = ""
    condition: tuple[str, ...] = ()


@dataclass(frozen=True)
class Sheet:
    """A job sheet that could be read. system: what is fitted, as far as it is said; complaint: none where nothing is said.

    reach: what it changes of the tests' senses. outcome: what it was, where it is finished.
    """

    path: Path
    job: Mapping[str, str]
    specs: tuple[Spec, ...] = ()
    instruments: tuple[Instrument, ...] = ()
    steps: tuple[SheetStep, ...] = field(default=())
    system: SystemMap = field(default_factory=SystemMap.of)
    complaint: Complaint | None = None
    reach: Reach = field(default_factory=dict)
    outcome: Found | None = None


def read_sheet(path: str | Path) -> Sheet:
    """The sheet in the file. Raises InputError with every problem: unreadable, not TOML, unknown keys, missing parts."""
    return sheet_of(load_toml(Path(path)), Path(path))


def sheet_of(data: Mapping[str, Any], path: Path) -> Sheet:
    """The sheet that the TOML of the file at `path` holds. Raises InputError with every problem."""
    _check_format(data.get("format", 1))
    problems: list[Problem] = []
    problems += (_of_a_step(key) for key in data if key in STEP_KEYS)
    problems += _unknown_keys("the sheet", data, (*SHEET_KEYS, *STEP_KEYS))
    job = _table(data, "job", problems)
    problems += job_problems(job)
    problems += _no_texts("[job]", job, tuple(job))
    specs = dict(_named(data, "specs", ("range", "source"), problems))
    tools = dict(_named(data, "instruments", ("what", "uncertainty"), problems))
    steps = [step for number, raw in _raw_steps(data, problems) if (step := _step(number, raw, specs, tools, path, problems))]
    system = system_of(_table(data, "system", problems), problems)
    complaint = complaint_of(_table(data, "complaint", problems) if "complaint" in data else None, job, system, problems)
    reach = reach_of(_table(data, "reach", problems), problems)
    outcome = outcome_of(_table(data, "outcome", problems), system, problems)
    if reach:
        from .offered import senses

        problems += unused(reach, senses(), {str(value) for step in steps for value in step.inputs.values()})
    if problems:
        raise InputError(problems)
    return Sheet(
        path, {key: str(value) for key, value in job.items()},
        tuple(Spec(name, spec["range"], spec.get("source", "")) for name, spec in specs.items()),
        tuple(Instrument(name, tool.get("what", ""), tool["uncertainty"]) for name, tool in tools.items()),
        tuple(steps), system, complaint, reach, outcome,
    )  # fmt: skip


def _check_format(given: object) -> None:
    """Raise InputError for a sheet of a later Baybook's, whose parts may mean something else."""
    if not isinstance(given, int) or isinstance(given, bool) or given < 1:
        hint = f"write format = {FORMAT}, or leave the line out"
        raise InputError.one("format", given, "is not the format of a job sheet", hint)
    if given > FORMAT:
        hint = f"bring Baybook up to date, or make a sheet with baybook job new; this one reads formats 1 to {FORMAT}"
        raise InputError.one("format", given, "is that of a later Baybook", hint)


def _unknown_keys(where: str, table: Mapping[str, Any], known: tuple[str, ...]) -> Iterator[Problem]:
    from difflib import get_close_matches

    for key in table:
        if key not in known:
            close = get_close_matches(key, known, n=1)
            hint = f"did you mean {close[0]}?" if close else f"use {', '.join(known)}"
            yield Problem(where, key, "is not known there", hint)


def _of_a_step(key: str) -> Problem:
    hint = "write [steps.inputs]" if key == "inputs" else f"write {key} below a line [[steps]]"
    return Problem("the sheet", key, "belongs to a step", hint)


def _no_texts(where: str, table: Mapping[str, Any], keys: tuple[str, ...]) -> Iterator[Problem]:
    """What is not even a number, a date or yes or no, which are taken for the text that was typed."""
    for key, value in table.items():
        if key in keys and isinstance(value, Mapping | list):
            yield _no_text(where, key, value)


def _no_text(where: str, key: str, value: Any) -> Problem:
    return Problem(f"{where}, {key}", value, "is not text", f'give {key} = "…"')


def _table(data: Mapping[str, Any], name: str, problems: list[Problem]) -> Mapping[str, Any]:
    found = data.get(name, {})
    if isinstance(found, Mapping):
        return found
    problems.append(Problem(f"[{name}]", found, "is not a table", f"write [{name}] on a line of its own"))
    return {}


def _named(
    data: Mapping[str, Any], name: str, keys: tuple[str, str], problems: list[Problem]
) -> Iterator[tuple[str, dict[str, str]]]:
    """The tables below [specs] or [instruments]; the key that each must have is range or uncertainty."""
    from ..registry import registry

    registry()  # a plugin may bring the unit
    needed, check = ("range", check_range) if name == "specs" else ("uncertainty", check_uncertainty)
    for label, table in _table(data, name, problems).items():
        where = f"[{name}.{label}]"
        if not isinstance(table, Mapping):
            problems.append(Problem(where, table, "is not a table", f'give {needed} = "…" below {where}'))
            continue
        problems += _unknown_keys(where, table, keys)
        others = (key for key in keys if key != needed and not isinstance(table.get(key, ""), str))
        problems += (_no_text(where, key, table[key]) for key in others)
        if not isinstance(table.get(needed), str):
            problems.append(Problem(where, table.get(needed), f"has no {needed} as text", f'give {needed} = "…"'))
            continue
        try:
            check(table[needed])
        except Refused as error:
            problems.append(Problem(f"{where}, {needed}", table[needed], error.why, error.hint))
        yield label, {key: str(value) for key, value in table.items()}


def _raw_steps(data: Mapping[str, Any], problems: list[Problem]) -> Iterator[tuple[int, Mapping[str, Any]]]:
    steps = data.get("steps", [])
    if not isinstance(steps, list):
        problems.append(Problem("steps", None, "is not a list of steps", "write [[steps]] above each"))
        return
    if len(steps) > MOST_STEPS:
        problems.append(Problem("steps", None, f"are {len(steps)}, more than {MOST_STEPS}", "begin a second job"))
        return
    for number, raw in enumerate(steps, 1):
        if isinstance(raw, Mapping):
            yield number, raw
        else:
            problems.append(Problem(f"step {number}", raw, "is not a table", "write [[steps]] above it"))


def _step(number: int, raw: Mapping[str, Any], specs: Mapping[str, dict[str, str]], tools: Mapping[str, dict[str, str]],
          path: Path, problems: list[Problem]) -> SheetStep | None:  # fmt: skip
    where = f"step {number}"
    if is_happening(raw):
        problems += _unknown_keys(where, raw, ("repair", "complaint", "title", "note"))
        problems += _no_texts(where, raw, ("title", "note"))
        parts, tried = happening(where, raw, problems)
        return SheetStep(number, "", str(raw.get("title", "")), str(raw.get("note", "")), {}, repair=parts, complaint=tried)
    problems += _unknown_keys(where, raw, STEP_KEYS)
    problems += _no_texts(where, raw, ("title", "note", "object"))
    name, inputs = raw.get("calculator"), raw.get("inputs", {})
    if not isinstance(name, str) or not name:
        problems.append(Problem(where, name, "names no calculator", 'give calculator = "hold"'))
        return None
    if not isinstance(inputs, Mapping):
        problems.append(Problem(where, inputs, "has inputs that are not a table", "write [steps.inputs]"))
        return None
    fields = _fields(name)
    resolved = {}
    for key, value in inputs.items():
        try:
            problems += _misspelt(f"{where}, {key}", value)
            put_in = resolve({"spec": value.strip()} if is_range(value, fields.get(key), specs) else value, specs, tools)
        except LookupError as error:
            what, label, known = error.args
            hint = f"use {', '.join(known)}" if known else f"add [{what}s.{label}]"
            problems.append(Problem(f"{where}, {key}", label, f"is not one of the sheet's {what}s", hint))
        else:
            resolved[key] = fields[key].moved(put_in, lambda file: str(path.parent / file)) if key in fields else put_in
    return SheetStep(
        number, name, str(raw.get("title", "")), str(raw.get("note", "")), resolved, str(raw.get("object", "")).strip(),
        tuple(dict.fromkeys(instruments_in(inputs))),
        condition=conditions(f"{where}, condition", raw.get("condition"), problems),
    )  # fmt: skip


def _fields(calculator: str) -> dict[str, Field]:
    """The fields of the calculator's inputs, which say what in them names a file; none where it is not on offer."""
    from ..registry import registry

    try:
        return {parameter.name: parameter.field for parameter in registry().calculator(calculator).parameters}
    except BaybookError:  # told when the step is worked out
        return {}


# The keys of an input that is a table, by the one that says which table it is
_TABLES = {
    "spec": ("spec",),
    "reading": ("reading", "instrument"),
    "range": ("range", "source"),
    "file": ("file", "columns", "units", "rate", "decimal"),
    "text": ("text", "value", "unit", "low", "high", "assumed", "source"),  # what a result says of an input
    "value": ("value", "unit", "u95"),
}


def _misspelt(where: str, value: Any) -> Iterator[Problem]:
    """The keys of an input's tables that nothing would read."""
    if isinstance(value, list):
        for item in value:
            yield from _misspelt(where, item)
    if not isinstance(value, Mapping):
        return
    lead = next((key for key in _TABLES if key in value), "")
    yield from _unknown_keys(where, value, _TABLES[lead] if lead else tuple(dict.fromkeys(sum(_TABLES.values(), ()))))
    yield from _misspelt(where, value.get("value"))
