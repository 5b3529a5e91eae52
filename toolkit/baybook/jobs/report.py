"""A worked-out job as the plain data that a report page is made from."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import asdict
from typing import Any

from ..result import Result
from .working import Outcome

NAMED = re.compile(r"\(calculator ([a-z0-9-]+)\)")
"""How a next test names the calculator that would take it."""


def report_data(outcome: Outcome) -> dict[str, Any]:
    """The job's JSON with what a page needs beside it: the plots of its results, each named by its step; what each verdict
    judged; the next tests without those that were taken; the catalogues that may hold its texts in other languages, which are
    its calculators' packages; and of each step whether the user gave it its title, which no catalogue may touch."""
    plots = [
        {**asdict(plot), "title": f"{plot.title} (step {step.step.number})"}
        for step in outcome.steps if step.result
        for plot in step.result.plots
    ]  # fmt: skip
    packages = (step.calculator.function.__module__.partition(".")[0] for step in outcome.steps if step.calculator)
    found = outcome.to_dict()
    steps = [
        {**data, "own_title": bool(w.step.title), "result": _judged(data["result"], w.result)}
        for data, w in zip(found["steps"], outcome.steps, strict=True)
    ]
    taken = {w.step.calculator for w in outcome.steps if w.result}
    return {
        **found, "steps": steps, "plots": plots, "next_tests": [test for test in outcome.next_tests if not _done(test, taken)],
        "catalogues": list(dict.fromkeys(packages)),
    }  # fmt: skip


def _judged(data: Mapping[str, Any] | None, result: Result | None) -> dict[str, Any] | None:
    """A result's data in which each verdict holds what was judged."""
    if data is None or result is None:
        return None
    judged = [
        {**verdict, "measured": _quantity(own.measured or result.outputs.get(own.what))}
        for verdict, own in zip(data["verdicts"], result.verdicts, strict=True)
    ]
    return {**data, "verdicts": judged}


def _quantity(found: Any) -> dict[str, Any] | None:
    if found is None or isinstance(found, str):
        return None
    return {"value": found.value, "unit": str(found.unit), "low": found.low, "high": found.high, "assumed": bool(found.assumed)}


def _done(test: str, taken: set[str]) -> bool:
    """Whether every calculator that the test names was taken; one that is to be repeated says so."""
    named = set(NAMED.findall(test))
    return bool(named) and named <= taken and "again" not in test and "repeat" not in test
