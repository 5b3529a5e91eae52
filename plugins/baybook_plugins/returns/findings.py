"""What a return balance says in words: the verdicts gathered, at which rail pressure, and what they leave open."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from baybook.api import Estimate, Finding, Reading, Verdict

REPEAT = (
    "engine stopped, rail at zero again, exchange hoses and cylinders of two injectors; collect again: the excess has to stay "
    "with the injector"
)
SHARED = (
    "make sure of what they share before the set is condemned: time, rail pressure and fuel of the limit's condition, and "
    "whether the data ask for a pressure in the return that open hoses do not have; measure the fuel's temperature; see "
    "whether the control bleeds the rail through the injectors (calculator regulator); then have the set tested on a bench"
)
LOW_NEXT = "look for a kinked, leaking or blocked return hose, then whether this injector is driven and works at all"
LONGER = "read a finer cylinder, or collect for longer where the engine runs, and judge again"
LARGER = "collect into larger cylinders, or for a shorter time, so that none runs over, and judge again"
OTHER_STAGES = (
    "test supply and generation, and whether the rail holds; for a complaint in another condition the returns are still open"
)
NEED_LIMIT = "find the limit in the maker's data for this running condition, and type it in with its source"
NEED_FLOW = (
    "find the limit of each injector's return flow in the maker's data, and type it in (flow_limit): a comparison does not "
    "see a fault that all injectors share"
)
ASK_PRESSURE = (
    "say at which rail pressure the returns were collected (rail_pressure): at a low one a leaking injector returns little"
)
RAISE_PRESSURE = (
    "find out why the rail pressure is low, feed pressure and flow first; collect the returns again at the pressure that the "
    "limit is given for"
)
COLLECT = "collect what was not measured"
PROVE_DELIVERY = "make sure of the pump's delivery in this condition; then find the injector whose return is beyond its limit"
CLEARED = (
    "At this rail pressure no injector's return is beyond the limit: in this condition no pressure is lost there. This says "
    "nothing about another condition, nor about what the injectors inject."
)
OPEN = "No injector's return is beyond the limit. This clears nothing: {}."
PRESSURE_UNSAID = "at which rail pressure they were collected was not said"
PRESSURE_LOW = "the rail stood at {} only, where a leak that pressure opens does not show"
NO_FLOW_LIMIT = "the flows were not compared with an upper limit"
ALL = "All measured injectors return more than the flow limit allows. Exchanging like for like would prove nothing."
PAIR = "The two injectors differ by more than the limit allows. Which of them is off is not shown."
DRY = (
    "Injector {} returned less than half of what the others did: the return is blocked, has slipped off or leaks elsewhere, or "
    "the injector does not work. What did not reach the cylinder was not judged."
)
EATEN = (
    "As good as all that the pump is said to deliver comes back through the injectors ({}): nothing is left to hold the "
    "rail's pressure."
)
FEW = (
    "A comparison cannot see a fault that most injectors share: compare the flows with an absolute limit, or their total with "
    "the pump's delivery, as well."
)
TWO = "With two injectors a comparison cannot tell which of them is off."
NOTHING = "Nothing that can be compared came from the injectors. Without a limit of the flow that has no verdict."
COARSE_SET = "What came from the injectors is too near zero for a comparison. Without a limit it has no verdict."
EQUAL = "The injectors do not differ by more than the readings' own errors would show (spread up to {} %)."
NOT_ALONE = "The injectors differ by more than their readings' errors (spread {}), but none stands out from all others."
NOT_TOLD = (
    "The injectors differ, but with a cylinder that ran over none stands out for certain. Without a limit it has no verdict."
)

# A rail that injects stands at some 200 to 400 bar at idle, and a starter has to bring it to some 100 to 200 bar before the
# engine can start. common practice, no source
LOW_RAIL = {"cranking": 100.0}
LOW_RAIL_RUNNING = 200.0


class Judged(NamedTuple):
    """A verdict, the injector's number, what was judged in words ("percent of median"), its size in words.

    high: whether it lies rather above the range than below.
    """

    verdict: Verdict
    number: int
    what: str
    size: str
    high: bool

    @property
    def name(self) -> str:
        """`injector 3, flow`."""
        return f"injector {self.number}, {self.what}"

    @property
    def outside(self) -> bool:
        """Whether it is beyond its limit."""
        return self.verdict.verdict == "outside"


class Circumstances(NamedTuple):
    """In which state of the engine was collected, at which rail pressure, and which injectors were not measured.

    dry: numbers of those far below the others; over: whether a cylinder ran over; share: of the pump's delivery, in %.
    """

    condition: str | None
    pressure: Reading | None
    missing: Sequence[int]
    dry: Sequence[int] = ()
    over: bool = False
    share: Estimate | None = None

    @property
    def low(self) -> bool:
        """Whether the rail pressure was low for this condition."""
        least = LOW_RAIL.get(self.condition or "", LOW_RAIL_RUNNING)
        return self.pressure is not None and self.pressure.number("bar") < least


def delivery(statement: str, strength: str, next_test: str) -> Finding:
    """A finding about the injectors' returns."""
    return Finding("delivery", "hydraulic", statement, strength, next_test)  # type: ignore[arg-type]  # (literals above)


