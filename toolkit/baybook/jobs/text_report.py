"""A worked-out job as plain text for a terminal."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from ..cautions import SIGNALS, Caution
from ..columns import table, wrap
from ..declare import Calculator
from ..how import caution_lines, cautions_with, how_of, procedure_lines
from ..language import ENGLISH, Language
from ..message import Message
from ..places.account import Account, Factor
from ..places.conclusion import Standing
from ..places.outlook import to_mend
from ..result import Result
from ..text import MARKS, finding_lines, named, note_lines, output_lines, reminder_lines, said, verdict_lines, warning_lines
from .cautions import cautions_of
from .conclusion import command
from .evaluation import Outcome
from .findings import PARTLY, Cell
from .messages import place, test
from .offered import offered_tests
from .stops import DOUBT, by_reason, called, is_barred
from .worked import Worked

WORDS = {
    **MARKS, "untested": "[ ]", "contradictory": "[!?]",
    "likely": "[!]", "open": "[?]", "unlikely": "[-]", "not seen here": "[-]", "partly tested": "[ ]",
    "repaired": "[ok]",
}  # fmt: skip
FEW = 3
"""Places that are argued for and against, and named in a line."""


def outcome_lines(outcome: Outcome, *, steps: bool = False, language: Language = ENGLISH) -> list[str]:
    """Job, cautions in full, steps with numbers and verdicts; last, where a terminal stops, what it says, what to test next."""
    job = outcome.sheet.job
    lines = table([(key, job[key]) for key in job if job[key]], indent="")
    lines += _first_of_all(outcome, language)
    lines += ["", *caution_lines(_cautions(outcome), language)]
    for worked in outcome.steps:
        lines += ["", *_step_lines(worked, steps, language, barred=is_barred(worked.calculator, outcome.found.halts))]
    parts = (_by_stage, _for_and_against, _open, _settle_first, _next, _concluded)
    return [*lines, *(line for part in parts for line in part(outcome, language))]


def _headed(head: str, lines: list[str], language: Language) -> list[str]:
    return ["", language.text(head), *lines] if lines else []


def _by_stage(outcome: Outcome, language: Language) -> list[str]:
    rows = [_cell_row(cell, language) for cell in outcome.cells]
    return _headed("By stage and side", table(rows), language)


def _cell_row(cell: Cell, language: Language) -> tuple[str, ...]:
    """A stage and side: the chance of a fault there, its word, the places that have it, the steps that speak of it."""
    steps = sorted({n for s in cell.standings for n in s.steps} | {number for number, _ in cell.findings})
    where = f"{language.text('steps' if len(steps) > 1 else 'step')} {', '.join(map(str, steps))}" if steps else ""
    chance = _percent(cell.chance, language)
    named = [s for s in cell.standings if s.word == cell.word and s.word in ("proven", "likely", "open")]
    if cell.word == PARTLY:
        named = [s for s in cell.standings if s.word == "untested"]
    names = ", ".join(place(s.place.name, language) for s in named[:FEW])
    names = f"{language.text('untested')}: {names}" if cell.word == PARTLY else names
    more = f" {language.text('and others')}" if len(named) > FEW else ""
    return (WORDS[cell.word], language.text(cell.stage), language.text(cell.side), chance, language.text(cell.word), where,
            names + more)  # fmt: skip


def _percent(chance: float, language: Language) -> str:
    """A chance in whole per cent, never rounded to a certainty."""
    if 0.01 <= chance <= 0.99:
        return f"{100 * chance:.0f} %"
    told = Message("over {n} %", n=99) if chance > 0.5 else Message("under {n} %", n=1)
    return told.text(language)


def _first(outcome: Outcome) -> list[Standing]:
    """The places that are argued for and against: the most likely of those that a test looked at."""
    return [s for s in outcome.found.standings if s.open and s.word != "untested"][:FEW]


def _for_and_against(outcome: Outcome, language: Language) -> list[str]:
    lines = []
    for standing in _first(outcome):
        found = outcome.found.why(standing.place.name)
        name = place(standing.place.name, language)
        lines.append(f"  {name}  {_percent(standing.chance, language)}, {language.text(standing.word)}")
        for word, factors in (("for", found.speaking_for), ("against it", found.speaking_against)):
            telling = [f for f in factors if _percent(f.without, language) != _percent(standing.chance, language)]
            by_name = {_names(factor, language): _argued(factor, language) for factor in reversed(telling)}
            for text in list(reversed(by_name.values()))[:2]:
                lines += wrap(text, "      ", f"    {language.text(word)}: ")
    return _headed("For and against", lines, language)


def _argued(factor: Factor, language: Language) -> str:
    without = Message("{chance} without it", chance=_percent(factor.without, language)).text(language)
    return f"{_names(factor, language)} ({without})"


def _names(factor: Factor, language: Language) -> str:
    """The tests of a factor with their steps, or the complaint."""
    names = []
    telling = [item for item in factor.evidence if item.bad] or factor.evidence
    for item in telling:
        if not item.is_test:
            names.append(language.text("the complaint"))
            continue
        steps = ", ".join(map(str, item.steps))
        name = said(test(item.test, item.object), language)
        outcome = f" ({language.text('in order')})" if item.good else ""
        names.append(f"{name}{outcome}, {language.text('step')} {steps}")
    return "; ".join(dict.fromkeys(names[:FEW])) + (f" {language.text('and others')}" if len(names) > FEW else "")


def _open(outcome: Outcome, language: Language) -> list[str]:
    """The fewest places one of which is the case with 95 %."""
    found = outcome.found
    shown = [f"{place(n, language)} {_percent(found.chances[n], language)}" for n in found.open[:8]]
    rest = len(found.open) - len(shown)
    more = [Message("and {n} more", n=rest).text(language)] if rest else []
    lines = wrap("; ".join([*shown, *more]))
    if sum(found.chances[n] for n in found.open) > 1.0 + ROUNDED:
        lines += wrap(language.text(SEVERAL), "    ", "  - ")
    return _headed("Still open (95 % together)", lines, language)


SEVERAL = "More than 100 % added up: several of these may be at fault at the same time."
ROUNDED = 0.02
"""By which chances in whole per cent may pass 100 though one place alone is at fault."""


def next_lines(outcome: Outcome, language: Language) -> list[str]:
    """What comes first of all, what to settle first and what to test next, then the conclusion; at the end, where nothing comes
    first of all, the worst caution, and where all stand."""
    parts = (_first_of_all, _settle_first, _next, _concluded)
    lines = [line for part in parts for line in part(outcome, language)][1:]
    return [*lines, *([] if outcome.found.halts else _reminder(outcome, language))]


FIRE = "Fuel and its vapour catch fire from any spark. Nobody smokes, nothing is switched; have an extinguisher in reach."


def _first_of_all(outcome: Outcome, language: Language) -> list[str]:
    """What comes before any test, and the danger that it is about; that the rail's reading proves no zero."""
    lines = []
    for of, first in zip(by_reason(outcome.found.halts), outcome.at_once, strict=True):
        text = said(first, language)
        lines += wrap(f"{said(called(of, outcome.steps), language)} {text[:1].upper()}{text[1:]}", "    ", "  ! ")
    if outcome.zero_doubted:
        lines += wrap(language.text(DOUBT), "    ", "  ! ")
    fire = wrap(language.text(FIRE), "    ", f"{language.text('DANGER')}: ")
    if outcome.found.halts:
        lines += fire if any(each.halt.fire for each in outcome.found.halts) else _reminder(outcome, language)[1:]
    return _headed("First of all", lines, language)


