"""What is to be tested next says in a few words what threatens at it: high-pressure side, live wiring, low side.

What is under pressure or live, and that a rail counts as empty only once it was seen to fall: common practice, no source.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from baybook import calculate
from baybook.jobs.evaluation import Outcome, work_out
from baybook.jobs.offered import offered_tests
from baybook.jobs.sheet import read_sheet
from baybook.language import language
from baybook.message import Message
from baybook.places.sense import Sense
from baybook.placing import NO_PROOF, TOUCHED, cautioned, next_test_of, touched
from baybook.registry import registry
from baybook.result import Finding

ROOT = Path(__file__).parents[2]
SHEETS = sorted([*(ROOT / "data_demo").glob("*.toml"), *(ROOT / "tests" / "jobs" / "sheets").glob("*.toml")])
KEPT = ROOT / "tests" / "plugins" / "data" / "results_kept.jsonl"
HIGH = re.compile(r"\b(rail|pressure)\b[^;]*\b(at|to|prove|proved) zero\b")
AT_THE_HIGH_SIDE = re.compile(
    r"\b(pins?|plug(s|ged)?|coil|hose|hoses|calculator (coil|drop|drive|returns|return-parts|hold))\b"
)
"""Words for what sits on rail, injectors and their valves, and calculators whose procedure brings a hand there."""


@cache
def outcome(path: Path) -> Outcome:
    return work_out(read_sheet(str(path)))


def findings() -> Iterator[tuple[str, Finding]]:
    """Every finding of the kept results and of the sheets, with its calculator."""
    for line in KEPT.read_text("utf-8").splitlines():
        kept = json.loads(line)
        yield from ((kept["calculator"], each) for each in calculate(kept["calculator"], **kept["inputs"]).findings)
    for path in SHEETS:
        for worked in outcome(path).steps:
            if worked.result:
                yield from ((worked.step.calculator, each) for each in worked.result.findings)


def test_a_next_test_at_the_high_side_says_that_the_rail_is_seen_to_fall_first() -> None:
    touching = {name for name, test in offered_tests().items() if "high pressure" in touched(test.sense, test.calculator)}
    assert {"coil", "drop", "drive", "regulator", "returns", "sensor"} <= touching
    looked_at = 0
    for name, finding in findings():
        if finding.next_test and not finding.at_desk and name in touching and AT_THE_HIGH_SIDE.search(finding.next_test):
            looked_at += 1
            assert HIGH.search(finding.next_test), (name, finding.next_test)
    assert looked_at >= 80


@pytest.mark.parametrize("name", offered_tests())
def test_a_test_that_opens_something_or_is_live_says_so_itself(name: str) -> None:
    test = offered_tests()[name]
    words = {"low side opened": "low side let off", "high side opened": "fall to zero", "live wiring": "key off"}
    if test.sense.hands in words:
        assert words[test.sense.hands] in cautioned("it", touched(test.sense, test.calculator))
    if any(action.hands == "high pressure" for action in test.calculator.how.actions):
        assert "[first: rail seen to fall to zero" in cautioned("it", touched(test.sense, test.calculator))


def test_every_test_that_is_open_in_a_job_carries_its_own() -> None:
    seen = set[str]()
    for path in SHEETS:
        for found, told in zip(outcome(path).ranked, (t for t in _ranked(outcome(path))), strict=True):
            hands = touched(offered_tests()[found.test].sense, offered_tests()[found.test].calculator)
            assert all(TOUCHED[word][0] in told for word in hands), told
            assert hands or "[" not in told
            seen |= hands
    assert seen == set(TOUCHED)


def _ranked(found: Outcome) -> list[str]:
    from baybook.jobs.messages import next_test

    return [next_test(test) for test in found.ranked]


def test_what_is_to_be_mended_says_it_too() -> None:
    """Mending opens it: rail, injectors, pump after a fall to zero, the low side once let off, wires with the key off."""
    words = {("supply", "hydraulic"): "low side let off", ("supply", "control"): "key off"}
    seen = set[str]()
    for path in SHEETS:
        found = outcome(path)
        stages = {place.name: (place.stage, place.side) for place in found.found.system.places}
        for asked in found.asked:
            name = asked.removeprefix("mend ").partition(", mark it")[0]
            if asked.startswith("mend ") and name in stages:
                wanted = words.get(stages[name], "rail seen to fall to zero")
                if found.zero_doubted and wanted == "rail seen to fall to zero":
                    assert asked.endswith(f"[first: {NO_PROOF}]"), asked
                    continue
                assert asked.endswith(f"[first: {wanted}]"), asked
                seen.add(wanted)
    assert {"rail seen to fall to zero", "low side let off"} <= seen


def test_what_a_sentence_says_itself_is_not_said_twice() -> None:
    hands = frozenset(TOUCHED)
    safe = "engine stopped, rail seen to fall to zero, key off: measure the coil"
    assert cautioned(safe, hands) == safe
    assert cautioned("its plugs, key off", hands).count("key off") == 1
    assert cautioned("look at the log", frozenset()) == "look at the log"


def test_a_next_test_is_cautioned_as_the_calculators_that_it_names() -> None:
    log = registry().calculator("convert")  # no hand goes anywhere
    assert next_test_of(log, "repeat it") == "repeat it"
    assert "[first: rail seen" in next_test_of(log, "compare the returns (calculator returns)")
    assert "[first: rail seen to fall to zero, key off]" in next_test_of(log, "the voltage drop (calculator drop)")
    assert "[first: low side let off]" in next_test_of(log, "the feed pressure (calculator supply)")
    assert next_test_of(log, "another unit (calculator convert)") == "another unit (calculator convert)"
    assert all(said in next_test_of(log, "it (calculator nothing-such)") for said, _ in TOUCHED.values())


def test_what_is_done_at_a_desk_carries_none() -> None:
    found = calculate("coil", reading="3.1 ohm", temperature="20 °C", part="injector").findings
    assert [finding.at_desk for finding in found] == [True] and "[" not in found[0].next_test


@pytest.mark.parametrize("said", [said for said, _ in TOUCHED.values()])
def test_it_is_a_few_words_in_both_languages(said: Message) -> None:
    german = said.text(language("de", []))
    assert german != said and len(said.split()) <= 6 and len(german.split()) <= 6


def test_the_screen_has_it(command: Callable[..., Any]) -> None:
    told = " ".join(command("job", "next", ROOT / "data_demo" / "wagtail_uneven_idle.toml").out.split())
    assert "[first: rail seen to fall to zero]" in told
    assert "delivery: 10 min, nothing opened, tells some looks at" in told
    ran = command("coil", "--reading", "5.2 ohm", "--temperature", "20 °C", "--limit", "<= 3 ohm", "--part", "injector").out
    assert "key off [first: rail seen to fall to zero]" in " ".join(ran.split())


def test_a_hand_that_is_nowhere_known_is_refused() -> None:
    with pytest.raises(Exception, match="a test's hand is near 'rail'; use high pressure, wiring, low side, or none"):
        Sense.one({"filter": 0.5}, 3.0, near="rail")
