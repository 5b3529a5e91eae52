"""A worked-out job as the plain data that a report page is made from."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from .working import Outcome


def report_data(outcome: Outcome) -> dict[str, Any]:
    """The job's JSON with two keys more: the plots of its results, each named by its step, and the catalogues that may hold
    its texts in other languages: the packages of its calculators."""
    plots = [
        {**asdict(plot), "title": f"{step.step.number}. {plot.title}"}
        for step in outcome.steps if step.result
        for plot in step.result.plots
    ]  # fmt: skip
    packages = (step.calculator.function.__module__.partition(".")[0] for step in outcome.steps)
    return {**outcome.to_dict(), "plots": plots, "catalogues": list(dict.fromkeys(packages))}
