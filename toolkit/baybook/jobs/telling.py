"""A worked-out job as plain text for a terminal."""

from __future__ import annotations

from ..result import Result
from ..text import MARKS, finding_lines, output_rows, shown_outputs, table, verdict_lines, warning_lines, wrap
from .working import Cell, Outcome, Worked

WORDS = {"untested": "[ ]", "contradictory": "[!?]", **MARKS}


def outcome_lines(outcome: Outcome, *, steps: bool = False) -> list[str]:
    """Job, cautions, the steps' numbers and verdicts; last, where a terminal stops, what it all says and what to test next."""
    job = outcome.sheet.job
    lines = table([(key, job[key]) for key in job if job[key]], indent="")
    lines += ["", *_cautions(outcome)]
    for worked in outcome.steps:
        lines += ["", *_step_lines(worked, steps)]
    lines += ["", "By stage and side", *table([_cell_row(cell) for cell in outcome.cells])]
    if outcome.next_tests:
        lines += ["", "Test next", *(line for test in outcome.next_tests for line in wrap(test, "    ", "  - "))]
    return [*lines, "", "Conclusion", *wrap(outcome.conclusion)]


def _cautions(outcome: Outcome) -> list[str]:
    """Every caution of every step, once."""
    texts = {(c.signal, c.text) for w in outcome.steps if w.calculator for c in w.calculator.cautions}
    order = ("danger", "warning", "caution", "notice")
    ranked = sorted(texts, key=lambda caution: (order.index(caution[0]), caution[1]))
    return [line for signal, text in ranked for line in wrap(text, "    ", f"{signal.upper()}: ")]


def _cell_row(cell: Cell) -> tuple[str, str, str, str, str]:
    steps = sorted({number for number, _ in cell.findings})
    where = f"step{'s' * (len(steps) > 1)} {', '.join(map(str, steps))}" if steps else ""
    return WORDS[cell.word], cell.stage, cell.side, cell.word, where


def _given(worked: Worked, result: Result) -> list[str]:
    """The inputs that were typed, as they were typed; the JSON and the report have the defaults too."""
    typed = [f"{name} {record['text']}" for name, record in result.inputs.items() if name in worked.step.inputs]
    return wrap("; ".join(typed), "    ", "  given: ")


def _step_lines(worked: Worked, steps: bool) -> list[str]:
    head = f"Step {worked.step.number}: {worked.title} ({worked.step.calculator})"
    if worked.error:
        told = [line for text in str(worked.error).splitlines() for line in wrap(text, "        ", "      ")]
        return [head, *(wrap(worked.step.note) if worked.step.note else []), "  [x] could not be worked out:", *told]
    if worked.result is None:
        return [head, "  planned, not taken yet"]
    result = worked.result
    lines = [
        head,
        *(wrap(worked.step.note) if worked.step.note else []),
        *_given(worked, result),
        *(f"  {line}" for line in warning_lines(result)),
        *output_rows(shown_outputs(result)),
    ]
    lines += verdict_lines(result) + finding_lines(result)
    if steps:
        from ..text import step_lines

        lines += step_lines(result)
    return lines + [line for note in result.notes for line in wrap(note, "    ", "  - ")]