def findings(judged: Sequence[Judged], seen: Circumstances) -> tuple[Finding, ...]:
    """Gather the verdicts into findings about delivery, hydraulic side."""
    found = _outside(judged)
    unsure = [item.name for item in judged if item.verdict.verdict == "undecided"]
    if unsure and seen.over:
        words = f"Not decided, a cylinder ran over: {', '.join(unsure)}."
        found.append(delivery(words, "undecided", LARGER))
    elif unsure:
        words = f"Not decided, the limit lies within the uncertainty: {', '.join(unsure)}."
        found.append(delivery(words, "undecided", LONGER))
    below = {item.number for item in judged if item.outside and not item.high}
    found += [delivery(DRY.format(number), "undecided", LOW_NEXT) for number in seen.dry if number not in below]
    return (*eaten(seen.share), *found) or (_none_beyond(judged, seen),)


def _outside(judged: Sequence[Judged]) -> list[Finding]:
    """One for each injector; one for all where none is left to compare with, or where two were only compared."""
    outside = [item for item in judged if item.outside]
    numbers = {item.number for item in judged}
    flows = {item.number for item in outside if item.what == "flow"}
    if len(numbers) == 2 and outside and not flows:
        return [delivery(PAIR, "indicated", f"{REPEAT}; {NEED_FLOW}")]
    if len(numbers) > 1 and flows == numbers and all(item.high for item in outside):
        return [delivery(ALL, "indicated", SHARED)]
    beyond: dict[tuple[int, bool], list[str]] = {}  # by injector and whether above: two rules broken are one finding
    for item in outside:
        words = f"{item.what} {item.size} is outside {item.verdict.range.show()}"
        beyond.setdefault((item.number, item.high), []).append(words)
    return [_beyond(number, high, words) for (number, high), words in beyond.items()]


def _beyond(number: int, high: bool, words: Sequence[str]) -> Finding:
    said = f"Injector {number}: {', '.join(words)}. "
    if high:
        said += "More fuel leaves through its return than it may; until hose and cylinder were exchanged they may be the cause."
    else:
        said += "It returns less than it should: the return is blocked or leaks elsewhere, or the injector does not work."
    return delivery(said, "indicated", REPEAT if high else LOW_NEXT)


def eaten(share: Estimate | None) -> tuple[Finding, ...]:
    """Whether the returns take all that the pump delivers."""
    if share is None or share.high < 100:
        return ()
    return (delivery(EATEN.format(share.show()), "indicated", PROVE_DELIVERY),)


def _none_beyond(judged: Sequence[Judged], seen: Circumstances) -> Finding:
    """No injector beyond the limit: that clears the returns of a whole set, by their flow, at a pressure that shows a leak."""
    why, tests = [], []
    if seen.pressure is None:
        why, tests = [PRESSURE_UNSAID], [ASK_PRESSURE]
    elif seen.low:
        why, tests = [PRESSURE_LOW.format(seen.pressure)], [RAISE_PRESSURE]
    if seen.missing:
        why.append(f"not measured: {', '.join(f'injector {number}' for number in seen.missing)}")
        tests.append(COLLECT)
    if not any(item.what == "flow" and item.verdict.range.high is not None for item in judged):
        why.append(NO_FLOW_LIMIT)
        tests.append(NEED_FLOW)
    if why:
        return delivery(OPEN.format("; ".join(why)), "undecided", "; ".join(tests))
    return delivery(CLEARED, "cleared", OTHER_STAGES)


def without_limit(
    spread: Estimate | None, noise: float | None, farthest: tuple[int, str, str] | None, count: int, seen: Circumstances
) -> tuple[Finding, ...]:
    """Say what stands out. farthest: number, of what, and how much, in words; None where none stands out."""
    tests = [NEED_LIMIT]
    if farthest is not None:
        number, of, size = farthest
        words = f"Injector {number} stands out{f' with {size}' if size else ''} of {of}. Without a limit it has no verdict."
        tests = [LOW_NEXT, NEED_LIMIT] if number in seen.dry else tests
    elif seen.over:
        words, tests = NOT_TOLD, [LARGER, NEED_LIMIT]
    elif noise is None or spread is None:
        words = NOTHING if noise is None else COARSE_SET
    elif spread.value <= noise:
        words = EQUAL.format(f"{float(f'{noise:.2g}'):g}")
    elif count == 2:
        words = f"The two injectors differ by {spread.show()} of their mean. Which of them is off is not shown."
    else:
        words = NOT_ALONE.format(spread.show())
    return (*eaten(seen.share), delivery(words, "undecided", "; ".join(tests)))
