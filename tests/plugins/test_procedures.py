"""Where hands may be: every procedure that is declared, read step by step. Facts: common practice, no source.

A hand goes near rail, injector or valve only after the pressure was seen to fall to zero; an engine that ran is stopped and
zero seen again before the leads, hoses or the clamp come off; what a running engine needs is said before it runs.
"""

from __future__ import annotations

import re

import pytest

from baybook.api import BEFORE_RUNNING, HIGH_PRESSURE, Calculator
from baybook.registry import registry

TOUCHES = ("at the coil's own pins", "return hose into", "back-probe", "fix thermometer", "refit the hoses", "exchange hoses",
           "clamp off", "take the leads off", "swap hoses", "go near", "wipe", "plug off", "clamp round")  # fmt: skip
"""Words of a step that brings a hand to the rail, an injector or a valve."""
RUNS = re.compile(r"\b(run|make pressure|read again where the complaint)\b", re.IGNORECASE)
ZERO = re.compile(r"(rail|zero).*(seen|zero)", re.IGNORECASE)
NAMES = ("coil", "hold", "line", "regulator", "returns", "supply")


def with_hands() -> list[Calculator]:
    """The calculators whose procedure brings a hand to the high-pressure side."""
    known = [registry().calculator(listed.name) for listed in registry().listed()]
    return [found for found in known if any(touched(step) for step in found.procedure)]


def touched(step: str) -> str:
    """The first such word of the step, or none."""
    return next((word for word in TOUCHES if word in step.lower()), "")


def test_these_are_the_calculators_with_hands() -> None:
    """None is forgotten when a procedure is worded anew."""
    assert sorted(found.name for found in with_hands()) == sorted(NAMES)


@pytest.mark.parametrize("name", NAMES)
def test_zero_is_seen_before_each_touch(name: str) -> None:
    """Before the first touch, and again after each run: in the step of the touch itself or one before it, never by "key off"
    alone."""
    proven = False
    for step in registry().calculator(name).procedure:
        for sentence in re.split(r"(?<=[.;:]) ", step):
            if ZERO.search(sentence) and "again before" not in sentence:
                proven = True
            assert proven or not touched(sentence), f"{name}: {sentence!r} comes before zero was seen"
            if RUNS.search(sentence) and not sentence.lower().startswith("stop"):
                proven = False


@pytest.mark.parametrize("name", NAMES)
def test_the_first_zero_is_seen_to_fall(name: str) -> None:
    """A reading that stood at zero all along proves nothing: a dead sensor shows the same."""
    first = next(step for step in registry().calculator(name).procedure if "zero" in step)
    assert "seen to fall" in first


@pytest.mark.parametrize("name", NAMES)
def test_what_a_running_engine_needs_is_a_step_before_it_runs(name: str) -> None:
    steps = tuple(registry().calculator(name).procedure)
    runs = next(place for place, step in enumerate(steps) if re.match(r"run|make pressure", step, re.IGNORECASE))
    assert steps.index(BEFORE_RUNNING) < runs
    for word in ("Neutral or P", "chocked", "lift secured", "exhaust", "extinguisher", "ear protection", "starter rests"):
        assert word in BEFORE_RUNNING


@pytest.mark.parametrize("name", NAMES)
def test_nobody_wipes_or_reads_closely_while_it_runs(name: str) -> None:
    """Wiping and reading at eye level come after a stop and a zero that stand between them and the run."""
    calculator = registry().calculator(name)
    running = False
    for sentence in re.split(r"(?<=[.;:]) ", " ".join(calculator.procedure)):
        if re.match(r"run\b", sentence, re.IGNORECASE):
            running = True
        if re.match(r"stop\b|engine stopped", sentence, re.IGNORECASE):
            running = False
        assert not (running and re.search(r"wipe|eye level|thermometer", sentence)), f"{name}: {sentence!r}"
    assert HIGH_PRESSURE in calculator.cautions


def test_live_data_stay_alive_until_zero_was_seen() -> None:
    """With the ignition off most live data are gone: "key off" before the reading leaves nothing to be seen to fall."""
    steps = tuple(registry().calculator("hold").procedure)
    stop = next(step for step in steps if "Read pressure and temperature at once" in step)
    assert "keeps the reading alive" in stop and "key off" not in stop.lower()
    assert steps[-1].startswith("If it does not fall: end the routine, nobody near")


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
