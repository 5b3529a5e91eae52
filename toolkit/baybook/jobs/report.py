"""A worked-out job as the plain data that a report page is made from."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from ..draws import as_estimate
from ..message import Message, Word
from ..places.evidence import Evidence
from ..places.sentences import percent
from ..result import Given, Result, Strength
from ..verdicts import SINGLE, STRENGTH_OF, value_of
from .evaluation import Outcome
from .findings import TAKEN
from .messages import placed, test
from .plain import plain, tested
from .proof_table import odds_rows, proof_rows
from .stops import only_seen
from .worked import Worked

if TYPE_CHECKING:
    from ..message import Argument

SEEN = "{what}: {said}"
MOST = 6
"""Places of the open set that a report names."""


def report_data(outcome: Outcome) -> dict[str, Any]:
    """The job's JSON with what a page needs beside it: its result in plain sentences; the first plot of each step, named by it;
    what each verdict judged, and of what; the catalogues that may hold its texts in other languages, which are its calculators'
    packages; and of each step which inputs were typed, and whether the user gave it its title, which no catalogue may touch."""
    plots = [
        {**asdict(plot), "title": Message("{plot} (step {number})", plot=Message.of(plot.title), number=step.step.number)}
        for step in outcome.steps if step.result
        for plot in step.result.plots[:1]
    ]  # fmt: skip
    found = outcome.to_dict(said=lambda message: message)  # a page says them in its own language
    steps = [
        {
            **data, "own_title": bool(w.step.title), "of": _object_of(w), "typed": list(w.step.inputs),
            "result": _judged(data["result"], w.result),
        }
        for data, w in zip(found["steps"], outcome.steps, strict=True)
    ]  # fmt: skip
    told = {
        **found, "conclusions": list(outcome.conclusions), "open": open_places(outcome), "steps": steps, "plots": plots,
        "proofs": proof_rows(outcome), "odds": odds_rows(outcome), "plain": vars(plain(outcome)),
        "findings": [_with_seen(cell, outcome) for cell in found["findings"]], "tested": tested(outcome.steps),
        "next_tests": not_taken(outcome.next_tests),
    }  # fmt: skip
    return {**told, "catalogues": list(outcome.packages)}


def _with_seen(cell: Mapping[str, Any], outcome: Outcome) -> dict[str, Any]:
    """A stage and side with what was seen and read there, which no finding of a step says, among its findings."""
    told = [
        {"step": w.step.number, "statement": statement, "strength": strength, "next_test": ""}
        for w in outcome.steps if w.result and not w.result.findings
        for item, statement, strength in (_seen(w) if only_seen(w) else _read(w, w.result))
        if _where(item, outcome) == (cell["stage"], cell["side"])
    ]  # fmt: skip
    return {**cell, "findings": [*cell["findings"], *told]}


def _seen(worked: Worked) -> Iterator[tuple[Evidence, Message, Strength]]:
    """What was looked for and found."""
    for item in worked.evidence:
        if item.factors is None and item.conforms < 0.5:
            told = Message(SEEN, what=test(item.test, item.object), said=Message.of(item.said))
            yield item, told, "indicated" if item.bad else "undecided"


def _read(worked: Worked, result: Result) -> Iterator[tuple[Evidence, Message, Strength]]:
    """What was read and judged, each verdict by the test that it is of."""
    for item in worked.evidence[:1]:
        for verdict in result.verdicts:
            value = verdict.measured or value_of(verdict, result.outputs)
            told: Argument = value or verdict.bound or Word(verdict.verdict, "verdict")
            statement = Message(SINGLE[verdict.verdict][0], what=test(item.test, item.object), value=told, range=verdict.range)
            yield item, statement, STRENGTH_OF[verdict.verdict]


def _where(item: Evidence, outcome: Outcome) -> tuple[str, str] | None:
    """Stage and side of the place that it looks at, itself or with the longest reach, the likeliest of several such."""
    system = outcome.found.system
    looked = [
        (item.looks_directly(s.place), item.looked(system.places.index(s.place), system), s.place)
        for s in outcome.found.standings
    ]
    direct, reach, place = max(looked, key=lambda look: look[:2])
    return (place.stage, place.side) if direct or reach else None


def not_taken(tests: Sequence[str]) -> list[str]:
    """The next tests without those that the job has taken already; all of them where no other is left."""
    taken = {test for test in tests if isinstance(test, Message) and test.template == TAKEN}
    return [test for test in tests if test not in taken] or list(tests)


def open_places(outcome: Outcome) -> list[Message]:
    """The places of the open set with their chances, the first few; none where no test is in the odds."""
    found = outcome.found
    if not any(standing.steps for standing in found.standings):
        return []
    labels = {each.name: each.label for each in found.system.places}
    return [
        Message("{place}: {chance}", place=placed(labels.get(name, name)), chance=Message.of(percent(found.chances[name])))
        for name in found.open[:MOST]
    ]


def _object_of(worked: Worked) -> list[tuple[str, str]]:
    """Whose the readings of a step are: what its sheet says of the part, its number and the condition, by name."""
    from ..fields import Choice, Count

    if worked.calculator is None:
        return []
    typed = ((name, raw.get("text") if isinstance(raw, Mapping) else raw) for name, raw in worked.step.inputs.items())
    kinds = {parameter.name: parameter.field for parameter in worked.calculator.parameters}
    return [
        (name, str(word)) for name, word in typed
        if isinstance(kinds.get(name), Choice) or (name == "number" and isinstance(kinds.get(name), Count))
    ]  # fmt: skip


def _judged(data: Mapping[str, Any] | None, result: Result | None) -> dict[str, Any] | None:
    """A result's data in which each verdict holds what was judged; with the outputs' own labels, those that only a class needs,
    and no note that only a class needs."""
    if data is None or result is None:
        return None
    judged = [
        {**verdict, "measured": _quantity(own.measured or result.outputs.get(own.output or own.what))}
        for verdict, own in zip(data["verdicts"], result.verdicts, strict=True)
    ]
    notes = [note for note in data["notes"] if note not in result.background]
    outputs = {name: _assumed(output, result.outputs[name]) for name, output in data["outputs"].items()}
    return {
        **data, "outputs": outputs, "verdicts": judged, "notes": notes, "labels": dict(result.labels),
        "textbook": sorted(result.textbook),
    }  # fmt: skip


def _assumed(output: Mapping[str, Any], value: Given) -> Mapping[str, Any]:
    """An output's data that say of each quantity whether its uncertainty was typed, by which its digits are shown."""
    if isinstance(value, str):
        return output
    if not isinstance(value, tuple):
        return {**output, "assumed": bool(as_estimate(value).assumed)}
    pairs = zip(output["values"], value, strict=True)
    return {
        **output, "values": [own and {**item, "assumed": bool(as_estimate(own).assumed)} for item, own in pairs],
    }  # fmt: skip


def _quantity(found: Any) -> dict[str, Any] | None:
    if found is None or isinstance(found, str | tuple):
        return None
    return {"value": found.value, "unit": str(found.unit), "low": found.low, "high": found.high, "assumed": bool(found.assumed)}
