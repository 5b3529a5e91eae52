"""The short caution of a test that is to be made next, from what is declared of where a hand goes for it. Light to import.

A test's sense says what is opened or live, the steps of its procedure where a hand goes; what a sentence already says of it is
not said twice. common practice, no source.
"""

from __future__ import annotations

import re

from .message import Message, joined

TYPE_CHECKING = False
if TYPE_CHECKING:
    from .declare import Calculator
    from .places.sense import Sense

CAUTIONS = {
    "high pressure": (
        Message("rail seen to fall to zero"),
        re.compile(r"\b(rail|pressure)\b[^;]*\b(at|to|proved) zero\b"),
    ),
    "live wiring": (Message("key off"), re.compile(r"\bkey off\b")),
    "low side": (Message("low side let off"), re.compile(r"\b(engine stopped|relieve)\b")),
}
"""By where a hand goes, the worst first: what has to be so before, and in which words a sentence says it itself."""
OPENED = {"high side opened": "high pressure", "low side opened": "low side", "live wiring": "live wiring"}
NAMED = re.compile(r"\(calculator ([a-z0-9-]+)\)")
"""A calculator that a sentence names: "collect the returns (calculator returns)"."""


def touched(sense: Sense | None, calculator: Calculator | None = None) -> frozenset[str]:
    """Where a hand goes for a test, by the keys of `CAUTIONS`; none where nothing of that is touched."""
    found = {OPENED.get(sense.hands, ""), sense.near} if sense else set[str]()
    if calculator is not None:
        found |= {action.hands for action in calculator.how.actions}
    return frozenset(found & set(CAUTIONS))


def touched_by(calculator: Calculator) -> frozenset[str]:
    """The same of a calculator; of one that is many tests what its procedure says."""
    sense = calculator.sense
    return touched(sense if hasattr(sense, "hands") else None, calculator)  # type: ignore[arg-type]  # the others have none


def cautioned(test: str, hands: frozenset[str]) -> Message:
    """The sentence with the short cautions that it needs and does not say itself; as it is where it needs none."""
    found = [said for word, (said, itself) in CAUTIONS.items() if word in hands and not itself.search(test)]
    return Message("{test} [first: {hands}]", test=Message.of(test), hands=joined(found, ", ")) if found else Message.of(test)


def next_test_of(calculator: Calculator, test: str) -> Message:
    """A finding's next test, cautioned as the calculators that it names are, else as the one whose finding it is."""
    from .errors import BaybookError

    found: set[str] = set()
    names = NAMED.findall(test)
    for name in names:
        try:
            found |= touched_by(calculator.surroundings.calculator(name))
        except BaybookError:
            found |= set(CAUTIONS)  # one that is not in use: nothing is known of where its hands go
    return cautioned(test, frozenset(found) if names else touched_by(calculator))
