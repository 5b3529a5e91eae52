"""Where hands may be: every procedure that is declared, followed step by step. Facts: common practice, no source.

A hand goes near rail, injector or valve only after the pressure was seen to fall to zero, and again after each run; what a
running engine needs is said before it runs. What each step does is data: none of these tests reads its words but to see that
the data fit them.
"""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import product

import pytest

from baybook.api import (
    BEFORE_HANDS,
    BEFORE_RUNNING,
    CLEAR,
    HANDS_OFF,
    HANDS_OFF_AGAIN,
    HIGH_PRESSURE,
    KEY_OFF,
    LOOK,
    OFF_AT_LAST,
    RUNNING_ENGINE,
    STOP_AT_LAST,
    TO_ZERO,
    WAITING,
    ZERO_AGAIN,
    Action,
    Condition,
    HoldPoint,
    Procedure,
    guarded,
)
from baybook.errors import PluginError
from baybook.fields import CaptureFile
from baybook.registry import registry

CALCULATORS = {listed.name: registry().calculator(listed.name) for listed in registry().listed()}
TOLD = sorted(name for name, found in CALCULATORS.items() if found.how)
"""Those that say how they are done; `convert` has nobody touch anything."""
STEPS = [(name, action) for name in TOLD for action in CALCULATORS[name].how.actions]
MOST_WORDS = 12
"""Of a step: the lock-out is one sentence that later steps call by its name, and needs eleven."""
TOUCHES = re.compile(r"\b(plug (on|off|back)|pins?|clamp|hoses?|stub|froth|leads|seals|thermometer|wipe)\b", re.IGNORECASE)
RUNS = re.compile(r"^(run|crank|make pressure|start)\b", re.IGNORECASE)
NO_VERBS = frozenset(["the", "a", "an", "it", "engine", "rail", "key", "fuel", "never", "not", "only", "if", "when"])


@pytest.mark.parametrize("name", TOLD)
def test_no_hand_is_where_something_can_happen(name: str) -> None:
    assert CALCULATORS[name].how.faults() == []


def test_the_four_that_touch_the_vehicle_say_how() -> None:
    """None is forgotten when a procedure is worded anew."""
    assert {"coil", "hold", "regulator", "returns"} <= set(TOLD)


@pytest.mark.parametrize(("name", "action"), STEPS)
def test_what_a_step_says_and_its_data_agree(name: str, action: Action) -> None:
    """A step that names what is fitted or taken off has a hand somewhere; one that begins with "run" runs."""
    assert bool(RUNS.match(action.text)) == (action.state == "running"), action.text
    if TOUCHES.search(action.text) and not action.text.startswith("Hold tips"):
        assert action.hands, action.text
    if action.state == "zero":
        assert "prove zero" in action.text.lower(), action.text  # (what that is, step 1 says)


@pytest.mark.parametrize(("name", "action"), STEPS)
def test_a_step_is_one_action_verb_first(name: str, action: Action) -> None:
    assert len(action.text.split()) <= MOST_WORDS, action.text
    first = action.text.split()[0]
    assert first[0].isupper() and first.lower().strip(",;") not in NO_VERBS, action.text


@pytest.mark.parametrize("name", TOLD)
def test_every_procedure_asks_first_and_puts_back_at_the_end(name: str) -> None:
    how = CALCULATORS[name].how
    assert how.conditions and how.end
    assert all(isinstance(item, Action | HoldPoint) for item in how.end)


@pytest.mark.parametrize("name", TOLD)
def test_what_runs_has_its_bar_and_its_cautions(name: str) -> None:
    """Neutral, brake, exhaust, lift before the first run; nobody's hand from there on; and the cautions say both at length."""
    found = CALCULATORS[name]
    steps = found.how.steps
    runs = next((place for place, step in enumerate(steps) if isinstance(step, Action) and step.state == "running"), None)
    if runs is None:
        return
    assert BEFORE_RUNNING in steps[:runs] and RUNNING_ENGINE in found.cautions
    if any(action.hands == "high pressure" for action in found.how.actions):
        assert HANDS_OFF in steps[:runs] and HIGH_PRESSURE in found.cautions and TO_ZERO in steps[:runs]


