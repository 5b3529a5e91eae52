"""What the sentences that keep hands safe have to say, also in their short form on a front (common practice, no source)."""

from __future__ import annotations

import pytest

from baybook.api import BEFORE_RUNNING, TO_ZERO

from .conftest import CARDS


def shorts(name: str) -> list[str]:
    """The short cautions at the lines of a card."""
    return [line.caution.short for line in CARDS[name]().lines if line.caution]


def test_zero_counts_only_where_a_fall_was_seen() -> None:
    """The short form is a whole sentence; the long one says what a reading that stood at zero proves."""
    caution = TO_ZERO.caution
    assert caution and caution.short == "Zero counts only if seen to fall."
    assert "If it stood at zero all along, it proves nothing" in caution.text


@pytest.mark.parametrize(
    "word", ["Neutral", "brake", "chocks", "exhaust", "extinguisher", "ears", "lift secured", "nobody below"]
)
def test_the_bar_before_running_says_each_thing(word: str) -> None:
    assert word in BEFORE_RUNNING.text


def test_the_starter_is_rested_where_it_cranks() -> None:
    assert any("rest starter" in line.text for line in CARDS["cranking"]().lines)


def test_returns_says_what_may_be_plugged_and_what_never() -> None:
    """Only the open stub of the injectors' own branch; other returns are neither closed nor pinched nor plugged."""
    assert "Plug only injector branch's open stub." in [line.text for line in CARDS["returns"]().lines]
    (said,) = [short for short in shorts("returns") if "returns of" in short]
    assert all(word in said for word in ("Never", "close", "pinch", "plug", "pump", "rail", "valve"))


def test_a_slipping_pin_and_a_pressure_that_runs_away_are_named_with_what_they_do() -> None:
    assert {"Slip to ground: full pressure.", "Pressure runs away: engine off."} <= set(shorts("regulator"))


def test_never_unplugging_comes_first_at_the_pressure_control() -> None:
    strong = CARDS["regulator"]().strong
    assert strong and strong.signal == "danger" and strong.text == "Engine running: never unplug."


def test_no_gauge_goes_on_the_high_side_unless_the_data_allow_one() -> None:
    assert "No gauge unless data allow." in shorts("hold")
    assert any("fitted at proven zero" in line.caution.text for line in CARDS["hold"]().lines if line.caution)