def _concluded(outcome: Outcome, language: Language) -> list[str]:
    return _headed("Conclusion", wrap(" ".join(said(text, language) for text in outcome.conclusions)), language)


def account_lines(found: Account, language: Language) -> list[str]:
    """How the odds of a place came about: at the beginning or since the last repair, times a factor for each test."""
    name = place(found.place, language)
    start = Message("{place}: {odds} to 1 against no fault at the beginning, or after the last repair", place=name,
                    odds=_odds(found.start))  # fmt: skip
    rows = [
        (f"× {language.figures(_odds(factor.factor))}", _argued(factor, language),
         language.text(factor.strength) if factor.strength != "none" else "")
        for factor in found.factors
    ]  # fmt: skip
    end = Message("= {odds} to 1; with all other places weighed in {chance}", odds=_odds(found.odds),
                  chance=_percent(found.chance, language))  # fmt: skip
    return [said(start, language), *table(rows), said(end, language)]


def _odds(value: float) -> str:
    return f"{value:.3g}"


def _settle_first(outcome: Outcome, language: Language) -> list[str]:
    lines = []
    for item in () if to_mend(outcome.found) else outcome.found.unsettled:
        told = Message(
            "step {n} ({test}): {question} Unsettled it counts for {share} of its reach.", n=item.step, test=item.test,
            question=Message.of(item.need.question), share=_percent(item.left, language),
        )  # fmt: skip
        lines += wrap(told.text(language), "    ", "  - ")
    lines += [line for text in outcome.lacking for line in wrap(said(text, language), "    ", "  - ")]
    return _headed("Settle first", lines, language)


