"""What a return balance says of each injector beside its limits: far below the others, or far above them without a limit."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from baybook.api import Answer, Message, Question, Verdict

from .collection import Collection

FAR_ABOVE = 300.0
"""In % of the others' median: more than that needs no limit to speak against an injector. common practice, no source"""
SURE = 0.95
DRY = Question(
    {"{object}": 0.35, "{object} coil": 0.7, "{object} wiring": 0.7, "injector driver": 0.15}, off_map=0.1, sought=False
)
"""That next to nothing comes out of it, as of one that is not driven. common practice, no source"""
LOW = Message("far below the others")
HIGH = Message("far above the others")
ALIKE = Message("not far below the others")


def answers(taken: Collection, judged: Sequence[Verdict]) -> Iterator[Answer]:
    """To the questions that limits leave open.

    What returns far too little is not cleared of returning too much: it may not work at all. Where nothing was judged, only
    what is far above the others speaks; at rest not even that, where others let through next to nothing.
    """
    above, below = ({verdict.index for verdict in judged if verdict.way == way} for way in ("above", "below"))
    dry = {*taken.dry(above), *(below if taken.working else ())}
    judged_low = {verdict.index for verdict in judged if verdict.range.low is not None}
    compared = len(taken.cups) > 2 and "percent_of_median" in taken.percentages
    for place, cup in enumerate(taken.cups):
        name = f"injector {cup.number}"
        if cup.number in dry:
            yield Answer("dry", 1.0 - SURE, name, LOW)
            yield Answer("", 0.5, name, LOW)
        elif taken.working and compared and cup.number not in judged_low and cup.number not in above and not any(taken.over):
            yield Answer("dry", SURE, name, ALIKE)
        if (
            taken.working
            and not judged
            and compared
            and 1.0 - taken.percentages["percent_of_median"][place].below(FAR_ABOVE) >= SURE
        ):
            yield Answer("", 1.0 - SURE, name, HIGH)
