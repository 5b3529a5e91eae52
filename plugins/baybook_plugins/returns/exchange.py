"""Hoses and cylinders exchanged between injectors: whether an excess is its injector's own, or the measuring gear's."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from baybook.api import Answer, Choice, Finding, Message, Question, Verdict

STAYED, MOVED = "stayed", "moved"
EXCHANGED = Choice(
    "where the excess was with hoses and cylinders exchanged",
    words={STAYED: "it stayed with its injector", MOVED: "it went with hose and cylinder"},
)
STAYS = "stays"


def stays(measures: str) -> Question:
    """That more comes from it whichever hose and cylinder it is collected with: nothing but the injector brings that about.

    A closer form of the question whether it returns too much, with its reach. common practice, no source
    """
    return Question({"{object}": 0.85}, 0.001, ("{object}",), sought=False, measures=measures)


ITS_OWN = "Injector {number}: {beyond}, whichever hose and cylinder it is collected with: the excess is the injector's own."
BENCH = Message("have this injector tested on a bench before another is fitted")
OF_THE_GEAR = "Injector {number}: {beyond}; the excess went with hose and cylinder: they are the cause, and no injector."
GEAR = Message("hoses and cylinders that are alike, free and dry; then collect again")


def answers(exchanged: str | None, judged: Sequence[Verdict]) -> Iterator[Answer]:
    """What the exchange says of each injector that is above its limit."""
    for number in dict.fromkeys(verdict.index for verdict in judged if verdict.way == "above" and exchanged):
        name = f"injector {number}"
        yield Answer(STAYS, 0.0, name, Message("stayed with the injector")) if exchanged == STAYED else Answer("", 0.5, name)


def finding(exchanged: str, number: int, beyond: Sequence[Message]) -> Finding:
    """What it says of one of them in words."""
    if exchanged == MOVED:
        return Finding(statement=Message(OF_THE_GEAR, number=number, beyond=list(beyond)), next_test=GEAR)
    return Finding(statement=Message(ITS_OWN, number=number, beyond=list(beyond)), strength="indicated", next_test=BENCH)