def _next(outcome: Outcome, language: Language) -> list[str]:
    asked = [line for text in outcome.asked for line in wrap(said(text, language), "    ", "  - ")]
    lines = [*asked] if outcome.asked_first else []
    for number, found in enumerate(outcome.ranked, 1):
        lines += wrap(said(outcome.next_line(found), language), "     ", f"  {number}. ")
        names = [place(name, language) for name in found.separates[:FEW]]
        if names:
            more = f" {language.text('and others')}" if len(found.separates) > FEW else ""
            lines += wrap(f"{', '.join(names)}{more}", "       ", f"     {language.text('looks at')}: ")
        lines += [line for need in found.needs for line in wrap(language.text(need.question), "       ", "     ? ")]
        if line := command(found, outcome.sheet.path):
            lines.append(f"     {line}")
    if outcome.withheld:
        names = list(dict.fromkeys(test(found.test) for found in outcome.withheld))
        lines += wrap(said(Message("not before that: {tests}", tests=names), language), "    ", "  - ")
    lines += [] if outcome.asked_first else asked
    return _headed("Test next", lines, language)


def _cautions(outcome: Outcome) -> list[Caution]:
    """The cautions of all steps and of every test that is asked for, each once, the worst first."""
    own = [caution for worked in outcome.steps if worked.calculator for caution in worked.calculator.cautions]
    found = dict.fromkeys([*own, *(caution for test in outcome.ranked for caution in cautions_of(test))])
    return sorted(found, key=lambda caution: SIGNALS.index(caution.signal))


def _reminder(outcome: Outcome, language: Language) -> list[str]:
    """The worst caution in a line, and where all stand: at the first of the tests that are asked for, or taken, that has it."""
    offered = offered_tests()
    named = [offered[test.test].calculator for test in outcome.ranked if test.test in offered]
    named += [worked.calculator for worked in outcome.steps if worked.calculator]
    worst = _cautions(outcome)[:1]
    for calculator in named:
        if worst and worst[0] in calculator.cautions:
            return ["", *reminder_lines(calculator.name, [worst[0].to_dict()], language)]
    return []


def _given(worked: Worked, result: Result, language: Language) -> list[str]:
    """The inputs that were typed, as they were typed; the JSON and the report have the defaults too."""
    given = [(name, record["text"]) for name, record in result.inputs.items() if name in worked.step.inputs]
    typed = [f"{named(name, language)} {_in_words(name, text, language)}" for name, text in given]
    return wrap("; ".join(typed), "    ", f"  {language.text('given')}: ")


def _in_words(name: str, text: str, language: Language) -> str:
    """What was typed; in another language a word that the input may be, or a part or test by its name, as that says it."""
    if language.code == "en":
        return text
    told = language.word(text, name)
    return told if told != text else said(Message.numbered(text), language)


def _planned(calculator: Calculator, given: Mapping[str, Any], language: Language) -> list[str]:
    """How a test is done that is to be taken yet: its cautions in full, then its procedure."""
    how = how_of(calculator, given)
    cautions = caution_lines(cautions_with(calculator, how), language)
    return [*cautions, *([""] if cautions else []), *procedure_lines(calculator, language, how)]


def _step_lines(worked: Worked, steps: bool, language: Language, *, barred: bool) -> list[str]:
    title = worked.title if worked.step.title else said(worked.title, language)
    by = f" ({worked.step.calculator})" if worked.step.calculator else ""
    head = f"{language.text('Step')} {worked.step.number}: {title}{by}"
    if worked.error:
        told = [line for text in str(worked.error).splitlines() for line in wrap(text, "        ", "      ")]
        failed = f"  [x] {language.text('could not be worked out')}:"
        return [head, *(wrap(worked.step.note) if worked.step.note else []), failed, *told]
    if not worked.step.calculator:
        return [head, *(wrap(worked.step.note) if worked.step.note else [])]
    if worked.result is None and barred:
        return [head, f"  ! {language.text('barred until what comes first of all is settled')}"]
    if worked.result is None:
        told = _planned(worked.calculator, worked.step.inputs, language) if worked.calculator else []
        return [head, f"  {language.text('planned, not taken yet')}", *(f"  {line}".rstrip() for line in told)]
    result = worked.result
    lines = [
        head,
        *(wrap(worked.step.note) if worked.step.note else []),
        *_given(worked, result, language),
        *(f"  {line}" for line in warning_lines(result, language)),
        *output_lines(result, language, explain=steps),
    ]
    lines += verdict_lines(result, language) + finding_lines(result, language)
    if steps:
        from ..text import step_lines

        lines += step_lines(result, language)
    return lines + note_lines(result, language, explain=steps)
