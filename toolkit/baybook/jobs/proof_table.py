"""What a report shows of repairs and odds: the test before and after each repair with its values, and the places' chances."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from ..message import Message, Word
from ..places.evidence import Evidence
from ..places.proof import Proof
from ..places.sentences import percent
from ..result import Verdict
from ..verdicts import value_of
from .evaluation import Outcome
from .messages import test

if TYPE_CHECKING:
    from ..message import Argument

MOST = 12
"""Places whose chances a report lists."""
WORDS = {
    "proved": "proved", "still bad": "still outside", "undecided": "not decided",
    "not repeated": "not shown by a repeated test", "judged otherwise": "judged by another limit",
    "moved": "outside on another now",
}  # fmt: skip


def proof_rows(outcome: Outcome) -> list[dict[str, Any]]:
    """For each test that had shown what was repaired: the repair, the test, its values before and after, what that proves.

    What was not repeated stands there only for a repair that nothing repeated shows.
    """
    proofs = outcome.found.proofs
    shown = {proof.repair.step for proof in proofs if proof.after is not None}
    rows = [_row(outcome, proof) for proof in proofs if proof.after is not None or proof.repair.step not in shown]
    return [row for at, row in enumerate(rows) if row not in rows[:at]]  # (two questions of one test may tell one value)


def _row(outcome: Outcome, proof: Proof) -> dict[str, Any]:
    before, after = _same_reading(outcome, proof)
    what = before or after
    named = what is not None and isinstance(what.what, Message)  # (the reading of an object names it)
    name = test(proof.before.test, "" if named else proof.before.object)
    return {
        "repair": Message(
            "{parts} (step {n})", parts=[Message.numbered(part) for part in proof.repair.parts], n=proof.repair.step
        ),
        "test": Message("{test}: {what}", test=name, what=_named(what)) if what else name,
        "before": _measured(outcome, proof.before, before),
        "after": _measured(outcome, proof.after, after) if proof.after else None,
        "word": Message.of(WORDS[proof.word]),
    }


def _named(verdict: Verdict) -> Argument:
    return verdict.what if isinstance(verdict.what, Message) else Word(verdict.output or verdict.what)


def _same_reading(outcome: Outcome, proof: Proof) -> tuple[Verdict | None, Verdict | None]:
    """The verdicts before and after the repair on one reading: the one that is the worst where the test still is bad."""
    asked = {item.question for item in (proof.before, proof.after) if item}
    before = _verdicts(outcome, proof.before, asked)
    after = _verdicts(outcome, proof.after, asked) if proof.after else {}
    both = before.keys() & after.keys() if proof.after else before.keys()
    judged_by = after if proof.after and proof.after.bad else before
    worst = min((name for name in judged_by if name in both), key=lambda name: judged_by[name].probability or 0.0, default="")
    return before.get(worst), after.get(worst)


def _verdicts(outcome: Outcome, item: Evidence, questions: set[str]) -> dict[str, Verdict]:
    """The step's verdicts on the object, by the reading that they are on: where a question names readings, of those alone."""
    step = next(worked for worked in outcome.steps if worked.step.number == item.step)
    verdicts = [v for v in (step.result.verdicts if step.result else ()) if v.probability is not None]
    own = [verdict for verdict in verdicts if _of(verdict, outcome, item) in ("", item.object)]
    named = {question.removesuffix(" low").removesuffix(" high") for question in questions}
    asked = [verdict for verdict in own if not named.isdisjoint((verdict.output, verdict.what))]
    found: dict[str, Verdict] = {}
    for verdict in sorted(asked or own, key=lambda verdict: verdict.probability or 0.0):
        found.setdefault(str(verdict.output or verdict.what), verdict)
    return found


def _measured(outcome: Outcome, item: Evidence, told: Verdict | None) -> Message:
    """What the step measured there, against which range, as its verdict says; the words of the evidence where it has none."""
    step = next(worked for worked in outcome.steps if worked.step.number == item.step)
    value = value_of(told, step.result.outputs) if told and step.result else None
    if told is None or value is None:
        return Message("{said} (step {n})", said=Message.of(item.said), n=item.step)
    return Message(
        "{value} against {range}: {verdict} (step {n})", value=value, range=told.range, verdict=Word(told.verdict, "verdict"),
        n=item.step,
    )  # fmt: skip


def _of(verdict: Verdict, outcome: Outcome, item: Evidence) -> str:
    """The numbered part that a verdict of a vector is on."""
    step = next(worked for worked in outcome.steps if worked.step.number == item.step)
    each = step.result.each.get(verdict.output, "") if step.result else ""
    return f"{each} {verdict.index}" if each and verdict.index else ""


def odds_rows(outcome: Outcome) -> list[dict[str, Any]]:
    """The likeliest places with chance, word and the steps that looked at them; none where no test is in the odds."""
    if not any(standing.steps for standing in outcome.found.standings):
        return []
    return [
        {
            "place": Message.numbered(s.place.label), "stage": s.place.stage, "side": s.place.side, "word": s.word,
            "chance": Message.of(percent(s.chance)), "steps": list(s.steps),
        }
        for s in outcome.found.standings[:MOST]
    ]  # fmt: skip
