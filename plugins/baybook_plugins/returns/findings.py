"""What a return balance says in words: the verdicts gathered, at which rail pressure, and what they leave open."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

from baybook.api import Finding, Message, Reading, Verdict, Word, joined

from . import exchange
from .collection import Collection
from .states import AT_REST, CLEARED, CLEARED_IN, OTHER_STAGES, low_rail

REPEAT = Message(
    "rail seen to fall to zero again, key off, waited: exchange hoses and cylinders of two injectors; collect again, and "
    "say whether the excess stayed with the injector or went with them (exchanged)"
)
SHARED = Message(
    "make sure of what they share before the set is condemned: time, rail pressure and fuel of the limit's condition, and "
    "whether the data ask for a pressure in the return that open hoses do not have; measure the fuel's temperature; see "
    "whether the control bleeds the rail through the injectors (calculator regulator); then have the set tested on a bench"
)
LOW_NEXT = Message(
    "look for a kinked, leaking or blocked return hose; then whether this injector is driven and works at all: its quantity "
    "correction, its coil, its current"
)
LONGER = Message("read a finer cylinder, or collect for longer where the engine runs, and judge again")
LARGER = Message("collect into larger cylinders, or for a shorter time, so that none runs over, and judge again")
NEED_LIMIT = Message("find the limit in the maker's data for this running condition, and type it in with its source")
NEED_FLOW = Message(
    "find the limit of each injector's return flow in the maker's data, and type it in (flow_limit): a comparison does not "
    "see a fault that all injectors share"
)
ASK_PRESSURE = Message(
    "say at which rail pressure the returns were collected (rail_pressure): at a low one a leaking injector returns little"
)
RAISE_PRESSURE = Message(
    "find out why the rail pressure is low, feed pressure and flow first; collect the returns again at the pressure that the "
    "limit is given for"
)
COLLECT = Message("collect what was not measured")
PROVE_DELIVERY = Message(
    "make sure of the pump's delivery in this condition; then find the injector whose return is beyond its limit"
)
ABOVE = (
    "Injector {number}: {beyond}. More fuel leaves through its return than it may; until hose and cylinder were exchanged they "
    "may be the cause."
)
BELOW = (
    "Injector {number}: {beyond}. It returns less than it should: the return is blocked or leaks elsewhere, or the injector "
    "does not work."
)
PRESSURE_LOW = "the rail stood at {pressure} only, where a leak that pressure opens does not show"
OF_OTHERS = "Injector {number} stands out with {size} of what the others returned. Without a limit it has no verdict."
OF_MEAN = "Injector {number} stands out with {size} of the mean of all. Without a limit it has no verdict."
ALL = Message("All measured injectors return more than the flow limit allows. Exchanging like for like would prove nothing.")
PAIR = Message("The two injectors differ by more than the limit allows. Which of them is off is not shown.")
EATEN = (
    "As good as all that the pump is said to deliver comes back through the injectors ({share}): nothing is left to hold the "
    "rail's pressure."
)
OVER = Message("With a cylinder that ran over none stands out for certain. Without a limit it has no verdict.")
NOTHING = Message("Nothing that can be compared came from the injectors. Without a limit of the flow that has no verdict.")
NEAR_NOTHING = Message("What came from the injectors is too near zero for a comparison. Without a limit it has no verdict.")
EQUAL = "The injectors do not differ by more than the readings' own errors would show (spread up to {noise} %)."
TWO_DIFFER = "The two injectors differ by {spread} of their mean. Which of them is off is not shown."
ALL_DIFFER = "The injectors differ by more than their readings' errors (spread {spread}), but none stands out from all others."
DRY = (
    "Injector {number} returned less than half of what the others did: the return is blocked, has slipped off or leaks "
    "elsewhere, or the injector does not work. What did not reach the cylinder was not judged."
)


class Circumstances(NamedTuple):
    """In which state of the engine was collected, at which rail pressure, and which injectors were not measured; with
    hoses and cylinders exchanged, whether the excess stayed."""

    condition: str | None
    pressure: Reading | None
    missing: Sequence[int]
    exchanged: str | None = None

    @property
    def low(self) -> bool:
        """Whether the rail pressure was low for this condition."""
        return low_rail(self.condition, self.pressure)

    @property
    def working(self) -> bool:
        """Whether the injectors were driven."""
        return self.condition != AT_REST


def missing(volumes: Sequence[Reading | None]) -> list[int]:
    """The numbers of the injectors that were not measured."""
    return [number for number, volume in enumerate(volumes, 1) if volume is None]


def injectors(numbers: Iterable[int]) -> list[Message]:
    """`injector 1`, `injector 3`."""
    return [Message("injector {number}", number=number) for number in numbers]


def findings(taken: Collection, judged: Sequence[Verdict], seen: Circumstances, place: int | None) -> tuple[Finding, ...]:
    """What limits say, or without any what stands out; place: of the injector that does."""
    found = [*eaten(taken)]
    found += [*_outside(judged, seen.exchanged), *_unsure(taken, judged)] if judged else [_without_limit(taken, place)]
    above, below = ({verdict.index for verdict in judged if verdict.way == way} for way in ("above", "below"))
    for number in [number for number in taken.dry(above) if judged and number not in below]:
        found.append(Finding(statement=Message(DRY, number=number), strength="indicated", next_test=LOW_NEXT))
    return tuple(found) or (_none_beyond(judged, seen),)


def eaten(taken: Collection) -> Iterator[Finding]:
    """Whether the returns take all that the pump delivers."""
    share = taken.outputs.get("share_of_delivery")
    if share and share.high >= 100:
        yield Finding(statement=Message(EATEN, share=share), strength="indicated", next_test=PROVE_DELIVERY)


def _outside(judged: Sequence[Verdict], exchanged: str | None) -> Iterator[Finding]:
    """One for each injector; one for all where none is left to compare with, or where two were only compared."""
    outside = [verdict for verdict in judged if verdict.way]
    numbers = {verdict.index for verdict in judged}
    flows = {verdict.index for verdict in outside if verdict.what == "flow"}
    if len(numbers) == 2 and outside and not flows:
        yield Finding(statement=PAIR, strength="indicated", next_test=joined([REPEAT, NEED_FLOW]))
        return
    if len(numbers) > 1 and flows == numbers and all(verdict.way == "above" for verdict in outside):
        yield Finding(statement=ALL, strength="indicated", next_test=SHARED)
        return
    for number, way in dict.fromkeys((verdict.index, verdict.way) for verdict in outside):  # two rules broken are one finding
        beyond, high = [_beyond(v) for v in outside if (v.index, v.way) == (number, way)], way == "above"
        if high and exchanged:
            yield exchange.finding(exchanged, number or 0, beyond)
            continue
        said = Message(ABOVE if high else BELOW, number=number or 0, beyond=beyond)
        yield Finding(statement=said, strength="indicated", next_test=REPEAT if high else LOW_NEXT)


def _beyond(verdict: Verdict) -> Message:
    what, limit = Word(verdict.what), verdict.range
    if verdict.bound and verdict.bound.arguments:
        return Message("{what} of {size} is outside {limit}", what=what, size=verdict.bound, limit=limit)
    return Message("{what} {size} is outside {limit}", what=what, size=verdict.bound or verdict.measured or "", limit=limit)


def _unsure(taken: Collection, judged: Sequence[Verdict]) -> Iterator[Finding]:
    """What neither lies within nor outside, in one finding."""
    unsure = [
        Message("injector {number}, {what}", number=verdict.index or 0, what=Word(verdict.what))
        for verdict in judged
        if verdict.verdict == "undecided"
    ]
    if unsure and any(taken.over):
        yield Finding(statement=Message("Not decided, a cylinder ran over: {unsure}.", unsure=unsure), next_test=LARGER)
    elif unsure:
        words = Message("Not decided, the limit lies within the uncertainty: {unsure}.", unsure=unsure)
        yield Finding(statement=words, next_test=LONGER)


def _none_beyond(judged: Sequence[Verdict], seen: Circumstances) -> Finding:
    """No injector beyond the limit: that clears the returns of a whole set, by their flow, at a pressure that shows a leak."""
    open_ = []
    if seen.pressure is None:
        open_.append((Message("at which rail pressure they were collected was not said"), ASK_PRESSURE))
    elif seen.low:
        open_.append((Message(PRESSURE_LOW, pressure=seen.pressure), RAISE_PRESSURE))
    if seen.missing:
        open_.append((Message("not measured: {missing}", missing=injectors(seen.missing)), COLLECT))
    if not any(verdict.what == "flow" and verdict.range.high is not None for verdict in judged):
        open_.append((Message("the flows were not compared with an upper limit"), NEED_FLOW))
    if not open_:
        cleared, after = CLEARED_IN.get(seen.condition or "", (CLEARED, OTHER_STAGES))
        return Finding(statement=cleared, strength="cleared", next_test=after)
    why, tests = zip(*open_, strict=True)
    said = Message("No injector's return is beyond the limit. This clears nothing: {why}.", why=joined(why))
    return Finding(statement=said, next_test=joined(tests))


def _without_limit(taken: Collection, place: int | None) -> Finding:
    if place is not None and len(taken.cups) > 2:
        number = taken.cups[place].number
        tests = [LOW_NEXT, NEED_LIMIT] if number in taken.dry() else [NEED_LIMIT]
        return Finding(statement=_standing_out(taken, number), next_test=joined(tests))
    if any(taken.over):
        return Finding(statement=OVER, next_test=joined([LARGER, NEED_LIMIT]))
    return Finding(statement=_not_standing_out(taken), next_test=NEED_LIMIT, at_desk=True)


def _not_standing_out(taken: Collection) -> Message:
    if taken.noise is None:
        return NOTHING
    if not taken.tells("percent_of_mean"):
        return NEAR_NOTHING
    spread = taken.outputs["spread"].estimate()
    if spread.value <= taken.noise:
        return Message(EQUAL, noise=float(f"{taken.noise:.2g}"))
    return Message(TWO_DIFFER if len(taken.cups) == 2 else ALL_DIFFER, spread=spread)


def _standing_out(taken: Collection, number: int) -> Message:
    if size := taken.of_others(number):
        return Message(OF_OTHERS, number=number, size=size)
    if of_mean := taken.of("percent_of_mean", number):
        return Message(OF_MEAN, number=number, size=of_mean)
    return Message("Injector {number} stands out of all. Without a limit it has no verdict.", number=number)


def standing_out(taken: Collection, judged: Sequence[Verdict]) -> tuple[str, int | None]:
    """The injectors that stand out, in words, and the place of the farthest; ("none", None) where nothing does.

    With limits they are those beyond one, and what a cylinder that ran over leaves undecided; without, the one that the
    readings tell from all others.
    """
    if judged:
        return _beyond_limits(taken, judged)
    if len(taken.cups) < 2 or not taken.differ:
        return "none", None
    if len(taken.cups) == 2 and not any(taken.over):
        return "one of the two", None
    place, alone = taken.farthest()
    alone = alone and (taken.working or taken.values[place] > min(taken.values))
    return (injectors([taken.cups[place].number])[0], place) if alone else ("none", None)


def _beyond_limits(taken: Collection, judged: Sequence[Verdict]) -> tuple[str, int | None]:
    outside = {verdict.index for verdict in judged if verdict.way}
    undecided = {verdict.index for verdict in judged if verdict.verdict == "undecided"} - outside
    unknown = [cup.number for cup in taken.cups if cup.over and cup.number in undecided]
    above = {verdict.index for verdict in judged if verdict.way == "above"}
    words = [Message("injector {number} undecided", number=number) for number in unknown]
    words += [Message("injector {number} far below the others", number=n) for n in taken.dry(above) if n not in outside]
    places = [place for place, cup in enumerate(taken.cups) if cup.number in outside]
    if not places:
        return joined(words) if words else "none", None
    place, _ = taken.farthest(places)
    if len(taken.cups) == 2 and not any(verdict.way and verdict.what == "flow" for verdict in judged):
        return "one of the two", place
    if 1 < len(places) == len(taken.cups):
        return "all injectors", place
    numbers = [taken.cups[place].number for place in places]
    first = injectors(numbers)[0] if len(numbers) == 1 else Message("injectors {numbers}", numbers=numbers)
    return joined([first, *words]), place
