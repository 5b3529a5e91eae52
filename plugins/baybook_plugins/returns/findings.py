"""What a return balance says in words: the verdicts gathered, at which rail pressure, and what they leave open."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from baybook.api import Estimate, Finding, Reading, Verdict

REPEAT = (
    "engine stopped, rail at zero again, exchange hoses and cylinders of two injectors; collect again: the excess has to stay "
    "with the injector"
)
LOW_NEXT = "look for a kinked, leaking or blocked return hose, then whether this injector is driven and works at all"
LONGER = "read a finer cylinder, or collect for longer where the engine runs, and judge again"
OTHER_STAGES = "returns do not explain the complaint: test supply and generation, and whether the rail holds (calculator hold)"
NEED_LIMIT = "find the limit in the maker's data for this running condition, and type it in with its source"
ASK_PRESSURE = (
    "say at which rail pressure the returns were collected (rail_pressure): at a low one a leaking injector returns little"
)
RAISE_PRESSURE = (
    "find out why the rail pressure is low, feed pressure and flow first; collect the returns again at the pressure that the "
    "limit is given for"
)
COLLECT = "collect what was not measured"
PRESSURE_UNSAID = "At which rail pressure they were collected was not said, so this clears nothing."
FEW = (
    "A comparison cannot see a fault that most injectors share: compare the flows with an absolute limit, or their total with "
    "the pump's delivery, as well."
)
TWO = "With two injectors a comparison cannot tell which of them is off."
NOTHING = "Nothing that can be compared came from the injectors. Without a limit of the flow that has no verdict."
COARSE_SET = "What came from the injectors is too near zero for a comparison. Without a limit it has no verdict."
EQUAL = "The injectors do not differ by more than the readings' own errors would show (spread up to {} %)."
NOT_ALONE = "The injectors differ by more than their readings' errors (spread {}), but none stands out from all others."

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


class Circumstances(NamedTuple):
    """In which state of the engine was collected, at which rail pressure, and which injectors were not measured."""

    condition: str | None
    pressure: Reading | None
    missing: Sequence[int]

    @property
    def low(self) -> bool:
        """Whether the rail pressure was low for this condition."""
        least = LOW_RAIL.get(self.condition or "", LOW_RAIL_RUNNING)
        return self.pressure is not None and self.pressure.number("bar") < least


def findings(judged: Sequence[Judged], seen: Circumstances) -> tuple[Finding, ...]:
    """Gather the verdicts into findings about delivery, hydraulic side."""
    beyond: dict[tuple[int, bool], list[str]] = {}  # by injector and whether above: two rules broken are one finding
    for item in judged:
        if item.verdict.verdict == "outside":
            words = f"{item.what} {item.size} is outside {item.verdict.range.show()}"
            beyond.setdefault((item.number, item.high), []).append(words)
    found = [_beyond(number, high, words) for (number, high), words in beyond.items()]
    unsure = [item.name for item in judged if item.verdict.verdict == "undecided"]
    if unsure:
        words = f"Not decided, the limit lies within the uncertainty: {', '.join(unsure)}."
        found.append(Finding("delivery", "hydraulic", words, "undecided", LONGER))
    return tuple(found) if found else (_none_beyond(seen),)


def _beyond(number: int, high: bool, words: Sequence[str]) -> Finding:
    said = f"Injector {number}: {', '.join(words)}. "
    if high:
        said += "More fuel leaves through its return than it may; until hose and cylinder were exchanged they may be the cause."
    else:
        said += "It returns less than it should: the return is blocked or leaks elsewhere, or the injector does not work."
    return Finding("delivery", "hydraulic", said, "indicated", REPEAT if high else LOW_NEXT)


def _none_beyond(seen: Circumstances) -> Finding:
    """No injector beyond the limit: that clears the returns only at a rail pressure that shows a leak, and of a whole set."""
    said, tests = "No injector's return is beyond the limit.", [OTHER_STAGES]
    if seen.missing:
        said += f" Not measured: {', '.join(f'injector {number}' for number in seen.missing)}."
        tests = [COLLECT]
    if seen.pressure is None:
        said, tests = f"{said} {PRESSURE_UNSAID}", [ASK_PRESSURE, *tests]
    elif seen.low:
        said += f" The rail stood at {seen.pressure} only: a leak that pressure opens does not show there."
        tests = [RAISE_PRESSURE, *tests]
    if seen.missing or seen.pressure is None or seen.low:
        return Finding("delivery", "hydraulic", said, "undecided", "; ".join(tests))
    said += " This says nothing about what the injectors inject."
    return Finding("delivery", "hydraulic", said, "cleared", OTHER_STAGES)


def without_limit(
    spread: Estimate | None, noise: float | None, farthest: tuple[int, str, Estimate | None] | None, count: int
) -> Finding:
    """Say what stands out. farthest: number, of what, and how much where that is told; None where none stands out."""
    if farthest is not None:
        number, of, size = farthest
        shown = f" with {size.show()} of {of}" if size else f" of {of}"
        words = f"Injector {number} stands out{shown}. Without a limit it has no verdict."
    elif noise is None or spread is None:
        words = NOTHING if noise is None else COARSE_SET
    elif spread.value <= noise:
        words = EQUAL.format(f"{float(f'{noise:.2g}'):g}")
    elif count == 2:
        words = f"The two injectors differ by {spread.show()} of their mean. Which of them is off is not shown."
    else:
        words = NOT_ALONE.format(spread.show())
    return Finding("delivery", "hydraulic", words, "undecided", NEED_LIMIT)
