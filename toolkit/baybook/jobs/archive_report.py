"""What an archive of finished jobs says, for a terminal and as a plot."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from ..columns import table, wrap
from ..language import Language
from ..message import Message
from .archive import Archive
from .messages import place

FEW_JOBS = 30
"""Below it a share says next to nothing. common practice, no source"""


def archive_lines(found: Archive, language: Language) -> list[str]:
    """How many jobs; the places by how often; the calibration table of the leading place; how far that can be trusted."""
    return [
        *(line for text in _counts(found) for line in wrap(text.text(language), "  ", "")),
        *_outcomes(found, language),
        *_calibration(found, language),
    ]


def _counts(found: Archive) -> Iterator[Message]:
    yield Message("{n} job sheets, {finished} of them finished.", n=found.sheets, finished=found.finished)
    if found.unfinished:
        yield Message("{n} have no [outcome] and do not count.", n=found.unfinished)
    if found.unusable:
        yield Message("{n} cannot be used and were passed over.", n=found.unusable)
    if found.untested:
        yield Message("{n} have an outcome and no test: they count for the base rates alone.", n=found.untested)


def _outcomes(found: Archive, language: Language) -> list[str]:
    if not found.finished:
        return []
    rows = [(place(name, language), str(n), f"{100 * n / found.finished:.0f} %") for name, n in found.outcomes.most_common(20)]
    return ["", language.text("What it was"), *table(rows)]


def _calibration(found: Archive, language: Language) -> list[str]:
    rows = found.leading.table()
    if not rows:
        return []
    head = tuple(language.text(word) for word in ("stated", "jobs", "mean", "right"))
    shown = [
        (f"{100 * row.low:.0f} … {100 * row.high:.0f} %", str(row.count), f"{100 * row.stated:.0f} %", _share(row.true))
        for row in rows
    ]
    brier = Message("Brier score over all places: {score} (0 is perfect).", score=float(f"{found.every.brier:.3g}"))
    told = [brier.text(language)]
    if found.leading.count < FEW_JOBS:
        told.append(Message("{n} jobs are few: such shares move with every further one.", n=found.leading.count).text(language))
    lines = [line for text in told for line in wrap(text)]
    return ["", language.text("How often the place that was stated as the likeliest was it"), *table([head, *shown]), *lines]


def _share(share: float) -> str:
    return f"{100 * share:.0f} %"


def plot_of(found: Archive) -> dict[str, Any]:
    """Stated against true, of the leading place and of every place, with the line on which both are the same."""
    series = [{"label": "as stated", "x": (0.0, 100.0), "y": (0.0, 100.0), "style": "line"}]
    for label, tally in (("likeliest place", found.leading), ("every place", found.every)):
        rows = tally.table()
        if rows:
            xs, ys = tuple(100 * row.stated for row in rows), tuple(100 * row.true for row in rows)
            series.append({"label": label, "x": xs, "y": ys, "style": "points"})
    return {
        "title": "Stated chances and what came true", "x_label": "stated", "x_unit": "%", "y_label": "came true", "y_unit": "%",
        "series": series,
    }  # fmt: skip
