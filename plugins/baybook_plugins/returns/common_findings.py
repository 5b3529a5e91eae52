"""What a common return says: all injectors together, and what the working of each adds to it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from baybook.api import Finding, Message, Verdict, Word, joined

from .findings import ASK_PRESSURE, NEED_LIMIT, PRESSURE_LOW, RAISE_PRESSURE, Circumstances, injectors
from .shares import Shares

ABOVE = (
    "Injector {number}: {beyond}. Its working alone returns more than it may: a control valve that opens too far or too long, "
    "wear that shows while it works, or a drive that is too long. What leaks from it at rest is not in this number."
)
DEAD = (
    "Injector {number}: shutting it off takes away {share}, next to nothing beside the others. It was not working before, or "
    "the shut-off did not reach it; of a leak at rest this says nothing."
)
DROWNED = (
    "The shares of {numbers} drown in the two readings that they are the difference of: not told from nothing, and not judged "
    "by being small."
)
UNSURE = "Not decided, the limit lies within the uncertainty: {unsure}."
TOTAL_ABOVE = (
    "All injectors together return {total}, outside {limit}: the set loses pressure there. Which injector it is, the shares "
    "say only of what its working adds; a leak at rest stays, whichever is shut off."
)
TOTAL_BELOW = "All injectors together return {total}, outside {limit}: less than they should."
TOTAL_UNSURE = "All injectors together return {total}, too uncertain to be judged against {limit}."
CLEARED = (
    "All injectors together return {total}, within {limit}, at this rail pressure: in this condition no pressure is lost "
    "through them. This says nothing about another condition, nor about what the injectors inject."
)
NOT_CLEARED = "All injectors together return {total}, within {limit}. This clears nothing: {why}."
EVEN = Message(
    "No injector's working returns more than it may. A leak at rest stays in every reading and is not cleared, and is not told "
    "apart."
)
REST = (
    "{rest} of {total} stays, whichever is shut off: most of it is not what the injectors' working adds, but a leak at rest of "
    "one or several, or another part that returns into the same hose."
)
STANDS_OUT = (
    "Injector {number} stands out: its working alone returns {share}, by far not what that of the others does. Without a limit "
    "it has no verdict."
)
NONE_STANDS_OUT = Message("No injector's working stands out from all others. Without a limit it has no verdict.")
ONLY_TOTAL = "All injectors together return {total}. Without a limit it has no verdict."
NEXT_ABOVE = Message(
    "its current beside that of the others (calculator drive); repeat with another injector first, to see that the order does "
    "not matter; then the bench"
)
NEXT_DEAD = Message(
    "did the engine run differently when it was shut off? If not: its coil (calculator coil), wiring (calculator drop), "
    "current (calculator drive)"
)
LONGER = Message(
    "collect for longer, time it closer, weigh the fuel or read a finer cylinder; take all working at the beginning and at the "
    "end"
)
NEXT_TOTAL = Message(
    "fuel temperature, rail pressure and condition of the limit; does the control bleed through the injectors (calculator "
    "regulator)? Then part the returns where the data allow it (calculator static-return), else the set on a bench"
)
NEXT_ONE_OFF = Message("shut off one injector at a time and collect again (without): whose working adds most?")
NEXT_REST = Message(
    "follow the hose by eye: do injectors alone return into it? Then the common return at rest (condition static), and the "
    "shut rail (calculator hold)"
)
NEXT_LOW = Message("is the return open as far as the cylinder, and are all injectors driven? Then collect again")
NEXT_EVEN = Message("the limit of all together (total_limit); then the leak at rest: the shut rail (calculator hold)")
NEXT_OTHER = Message(
    "supply, generation, the outlet valve's own return (calculator return-parts), the shut rail (calculator hold); in another "
    "condition the returns are still open"
)


MOST = 0.5
"""Of the total: what stays whichever is shut off is then the greater part. common practice, no source"""


def findings(
    taken: Shares, total: Sequence[Verdict], judged: Sequence[Verdict], seen: Circumstances, place: int | None
) -> Iterator[Finding]:
    """First what a share says, then all together. total, judged: verdicts on all together and on the shares."""
    dead = taken.dry({verdict.index for verdict in judged if verdict.way == "above"})
    yield from _beyond(taken, judged, dead)
    drowned = [number for number in taken.drowned() if number not in dead]
    if drowned:
        yield Finding(statement=Message(DROWNED, numbers=injectors(drowned)), next_test=LONGER)
    rest, whole = taken.outputs.get("rest"), taken.outputs["total"].estimate()
    if rest is not None and rest.estimate().low > MOST * whole.high:
        yield Finding(statement=Message(REST, rest=rest.estimate(), total=whole), next_test=NEXT_REST)
    yield from (_of_total(verdict, seen, shared=bool(taken.without)) for verdict in total)
    outside = any(verdict.way for verdict in judged)
    if judged and not outside and not dead and all(verdict.verdict == "within" for verdict in judged):
        yield Finding(statement=EVEN, next_test=NEXT_EVEN)
    if taken.without and not judged and not dead:
        yield _without_limit(taken, place)
    elif not taken.without and not total:
        yield Finding(
            statement=Message(ONLY_TOTAL, total=taken.outputs["total"].estimate()), next_test=NEED_LIMIT, at_desk=True
        )


def _beyond(taken: Shares, judged: Sequence[Verdict], dead: Sequence[int]) -> Iterator[Finding]:
    for number in dict.fromkeys(v.index or 0 for v in judged if v.way == "above"):
        beyond = [_told(v) for v in judged if v.way == "above" and v.index == number]
        yield Finding(statement=Message(ABOVE, number=number, beyond=beyond), strength="indicated", next_test=NEXT_ABOVE)
    low = [v.index or 0 for v in judged if v.way == "below"]
    for number in sorted({*dead, *low}):
        share = taken.outputs["share"][number - 1].estimate()
        yield Finding(statement=Message(DEAD, number=number, share=share), strength="indicated", next_test=NEXT_DEAD)
    unsure = [
        Message("injector {number}, {what}", number=v.index or 0, what=Word(v.what))
        for v in judged if v.verdict == "undecided" and v.index not in dead
    ]  # fmt: skip
    if unsure:
        yield Finding(statement=Message(UNSURE, unsure=unsure), next_test=LONGER)


def _told(verdict: Verdict) -> Message:
    what, size = Word(verdict.what), verdict.bound or verdict.measured or ""
    return Message("{what} {size} is outside {limit}", what=what, size=size, limit=verdict.range)


def _of_total(verdict: Verdict, seen: Circumstances, *, shared: bool) -> Finding:
    told = {"total": verdict.measured or "", "limit": verdict.range}
    if verdict.way:
        more = NEXT_TOTAL if shared or not seen.working else NEXT_ONE_OFF
        text, after = (TOTAL_ABOVE, more) if verdict.way == "above" else (TOTAL_BELOW, NEXT_LOW)
        return Finding(statement=Message(text, **told), strength="indicated", next_test=after)
    if verdict.verdict == "undecided":
        return Finding(statement=Message(TOTAL_UNSURE, **told), next_test=LONGER)
    open_ = []
    if seen.pressure is None:
        open_.append((Message("at which rail pressure they were collected was not said"), ASK_PRESSURE))
    elif seen.low:
        open_.append((Message(PRESSURE_LOW, pressure=seen.pressure), RAISE_PRESSURE))
    if verdict.range.high is None:
        open_.append((Message("the flows were not compared with an upper limit"), NEED_LIMIT))
    if not open_:
        return Finding(statement=Message(CLEARED, **told), strength="cleared", next_test=NEXT_OTHER)
    why, tests = zip(*open_, strict=True)
    return Finding(statement=Message(NOT_CLEARED, why=joined(why), **told), next_test=joined(tests))


def _without_limit(taken: Shares, place: int | None) -> Finding:
    if place is None:
        return Finding(statement=NONE_STANDS_OUT, next_test=NEED_LIMIT, at_desk=True)
    number = taken.cups[place].number
    share = taken.outputs["share"][number - 1].estimate()
    return Finding(statement=Message(STANDS_OUT, number=number, share=share), next_test=NEED_LIMIT, at_desk=True)
