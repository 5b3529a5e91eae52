"""The same measurement in several jobs: which is known to be good, which in doubt, and how far apart they lie."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any, Literal

from ..errors import BaybookError, InputError
from ..estimate import Estimate
from ..fields import Text
from ..quantity import resolve
from ..registry import registry

if TYPE_CHECKING:
    from ..result import Result, Verdict
    from .sheet import Sheet
    from .worked import Worked

State = Literal["known good", "in doubt", "not judged"]
NO_FAULT = "no fault"


@dataclass(frozen=True)
class Row:
    """A measurement of a job. what: the step's title, with the place in a vector; outcome: what the job was, where finished.

    state: by its verdict, and where it has none by the outcome: a job without a fault was good.
    """

    file: str
    vehicle: str
    date: str
    step: int
    what: str
    value: Estimate
    verdict: str
    range: str
    outcome: str

    @property
    def state(self) -> State:
        """Known good, in doubt, or not judged."""
        if self.verdict:
            return "known good" if self.verdict == "within" else "in doubt"
        return "known good" if self.outcome == NO_FAULT else "not judged"

    def to_dict(self) -> dict[str, Any]:
        """For JSON."""
        return {
            "file": self.file, "vehicle": self.vehicle, "date": self.date, "step": self.step, "what": self.what,
            "value": self.value.value, "low": self.value.low, "high": self.value.high, "unit": self.value.unit.symbol,
            "verdict": self.verdict, "range": self.range, "outcome": self.outcome, "state": self.state,
        }  # fmt: skip


@dataclass(frozen=True)
class Comparison:
    """The rows in the order of the jobs; passed_over: what could not be used, each with why."""

    calculator: str
    output: str
    label: str
    rows: tuple[Row, ...]
    passed_over: tuple[str, ...]

    @property
    def good_span(self) -> tuple[float, float] | None:
        """From the least to the largest of what is known to be good, with their intervals; None where nothing is."""
        good = [row.value for row in self.rows if row.state == "known good"]
        return (min(value.low for value in good), max(value.high for value in good)) if good else None

    def to_dict(self) -> dict[str, Any]:
        """For JSON."""
        return {
            "calculator": self.calculator, "output": self.output, "rows": [row.to_dict() for row in self.rows],
            "known_good": list(self.good_span) if self.good_span else None, "passed_over": list(self.passed_over),
        }  # fmt: skip


Jobs = Sequence[tuple["Sheet", Sequence["Worked"]]]


def compared(files: Iterable[str], calculator: str = "", output: str = "", of: str = "") -> Comparison:
    """The measurement in all the sheets. calculator, output: which; left out, what most of the jobs have, and what is judged.

    of: only what says so in title, object, place or reading ("injector 3", "feed pressure"). A sheet that cannot
    be used is passed over and named. Raises InputError where no job has the measurement, or where it is open which is meant.
    """
    passed: list[str] = []
    jobs = list(_jobs(files, passed))
    name = calculator or _commonest(jobs)
    if name not in (known := [listed.name for listed in registry().listed()]):
        raise InputError.one("--calculator", name or None, "is not one that is known", f"use one of {', '.join(known)}")
    chosen = registry().calculator(name)
    steps = [(sheet, step) for sheet, steps in jobs for step in steps if step.result and step.step.calculator == name]
    if not steps:
        raise InputError.one("--calculator", name, "is in none of the jobs", "baybook job list tells what they hold")
    wanted = output or _judged([step.result for _, step in steps if step.result])
    if wanted not in chosen.outputs and "{unit}" not in chosen.outputs:
        raise InputError.one("--output", wanted, f"is no output of {name}", f"use one of {', '.join(chosen.outputs)}")
    rows = [row for sheet, step in steps for row in _rows(sheet, step, wanted) if of.casefold() in row.what.casefold()]
    if not rows:
        raise InputError.one("--of", of, "is in no step's title, object or place", "baybook job list tells the titles")
    rows = _of_one_subject(rows, {(str(sheet.path), step.step.number): _subject(step) for sheet, step in steps}, of)
    rows = _alike(rows, passed)
    declared = chosen.outputs.get(wanted)
    return Comparison(
        name, wanted, (declared.label if declared else "") or wanted.replace("_", " "), tuple(rows), tuple(passed)
    )


def _jobs(files: Iterable[str], passed: list[str]) -> Iterator[tuple[Sheet, Sequence[Worked]]]:
    from .evaluation import work_out
    from .sheet import read_sheet

    for file in files:
        try:
            worked = work_out(read_sheet(file))
        except BaybookError as error:
            passed.append(f"{file}: passed over: {'; '.join(str(error).splitlines())}")
            continue
        passed += [f"{file}: {'; '.join(str(error).splitlines())}" for error in worked.errors]
        yield worked.sheet, worked.steps


def _commonest(jobs: Jobs) -> str:
    """The calculator that most jobs have; "" where there is none. Raises InputError where several have as many."""
    counts = Counter(name for _, steps in jobs for name in {step.step.calculator for step in steps if step.result})
    most = [name for name, count in counts.items() if count == max(counts.values())]
    if len(most) > 1:
        hint = f"say which: --calculator {most[0]}; there are {', '.join(sorted(most))}"
        raise InputError.one("--calculator", None, "is missing: the jobs have more than one in common", hint)
    return most[0] if most else ""


def _subject(step: Worked) -> str:
    """What was read, where the calculator takes any reading; "" elsewhere."""
    parameters = step.calculator.parameters if step.calculator else ()
    named = next((p.name for p in parameters if isinstance(p.field, Text) and p.required), "")
    return str(step.step.inputs.get(named, ""))


def _of_one_subject(rows: list[Row], subjects: Mapping[tuple[str, int], str], of: str) -> list[Row]:
    """The rows, where they are of one reading, or those of the reading whose whole name was given. Raises InputError."""
    named = {subjects[row.file, row.step] for row in rows}
    if len(named) < 2:
        return rows
    meant = [row for row in rows if subjects[row.file, row.step].casefold() == of.casefold()]
    if not meant:
        hint = f"say which: {', '.join(sorted(named))}"
        raise InputError.one("--of", of or None, "is missing: these are different readings", hint)
    return meant


def _judged(results: Sequence[Result]) -> str:
    """The output that most of the verdicts are on; else the first that is a number."""
    counts = Counter(verdict.output for result in results for verdict in result.verdicts if verdict.output)
    if counts:
        return counts.most_common(1)[0][0]
    numbers = (name for result in results for name, value in result.outputs.items() if not isinstance(value, str))
    return next(numbers, "")


def _rows(sheet: Sheet, step: Worked, output: str) -> Iterator[Row]:
    result = step.result
    value = result.outputs.get(output) if result else None
    if result is None or value is None or isinstance(value, str):
        return
    if isinstance(value, tuple):
        each = result.each.get(output, "number")
        found: list[tuple[str, Estimate, int | None]] = [
            (f"{each} {place}", item, place) for place, item in enumerate(result.vector(output), 1) if item is not None
        ]
    else:
        found = [(step.step.object, result[output], None)]
    for where, estimate, place in found:
        verdicts = [one for one in result.verdicts if one.output == output and one.index in (None, place)]
        what = ", ".join(dict.fromkeys(part for part in (str(step.title), _subject(step), where) if part))
        yield Row(
            str(sheet.path), sheet.job.get("vehicle", ""), sheet.job.get("date", ""), step.step.number, what, estimate,
            _worst(verdicts), str(verdicts[0].range) if verdicts else "", sheet.outcome.place if sheet.outcome else "",
        )  # fmt: skip


def _worst(verdicts: Sequence[Verdict]) -> str:
    words = {verdict.verdict for verdict in verdicts}
    return next((word for word in ("outside", "undecided", "within") if word in words), "")


def _alike(rows: Sequence[Row], passed: list[str]) -> list[Row]:
    """The rows in the unit of the first; one of another kind is passed over."""
    found = []
    for row in rows:
        first = rows[0].value
        if row.value.unit.family != first.unit.family or (row.value.kind and first.kind and row.value.kind != first.kind):
            passed.append(f"{row.file}, step {row.step}: passed over: {row.value.unit} is of another kind than {first.unit}")
            continue
        unit = resolve(first.unit.symbol, first.kind)[0] if first.kind else first.unit
        found.append(replace(row, value=row.value.to(unit)))
    return found
