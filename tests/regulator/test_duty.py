"""Settling which part of the period a duty meter counts."""

from __future__ import annotations

import pytest

from baybook_physics.pressure_valve import Counts, Switched
from baybook_plugins.regulator.duty import Clue, settle

LIVE = Clue("live data", 0.30, 0.005)
WIRE = Clue("the wire's voltage", 0.31, 0.01)


@pytest.mark.parametrize(
    ("counts", "switched", "share"),
    [
        (Counts.LOW, Switched.GROUND, 0.7),
        (Counts.HIGH, Switched.GROUND, 0.3),
        (Counts.LOW, Switched.SUPPLY, 0.3),
        (Counts.HIGH, Switched.SUPPLY, 0.7),
    ],
)
def test_a_known_polarity_is_believed(counts: Counts, switched: Switched, share: float) -> None:
    drive = settle(0.7, 0.005, counts, switched, [])
    assert drive.share == pytest.approx(share)
    assert drive.how == "as stated"


def test_a_reading_that_fits_the_complement_is_turned() -> None:
    """70 % counted low on a ground-switched wire would be 70 % on; command and voltage both say 30 %."""
    drive = settle(0.7, 0.005, Counts.LOW, Switched.GROUND, [LIVE, WIRE])
    assert (drive.share, drive.how) == (pytest.approx(0.3), "complement")
    assert drive.words.startswith("The reading of 70 % fits the wrong polarity: live data and the wire's voltage say")
    assert "oscilloscope" in drive.words


def test_a_reading_that_fits_stays() -> None:
    drive = settle(0.7, 0.005, Counts.HIGH, Switched.GROUND, [LIVE, WIRE])
    assert (drive.share, drive.how) == (pytest.approx(0.3), "as stated")


@pytest.mark.parametrize(("reading", "level"), [(0.3, "low"), (0.7, "high")])
def test_an_unknown_polarity_is_chosen_by_the_clues(reading: float, level: str) -> None:
    drive = settle(reading, 0.005, Counts.UNKNOWN, Switched.GROUND, [LIVE])
    assert (drive.share, drive.how) == (pytest.approx(0.3), "chosen")
    assert f"counts the {level} time" in drive.words


def test_an_unknown_polarity_without_clues_stays_unsettled() -> None:
    """Both possibilities are named and none is taken."""
    drive = settle(0.7, 0.005, Counts.UNKNOWN, Switched.GROUND, [])
    assert (drive.share, drive.how) == (None, "unsettled")
    assert "70 % means on for 70 % or for 30 %" in drive.words


def test_a_wire_that_does_not_follow_its_command_is_no_polarity() -> None:
    """90 % fits neither 30 % nor its complement of 70 %: the reading stands and is called contradicted."""
    drive = settle(0.9, 0.005, Counts.LOW, Switched.GROUND, [LIVE])
    assert (drive.share, drive.how) == (pytest.approx(0.9), "contradicted")
    assert "live data says 30 %" in drive.words


def test_clues_that_disagree_turn_nothing() -> None:
    """One clue for, one against: no polarity is chosen."""
    other = Clue("the wire's voltage", 0.70, 0.01)
    assert settle(0.7, 0.005, Counts.LOW, Switched.GROUND, [LIVE, other]).how == "contradicted"
    assert settle(0.7, 0.005, Counts.UNKNOWN, Switched.GROUND, [LIVE, other]).how == "unsettled"


def test_an_uncertain_clue_leaves_more_room() -> None:
    """10 points apart do not fit when both are sharp, and fit when the clue is good to ± 8 points (95 %)."""
    sharp, vague = Clue("live data", 0.40, 0.001), Clue("live data", 0.40, 0.04)
    assert settle(0.30, 0.001, Counts.LOW, Switched.GROUND, [sharp]).how == "contradicted"
    assert settle(0.30, 0.001, Counts.LOW, Switched.GROUND, [vague]).how == "as stated"
    assert settle(0.26, 0.001, Counts.LOW, Switched.GROUND, [vague]).how == "contradicted"


def test_near_half_the_polarity_does_not_matter() -> None:
    """At 52 % either way lies within the agreement: the statement stands."""
    drive = settle(0.52, 0.005, Counts.LOW, Switched.GROUND, [Clue("live data", 0.49, 0.005)])
    assert (drive.share, drive.how) == (pytest.approx(0.52), "as stated")
