"""What the sentences that keep hands safe have to say, also in their short form on a front (common practice, no source)."""

from __future__ import annotations

import re

import pytest

from baybook.api import (
    BEFORE_HANDS,
    BEFORE_RUNNING,
    HANDS_OFF,
    KEY_OFF,
    LOCK_OUT,
    ON_ROAD,
    TO_ZERO,
    WAITING,
    Action,
    Known,
    Reading,
)
from baybook.registry import registry
from baybook_cards.general.safety import BEFORE
from baybook_plugins.hold.card.chart import charts
from baybook_plugins.hold.card.leak_chart import UPPER_BOUND

from .conftest import CARDS


def shorts(name: str) -> list[str]:
    """The short cautions at the lines of a card."""
    return [line.caution.short for line in CARDS[name]().lines if line.caution]


def test_zero_counts_only_where_a_fall_was_seen() -> None:
    """The short form is a whole sentence; the long one says what a reading that stood at zero proves."""
    caution = TO_ZERO.caution
    assert caution and caution.short == "Not seen: STOP; card Safety."  # (behind "see rail fall to 0": neither half is enough)
    assert "If it stood at zero all along, it proves nothing" in caution.text
    for words in ("as loaded", "key off", "wait as long as the data say", "empty it the maker's way", "No data: stop here"):
        assert words in caution.text


@pytest.mark.parametrize(
    "word",
    [
        "Neutral",
        "brake",
        "chocks",
        "Exhaust extraction",
        "extinguisher",
        "ear protection",
        "fan may start",
        "lift locked",
        "nobody below",
        "goggles",
        "gloves",
    ],
)
def test_the_bar_before_running_says_each_thing(word: str) -> None:
    assert word in BEFORE_HANDS.text + BEFORE_RUNNING.text


def test_the_starter_is_rested_where_it_cranks() -> None:
    assert any("rest starter" in line.text for line in CARDS["cranking"]().lines)


def test_returns_says_what_may_be_plugged_and_what_never() -> None:
    """Only the open end of the line to the tank; no return is closed, pinched or plugged."""
    (line,) = [line for line in CARDS["returns"]().lines if line.text == "Plug open tank line."]
    assert line.caution and line.caution.short == "Never any other."
    assert all(word in line.caution.text for word in ("Never close, pinch or plug", "injector", "pump", "rail", "valve"))


def test_a_slipping_pin_and_a_pressure_that_runs_away_are_named_with_what_they_do() -> None:
    assert {"Slipping pins: full pressure.", "Runs away: engine off."} <= set(shorts("regulator"))


def test_never_unplugging_comes_first_at_the_pressure_control() -> None:
    strong = CARDS["regulator"]().strong
    assert strong and strong.signal == "danger" and strong.short == "Engine running: never unplug a pressure valve."


def test_no_gauge_goes_on_the_high_side_unless_the_data_allow_one() -> None:
    assert "No gauge unless data allow." in shorts("hold")
    assert any("fitted at proven zero" in line.caution.text for line in CARDS["hold"]().lines if line.caution)


def test_stored_voltage_is_named_where_a_hand_goes_to_wires_of_injector_or_valve() -> None:
    """Key off and the data's time come before the hand, and say why: the rail at zero says nothing of the drivers."""
    assert KEY_OFF.caution and KEY_OFF.caution.short == "Injectors store voltage."
    assert "also when the rail is at zero" in KEY_OFF.caution.text
    for name in ("coil", "drive", "drop"):  # (whose band says it, above all else)
        strong = CARDS[name]().strong
        assert strong and strong.text == "Injector plugs: up to 200 V; first rail zero, waiting time."
        assert LOCK_OUT in registry().calculator(name).how.steps
    for name in ("cranking", "delivery", "returns", "static-return", "common-return", "return-parts", "sensor"):
        steps = list(registry().calculator(name).how.steps)
        first = next(place for place, step in enumerate(steps) if isinstance(step, Action) and step.hands)
        assert KEY_OFF in steps[:first], name


def test_a_key_that_is_no_key_and_an_engine_that_starts_by_itself_are_named() -> None:
    """Keyless entry, stop-start and the pump that runs when a door opens."""
    told = " ".join(BEFORE.items)
    for word in ("a keyless one out of its range", "stop-start off", "low-pressure pump may run when a door opens"):
        assert word in told


@pytest.mark.parametrize("name", sorted(name for name in CARDS if CARDS[name]().steps))
def test_no_hand_goes_near_while_the_ignition_is_on(name: str) -> None:
    """The fall to zero is watched with the ignition on; a fan, a pump or stop-start may begin then by themselves."""
    lit = False
    how = registry().calculator(name).how
    for action in (*how.steps, *how.end):
        if not isinstance(action, Action):
            continue
        if action.state in ("running", "zero", "stopped", "key on"):
            lit = True
        if action.state == "key off":
            lit = False
        assert not (lit and action.hands), action.text


