"""Results as plain text for a terminal: cautions, outputs, verdicts, findings, notes, steps. Light: on the fastest path."""

from __future__ import annotations

from .numbers import percent_shown

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Sequence

    from .result import Result

WIDTH = 100
MARKS = {"within": "[ok]", "outside": "[out]", "undecided": "[?]", "cleared": "[ok]", "proven": "[!!]", "indicated": "[!]"}


def table(rows: Sequence[tuple[str, ...]], indent: str = "  ") -> list[str]:
    """Rows in columns as wide as their longest cell, two spaces between."""
    if not rows:
        return []
    widths = [max(len(row[column]) for row in rows) for column in range(len(rows[0]))]
    return [indent + "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip() for row in rows]


def output_rows(outputs: list[tuple[str, str, str]]) -> list[str]:
    """Lines for (name, value with unit, interval) of each output; long words are broken, not left to widen the columns."""
    names = max((len(name) for name, _, _ in outputs), default=0)
    values = max((len(value) for _, value, interval in outputs if interval), default=0)
    lines = []
    for name, value, interval in outputs:
        start = f"  {name.ljust(names)}  "
        if interval:
            lines.append(f"{start}{value.ljust(values)}  95 %: {interval}")
        else:
            lines += wrap(value, " " * len(start), start)
    return lines


def wrap(text: str, indent: str = "  ", first: str | None = None) -> list[str]:
    """The text broken at spaces; `first` stands before its first line and `indent` before the others."""
    lines, line = [], indent if first is None else first
    start = True
    for word in text.split():
        if not start and len(line) + 1 + len(word) > WIDTH:
            lines.append(line)
            line, start = indent, True
        line += word if start else f" {word}"
        start = False
    return [*lines, line]


def warning_lines(result: Result) -> list[str]:
    """What casts doubt on all of a result, to be said before it."""
    return [line for warning in result.warnings for line in wrap(warning, "    ", "[?] ")]


def result_lines(result: Result, *, steps: bool = False) -> list[str]:
    """The whole result. Cautions stand before any number."""
    lines: list[str] = []
    for caution in result.cautions:
        lines += wrap(str(caution["text"]), "    ", f"{str(caution['signal']).upper()}: ")
    if lines:
        lines.append("")
    if result.warnings:
        lines += [*warning_lines(result), ""]
    lines += output_rows(shown_outputs(result))
    for title, block in (
        ("Verdicts", verdict_lines(result)),
        ("Findings", finding_lines(result)),
        ("Steps", step_lines(result) if steps else []),
        ("Notes", [line for note in result.notes for line in wrap(note, "    ", "  - ")]),
    ):
        if block:
            lines += ["", title, *block]
    return lines


def shown_outputs(result: Result) -> list[tuple[str, str, str]]:
    """(name, value, interval) of every output."""
    return [
        (name, value, "") if isinstance(value, str) else (name, value.show(), value.show_interval())
        for name, value in result.outputs.items()
    ]


def verdict_lines(result: Result) -> list[str]:
    """For each verdict a line, and below it whose limits they are where that changes."""
    rows = table(
        [
            (MARKS[v.verdict], v.what, v.verdict, f"against {v.range}", f"chance to conform {percent_shown(v.probability)}")
            for v in result.verdicts
        ]
    )
    lines, before = [], ""
    for row, verdict in zip(rows, result.verdicts, strict=True):
        if verdict.range.source != before:
            before = verdict.range.source
            lines += wrap(before, "    ", "  limits: ")
        lines.append(row)
    return lines


def finding_lines(result: Result) -> list[str]:
    """Each finding, with what to test next."""
    lines = []
    for finding in result.findings:
        first = f"  {MARKS.get(finding.strength, '[?]')} {finding.stage}, {finding.side}, {finding.strength}: "
        lines += wrap(finding.statement, "      ", first)
        if finding.next_test:
            lines += wrap(finding.next_test, "      ", "      next: ")
    return lines


def step_lines(result: Result) -> list[str]:
    """Each worked step: what, the formula, the numbers put in, what comes out."""
    lines = []
    for number, step in enumerate((step.to_dict() for step in result.steps), 1):
        lines += [
            f"  {number}. {step['what']}",
            f"     {step['formula']}",
            f"     = {step['numbers']}",
            f"     = {step['result']}",
        ]
    return lines
