"""A worked-out job as plain text for a terminal."""

from __future__ import annotations

from ..language import ENGLISH, Language
from ..result import Result
from ..text import MARKS, finding_lines, named, output_lines, said, table, verdict_lines, warning_lines, wrap
from .working import Cell, Outcome, Worked

WORDS = {"untested": "[ ]", "contradictory": "[!?]", **MARKS}


def outcome_lines(outcome: Outcome, *, steps: bool = False, language: Language = ENGLISH) -> list[str]:
    """Job, cautions, the steps' numbers and verdicts; last, where a terminal stops, what it all says and what to test next."""
    job = outcome.sheet.job
    lines = table([(key, job[key]) for key in job if job[key]], indent="")
    lines += ["", *_cautions(outcome, language)]
    for worked in outcome.steps:
        lines += ["", *_step_lines(worked, steps, language)]
    lines += ["", language.text("By stage and side"), *table([_cell_row(cell, language) for cell in outcome.cells])]
    if outcome.next_tests:
        tests = [line for test in outcome.next_tests for line in wrap(said(test, language), "    ", "  - ")]
        lines += ["", language.text("Test next"), *tests]
    return [*lines, "", language.text("Conclusion"), *wrap(said(outcome.conclusion, language))]


def _cautions(outcome: Outcome, language: Language) -> list[str]:
    """Every caution of every step, once."""
    texts = {(c.signal, c.text) for w in outcome.steps if w.calculator for c in w.calculator.cautions}
    order = ("danger", "warning", "caution", "notice")
    ranked = sorted(texts, key=lambda caution: (order.index(caution[0]), caution[1]))
    return [line for signal, text in ranked for line in _caution(signal, text, language)]


def _caution(signal: str, text: str, language: Language) -> list[str]:
    return wrap(language.text(text), "    ", f"{language.text(signal).upper()}: ")


def _cell_row(cell: Cell, language: Language) -> tuple[str, str, str, str, str]:
    steps = sorted({number for number, _ in cell.findings})
    where = f"{language.text('steps' if len(steps) > 1 else 'step')} {', '.join(map(str, steps))}" if steps else ""
    return WORDS[cell.word], language.text(cell.stage), language.text(cell.side), language.text(cell.word), where


def _given(worked: Worked, result: Result, language: Language) -> list[str]:
    """The inputs that were typed, as they were typed; the JSON and the report have the defaults too."""
    given = [(name, record["text"]) for name, record in result.inputs.items() if name in worked.step.inputs]
    typed = [f"{named(name, language)} {text}" for name, text in given]
    return wrap("; ".join(typed), "    ", f"  {language.text('given')}: ")


def _step_lines(worked: Worked, steps: bool, language: Language) -> list[str]:
    title = worked.title if worked.step.title else language.text(worked.title)
    head = f"{language.text('Step')} {worked.step.number}: {title} ({worked.step.calculator})"
    if worked.error:
        told = [line for text in str(worked.error).splitlines() for line in wrap(text, "        ", "      ")]
        failed = f"  [x] {language.text('could not be worked out')}:"
        return [head, *(wrap(worked.step.note) if worked.step.note else []), failed, *told]
    if worked.result is None:
        return [head, f"  {language.text('planned, not taken yet')}"]
    result = worked.result
    lines = [
        head,
        *(wrap(worked.step.note) if worked.step.note else []),
        *_given(worked, result, language),
        *(f"  {line}" for line in warning_lines(result, language)),
        *output_lines(result, language),
    ]
    lines += verdict_lines(result, language) + finding_lines(result, language)
    if steps:
        from ..text import step_lines

        lines += step_lines(result, language)
    return lines + [line for note in result.notes for line in wrap(said(note, language), "    ", "  - ")]