def test_the_pump_is_not_driven_to_its_highest_pressure_into_open_cylinders() -> None:
    """A limiter that opens throws its fuel out of the return: the returns are back on before the maker's routine."""
    texts = list(registry().calculator("pump").how)
    back = next(place for place, text in enumerate(texts) if "refit returns" in text)
    assert back < texts.index("Maker's routine only, nobody near:") < texts.index("Read highest.")
    assert "Hot." in shorts("pump")


def test_a_can_is_filled_before_the_engine_runs() -> None:
    """Cold fuel, and no hand back to the low side in between."""
    texts = list(registry().calculator("supply").how)
    run = next(place for place, text in enumerate(texts) if text.startswith("Run"))
    assert texts.index("Drive electric pump.") < run


def test_nothing_hot_is_touched_by_a_thermometer_while_it_runs() -> None:
    """The temperature of a driven coil is read after zero is seen again."""
    how = registry().calculator("drive").how
    assert "temperature" not in [read for step in how.steps if isinstance(step, Action) for read in step.reads]
    assert any("temperature" in step.reads and step.hands for step in how.end if isinstance(step, Action))


def test_a_sensor_that_does_not_show_zero_leaves_the_rail_loaded() -> None:
    texts = list(registry().calculator("sensor").how)
    told = texts.index("Above your zero limit: STOP, nobody near.")
    assert texts[told + 1] == "Its zero proves nothing: use second means."  # (the sensor is what is under suspicion)
    assert told < next(place for place, text in enumerate(texts) if text.startswith("Connect meter"))


@pytest.mark.parametrize("name", ["drop", "drive", "regulator"])
def test_pins_at_a_valve_say_what_a_slip_does(name: str) -> None:
    assert {"Slipping pins: full pressure.", "Runs away: engine off."} <= set(shorts(name))


def test_a_valve_that_was_unplugged_is_heard_to_lock_before_it_runs() -> None:
    assert "Plug on; hear lock." in list(registry().calculator("coil").how) and "Runs away: engine off." in shorts("coil")


def test_no_pin_goes_to_an_injector() -> None:
    assert "injectors: clamp only" in " ".join(registry().calculator("drop").how)


@pytest.mark.parametrize("name", ["cranking", "ripple", "target"])
def test_a_logger_goes_on_and_off_at_a_standing_engine(name: str) -> None:
    actions = [step for step in registry().calculator(name).how.actions if "logger" in step.text]
    assert len(actions) == 2 and all(action.hands for action in actions)


def test_what_was_kept_from_injecting_may_again() -> None:
    """Injection that was kept off for cranking is set free at the end."""
    for name in ("cranking", "delivery"):
        assert "Let injection work again." in list(registry().calculator(name).how)


def test_a_drain_is_closed_before_the_sample_is_looked_at() -> None:
    texts = list(registry().calculator("fuel").how)
    drawn = texts.index("Draw sample at tank or filter drain.")
    assert texts[drawn + 1] == "Close drain; see dry."


def test_the_rows_on_pressure_that_is_too_high_are_on_the_card_of_the_valves() -> None:
    """Each stops the engine; no wish for less is sensor or target; a right current tells inlet from outlet."""
    rows = {meaning.observation: meaning for meaning in CARDS["regulators"]().meanings}
    assert rows["pressure too high, less is asked for, current wrong"].says == "control side"
    assert "sensor or target" in rows["pressure too high, less is not asked for"].says
    told = rows["pressure too high, less is asked for, current right"].says
    assert told.startswith("sensor first") and "inlet valve does not close, outlet valve does not open" in told


@pytest.mark.parametrize("name", ["regulators", "regulator", "target"])
def test_every_row_on_too_much_pressure_stops_the_engine(name: str) -> None:
    """Whatever it is: a rail that is above what is wanted is not run again to find out."""
    rows = [row for row in CARDS[name]().meanings if re.search("pressure (too )?high|above the band", row.observation)]
    assert rows and all(row.next.startswith("engine off, do not restart") for row in rows)