@pytest.mark.parametrize("name", TOLD)
def test_a_bar_takes_hands_away_before_each_run_and_each_ignition_on(name: str) -> None:
    """Not before the first alone: whatever a hand fitted since the last bar, the next start finds it gone."""
    near = False
    for step in (*CALCULATORS[name].how.steps, *CALCULATORS[name].how.end):
        if isinstance(step, HoldPoint):
            near = near and step not in (HANDS_OFF, HANDS_OFF_AGAIN)
            continue
        assert not (near and step.state in ("running", "key on")), step.text
        near = near or bool(step.hands)


@pytest.mark.parametrize("name", TOLD)
def test_every_later_hand_is_locked_out_again(name: str) -> None:
    """Key, sign and wait, under the name that the first lock-out gives them."""
    for action in CALCULATORS[name].how.actions:
        if action.hands and action.state == "key off":
            assert action.text.startswith("Lock out; "), action.text


@pytest.mark.parametrize(
    "name", ["returns", "static-return", "common-return", "return-parts", "pump", "supply", "line", "fuel"]
)
def test_the_low_side_is_relieved_before_it_is_opened(name: str) -> None:
    first = next(action for action in CALCULATORS[name].how.actions if action.hands)
    assert first.text.startswith("Relieve low side")


def test_the_feed_hose_is_back_before_the_engine_runs_on_it() -> None:
    texts = [action.text for action in CALCULATORS["supply"].how.actions]
    led, back = texts.index("Relieve low side; feed into can."), texts.index("Lock out; relieve; hose back, can away.")
    assert led < texts.index("Drive electric pump.") < back < texts.index("Run idle; bubbles:")


@pytest.mark.parametrize("name", TOLD)
def test_every_input_that_is_required_is_read_at_a_step(name: str) -> None:
    found = CALCULATORS[name]
    required = {parameter.name for parameter in found.parameters if parameter.required}
    assert required <= set(found.how.reads)
    assert found.needs == found.how.needs  # (said once, at the steps)


def test_the_first_zero_is_seen_to_fall_while_live_data_are_alive() -> None:
    """With the ignition off most live data are gone; a reading that stood at zero all along proves nothing."""
    for words in ("Prove zero", "stop", "ignition on", "see rail fall to 0"):
        assert words in TO_ZERO.text
    assert TO_ZERO.caution and "proves nothing" in TO_ZERO.caution.text
    first = next(action for action in CALCULATORS["hold"].how.actions if "start" in action.reads)
    assert "ignition on" in first.text and first.state == "stopped"


def test_the_end_of_hold_has_a_way_out() -> None:
    """A pressure that does not fall is left to the data, never let out by a union."""
    bar = next(step for step in CALCULATORS["hold"].how.steps if isinstance(step, HoldPoint) and "No fall" in step.text)
    assert "do not go on" in bar.text and "nobody near" in bar.text and "Never loosen unions" in bar.text and bar.danger


@pytest.mark.parametrize("name", TOLD)
def test_between_running_and_a_hand_there_is_zero_key_off_and_the_wait(name: str) -> None:
    """The rail is seen at zero, the ignition goes off, and it is waited for the drivers, each time before a hand goes near."""
    zero = off = waited = False
    for action in CALCULATORS[name].how.actions:
        if action.state == "running":
            zero = off = waited = False
        if action.state == "zero":
            zero, off, waited = True, False, False
        if action.state in ("stopped", "key on"):
            off = waited = False
        if action.state == "key off":
            off, waited = True, "lock out" in action.text.lower() or action == STOP_AT_LAST
        assert not action.hands or (zero and off and waited), action.text


@pytest.mark.parametrize("name", TOLD)
def test_the_first_bar_stands_before_the_first_hand(name: str) -> None:
    """A fan starts with the key off, a car rolls, a lift sinks: said before a hand goes in, goggles and gloves too."""
    assert CALCULATORS[name].how.steps[0] == BEFORE_HANDS
    for word in ("brake", "chocks", "fan", "lift", "goggles", "gloves"):
        assert word in BEFORE_HANDS.text


@pytest.mark.parametrize("name", TOLD)
def test_nothing_is_cleared_that_could_be_a_fault_code(name: str) -> None:
    """It is wiped up and the tools are counted, key off: last, or before a last run, which would throw a tool; what is run
    to be looked at is so before a hand."""
    how = CALCULATORS[name].how
    assert how.end[-1] in (CLEAR, OFF_AT_LAST, STOP_AT_LAST) and CLEAR in how.actions
    looked = [place for place, step in enumerate(how.actions) if "look from afar; wet" in step.text]
    assert all(how.actions.index(CLEAR) < place for place in looked)
    assert (how.end[-1] in (OFF_AT_LAST, STOP_AT_LAST)) == bool(looked)
    assert all("clear." not in action.text or "clear of" in action.text for action in how.end if isinstance(action, Action))
    runs = [place for place, step in enumerate(how.actions) if step == LOOK]
    assert all(how.actions[place + 1] == STOP_AT_LAST or not how.actions[place + 1].state for place in runs)


