"""A worked-out job as the plain data that a report page is made from."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from baybook.jobs.working import Outcome


def report_data(outcome: Outcome) -> dict[str, Any]:
    """The job's JSON with the plots of its results beside it, each named by its step."""
    plots = [
        {**asdict(plot), "title": f"{step.step.number}. {plot.title}"}
        for step in outcome.steps if step.result
        for plot in step.result.plots
    ]  # fmt: skip
    return {**outcome.to_dict(), "plots": plots}