@pytest.mark.parametrize(("volume", "fall", "seconds"), [(15, 20, 30), (25, 100, 30), (25, 100, 60), (40, 200, 20)])
def test_the_leak_chart_is_the_upper_bound_of_what_hold_finds(volume: int, fall: int, seconds: int) -> None:
    """The chart takes all of the fall for leak; `hold` takes cooling off, and its interval ends below the chart's line."""
    hold = registry().calculator("hold")
    read = {"volume": f"{volume} ± 0 mL", "start": "350 ± 0 bar", "end": f"{350 - fall} ± 0 bar", "time": f"{seconds} ± 0 s"}
    found = hold(**read)["leak_collected"].to("mL/min")
    (chart,) = charts(Known(hold, {"volume": Reading.of(volume, "mL"), "time": Reading.of(seconds, "s")}))
    line = dict(zip(chart.series[0].x, chart.series[0].y, strict=True))
    assert found.value < found.high <= line[fall]
    assert "as if nothing cooled" in UPPER_BOUND.text and "all of it may be" in UPPER_BOUND.text


TESTS = sorted(name for name in CARDS if CARDS[name]().steps)


@pytest.mark.parametrize("name", TESTS)
def test_the_waiting_time_has_a_blank_before_anything_is_done(name: str) -> None:
    """Once, at the end of the entry; later steps say "wait". Without one in the data nothing is begun."""
    *_, last = CARDS[name]().entry
    assert (last.text, last.blank) == (WAITING.text, "min")
    assert "without a waiting time no hand goes near: stop here" in WAITING.otherwise


@pytest.mark.parametrize("name", TESTS)
def test_nobody_can_start_it_while_a_hand_is_there(name: str) -> None:
    """The key is with the person and a sign on the wheel before the first hand."""
    how = registry().calculator(name).how
    locked = next(place for place, step in enumerate(how.actions) if step.text == LOCK_OUT.text)
    assert all(word in LOCK_OUT.text for word in ("take key", "DO NOT START", "wheel", "wait"))
    assert not any(step.hands for step in how.actions[:locked])
    assert [step.text for step in how.actions].count(LOCK_OUT.text) == 1


def test_how_far_the_pressure_has_to_fall_is_said_and_what_stops_whom_it_does_not() -> None:
    """80 bar is no zero; the card that is named bears that name in print, in both languages."""
    from baybook_cards.general.safety import card
    from baybook_cards.language import language

    assert TO_ZERO.text.endswith("fall to 0.") and TO_ZERO.caution and TO_ZERO.caution.short.startswith("Not seen: STOP")
    assert "above zero: stop" in TO_ZERO.caution.text
    german = language("de", ("baybook_cards",)).text
    for title, told in ((card().title, TO_ZERO.caution.short), (german(card().title), german(TO_ZERO.caution.short))):
        assert title.partition(":")[0] == told.rpartition(" ")[2].rstrip(".")


def test_what_hurts_is_told_from_what_has_to_be_there() -> None:
    """Bars of danger are data: they are drawn dark, with the alert sign."""
    bars = {line.text: line.danger for name in TESTS for line in CARDS[name]().lines if line.bar}
    calm = {text for text, danger in bars.items() if not danger}
    assert calm == {BEFORE_HANDS.text, BEFORE_RUNNING.text, "For current:"}


def test_a_run_on_the_road_is_read_by_a_second_person() -> None:
    for name in ("supply", "target"):
        assert ON_ROAD in registry().calculator(name).how.steps
    assert all(words in ON_ROAD.text for words in ("second person reads", "extraction, chocks away", "leads tied, bonnet shut"))


def test_hands_are_off_before_each_first_run() -> None:
    texts = list(registry().calculator("delivery").how)
    run = next(place for place, text in enumerate(texts) if text.startswith("Run"))
    assert HANDS_OFF.text in texts[:run]


def test_petrol_is_asked_for_before_the_ignition_goes_on() -> None:
    """Its vapour burns at the spark of a relay: the first step, which switches on, is left out."""
    steps = list(registry().calculator("fuel").how.steps)
    bar = next(step for step in steps if "Petrol suspected" in getattr(step, "text", ""))
    assert bar.danger and "key stays off; skip step 1" in bar.text and steps.index(bar) < steps.index(TO_ZERO)
    assert next(step for step in steps if isinstance(step, Action)) == TO_ZERO


def test_wetness_is_looked_for_once_the_rail_is_empty() -> None:
    texts = list(registry().calculator("hold").how)
    look = next(place for place, text in enumerate(texts) if "look for wetness" in text)
    assert "Stay away; prove zero." in texts[:look] and not any("wetness" in text for text in texts[:look])


def test_a_repetition_names_the_step_it_begins_at() -> None:
    """Which is the run."""
    for name in ("returns", "common-return"):
        actions = registry().calculator(name).how.actions
        assert any("repeat from step 5" in step.text for step in actions) and actions[4].text.startswith("Run"), name


def test_fire_stands_beside_the_jet_on_the_band_of_the_fuel() -> None:
    strong = CARDS["fuel"]().strong
    assert strong and "no flame" in strong.text and {"W021", "P003", "W-JET"} == set(strong.symbols)
