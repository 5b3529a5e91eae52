"""A worked-out job as the plain data that a report page is made from."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from .working import Outcome


def report_data(outcome: Outcome) -> dict[str, Any]:
    """The job's JSON with what a page needs beside it: the plots of its results, each named by its step; the catalogues that
    may hold its texts in other languages, which are its calculators' packages; and of each step whether the user gave it its
    title, which no catalogue may touch."""
    plots = [
        {**asdict(plot), "title": f"{plot.title} (step {step.step.number})"}
        for step in outcome.steps if step.result
        for plot in step.result.plots
    ]  # fmt: skip
    packages = (step.calculator.package for step in outcome.steps)
    found = outcome.to_dict(said=lambda message: message)  # a page says them in its own language
    steps = [{**data, "own_title": bool(w.step.title)} for data, w in zip(found["steps"], outcome.steps, strict=True)]
    return {**found, "steps": steps, "plots": plots, "catalogues": list(dict.fromkeys(packages))}
