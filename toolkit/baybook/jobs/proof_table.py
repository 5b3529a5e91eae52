"""What a report shows of repairs and odds: the test before and after each repair with its values, and the places' chances."""

from __future__ import annotations

from typing import Any

from ..message import Message, Word
from ..places.evidence import Evidence
from ..places.proof import Proof
from ..places.sentences import percent
from ..result import Verdict
from ..verdicts import value_of
from .evaluation import Outcome
from .messages import test

MOST = 12
"""Places whose chances a report lists."""
WORDS = {
    "proved": "proved", "still bad": "not mended", "undecided": "not decided", "not repeated": "not repeated yet",
}  # fmt: skip


def proof_rows(outcome: Outcome) -> list[dict[str, Any]]:
    """For each test that had shown what was repaired: the repair, the test, its values before and after, what that proves."""
    rows = [_row(outcome, proof) for proof in outcome.found.proofs]
    return [row for at, row in enumerate(rows) if row not in rows[:at]]  # (two questions of one test may tell one value)


def _row(outcome: Outcome, proof: Proof) -> dict[str, Any]:
    before = _worst(outcome, proof.before)
    same = before.output or before.what if before else ""
    return {
        "repair": Message(
            "{parts} (step {n})", parts=[Message.numbered(part) for part in proof.repair.parts], n=proof.repair.step
        ),
        "test": test(proof.before.test, proof.before.object),
        "before": _measured(outcome, proof.before, before),
        "after": _measured(outcome, proof.after, _worst(outcome, proof.after, same)) if proof.after else None,
        "word": Message.of(WORDS[proof.word]),
    }


def _worst(outcome: Outcome, item: Evidence, output: str = "") -> Verdict | None:
    """The step's verdict on the object that is least likely to conform; output: of that output alone."""
    step = next(worked for worked in outcome.steps if worked.step.number == item.step)
    verdicts = [v for v in (step.result.verdicts if step.result else ()) if v.probability is not None]
    own = [verdict for verdict in verdicts if _of(verdict, outcome, item) in ("", item.object)]
    same = [verdict for verdict in own if output in ("", verdict.output or verdict.what)]
    return min(same, key=lambda verdict: verdict.probability or 0.0, default=None)


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