@pytest.mark.parametrize("name", ["returns", "static-return", "common-return", "return-parts", "pump"])
def test_only_the_line_to_the_tank_is_plugged(name: str) -> None:
    plug = next(action for action in CALCULATORS[name].how.actions if action.text.startswith("Plug"))
    assert re.fullmatch(r"Plug open tank lines?\.", plug.text)
    assert plug.caution and plug.caution.signal == "danger" and plug.caution.brief == "Never any other."
    assert all(word in plug.caution.text for word in ("Never", "injector", "pump", "rail", "valve"))


@pytest.mark.parametrize("name", ["cranking", "delivery"])
def test_injection_works_again_only_with_the_key_off(name: str) -> None:
    """What keeps it off is put back with the drivers dead; the engine could start else."""
    texts = list(CALCULATORS[name].how)
    off = next(place for place, text in enumerate(texts) if text.startswith("Lock out; take"))
    assert (
        next(place for place, text in enumerate(texts) if text.startswith("Keep injection off"))
        < off
        < texts.index("Let injection work again.")
    )


@pytest.mark.parametrize("name", ["drop", "regulator"])
def test_one_place_is_read_in_one_run(name: str) -> None:
    """With one meter pins would be moved on the running engine."""
    assert "Read one place per run:" in list(CALCULATORS[name].how)
    assert all(word in HANDS_OFF.text for word in ("zero", "locked out"))  # (key off, key taken, waited: the step says so)


LOCKED = Action("Lock out; take it off.", state="key off")
SAFE = Procedure(
    entry=("It is a pump.", WAITING),
    steps=(
        TO_ZERO, KEY_OFF, Action("Fit the gauge.", hands="high pressure"), BEFORE_RUNNING, HANDS_OFF,
        Action("Run; read it.", state="running"),
    ),
    end=(ZERO_AGAIN, KEY_OFF, Action("Take the gauge off.", hands="high pressure")),
)  # fmt: skip


@pytest.mark.parametrize(
    ("unsafe", "said"),
    [
        (replace(SAFE, steps=SAFE.steps[1:]), "'Fit the gauge.' brings a hand to the high-pressure side before the rail"),
        (replace(SAFE, end=SAFE.end[1:]), "'Take the gauge off.' brings a hand to the high-pressure side before"),
        (
            replace(SAFE, end=[Action("Stop.", state="stopped"), *SAFE.end[1:]]),
            "'Take the gauge off.' brings a hand to the high",
        ),
        (
            replace(SAFE, end=[ZERO_AGAIN, SAFE.end[2]]),
            "'Take the gauge off.' brings a hand there with the ignition on; put KEY_OFF",
        ),
        (
            replace(SAFE, end=[ZERO_AGAIN, Action("Wipe.", hands="low side")]),
            "'Wipe.' brings a hand there with the ignition on",
        ),
        (replace(SAFE, steps=[BEFORE_HANDS, Action("Run.", state="running")]), "no hold point stands before the engine runs"),
        (replace(SAFE, steps=[*SAFE.steps, Action("Move a lead.", hands="wiring")]), "before the engine was stopped"),
        (replace(SAFE, steps=[Action("Unplug it.", hands="low side")]), "before the engine was stopped"),
        (replace(SAFE, steps=[Action("Run; hold it.", state="running", hands="wiring")]), "has a hand there while it runs"),
        (replace(SAFE, steps=[SAFE.steps[-1]]), "no hold point stands before the engine runs"),
        (replace(SAFE, end=["Clear."]), "the engine still runs at the end"),
        (replace(SAFE, steps=SAFE.steps[1:]), "'Stop; prove zero.' is not said how; put TO_ZERO before it"),
        (replace(SAFE, entry=()), "no entry is said"),
        (replace(SAFE, entry=("It is a pump.",)), "is not said how long; put WAITING in the entry"),
        (replace(SAFE, entry=(*SAFE.entry,), steps=[LOCKED, *SAFE.steps]), "is not said how; put KEY_OFF before it"),
        (
            replace(SAFE, end=[*SAFE.end, Action("Switch on.", state="key on")]),
            "'Switch on.': a hand was there before, and no bar takes it away; put HANDS_OFF there",
        ),
        (replace(SAFE, steps=[step for step in SAFE.steps if step != HANDS_OFF]), "'Run; read it.': a hand was there before"),
        (replace(SAFE, end=()), "no end is said"),
        (Procedure((" ".join(["word"] * 13),)), "has 13 words; say it in 12"),
    ],
)
def test_what_would_hurt_is_found(unsafe: Procedure, said: str) -> None:
    assert SAFE.faults() == []
    assert any(said in fault for fault in unsafe.faults())


