"""The tables of a report: what was judged, one table for what is numbered, readings typed and taken by default apart."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

Data = Mapping[str, Any]


@dataclass(frozen=True)
class Column:
    """A numbered output: its name, and the spec range that its verdicts are against, none where it is not judged."""

    name: str
    range: Data | None


@dataclass(frozen=True)
class Numbered:
    """A table with a row for each number, an injector say: in each row a quantity and its verdict for every column."""

    each: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[tuple[Data | None, Data | None], ...], ...]


def judged_of(report: Data) -> list[Data]:
    """The steps that have a verdict, in order: before and after a repair the same reading stands once under each."""
    return [step for step in report.get("steps", ()) if (step.get("result") or {}).get("verdicts")]


def single_verdicts(result: Data) -> list[Data]:
    """The verdicts that no numbered table shows."""
    return [verdict for verdict in result.get("verdicts", ()) if not _in_a_table(verdict, result)]


def _in_a_table(verdict: Data, result: Data) -> bool:
    output = result.get("outputs", {}).get(verdict.get("output", ""))
    return _is_vector(output) and 1 <= (verdict.get("index") or 0) <= len(output["values"])


def _is_vector(output: object) -> bool:
    return isinstance(output, Mapping) and "values" in output


def numbered_tables(result: Data) -> list[Numbered]:
    """A table for whatever the outputs are numbered by, with the verdicts on them."""
    vectors = {name: output for name, output in result.get("outputs", {}).items() if _is_vector(output)}
    kinds = dict.fromkeys(str(output["each"]) for output in vectors.values())
    return [_numbered(each, {n: o for n, o in vectors.items() if o["each"] == each}, result) for each in kinds]


def _numbered(each: str, vectors: Data, result: Data) -> Numbered:
    found = {(v["output"], v["index"]): v for v in result.get("verdicts", ()) if _in_a_table(v, result)}
    ranges = {output: verdict["range"] for (output, _), verdict in found.items()}
    longest = max(len(output["values"]) for output in vectors.values())
    rows = tuple(
        tuple((_item(output, index), found.get((name, index))) for name, output in vectors.items())
        for index in range(1, longest + 1)
    )
    return Numbered(each, tuple(Column(name, ranges.get(name)) for name in vectors), rows)


def _item(output: Data, index: int) -> Data | None:
    item = output["values"][index - 1] if index <= len(output["values"]) else None
    return item and {**item, "unit": output["unit"]}


SPEAKING = ("part", "number", "where", "condition")
"""Inputs whose words say by themselves what they are of: "injector 3", "idle"."""


def of_what(pairs: Sequence[tuple[str, str]], named: Callable[..., str]) -> str:
    """Of what a step was read: "injector 3"; a word that does not speak for itself behind the name of its input."""
    part = " ".join(named(name, word) for name, word in pairs if name in SPEAKING[:2])
    alone = [named(name, word) for name, word in pairs if name in SPEAKING[2:]]
    others = [f"{named(name.replace('_', ' '))} {named(name, word)}" for name, word in pairs if name not in SPEAKING]
    return ", ".join([*([part] if part else []), *alone, *others])


def typed_inputs(step: Data) -> list[tuple[str, Data]]:
    """The readings and settings of a step that were typed; all of them where the data do not say."""
    inputs = (step.get("result") or {}).get("inputs", {})
    return [(name, record) for name, record in inputs.items() if name in step.get("typed", inputs)]


def taken_inputs(step: Data) -> list[tuple[str, Data]]:
    """The inputs that nobody typed: what the calculator takes by default."""
    inputs = (step.get("result") or {}).get("inputs", {})
    return [(name, record) for name, record in inputs.items() if name not in step.get("typed", inputs)]


def further_outputs(result: Data) -> list[tuple[str, Any]]:
    """The outputs that no table of verdicts shows, without those that only a class needs."""
    shown = {verdict.get("output") for verdict in single_verdicts(result)}
    return [
        (name, value) for name, value in result.get("outputs", {}).items()
        if not _is_vector(value) and name not in shown and name not in result.get("textbook", ())
    ]  # fmt: skip


def unused_specs(report: Data) -> list[Data]:
    """The limits of the job that no verdict is against; the others stand with theirs."""
    verdicts = [verdict["range"] for step in judged_of(report) for verdict in step["result"]["verdicts"]]
    used = {(limits.get("text", ""), limits.get("source", "")) for limits in verdicts}
    return [spec for spec in report.get("specs", ()) if (spec["range"], spec["source"]) not in used]


def sources_of(results: Sequence[Data]) -> Iterator[str]:
    """Every source of the results, each once."""
    yield from dict.fromkeys(source for result in results for source in result.get("sources", ()))
