"""How each usual reading and observation is made: steps where a hand could be near danger, followed as the vehicle stands."""

from __future__ import annotations

import pytest

from baybook.api import Procedure, Sense, Senses
from baybook.how import how_lines, how_of
from baybook.language import language
from baybook_plugins.observation.calculator import observation
from baybook_plugins.reading.calculator import reading

CALCULATORS = {"reading": reading, "observation": observation}


def usual() -> list[tuple[str, str, Sense]]:
    """Every usual one: calculator, word, sense."""
    found = []
    for name, calculator in CALCULATORS.items():
        assert isinstance(calculator.sense, Senses)
        found += [(name, word, sense) for word, sense in calculator.sense.of.items()]
    return found


def how(name: str, word: str) -> Procedure:
    """The procedure of a usual one."""
    return how_of(CALCULATORS[name], {"what": word})


@pytest.mark.parametrize(
    ("name", "word"), [(name, word) for name, word, sense in usual() if sense.near or sense.hands != "nothing opened"]
)
def test_where_a_hand_is_near_danger_there_are_steps(name: str, word: str) -> None:
    assert how(name, word).steps


@pytest.mark.parametrize(("name", "word"), [(name, word) for name, word, _ in usual()])
def test_no_step_brings_a_hand_into_danger(name: str, word: str) -> None:
    """What the rail, the wire, the fan could do at each step: the rules that every calculator's procedure keeps."""
    assert how(name, word).faults() == []
    texts = " ".join(how(name, word)).lower()
    assert "battery" not in texts and "unplug it" not in texts


def test_the_outlet_valve_is_driven_shut_by_the_makers_routine_alone() -> None:
    told = "\n".join(how_lines(reading, given={"what": "pressure with the outlet valve driven shut"}))
    flat = " ".join(told.split())
    for words in (
        "Never feed the valve from a battery", "never unplug a pressure control", "Only the maker's routine", "by scan tool",
        "Highest pressure by the data", "above the data's highest: engine off", "Sit at the wheel",
    ):  # fmt: skip
        assert words in flat
    steps = [step.text for step in how("reading", "pressure with the outlet valve driven shut").actions]
    assert [at for at, text in enumerate(steps) if "routine by scan tool" in text] < [
        at for at, text in enumerate(steps) if "Watch pressure" in text
    ]
    assert not any(step.hands for step in how("reading", "pressure with the outlet valve driven shut").actions)


@pytest.mark.parametrize("word", ["jump when plug or loom is moved", "jump when a driven loom is moved"])
def test_a_loom_is_moved_with_the_engine_at_rest_and_by_a_rod(word: str) -> None:
    procedure = how("observation", word)
    told = " ".join(" ".join(how_lines(observation, given={"what": word})).split())
    assert "rod" in told
    assert "Never unplug" in told
    assert "200 V" in told or word == "jump when plug or loom is moved"
    assert not any(step.state == "running" for step in procedure.actions)
    moved = next(step for step in procedure.actions if step.text.startswith("Move "))
    assert not moved.hands
    assert "key on" in [step.state for step in procedure.actions[: procedure.actions.index(moved)]]


def test_an_own_word_still_says_when_hands_may_go_near() -> None:
    assert "rail seen to fall to zero" in " ".join(" ".join(how_lines(observation, given={"what": "something"})).split())


def test_every_sentence_is_said_in_german() -> None:
    missing = set()
    for name, word, _ in usual():
        german = language("de", (f"baybook_plugins.{name}",))
        procedure = how(name, word)
        texts = [*procedure, *procedure.needs, *(condition.otherwise for condition in procedure.conditions)]
        texts += [caution.text for caution in procedure.cautions] + [caution.brief for caution in procedure.cautions]
        missing |= {text for text in texts if text and german.text(text) == text}
    assert missing == set()
