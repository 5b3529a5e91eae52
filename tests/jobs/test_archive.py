"""Finished jobs added up: counts, base rates and the calibration table against plain arithmetic; bad sheets, resuming, room.

Brier score and calibration bins are recomputed here from the lines; the values of the formulas themselves are checked against
published ones in tests/places/test_published.py.
"""

from __future__ import annotations

import json
import time
import tracemalloc
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from tests.jobs.test_whole_jobs import EVEN, FITTED, UNEVEN

from baybook.jobs import archive
from baybook.jobs.archive import Archive, learned, lines_of, read_lines, sheets_in
from baybook.jobs.archive_report import archive_lines, plot_of
from baybook.jobs.evaluation import work_out
from baybook.jobs.sheet import read_sheet
from baybook.language import language

COMPLAINT = '[complaint]\nkind = "starts badly"\n'
REPAIRED = '\n[[steps]]\nrepair = ["injector 3"]\n' + EVEN + '\n[[steps]]\ncomplaint = "gone"\n'


def outcome(place: str) -> str:
    return f'\n[outcome]\nplace = "{place}"\nconfirmed = "repair proved"\n'


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Six jobs: three that were the injector the returns pointed at, one that was not, one unfinished, one without a test."""
    made = tmp_path / "jobs"
    (made / "old").mkdir(parents=True)
    sheets = {
        "a.toml": COMPLAINT + FITTED + UNEVEN + REPAIRED + outcome("injector 3"),
        "b.toml": COMPLAINT + FITTED + UNEVEN + outcome("injector 3"),
        "old/c.toml": COMPLAINT + FITTED + UNEVEN + outcome("injector 3"),
        "d.toml": COMPLAINT + FITTED + UNEVEN + outcome("feed line"),
        "e.toml": COMPLAINT + FITTED + UNEVEN,
        "f.toml": COMPLAINT + FITTED + outcome("filter"),
    }
    for name, text in sheets.items():
        (made / name).write_text(text, encoding="utf-8")
    return made


def test_jobs_are_counted_and_scored_by_what_was_stated_before_the_repair(folder: Path) -> None:
    found = learned(lines_of(sheets_in(folder), {}), lambda line, new: None)
    assert (found.sheets, found.finished, found.unfinished, found.untested) == (6, 5, 1, 1)
    assert found.outcomes == {"injector 3": 3, "feed line": 1, "filter": 1}
    stated = work_out(read_sheet(folder / "b.toml")).found.chances["injector 3"]
    assert stated > 0.5
    [row] = found.leading.table()
    assert (row.count, row.true) == (4, 0.75)
    assert row.stated == pytest.approx(stated, abs=1e-6)  # the repaired job counts as it stood before the repair
    squares = []
    for name, true in (("b.toml", "injector 3"), ("d.toml", "feed line")):
        chances = work_out(read_sheet(folder / name)).found.chances
        squares.append([(chance - (place == true)) ** 2 for place, chance in chances.items()])
    brier = (3 * sum(squares[0]) + sum(squares[1])) / (4 * len(squares[0]))
    assert found.every.brier == pytest.approx(brier, abs=1e-5)
    assert found.rates()["injector *"] > found.rates()["rail and joints"]


def test_a_bad_sheet_is_named_and_passed_over(folder: Path, command: Callable[..., Any]) -> None:
    (folder / "g.toml").write_text("steps = [\n", encoding="utf-8")
    (folder / "h.toml").write_text(outcome("injektor 3"), encoding="utf-8")
    ran = command("archive", folder, "--json")
    assert ran.code == 0
    told = json.loads(ran.out)
    assert (told["finished"], told["unusable"]) == (5, 2)
    lines = ran.err.splitlines()
    assert [Path(line.partition(": ")[0]).name for line in lines] == ["g.toml", "h.toml"]
    assert "did you mean injector" in lines[1]


def test_a_run_that_was_stopped_goes_on_and_only_what_changed_is_worked_out_again(
    folder: Path, tmp_path: Path, command: Callable[..., Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    lines = tmp_path / "lines.jsonl"
    first = command("archive", folder, "--lines", lines)
    kept = lines.read_text(encoding="utf-8").splitlines()
    assert len(kept) == 6 and all(json.loads(line)["file"] for line in kept)
    lines.write_text("\n".join(kept[:3]) + "\n" + kept[3][:40], encoding="utf-8")  # cut off in the middle of a line
    (folder / "a.toml").write_text(COMPLAINT + FITTED + UNEVEN + outcome("injector 3"), encoding="utf-8")
    worked = []
    real = archive.line_of
    monkeypatch.setattr(archive, "line_of", lambda file: worked.append(Path(file).name) or real(file))
    known = read_lines(lines)
    assert len(known) == 3
    again = learned(lines_of(sheets_in(folder), known), lambda line, new: None)
    assert sorted(worked) == sorted(["a.toml", *(Path(json.loads(line)["file"]).name for line in kept[3:])])
    assert again.outcomes["injector 3"] == 3
    assert "What it was" in first.out


def test_base_rates_count_only_when_asked_for_and_say_of_how_many_jobs(
    folder: Path, tmp_path: Path, command: Callable[..., Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    rates = tmp_path / "rates.json"
    assert command("archive", folder, "--rates", rates).code == 0
    sheet = folder / "e.toml"
    plain = json.loads(command("job", "run", sheet, "--json").out)
    asked = json.loads(command("job", "run", sheet, "--rates", rates, "--json").out)
    assert "Beforehand the outcomes of 5 finished jobs counted." in asked["conclusion"]
    assert "it was the place stated" not in plain["conclusion"]
    told = json.loads(rates.read_text(encoding="utf-8"))["leading"][0]  # four jobs, stated alike, right in three
    assert (told["count"], told["true"]) == (4, 0.75)
    low, high = round(100 * told["low"]), round(100 * told["high"])
    assert (
        f"of 4 finished jobs that were stated with {low} to {high} %, it was the place stated in 75 %." in asked["conclusion"]
    )
    assert "Beforehand" not in plain["conclusion"]

    def chance(told: Any) -> float:
        return next(p["chance"] for p in told["places"]["places"] if p["place"]["name"] == "injector 3")

    assert chance(asked) > chance(plain)
    monkeypatch.setenv("BAYBOOK_RATES", str(rates))
    assert json.loads(command("job", "run", sheet, "--json").out)["conclusion"] == asked["conclusion"]
    wrong = command("job", "run", sheet, "--rates", sheet)
    assert (wrong.code, len(wrong.err.splitlines())) == (2, 1)


def test_rates_without_a_calibration_count_beforehand_and_rates_of_no_jobs_are_refused(
    folder: Path, tmp_path: Path, command: Callable[..., Any]
) -> None:
    rates = tmp_path / "rates.json"
    rates.write_text('{"outcomes": {"injector 3": 40}}', encoding="utf-8")
    ran = command("job", "run", folder / "e.toml", "--rates", rates)
    assert ran.code == 0 and "Beforehand the outcomes of 40 finished jobs counted." in " ".join(ran.out.split())
    assert "it was the place stated" not in " ".join(ran.out.split())
    rates.write_text('{"outcomes": {"injector 3": -4}}', encoding="utf-8")
    ran = command("job", "run", folder / "e.toml", "--rates", rates)
    assert ran.code == 2 and ran.err.startswith("--rates: ")
    assert ran.err.endswith(" holds no base rates; give a file that baybook archive --rates wrote\n")


def test_several_processors_give_the_lines_of_one(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    files = sheets_in(folder)
    one = [line for line, _ in lines_of(files, {}, processes=1)]
    monkeypatch.setattr(archive, "SMALL", 2)
    assert [line for line, _ in lines_of(files, {}, processes=2)] == one


def test_a_folder_without_a_sheet_is_named(tmp_path: Path, command: Callable[..., Any]) -> None:
    ran = command("archive", tmp_path)
    assert (ran.code, ran.out) == (2, "")
    assert ran.err == f'DIR: "{tmp_path}" holds no job sheet; give the folder of the finished job sheets (.toml)\n'


def line_of_a_job(outcome: str | None, **stated: float) -> dict[str, Any]:
    return {"file": "x.toml", "outcome": outcome, "places": 5, "tests": len(stated), "stated": stated}


def test_places_that_were_given_no_chance_count_as_given_none() -> None:
    """Of five places two are stated, 0.8 and 0.2, and the first is right: Brier (0.2² + 0.2²)/5."""
    found = Archive()
    found.add(line_of_a_job("filter", filter=0.8, pump=0.2))
    assert found.every.count == 5
    assert found.every.brier == pytest.approx(0.08 / 5)


def test_the_archive_says_what_there_is_and_no_more() -> None:
    nothing = Archive()
    nothing.add({"file": "x.toml", "error": "no sheet"})
    assert archive_lines(nothing, language("en")) == [
        "1 job sheets, 0 of them finished.", "1 cannot be used and were passed over.",
    ]  # fmt: skip
    assert [series["label"] for series in plot_of(nothing)["series"]] == ["as stated"]
    many = Archive()
    for number in range(40):
        many.add(line_of_a_job("filter" if number % 4 else "pump", filter=0.75, pump=0.25))
    told = archive_lines(many, language("en"))
    assert told[0] == "40 job sheets, 40 of them finished."
    assert [line.split()[-2:] for line in told if line.endswith(" %") and "filter" in line] == [["75", "%"]]
    assert any("Brier score" in line for line in told)
    assert not any("are few" in line or "no [outcome]" in line for line in told)


def test_the_plot_is_written_as_pdf_and_as_svg_and_nothing_is_written_over(
    folder: Path, tmp_path: Path, command: Callable[..., Any]
) -> None:
    for name, begin in (("plot.pdf", b"%PDF"), ("plot.svg", b"<svg")):
        ran = command("archive", folder, "--plot", tmp_path / name)
        assert ran.code == 0, ran.err
        assert (tmp_path / name).read_bytes().lstrip().startswith(begin)
    again = command("archive", folder, "--plot", tmp_path / "plot.svg")
    assert again.code == 2 and len(again.err.splitlines()) == 1
    assert command("archive", folder, "--plot", tmp_path / "plot.png").code == 2
    assert command("archive", tmp_path / "nothing").code == 2


def test_ten_thousand_lines_take_linear_time_and_flat_room(folder: Path) -> None:
    [*lines] = lines_of([str(folder / "b.toml")], {})
    line, _ = lines[0]

    def run(jobs: int) -> tuple[float, int, Archive]:
        tracemalloc.start()
        begin = time.process_time()
        found = learned(((line, False) for _ in range(jobs)), lambda line, new: None)
        taken, peak = time.process_time() - begin, tracemalloc.get_traced_memory()[1]
        tracemalloc.stop()
        return taken, peak, found

    few, many = run(1_000), run(10_000)
    assert many[2].outcomes["injector 3"] == 10_000
    assert many[0] < 25 * max(few[0], 0.01)
    assert many[1] < 2 * few[1] + 100_000
