"""What the customer is told: plain sentences, no surer than the job is."""

from __future__ import annotations

from pathlib import Path

import pytest

from baybook.jobs.evaluation import work_out
from baybook.jobs.plain import PARTS, part_word, plain
from baybook.jobs.plain import tested as rows_of
from baybook.jobs.report import report_data
from baybook.jobs.sheet import read_sheet
from baybook.language import language
from baybook.places.fitted import Fitted
from baybook.places.layout import drawn
from baybook.places.system import SystemMap

HEAD = '[job]\nnumber = "1"\n[complaint]\nkind = "lacks power"\n[system]\nlow_pressure = ["tank pump"]\nfilter = true\n'
DROP = '[[steps]]\ncalculator = "supply"\n[steps.inputs]\nload = "{load} ± 0.05 bar"\nload_limit = "3.5 to 5 bar"\n'
DROP += 'before_filter = "4.6 ± 0.05 bar"\nfilter_limit = "<= 0.5 bar"\ntemperature = "31 ± 3 °C"\nair = "none"\n'
LOAD = '[[steps]]\ncalculator = "supply"\n[steps.inputs]\nload = "2.0 ± 0.05 bar"\nload_limit = "3.5 to 5 bar"\n'
LOAD += 'temperature = "31 ± 3 °C"\nair = "none"\n'
REPAIR = '[[steps]]\nrepair = ["filter"]\n'
SEEN = '[[steps]]\ncalculator = "observation"\n[steps.inputs]\nwhat = "fault in a low-side part by itself"\n'
SEEN += 'place = "filter"\nsure = "certain"\n'
OTHER_COIL = '[[steps]]\ncalculator = "coil"\nobject = "injector 2"\n[steps.inputs]\nreading = "{} ± 0.02 ohm"\n'
OTHER_COIL += 'leads = "0 ± 0 ohm"\ntemperature = "20 ± 1 °C"\nlimit = "0.2 to 0.8 ohm"\n'
BAD, GOOD = DROP.format(load="1.2"), DROP.format(load="4.3")


@pytest.mark.parametrize(
    ("steps", "found"),
    [
        ("", "Nothing has been tested yet."),
        (BAD.replace("31 ± 3", "5 ± 2"), "Most likely at fault: the fuel filter. That is not proven yet."),  # wax may be in it
        (BAD + SEEN, "The fault is found: the fuel filter. That is proven by measuring."),
        (BAD + REPAIR, "Repaired: the fuel filter. Whether that was enough is not shown yet."),
        (BAD + REPAIR + GOOD, "Repaired: the fuel filter. The same test after the repair was in order."),
        (LOAD + REPAIR + LOAD, "Repaired: the fuel filter. The same test after the repair still shows a fault."),
        (
            BAD + REPAIR + GOOD + '[[steps]]\ncomplaint = "gone"\n',
            "Found and repaired: the fuel filter. The same test after the repair was in order, and the complaint is gone.",
        ),
        (
            BAD + REPAIR + '[[steps]]\ncomplaint = "gone"\n',
            "Repaired: the fuel filter. The complaint is gone; no test was repeated after the repair that would prove it.",
        ),
        (
            BAD + REPAIR + GOOD + '[[steps]]\ncomplaint = "stands"\n',
            "Repaired: the fuel filter. The complaint is still there.",
        ),
        (GOOD, "The fault is not found yet. Nothing that was tested so far stands out."),
    ],
)
def test_the_result_for_the_customer_is_two_plain_sentences(tmp_path: Path, steps: str, found: str) -> None:
    (tmp_path / "job.toml").write_text(HEAD + steps, encoding="utf-8")
    told = plain(work_out(read_sheet(tmp_path / "job.toml")))
    assert " ".join(told.found) == found and len(told.found) <= 2


def test_tests_that_contradict_each_other_are_taken_again_before_anything_is_named(tmp_path: Path) -> None:
    (tmp_path / "job.toml").write_text(HEAD + OTHER_COIL.format("0.3") + OTHER_COIL.format("1.5"), encoding="utf-8")
    told = plain(work_out(read_sheet(tmp_path / "job.toml")))
    assert " ".join(told.found) == "Two tests contradict each other, so they are taken again first."


def test_where_a_stage_alone_is_known_it_is_named(tmp_path: Path) -> None:
    sheet = Path(__file__).with_name("sheets") / "dead_injector.toml"
    told = plain(work_out(read_sheet(sheet)))
    assert " ".join(told.found) == (
        "The tests point to the injectors, the nozzles that spray the fuel into the engine. "
        "Which part there is at fault is not known yet."
    )


def test_a_danger_is_what_the_result_means() -> None:
    sheet = Path(__file__).parents[2] / "data_demo" / "plover_overpressure.toml"
    told = plain(work_out(read_sheet(sheet)))
    assert told.means.startswith("It is not safe to run the engine before this is put right: The rail pressure is not under")


@pytest.mark.parametrize("outlet", ["pump", "rail"])
def test_every_part_of_the_map_has_plain_words_in_both_languages(outlet: str) -> None:
    fitted = Fitted(low_pressure=("tank pump", "intermediate pump", "suction pump"), outlet_valve=outlet, injectors=4)
    german = language("de")
    for place in drawn(fitted):
        word = part_word(place.name, SystemMap.of(fitted))
        assert str(word) in PARTS.values() or "{" in word.template, place.name
        assert word.text(german) != str(word), place.name


def test_a_part_that_nobody_has_put_into_plain_words_keeps_its_own() -> None:
    assert str(part_word("bench hose", SystemMap.of())) == "bench hose"
    assert part_word("injector 9", SystemMap.of()).text(language("en")).startswith("injector 9 (one of the nozzles")


def test_what_was_tested_says_what_it_showed_in_a_word(tmp_path: Path) -> None:
    (tmp_path / "job.toml").write_text(HEAD + BAD + REPAIR + GOOD, encoding="utf-8")
    rows = rows_of(work_out(read_sheet(tmp_path / "job.toml")).steps)
    assert [(row["number"], str(row["word"])) for row in rows] == [(1, "not in order"), (3, "in order")]


def test_before_and_after_a_repair_the_same_reading_is_compared(tmp_path: Path) -> None:
    """The pressure under load against the pressure under load, never against the drop of the filter."""
    (tmp_path / "job.toml").write_text(HEAD + BAD + REPAIR + GOOD, encoding="utf-8")
    rows = report_data(work_out(read_sheet(tmp_path / "job.toml")))["proofs"]
    assert rows and len({str(row) for row in rows}) == len(rows)
    for row in rows:
        before, after = (str(row[key]).partition(" against ")[2].partition(":")[0] for key in ("before", "after"))
        assert before == after != ""


def test_what_was_not_in_order_and_never_repeated_is_not_hidden_from_the_customer() -> None:
    sheet = Path(__file__).with_name("sheets") / "petrol_drained_returns_not_read_again.toml"
    told = plain(work_out(read_sheet(sheet)))
    assert [str(text) for text in told.found] == ["Found and repaired: the fuel in the tank.", "The complaint is gone."]
    assert "it is taken again before the vehicle is handed over" in told.means
