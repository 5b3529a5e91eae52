"""What a job says has to be done before anything else: in a line, on the cards filled from it, and of planned steps."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from ..cards.data import Stop
from ..declare import Calculator
from ..message import Message, joined
from ..places.halt import Halted
from ..places.need import NEVERS, NOTHING_ELSE
from ..places.sense import Senses
from ..placing import NAMED, NO_PROOF
from .offered import offered_tests
from .worked import Worked

CORE = "baybook"
CALLED = "{reason} ({how}, job step {n})."
CALLED_BY = "{reason} ({how}, job steps {n})."
DOUBT = "Rail reading not to be trusted: it cannot prove zero."
BARRED = "{test} [barred until what comes first of all is settled]"


def stops_of(halts: Sequence[Halted], steps: Sequence[Worked], *, zero_doubted: bool) -> tuple[Stop, ...]:
    """What comes before any further test in this job, because hands or engine are in danger: each reason once, and at the end
    of the last what is forbidden meanwhile."""
    packages = {worked.step.number: worked.calculator.package for worked in steps if worked.calculator}
    found = [Stop(called(of, steps), of[0].halt.first, catalogue=packages.get(of[0].step, CORE)) for of in by_reason(halts)]
    if found:
        found[-1] = replace(found[-1], never=joined(nevers(halts), " "))
    return (*found, *([Stop(Message.of(DOUBT), NO_PROOF)] if zero_doubted else []))


def by_reason(halts: Iterable[Halted]) -> list[list[Halted]]:
    """The halts, those together that have one reason."""
    found: dict[str, list[Halted]] = {}
    for each in halts:
        found.setdefault(each.halt.reason or each.halt.first, []).append(each)
    return list(found.values())


def called(of: Sequence[Halted], steps: Iterable[Worked]) -> Message:
    """The reason of halts, how it was found and in which steps: "Fuel under pressure escapes (seen, job step 5)."."""
    numbers = sorted({each.step for each in of})
    seen = any(w.step.number in numbers and only_seen(w) for w in steps)
    how = "suspected" if all(each.suspected for each in of) else "seen" if seen else "found"
    reason = Message.of(of[0].halt.reason or of[0].halt.first)
    return Message(CALLED if len(numbers) == 1 else CALLED_BY, reason=reason, how=Message.of(how), n=numbers)


def only_seen(worked: Worked) -> bool:
    """Whether it is one of many tests of a calculator and judged no number, as what was seen is."""
    many = worked.calculator is not None and isinstance(worked.calculator.sense, Senses)
    return many and worked.result is not None and not worked.result.verdicts


def nevers(halts: Iterable[Halted]) -> list[str]:
    """What is forbidden meanwhile, without what a worse one says already."""
    said = {each.halt.never for each in halts}
    worst = next((never for never in NEVERS if never in said), "")
    return list(dict.fromkeys(never for never in (worst, NOTHING_ELSE) if never in said))


def is_barred(calculator: Calculator | None, halts: Iterable[Halted]) -> bool:
    """Whether a calculator's test has to wait for what comes first of all; of one that is many tests nothing is known yet."""
    sense = calculator.sense if calculator else None
    every = any(not each.halt.engine for each in halts)
    return every if sense is None or isinstance(sense, Senses) else any(each.withholds(sense) for each in halts)


def marked(asked: str, halts: Sequence[Halted]) -> Message:
    """What a finding asks for, marked as barred where a test that it names has to wait."""
    named = [offered_tests()[name].calculator for name in NAMED.findall(asked) if name in offered_tests()]
    return Message(BARRED, test=Message.of(asked)) if any(is_barred(each, halts) for each in named) else Message.of(asked)