OWN = (
    Action("Look.", hands=""),
    Action("Fit the gauge.", hands="high pressure"),
    Action("Clamp a wire.", hands="wiring"),
    Action("Fix the hose.", hands="low side"),
    Action("Run.", state="running"),
    Action("Let it stand.", state="stopped"),
    Action("Switch on.", state="key on"),
    Action("Switch off; take the hose off.", hands="low side", state="key off"),
)


@pytest.mark.parametrize("number", [1, 2, 3, 4])
def test_own_actions_in_any_order_are_guarded(number: int) -> None:
    """Whatever an author has done in whatever order, no hand is in danger and nothing runs at the end."""
    for own in product(OWN, repeat=number):
        for opened in (False, True):
            how = guarded(own[: number - 1], entry=("It is a pump.",), end=own[number - 1 :], opened=opened)
            assert how.faults() == [], own
            assert [action for action in how.actions if action in own] == list(own)


def test_what_the_author_puts_in_is_not_put_in_twice() -> None:
    how = guarded((TO_ZERO, Action("Read what it shows."), KEY_OFF, OWN[1], BEFORE_RUNNING, OWN[4]), entry=("It is a pump.",))
    assert [step for step in how.steps if step not in (TO_ZERO, KEY_OFF)] == [
        BEFORE_HANDS, Action("Read what it shows."), OWN[1], BEFORE_RUNNING, HANDS_OFF, OWN[4],
    ]  # fmt: skip
    assert list(how.end) == [ZERO_AGAIN, KEY_OFF, CLEAR]


def test_hands_that_went_in_between_two_runs_are_taken_away_again() -> None:
    how = guarded((OWN[4], OWN[2], OWN[4]), entry=("It is a pump.",))
    assert list(how.steps) == [
        BEFORE_HANDS, BEFORE_RUNNING, HANDS_OFF, OWN[4], TO_ZERO, KEY_OFF, OWN[2], HANDS_OFF_AGAIN, OWN[4],
    ]  # fmt: skip


def test_nothing_else_can_be_said_of_a_hand_or_a_state() -> None:
    with pytest.raises(PluginError, match="has hands 'rail'; use high pressure, wiring, low side, or none"):
        Action("Touch it.", hands="rail")  # type: ignore[arg-type]
    with pytest.raises(PluginError, match="has an empty sentence"):
        Procedure(entry=(Condition(" "),))


@pytest.mark.parametrize("name", TOLD)
def test_reads_are_in_the_order_in_which_they_are_done(name: str) -> None:
    """Entry first, then the steps; each once; a capture stands beside what it replaces."""
    found = CALCULATORS[name]
    assert len(set(found.how.reads)) == len(found.how.reads)
    entry = [read for condition in found.how.conditions for read in condition.reads]
    assert list(found.how.reads[: len(entry)]) == list(dict.fromkeys(entry))
    captures = [read for read in found.how.reads if isinstance(found.parameter(read).field, CaptureFile)]
    assert len(captures) <= 1


def test_a_pressure_out_of_control_is_not_run_again() -> None:
    """Current wrong, pressure above target: nothing of what to test next is done on a running engine."""
    inputs = {"where": "outlet", "pressure": "520 bar", "target": "300 bar", "outlet_duty": "31 %",
              "outlet_usual_duty": "18 to 30 %", "outlet_current": "1.9 A", "outlet_expected_current": "0.9 A"}  # fmt: skip
    found = registry().calculator("regulator")(**inputs).findings[0]
    assert found.side == "control"
    first, *others = (found.next_test or "").split("; ")
    assert first == "stop the engine, the pressure is not under control, and do not run it again until the drive is right"
    assert others[0].startswith("engine stopped, rail seen to fall to zero, key off: ")
    assert "same running condition" not in (found.next_test or "") and "under current" not in (found.next_test or "")
