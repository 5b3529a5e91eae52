"""Results as plain text for a terminal: cautions, outputs, verdicts, findings, notes, steps. Light: on the fastest path."""

from __future__ import annotations

from .columns import output_rows, table, width, wrap
from .language import ENGLISH
from .numbers import percent_shown

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence
    from typing import Any

    from .estimate import Estimate
    from .language import Language
    from .result import Result, Verdict
    from .spec import SpecRange

MARKS = {"within": "[ok]", "outside": "[out]", "undecided": "[?]", "cleared": "[ok]", "proven": "[!!]", "indicated": "[!]"}


def warning_lines(result: Result, language: Language = ENGLISH) -> list[str]:
    """What casts doubt on all of a result, to be said before it."""
    return [line for warning in result.warnings for line in wrap(said(warning, language), "    ", "[?] ")]


def result_lines(result: Result, *, steps: bool = False, explain: bool = False, language: Language = ENGLISH) -> list[str]:
    """The whole result in a language. What answers the question comes last, where a terminal stops: outputs, verdicts, findings
    with the next test; at the end the worst caution, and where all stand. explain: with what only a class needs, see `Output`.
    """
    blocks = [
        ("", warning_lines(result, language)),
        ("Steps", step_lines(result, language) if steps or explain else []),
        ("Notes", note_lines(result, language, explain=explain)),
        ("Sources", [line for text in result.sources if explain for line in wrap(language.text(text), "    ", "  - ")]),
        ("", output_lines(result, language, explain=explain)),
        ("Verdicts", verdict_lines(result, language)),
        ("Findings", finding_lines(result, language)),
    ]
    if not (result.verdicts or result.findings):  # the numbers are the answer
        blocks.insert(1, blocks.pop(4))
    lines: list[str] = []
    for title, block in blocks:
        if block:
            lines += [*([""] if lines else []), *([language.text(title)] if title else []), *block]
    return [*lines, *(["", *reminder_lines(result.calculator, result.cautions, language)] if result.cautions else [])]


def note_lines(result: Result, language: Language = ENGLISH, *, explain: bool = True) -> list[str]:
    """Each note with a dash before it, with `explain` also those of the background."""
    notes = (*result.notes, *(result.background if explain else ()))
    return [line for note in notes for line in wrap(said(note, language), "    ", "  - ")]


def reminder_lines(calculator: str, cautions: Sequence[Mapping[str, Any]], language: Language = ENGLISH) -> list[str]:
    """The worst of a calculator's cautions, and where all of them stand."""
    worst = cautions[0]
    text = language.text(str(worst["text"])).partition(". ")[0].rstrip(".")
    where = f"{language.text('All cautions')}: baybook {calculator} --how"
    return wrap(f"{text}. {where}", "    ", f"{language.text(str(worst['signal'])).upper()}: ")


def said(text: str, language: Language) -> str:
    """A message, or a plain text, in a language."""
    from .message import Message

    return Message.of(text).text(language)


def named(name: str, language: Language, result: Result | None = None) -> str:
    """An input or output as a person reads it: by its label where it has one, never with underscores."""
    label = result.labels.get(name, "") if result else ""
    return label or name.replace("_", " ") if language.code == "en" else language.word(name)


def output_lines(result: Result, language: Language = ENGLISH, *, explain: bool = True) -> list[str]:
    """Every output: quantities and words in a list, vectors of the same numbers in a table, a row for each number.

    Without `explain` those of the textbook are left out.
    """
    shown = [name for name in result.outputs if explain or name not in result.textbook]
    lines = output_rows(shown_outputs(result, language, shown))
    for each in dict.fromkeys(result.each[name] for name in shown if name in result.each):
        names = [name for name in shown if result.each.get(name) == each]
        columns = [(named(name, language, result), *_column(result.vector(name), language)) for name in names]
        for some in _side_by_side(columns, len(language.word(each))):
            count = len(some[0]) - 1
            rows = zip((language.word(each), *map(str, range(1, count + 1))), *some, strict=True)
            lines += [*([""] if lines else []), *table([tuple(row) for row in rows])]
    return lines


