"""Results as plain text for a terminal: cautions, outputs, verdicts, findings, notes, steps. Light: on the fastest path."""

from __future__ import annotations

from .language import ENGLISH
from .numbers import percent_shown

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Sequence

    from .estimate import Estimate
    from .language import Language
    from .result import Result, Verdict
    from .spec import SpecRange

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


def warning_lines(result: Result, language: Language = ENGLISH) -> list[str]:
    """What casts doubt on all of a result, to be said before it."""
    return [line for warning in result.warnings for line in wrap(said(warning, language), "    ", "[?] ")]


def result_lines(result: Result, *, steps: bool = False, language: Language = ENGLISH) -> list[str]:
    """The whole result in a language; at its end, where the next thing is typed, the worst caution and where all stand."""
    lines: list[str] = []
    if result.warnings:
        lines += [*warning_lines(result, language), ""]
    lines += output_lines(result, language)
    for title, block in (
        ("Verdicts", verdict_lines(result, language)),
        ("Findings", finding_lines(result, language)),
        ("Steps", step_lines(result, language) if steps else []),
        ("Notes", [line for note in result.notes for line in wrap(said(note, language), "    ", "  - ")]),
    ):
        if block:
            lines += ["", language.text(title), *block]
    return [*lines, *(["", *reminder_lines(result, language)] if result.cautions else [])]


def reminder_lines(result: Result, language: Language = ENGLISH) -> list[str]:
    """The worst caution, and where all of them stand."""
    worst = result.cautions[0]
    text = language.text(str(worst["text"])).partition(". ")[0].rstrip(".")
    where = f"{language.text('All cautions')}: baybook {result.calculator} --how"
    return wrap(f"{text}. {where}", "    ", f"{language.text(str(worst['signal'])).upper()}: ")


def said(text: str, language: Language) -> str:
    """A message, or a plain text, in a language."""
    from .message import Message

    return Message.of(text).text(language)


def named(name: str, language: Language) -> str:
    """An input or output by its name: as the command line spells it, in another language as a person reads it."""
    return name if language.code == "en" else language.word(name)


def output_lines(result: Result, language: Language = ENGLISH) -> list[str]:
    """Every output: quantities and words in a list, vectors of the same numbers in a table, a row for each number."""
    lines = output_rows(shown_outputs(result, language))
    for each in dict.fromkeys(result.each[name] for name in result.outputs if name in result.each):
        names = [name for name in result.outputs if result.each.get(name) == each]
        columns = [(named(name, language), *_column(result.vector(name), language)) for name in names]
        count = len(columns[0]) - 1
        rows = zip((language.word(each), *map(str, range(1, count + 1))), *columns, strict=True)
        lines += [*([""] if lines else []), *table([tuple(row) for row in rows])]
    return lines


def _column(values: Sequence[Estimate | None], language: Language) -> list[str]:
    """A vector's numbers with their intervals; a dash for one that was not measured."""
    from .message import shown

    cells = []
    for value in values:
        interval = "" if value is None else language.figures(value.show_interval())
        cells.append("-" if value is None else shown(value, language) + (f" ({interval})" if interval else ""))
    return cells


def shown_outputs(result: Result, language: Language = ENGLISH) -> list[tuple[str, str, str]]:
    """(name, value, interval) of every output that is no vector."""
    from .estimate import Estimate
    from .message import shown

    rows = []
    for name, value in result.outputs.items():
        if isinstance(value, str):
            rows.append((named(name, language), _word(name, value, language), ""))
        elif isinstance(value, Estimate):
            rows.append((named(name, language), shown(value, language), language.figures(value.show_interval())))
    return rows


def _word(name: str, value: str, language: Language) -> str:
    """A word that an output takes; one with numbers in it ("injector 3") is a message."""
    if language.code == "en":
        return value
    return said(value, language) if getattr(value, "arguments", None) else language.word(value, name)


def verdict_lines(result: Result, language: Language = ENGLISH) -> list[str]:
    """For each verdict a line, and below it whose limits they are where that changes."""
    against, chance = language.text("against"), language.text("chance to conform")
    rows = table(
        [
            (
                MARKS[v.verdict], _subject(v, language), language.word(v.verdict, "verdict"),
                f"{against} {_range(v.range, language)}",
                "" if v.probability is None else f"{chance} {_percent(v.probability, language)}",
            )
            for v in result.verdicts
        ]
    )  # fmt: skip
    lines, before = [], ""
    for row, verdict in zip(rows, result.verdicts, strict=True):
        if verdict.range.source != before:
            before = verdict.range.source
            lines += wrap(language.text(before), "    ", f"  {language.text('limits')}: ")
        lines.append(row)
    return lines


def _subject(verdict: Verdict, language: Language) -> str:
    return named(verdict.what, language) if verdict.what == verdict.output else said(verdict.what, language)


def _range(spec: SpecRange, language: Language) -> str:
    """As it was typed; in another language from its numbers."""
    from .message import range_shown

    return str(spec) if language.code == "en" else range_shown(spec, language)


def _percent(probability: float, language: Language) -> str:
    text = percent_shown(probability)
    for word in ("over", "under"):
        text = text.replace(f"{word} ", f"{language.text(word)} ")
    return language.figures(text)


def finding_lines(result: Result, language: Language = ENGLISH) -> list[str]:
    """Each finding, with what to test next."""
    lines = []
    for finding in result.findings:
        where = ", ".join(language.text(word) for word in (finding.stage, finding.side, finding.strength))
        lines += wrap(said(finding.statement, language), "      ", f"  {MARKS.get(finding.strength, '[?]')} {where}: ")
        if finding.next_test:
            lines += wrap(said(finding.next_test, language), "      ", f"      {language.text('next')}: ")
    return lines


def step_lines(result: Result, language: Language = ENGLISH) -> list[str]:
    """Each worked step: what, the formula, the numbers put in, what comes out."""
    from .message import shown

    lines = []
    for number, step in enumerate(result.steps, 1):
        lines += [
            f"  {number}. {said(step.what, language)}",
            f"     {language.figures(language.text(step.formula))}",
            f"     = {language.figures(step.put_in())}",
            f"     = {shown(step.result, language)}",
        ]
    return lines
