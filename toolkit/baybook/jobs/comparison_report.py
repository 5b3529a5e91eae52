"""A comparison for a terminal, and as a plot."""

from __future__ import annotations

from pathlib import PurePath
from typing import Any

from ..columns import table, width, wrap
from ..language import Language
from ..message import Message
from ..text import with_interval
from .comparison import NO_FAULT, Comparison, Row
from .messages import place

SCALE = 30
"""Letters of the scale on which the rows stand above each other."""
MARKS = {"known good": "o", "in doubt": "x", "not judged": "."}


def comparison_lines(found: Comparison, language: Language) -> list[str]:
    """A row for each measurement, the scale on which they stand, and last what they say of each other."""
    title = Message(
        "{output}, by {calculator}",
        output=found.label if language.code == "en" else language.word(found.output),
        calculator=found.calculator,
    )
    return [
        title.text(language),
        *_row_lines(found, language),
        "",
        *scale_lines(found, language),
        "",
        *_conclusion(found, language),
    ]


def _row_lines(found: Comparison, language: Language) -> list[str]:
    """A table where the terminal is wide enough for it, else a paragraph for each row."""
    rows = [
        (
            f"{number} {PurePath(row.file).name}", row.vehicle.partition(",")[0], row.date,
            f"{row.step} {said(row.what, language)}",
            with_interval(row.value, language), language.word(row.verdict, "verdict") if row.verdict else "-",
            _state(row, language),
        )
        for number, row in enumerate(found.rows, 1)
    ]  # fmt: skip
    head = tuple(language.text(word) for word in ("job", "vehicle", "date", "step", "value", "verdict", "state"))
    lines = table([head, *rows])
    if max(map(len, lines)) <= width():
        return lines
    lines = []
    for name, vehicle, date, step, value, verdict, state in rows:
        lines += wrap(f"{value}, {verdict}, {state}", "      ", f"  {name}: ")
        lines += wrap(
            ", ".join(part for part in (vehicle, date, f"{language.text('step')} {step}") if part), "      ", "      "
        )
    return lines


def said(text: str, language: Language) -> str:
    """A text in the language, where its catalogue has it."""
    return Message.of(text).text(language)


def _state(row: Row, language: Language) -> str:
    if not row.outcome:
        return language.text(row.state)
    outcome = language.text(row.outcome) if row.outcome == NO_FAULT else place(row.outcome, language)
    return f"{language.text(row.state)}; {language.text('it was')}: {outcome}"


def scale_lines(found: Comparison, language: Language) -> list[str]:
    """Each interval on one scale: o known good, x in doubt, . not judged, as plain letters."""
    low, high = (pick(end for row in found.rows for end in (row.value.low, row.value.high)) for pick in (min, max))
    reach = (high - low) or abs(high) or 1.0

    def at(value: float) -> int:
        return round((value - low) / reach * (SCALE - 1))

    lines = []
    for number, row in enumerate(found.rows, 1):
        cells = [" "] * SCALE
        for column in range(at(row.value.low), at(row.value.high) + 1):
            cells[column] = "-"
        cells[at(row.value.value)] = MARKS[row.state]
        lines.append(f"  {number:>2} |{''.join(cells)}|")
    ends = [language.figures(f"{end:.3g}") for end in (low, high)]
    unit = found.rows[0].value.unit.symbol
    key = ", ".join(f"{mark} {language.text(state)}" for state, mark in MARKS.items())
    return [*lines, f"      {ends[0]}{(ends[1] + ' ' + unit).rjust(SCALE - len(ends[0]))}", f"  {key}"]


def _conclusion(found: Comparison, language: Language) -> list[str]:
    span, unit = found.good_span, found.rows[0].value.unit.symbol
    if span is None:
        text = Message("None of these is known to be good: no range was given with them, and no job ended without a fault.")
        return wrap(text.text(language))
    ends = [f"{end:.3g} {unit}" for end in span]
    told = [Message("Known good: {low} to {high}.", low=ends[0], high=ends[1])]
    for number, row in enumerate(found.rows, 1):
        if row.state == "known good":
            continue
        if row.value.low > span[1] or row.value.high < span[0]:
            told.append(Message("{n} lies beyond all that is known to be good.", n=number))
        else:
            told.append(Message("{n} cannot be told apart from what is known to be good.", n=number))
    return [line for text in told for line in wrap(language.figures(text.text(language)))]


def plot_of(found: Comparison) -> dict[str, Any]:
    """The rows by number: an interval for each, known good and in doubt with marks of their own."""
    series: list[dict[str, Any]] = [
        {
            "label": f"{n} {PurePath(row.file).name}",
            "x": (float(n), float(n)),
            "y": (row.value.low, row.value.high),
            "style": "line",
        }
        for n, row in enumerate(found.rows, 1)
    ]
    for state in ("known good", "in doubt", "not judged"):
        of_it = [(float(n), row.value.value) for n, row in enumerate(found.rows, 1) if row.state == state]
        if of_it:
            xs, ys = zip(*of_it, strict=True)
            series.append({"label": state, "x": xs, "y": ys, "style": "points"})
    return {
        "title": "The same measurement in several jobs", "x_label": "job", "x_unit": "", "y_label": found.label,
        "y_unit": found.rows[0].value.unit.symbol, "series": series,
    }  # fmt: skip
