"""What to test next: the tests that are open, ranked by what they are expected to tell per minute and by what hands must do.

The expected fall of entropy over all hypotheses (Lindley 1956; de Kleer & Williams 1987), per minute. A test that opens the
high-pressure side or works at live wiring comes after those that do not, unless it tells FAR_MORE times as much per minute.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence, Set
from typing import Any, Literal, get_args

from ..dataclass import dataclass, replace
from .conclusion import Conclusion
from .current import currents, hidden
from .evidence import Evidence
from .history import Epoch, Repair
from .need import Need
from .sense import Hands, Sense

FAR_MORE = 4.0
ENOUGH = 3  # times that a test is made on one thing; it is what it is then
LEAST = 0.002  # bits; a test that tells less is not worth its time
HARD: tuple[Hands, ...] = ("high side opened", "live wiring")
Reason = Literal["contradiction", "after repair", "another repaired", "unmet", "other condition", "undecided", "not taken"]
REASONS: tuple[Reason, ...] = get_args(Reason)
SETTLING: tuple[Reason, ...] = ("contradiction", "after repair", "another repaired", "unmet")
"""Why the very test that was made is to be repeated, and not another that looks at the same."""
ELSEWHERE = 0.5  # a good outcome that has less than this of its reach left is to be had again in the complaint's condition


@dataclass(frozen=True)
class NextTest:
    """A test that is open. object: what to make it on; "" for the whole, or for all its objects together.

    reason: why it is asked for: it was not taken, or is to be repeated. gain: expected fall of entropy, bits. needs: to be
    settled beforehand. separates: the places among the likely ones that it looks at. also: other objects on which it would tell
    as much. things: what it would look at.
    """

    test: str
    object: str
    reason: Reason
    gain: float
    minutes: float
    hands: Hands
    needs: tuple[Need, ...]
    separates: tuple[str, ...]
    also: tuple[str, ...] = ()
    things: frozenset[tuple[str, str]] = frozenset()

    @property
    def worth(self) -> float:
        """What the ranking goes by, in bits per minute."""
        return self.gain / self.minutes / (FAR_MORE if self.hands in HARD else 1.0)

    def to_dict(self) -> dict[str, Any]:
        """For JSON."""
        return {
            "test": self.test, "object": self.object, "reason": self.reason, "gain": self.gain, "minutes": self.minutes,
            "hands": self.hands, "settle_first": [need.question for need in self.needs], "separates": list(self.separates),
            "also": list(self.also),
        }  # fmt: skip


Asked = tuple[str, str]  # an object, "" where it does not matter, and a question


def next_tests(conclusion: Conclusion, senses: Mapping[str, Sense], most: int | None = None) -> tuple[NextTest, ...]:
    """The open tests among those declared, by name, the most worthwhile first; at most `most`."""
    found = []
    for name, sense in senses.items():
        if not sense.suits(conclusion.system):
            continue
        targets = sense.on(conclusion.system)
        for made_on in [targets] if sense.together and targets else [(target,) for target in targets]:
            reasons = dict(_open(conclusion, senses, name, made_on))
            if reasons:
                found.append(_weighed(conclusion, name, sense, made_on, reasons))
    begun = any(item.bad and item.is_test for epoch in conclusion.history.epochs for item in epoch.evidence)

    def order(test: NextTest) -> tuple[object, ...]:
        sense = senses[test.test]
        return sense.apart, begun or not sense.opening, begun or not sense.starting, -round(test.worth, 9), test.test

    ranked = sorted((test for test in found if test.gain >= LEAST), key=order)
    ranked = list(_not_covered(ranked))
    alike: dict[tuple[str, Reason, float], list[NextTest]] = {}
    for test in ranked:
        alike.setdefault((test.test, test.reason, round(test.gain, 9)), []).append(test)
    return tuple(replace(first, also=tuple(test.object for test in others)) for first, *others in alike.values())[:most]


def _not_covered(ranked: Sequence[NextTest]) -> Iterator[NextTest]:
    """The tests without those that look at nothing but what a better one looks at, or one that is to be repeated."""
    repeated = {thing for test in ranked if test.reason in SETTLING for thing in test.things}
    seen: set[tuple[str, str]] = set()
    for test in ranked:
        if not (seen if test.reason in SETTLING else seen | repeated).issuperset(test.things):
            yield test
            seen |= test.things


def _open(
    conclusion: Conclusion, senses: Mapping[str, Sense], name: str, made_on: Sequence[str]
) -> Iterator[tuple[Asked, Reason]]:
    """What the test of that name would still answer, each thing once, with the reason."""
    sense = senses[name]
    things: set[tuple[str, str]] = set()
    read = sense.lasting and sense.together and any(item.test == name for item in conclusion.history.epochs[-1].taken)
    for word, question in sense.questions.items():
        for target in made_on if question.sought else ():
            if not question.asked_of(target) or (question.provokes and not conclusion.comes_and_goes):
                continue
            thing = question.thing(name, word, target)
            reason = _reason(conclusion, thing, senses.keys() - {name}) if thing not in things else None
            things.add(thing)
            if reason is not None and not (read and reason == "not taken"):  # a memory is read whole, and once
                yield (target, word), reason


def _reason(conclusion: Conclusion, thing: tuple[str, str], others: Set[str]) -> Reason | None:
    """Why it is open to a test; None where it was answered. others: the names of all other tests that are declared.

    What is to be answered again is a repetition for the test that answered it; for another it is a first look.
    """
    system, epochs = conclusion.system, conclusion.history.epochs
    repeat = conclusion.contradiction.repeat if conclusion.contradiction else ()
    times = sum(_covers(item.looked_for, thing) for item in epochs[-1].taken)
    if times < ENOUGH and any(_covers(e.looked_for, thing) and not e.again and e.test not in others for e in repeat):
        return "contradiction"
    repairs: list[Repair] = []
    for epoch in reversed(epochs):
        if items := [item for item in epoch.evidence if _covers(item.looked_for, thing)]:
            mended = any(repair.mends(item, system) for repair in repairs for item in items)
            if mended and all(item.is_look for item in items):
                return None
            left = repairs and any(item.bad for item in items)
            reason = "after repair" if mended else "another repaired" if left else _again(items, times, conclusion, epoch)
            own = any(item.test not in others for item in epoch.taken if _covers(item.looked_for, thing))
            return reason if own or reason is None else "not taken"
        repairs += [epoch.repair] if epoch.repair is not None else []
    return "not taken"


def _again(items: Sequence[Evidence], times: int, conclusion: Conclusion, epoch: Epoch) -> Reason | None:
    """Why what was answered, perhaps in several conditions, is to be answered again; None where it is not, or where the same
    reading of the same part found it bad in another way: of an open circuit no drop is to be had."""
    saying = [item for item in items if not item.says_nothing(conclusion.system)]
    if not saying:
        return "unmet"
    items = saying
    if any(item.factors is not None or item.bad or item.void or item.explains < 1.0 for item in items):
        return None
    if any(item.good and epoch.left(item) >= ELSEWHERE for item in items) or times >= ENOUGH:
        return None
    if any(item.good for item in items):
        return "other condition"
    found = {(item.step, item.test, item.object) for item in epoch.taken if item.bad and item.object}
    return None if all((item.step, item.test, item.object) in found for item in items) else "undecided"


def _covers(seen: tuple[str, str], wanted: tuple[str, str]) -> bool:
    """Whether a look at `seen` is one at `wanted`: the same thing, on the same object or on all of them.

    What is named more closely behind a comma ("filter pressure drop, warm") is a look at what is named before it as well.
    """
    return wanted[0] in (seen[0], seen[0].partition(", ")[0]) and seen[1] in ("", wanted[1])


def _weighed(
    conclusion: Conclusion, name: str, sense: Sense, made_on: Sequence[str], reasons: Mapping[Asked, Reason]
) -> NextTest:
    gain = conclusion.belief.information(outcomes(conclusion, sense, tuple(reasons)))
    likely = [standing.place for standing in conclusion.standings if standing.place.name in conclusion.open]
    separates = tuple(
        place.name
        for place in likely
        if any(sense.questions[word].reaches(on, (place,))[0] > sense.questions[word].false_alarm for on, word in reasons)
    )
    reason = min(reasons.values(), key=REASONS.index)
    asked = {word for _, word in reasons}
    needs = tuple(need for need in sense.unanswered({}, conclusion.system) if not need.of or asked.intersection(need.of))
    things = frozenset(sense.questions[word].thing(name, word, on) for on, word in reasons)
    return NextTest(
        name,
        "" if sense.together or not sense.aimed else made_on[0],
        reason,
        gain,
        sense.minutes,
        sense.hands,
        needs,
        separates,
        things=things,
    )


def outcomes(conclusion: Conclusion, sense: Sense, asked: Sequence[Asked]) -> list[list[float]]:
    """The chance of each outcome under each hypothesis: all good, one thing asked bad and the others good, and anything else.

    Several bad at once are taken together, so what they would tell further is left out of account. What the test needs is taken
    as seen to by whoever makes it, but for a valve that has to be driven shut.
    """
    system, hypotheses = conclusion.system, conclusion.history.hypotheses
    met = {need.name: True for need in sense.needs if not need.at_rest}
    flows = currents(conclusion.history.epochs[-1].evidence)
    bad = []
    for on, word in asked:
        held, otherwise = sense.valid(met, system, word)
        unmet = (1.0 - held) * otherwise
        spared = tuple(hidden(sense.questions[word], on, flows))
        bad.append([held * b + unmet for b in sense.questions[word].bad(on, system, hypotheses, spared)])
    good = [1.0] * len(hypotheses.sets)
    for row in bad:
        good = [g * (1.0 - b) for g, b in zip(good, row, strict=True)]
    if len(bad) == 1:
        return [good, bad[0]]
    alone = [[g * b / (1.0 - b) for g, b in zip(good, row, strict=True)] for row in bad]
    several = [max(0.0, 1.0 - g - sum(each)) for g, *each in zip(good, *alone, strict=True)]
    return [good, *alone, several]
