"""A return balance worked out, in whichever state of the engine its injectors returned."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from baybook.api import Reading, Result, SpecRange, judge_each

from . import exchange
from .answers import answers
from .collection import Collection
from .findings import Circumstances, findings, standing_out
from .notes import background, notes, plot, steps

Limits = Mapping[str, SpecRange | None]
"""By the output that it judges, each limit that may have been given."""


def balanced(
    taken: Collection, volumes: Sequence[Reading | None], limits: Limits, seen: Circumstances, division: Reading | None
) -> Result:
    """The result of a collection: what stands out, verdicts, findings and what they say to the questions of the test."""
    judged = [verdict for name, limit in limits.items() if limit for verdict in judge_each(name, taken.outputs[name], limit)]
    word, place = standing_out(taken, judged)
    outputs: dict[str, Any] = {"stands_out": word, **taken.outputs}
    return Result(
        outputs=outputs,
        verdicts=tuple(judged),
        findings=findings(taken, judged, seen, place),
        notes=tuple(notes(taken, judged, division, seen)),
        background=tuple(background(taken)),
        steps=tuple(steps(volumes, taken, place or 0)),
        plots=(plot(taken, limits.get("flow")),),
        met={} if seen.pressure is None else {"pressure": not seen.low},
        answers=(*answers(taken, judged), *exchange.answers(seen.exchanged, judged)),
    )