def _side_by_side(columns: list[tuple[str, ...]], first: int) -> list[list[tuple[str, ...]]]:
    """The columns in as many tables as the width needs, each behind a column of `first` characters."""
    tables: list[list[tuple[str, ...]]] = [[]]
    taken = first + 2
    for column in columns:
        wide = 2 + max(map(len, column))
        if tables[-1] and taken + wide > width():
            tables.append([])
            taken = first + 2
        tables[-1].append(column)
        taken += wide
    return tables


def _column(values: Sequence[Estimate | None], language: Language) -> list[str]:
    """A vector's numbers with their intervals; a dash for one that was not measured."""
    return ["-" if value is None else with_interval(value, language) for value in values]


def with_interval(value: Estimate, language: Language) -> str:
    """A value with its 95 % interval in brackets, where it has one."""
    from .message import shown

    interval = language.figures(value.show_interval())
    return shown(value, language) + (f" ({interval})" if interval else "")


def shown_outputs(
    result: Result, language: Language = ENGLISH, names: Iterable[str] | None = None
) -> list[tuple[str, str, str]]:
    """(name, value, interval) of every output that is no vector, or of those named."""
    from .estimate import Estimate
    from .message import shown

    rows = []
    for name in result.outputs if names is None else names:
        value, label = result.outputs[name], named(name, language, result)
        if isinstance(value, str):
            rows.append((label, _word(name, value, language), ""))
        elif isinstance(value, Estimate):
            rows.append((label, shown(value, language), language.figures(value.show_interval())))
    return rows


def _word(name: str, value: str, language: Language) -> str:
    """A word that an output takes; one with numbers in it ("injector 3") is a message."""
    if language.code == "en":
        return value
    return said(value, language) if getattr(value, "arguments", None) else language.word(value, name)


def verdict_lines(result: Result, language: Language = ENGLISH) -> list[str]:
    """A line for each verdict, with what was judged; those alike and within in one. Whose limits, where that changes."""
    lines, before = [], ""
    for verdicts in _alike(result.verdicts):
        verdict = verdicts[0]
        if verdict.range.source != before:
            before = verdict.range.source
            lines += wrap(language.text(before), "    ", f"  {language.text('limits')}: ")
        lines += wrap(_told(verdicts, result, language), "        ", f"  {MARKS[verdict.verdict].ljust(5)} ")
    return lines


def _alike(verdicts: Sequence[Verdict]) -> list[list[Verdict]]:
    """Verdicts one by one, but those of a vector that are within the same range together."""
    found: list[list[Verdict]] = []
    for verdict in verdicts:
        last = found[-1][0] if found else None
        together = last is not None and last.index is not None and verdict.index is not None and last.output == verdict.output
        if together and last is not None and last.verdict == verdict.verdict == "within" and last.range == verdict.range:
            found[-1].append(verdict)
        else:
            found.append([verdict])
    return found


def _told(verdicts: Sequence[Verdict], result: Result, language: Language) -> str:
    """What was judged, its value, the word, the range, the chance: of several the places and the least chance."""
    verdict = verdicts[0]
    value = ""
    if len(verdicts) == 1 and verdict.measured is not None:
        value = f" {with_interval(verdict.measured, language)}"
    elif len(verdicts) == 1 and verdict.bound is not None:
        value = f" {said(verdict.bound, language)}"
    chances = [one.probability for one in verdicts if one.probability is not None]
    chance = f", {language.text('chance to conform')} {_percent(min(chances), language)}" if chances else ""
    word, against = language.word(verdict.verdict, "verdict"), language.text("against")
    return f"{_subject(verdicts, result, language)}:{value} {word}, {against} {_range(verdict.range, language)}{chance}"


def _subject(verdicts: Sequence[Verdict], result: Result, language: Language) -> str:
    """The output by its label, behind the places of a vector's; else what the verdict says itself."""
    verdict = verdicts[0]
    if verdict.output and verdict.what == verdict.output:
        return named(verdict.what, language, result)
    if len(verdicts) == 1:
        return said(verdict.what, language)
    each = language.word(result.each.get(verdict.output, "number"))
    places = ", ".join(str(one.index) for one in verdicts)
    return f"{each} {places}, {named(verdict.output, language, result)}"


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
