"""A duty that a meter may have counted the other way round: what follows from the readings then. Common practice, no source."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from baybook.api import Draws, Estimate, Finding, Message, Reading, Verdict, Word
from baybook.dataclass import replace

from .currents import resistances

TURNED = (
    "{what} of {value} is outside {limit}; but where the meter counted the other part of the period, the coil is on for {duty} "
    "and it is {other}, which fits. Nothing is indicated until that is settled."
)
SETTLE = Message(
    "look at the switched wire with an oscilloscope, on leads fitted with the key off, or read the duty asked for in live "
    "data; then type the time on as duty, with duty_seen"
)


def other_way(
    found: Mapping[str, Estimate], supply: Reading | None, diode: Reading | None, temperature: Reading | None
) -> dict[str, Estimate]:
    """Duty and resistances where the meter counted the other part of the period."""
    duty = found["duty"].to("%")
    turned = {"duty": Estimate.of(100.0 - duty.value, "%", duty.u, kind="ratio", at_least=0.0)}
    worked = resistances({**found, **turned}, supply, diode, temperature)
    return turned | {name: one.estimate() if isinstance(one, Draws) else one for name, one in worked.items()}


def settled(verdicts: Iterable[Verdict], other: Mapping[str, Estimate]) -> tuple[tuple[Verdict, ...], tuple[Finding, ...]]:
    """The verdicts, of which one that the other part of the period would turn round decides nothing, and what is said of it."""
    kept, said = [], []
    for verdict in verdicts:
        if verdict.way and verdict.what in other and _fits(other[verdict.what], verdict):
            told = {"value": verdict.measured or "", "limit": verdict.range, "other": other[verdict.what]}
            statement = Message(TURNED, what=Word(verdict.what), duty=other["duty"], **told)
            said.append(Finding(statement=statement, next_test=SETTLE))
            verdict = replace(verdict, verdict="undecided", probability=None, way="")
        kept.append(verdict)
    return tuple(kept), tuple(said)


def _fits(value: Estimate, verdict: Verdict) -> bool:
    """Whether its best value lies in the range of the verdict."""
    limits = verdict.range.to(value.unit.symbol)
    return (limits.low is None or value.value >= limits.low) and (limits.high is None or value.value <= limits.high)
