"""The job commands as their user types them."""

from __future__ import annotations

import json
import os
import re
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader

from baybook.jobs.sheet import read_sheet

Command = Callable[..., Any]
ROOT = Path(__file__).parents[2]
RETURNS = ["--volumes", "30 mL; 31 mL; 60 mL; 29 mL", "--time", "2 min", "--median-limit", "<= 150 %; workshop sheet 3"]


@pytest.fixture
def sheet(tmp_path: Path, command: Command) -> Path:
    """A new sheet with one step taken and one planned."""
    path = tmp_path / "job.toml"
    assert command("job", "new", path, "--set", "vehicle=van", "--set", "number=17").code == 0
    assert command("job", "add", path, "returns", *RETURNS, "--title", "Returns at idle").code == 0
    assert command("job", "add", path, "coil").code == 0
    return path


def test_a_step_is_added_without_losing_a_remark(sheet: Path) -> None:
    text = sheet.read_text(encoding="utf-8")
    assert text.startswith("# Baybook job sheet.")
    assert "# Limits are yours" in text
    assert text.count("\n[[steps]]") == 2


def test_the_remarks_of_a_new_sheet_say_where_a_condition_and_elements_that_are_off_belong(
    tmp_path: Path, command: Command
) -> None:
    """The line stands above the inputs; typed as the remark has it, the step counts as taken so."""
    path = tmp_path / "job.toml"
    assert command("job", "new", path).code == 0
    text = path.read_text(encoding="utf-8")
    at = text.index("# [steps.inputs]")
    assert "said of the step" in text[text.rindex("# condition = ", 0, at) : at] and "switched off" in text
    step = '[[steps]]\ncalculator = "reading"\ncondition = "hot, idle"\n[steps.inputs]\nwhat = "feed pressure"\n'
    path.write_text(f'{text}\n{step}value = "4 bar"\nlimit = "3 to 5 bar"\n', encoding="utf-8")
    assert set(read_sheet(path).steps[0].condition) == {"hot", "idle"}


def test_run_tells_verdicts_findings_and_what_is_open(sheet: Path, command: Command) -> None:
    ran = command("job", "run", sheet)
    assert ran.code == 0
    assert "[out]" in ran.out
    assert "workshop sheet 3" in ran.out
    assert "Step 2: Coil resistance and current (coil)\n  planned, not taken yet" in ran.out
    assert re.search(r"^  \[ \]  supply      hydraulic  +\d+ %  +untested$", ran.out, re.MULTILINE)
    assert ran.out.index("By stage and side") < ran.out.index("Test next") < ran.out.index("Conclusion")


def test_run_as_json_has_the_results_in_their_one_shape(sheet: Path, command: Command) -> None:
    told = json.loads(command("job", "run", sheet, "--json").out)
    assert told["job"]["vehicle"] == "van"
    assert [step["taken"] for step in told["steps"]] == [True, False]
    assert {"stage": "supply", "side": "hydraulic"} in told["untested"]
    assert told["steps"][0]["result"]["verdicts"][2]["verdict"] == "outside"


def test_a_step_that_cannot_be_used_leaves_the_sheet_as_it_was(sheet: Path, command: Command) -> None:
    before = sheet.read_bytes()
    ran = command("job", "add", sheet, "returns", "--volumes", "30 bar; 31 mL", "--time", "-2 min")
    assert ran.code == 2
    assert ran.err.splitlines()[-2:] == [
        '--volumes: "30 bar; 31 mL" has a reading 1 that is a pressure; give a volume, such as 25 mL',
        '--time: "-2 min" is not possible here; give a value above 0 s',
    ]
    assert sheet.read_bytes() == before


def test_every_wrong_input_of_every_step_is_told_at_once(tmp_path: Path, command: Command) -> None:
    path = tmp_path / "job.toml"
    path.write_text(
        '[[steps]]\ncalculator = "returns"\n[steps.inputs]\ntime = "2 bar"\n'
        '[[steps]]\ncalculator = "coyl"\n[steps.inputs]\na = "1"\n',
        encoding="utf-8",
    )
    ran = command("job", "run", path)
    assert ran.code == 2
    where = [line.partition(":")[0] for line in ran.err.splitlines()]
    assert where[-3:] == ["step 1 (returns), volumes", "step 1 (returns), time", "step 2 (coyl)"]
    assert "did you mean coil?" in ran.err


def test_an_existing_sheet_is_not_written_over_unless_told(sheet: Path, command: Command) -> None:
    before = sheet.read_bytes()
    ran = command("job", "new", sheet)
    assert (ran.code, sheet.read_bytes()) == (2, before)
    assert "exists already; give another name, or --force" in ran.err
    assert command("job", "new", sheet, "--force").code == 0


def test_the_report_holds_every_input_the_verdicts_and_the_limits_source(sheet: Path, command: Command, tmp_path: Path) -> None:
    target = tmp_path / "report.pdf"
    assert command("job", "report", sheet, "--pdf", target).code == 0
    text = " ".join(" ".join(page.extract_text() for page in PdfReader(target).pages).split())
    for part in ("van", "Returns at idle", "30; 31; 60; 29 mL (± 0.5 assumed)", "workshop sheet 3", "outside", "untested"):
        assert part in text, part


def test_no_report_is_left_behind_when_the_sheet_is_wrong(tmp_path: Path, command: Command) -> None:
    path, target = tmp_path / "job.toml", tmp_path / "report.pdf"
    path.write_text('[[steps]]\ncalculator = "returns"\n[steps.inputs]\ntime = "2 bar"\n', encoding="utf-8")
    assert command("job", "report", path, "--pdf", target).code == 2
    assert sorted(tmp_path.iterdir()) == [path]


STEPS_AS_A_LIST = {
    "empty": 'steps = []  # none yet\n\n[job]\nnumber = "17"\n',
    "on one line": 'steps = [{calculator="hold"}]\n[job]\nnumber = "17"\n',
    "on several lines": 'steps = [\n  {calculator = "hold"},  # before the drive\n]\n\n[job]\nnumber = "17"\n',
    "nothing after it": 'steps = [{calculator = "hold", title = "[[steps]]"}]',
}


@pytest.mark.parametrize("text", STEPS_AS_A_LIST.values(), ids=STEPS_AS_A_LIST)
def test_steps_in_a_list_are_added_to_where_they_stand(tmp_path: Path, command: Command, text: str) -> None:
    path = tmp_path / "job.toml"
    path.write_text(text, encoding="utf-8")
    before = read_sheet(path)
    assert command("job", "add", path, "returns", *RETURNS, "--title", 'the "first"').code == 0
    after = read_sheet(path)
    assert after.steps[:-1] == before.steps
    assert after.job == before.job
    assert (after.steps[-1].calculator, after.steps[-1].title) == ("returns", 'the "first"')
    assert all(remark in path.read_text(encoding="utf-8") for remark in re.findall("#.*", text))
    assert command("job", "run", path).code == 0


@pytest.mark.parametrize("text", ["", 'job = {number = "17"}', '[[steps]]\ncalculator = "hold"\n[job]\nnumber = "17"'])
def test_a_sheet_of_any_form_is_added_to(tmp_path: Path, command: Command, text: str) -> None:
    path = tmp_path / "job.toml"
    path.write_text(text, encoding="utf-8")
    before = read_sheet(path)
    assert command("job", "add", path, "returns", *RETURNS).code == 0
    assert read_sheet(path).steps[:-1] == before.steps
    assert read_sheet(path).job == before.job


@pytest.mark.parametrize("text", ["steps = 3", "[steps]\na = 1", "steps = [3]", "job = 3", "[job]\nvehicel = 'van'"])
def test_what_run_refuses_is_not_added_to(tmp_path: Path, command: Command, text: str) -> None:
    path = tmp_path / "job.toml"
    path.write_text(text, encoding="utf-8")
    ran, added = command("job", "run", path), command("job", "add", path, "hold")
    assert (added.code, added.err) == (2, ran.err)
    assert len(added.err.splitlines()) == 1
    assert path.read_text(encoding="utf-8") == text


def test_a_sheet_with_a_number_that_is_none_is_left_alone(tmp_path: Path, command: Command) -> None:
    """It equals nothing, itself included: whether all else stayed as it was cannot be shown."""
    path = tmp_path / "job.toml"
    text = '[job]\nmileage = nan\n[[steps]]\ncalculator = "coil"\n'
    path.write_text(text, encoding="utf-8")
    for words in (("add", path, "coil", "3", "ohm", "--temperature", "20 °C"), ("edit", path, "1", "--title", "injector 3")):
        ran = command("job", *words)
        assert ran.code == 2 and len(ran.err.splitlines()) == 1 and "[job], mileage" in ran.err
        assert path.read_text(encoding="utf-8") == text


@pytest.mark.parametrize(
    ("step", "line"),
    [
        (["coil", "--reading", "3 ohm"], "--temperature: "),
        (["convert", "300 bar", "volt"], 'TO: "volt" '),
        (["hold", "--capture", "nofile.csv", "--volume", "25 mL"], "nofile.csv"),
    ],
)
def test_a_step_that_cannot_be_worked_out_is_not_added(sheet: Path, command: Command, step: list[str], line: str) -> None:
    before = sheet.read_bytes()
    ran = command("job", "add", sheet, *step)
    assert (ran.code, ran.out, sheet.read_bytes()) == (2, "", before)
    assert line in ran.err


def test_the_inputs_of_an_earlier_result_are_added_whole(sheet: Path, command: Command, tmp_path: Path) -> None:
    """They hold records, lists of records, zeros and nulls."""
    told = tmp_path / "result.json"
    told.write_text(command("returns", *RETURNS, "--json").out, encoding="utf-8")
    assert command("job", "add", sheet, "returns", "--from", told).code == 0
    first, *_, last = json.loads(command("job", "run", sheet, "--json").out)["steps"]
    assert last["result"]["outputs"] == first["result"]["outputs"]


def test_a_capture_is_named_as_seen_from_the_sheet(tmp_path: Path, command: Command, monkeypatch: pytest.MonkeyPatch) -> None:
    shutil.copy(ROOT / "data_demo" / "heath_hold.csv", tmp_path / "hold.csv")
    (tmp_path / "van").mkdir()
    monkeypatch.chdir(tmp_path)
    assert command("job", "new", "van/job.toml").code == 0
    assert command("job", "add", "van/job.toml", "hold", "--capture", "hold.csv", "--volume", "25 mL").code == 0
    assert '"../hold.csv"' in Path("van/job.toml").read_text(encoding="utf-8")
    monkeypatch.chdir(tmp_path / "van")
    assert command("job", "run", "job.toml").code == 0


REFUSED_NAMES = {
    ("new", "new.txt"): '"new.txt" does not end in .toml; give a file name, such as job.toml',
    ("new", "-"): '"-" does not end in .toml; give a file name, such as job.toml',
    ("report", "job.toml", "--pdf", "x.txt"): '--pdf: "x.txt" does not end in .pdf; give a file name, such as job.pdf',
    ("report", "job.toml", "--html", "x.pdf"): '--html: "x.pdf" does not end in .html; give a file name, such as job.html',
    ("report", "job.toml", "--html", "-"): '--html: "-" does not end in .html; give a file name, such as job.html',
    ("report", "job.toml", "--pdf", "both", "--html", "both"): '--pdf: "both" does not end in .pdf; '
    "give a file name, such as job.pdf",
    ("report", "job.toml", "--pdf", "link.pdf", "--html", "page.html"): '--html: "page.html" leads to the same file as --pdf; '
    "give another name",
}


@pytest.mark.parametrize(("arguments", "line"), REFUSED_NAMES.items(), ids=[" ".join(words) for words in REFUSED_NAMES])
def test_a_file_is_written_under_a_name_that_says_what_it_is(
    sheet: Path, command: Command, monkeypatch: pytest.MonkeyPatch, arguments: tuple[str, ...], line: str
) -> None:
    monkeypatch.chdir(sheet.parent)
    Path("link.pdf").symlink_to("page.html")
    before = sorted(Path().iterdir())
    ran = command("job", *arguments, "--force")
    assert (ran.code, ran.out, ran.err.splitlines()) == (2, "", [line])
    assert sorted(Path().iterdir()) == before


def test_a_sheet_that_is_a_link_stays_one(sheet: Path, command: Command) -> None:
    link = sheet.with_name("link.toml")
    link.symlink_to(sheet.name)
    assert command("job", "add", link, "coil").code == 0
    assert link.is_symlink()
    assert len(read_sheet(sheet).steps) == 3


def test_a_pipe_is_no_sheet_to_add_to(tmp_path: Path, command: Command) -> None:
    pipe = tmp_path / "pipe.toml"
    os.mkfifo(pipe)
    for ran in (command("job", "add", pipe, "coil"), command("job", "new", pipe, "--force")):
        assert ran.code == 2
        assert ran.err == f'"{pipe}" is no file that can be written whole; give the name of a file\n'
        assert pipe.is_fifo()


def test_answers_that_end_too_soon_leave_the_sheet_as_it_was(sheet: Path, process: Command) -> None:
    before = sheet.read_bytes()
    for answers in ("", "25 mL\n", "25 mL\n\n\n"):
        ran = process("job", "add", sheet, "hold", "--ask", stdin=answers)
        assert (ran.code, ran.out, sheet.read_bytes()) == (2, "", before)
        assert ran.err.splitlines()[-1] == (
            "--ask: the input ended before every question was answered; answer each, or . to leave out what is optional"
        )


def test_an_answer_left_empty_leaves_out_what_is_optional(sheet: Path, process: Command) -> None:
    assert process("job", "add", sheet, "convert", "--ask", stdin="300 bar\npsi\n\n\n\n").out == "step 3 (convert) added\n"
    assert read_sheet(sheet).steps[-1].inputs == {"reading": "300 bar", "to": "psi"}


def test_texts_of_a_sheet_cannot_steer_the_terminal(tmp_path: Path, command: Command) -> None:
    path = tmp_path / "job.toml"
    path.write_text(
        '[job]\nvehicle = "van\\u001b[2J\\u202e\\u009b\\ttwo\\nlines"\n'
        '[[steps]]\ncalculator = "convert"\ntitle = "\\u001b]0;x\\u0007"\n[steps.inputs]\nreading = "300 bar"\nto = "psi"\n',
        encoding="utf-8",
    )
    shown = command("job", "run", path).out
    assert shown.startswith("vehicle  van\ufffd[2J\ufffd\ufffd\ttwo\nlines\n")
    assert "Step 1: \ufffd]0;x\ufffd (convert)\n" in shown
    told = command("job", "run", path, "--json").out
    assert not re.search("[\x00-\x09\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]", told)
    assert json.loads(told)["job"]["vehicle"] == "van\x1b[2J\u202e\x9b\ttwo\nlines"


@pytest.mark.parametrize("quick", [False, True])
def test_what_was_typed_cannot_steer_the_terminal(tmp_path: Path, process: Command, quick: bool) -> None:
    """Not from an error, nor from a limit's source, whichever way the command goes."""
    hold = ["hold", "--start", "1000 bar", "--end", "900 bar", "--time", "30 s", "--volume", "25 mL"]
    ran = process(*hold, "--limit", "<= 6 mL/min; \x1b[2J", *([] if quick else ["--fail-on=undecided"]))
    assert "limits: \ufffd[2J\n" in ran.out
    assert process("convert", "300 \x1b[2J", "psi").err.startswith('READING: "300 \ufffd[2J" has a unit that is not known')


def test_help_is_for_adding_until_a_calculator_is_named(sheet: Path, command: Command) -> None:
    own = command("job", "add", "--help")
    assert (own.code, own.err) == (0, "")
    assert "Add a step: the calculator's name and its options." in own.out
    assert command("job", "add", sheet, "--help") == own
    assert "--volume READING" in command("job", "add", sheet, "hold", "--help").out


FUEL = 'name = "{}"\ndensity_15C = {}\nviscosity_40C = 2.5\nmodulus_15C = {}\nsources = ["a data sheet"]\n'
HOLD = ["hold", "--start", "1000 ± 5 bar", "--end", "900 ± 5 bar", "--time", "30 ± 0.1 s", "--volume", "25 ± 0.5 mL"]


def test_a_fuel_described_in_a_file_is_looked_for_beside_the_sheet(
    tmp_path: Path, command: Command, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Two jobs with a fuel of their own under one name: from wherever it is worked out, each has its own."""
    for name, density, modulus in (("fa", 830, 1200), ("fb", 860, 1900)):
        (tmp_path / name).mkdir()
        (tmp_path / name / "fuel.toml").write_text(FUEL.format(name, density, modulus), encoding="utf-8")
        monkeypatch.chdir(tmp_path / name)
        assert command("job", "new", "s.toml").code == 0
        assert command("job", "add", "s.toml", *HOLD, "--fuel", "fuel.toml").code == 0
    leaks = {}
    for folder in ("fa", "fb", "."):
        monkeypatch.chdir(tmp_path / folder)
        for job in ("fa", "fb"):
            ran = command("job", "run", os.path.relpath(tmp_path / job / "s.toml"), "--json")
            leaks[folder, job] = json.loads(ran.out)["steps"][0]["result"]["outputs"]["leak_at_line"]["value"]
    assert leaks["fa", "fa"] > 1.2 * leaks["fb", "fb"]  # the stiffer fuel leaks less for the same fall: Q = V Δp / (K t)
    assert all(leaks[folder, job] == leaks[job, job] for folder, job in leaks)


def test_an_earlier_result_with_a_capture_is_added_to_a_sheet_elsewhere(
    tmp_path: Path, command: Command, monkeypatch: pytest.MonkeyPatch
) -> None:
    shutil.copy(ROOT / "data_demo" / "heath_hold.csv", tmp_path / "hold.csv")
    (tmp_path / "van").mkdir()
    monkeypatch.chdir(tmp_path)
    told = command("hold", "--capture", "hold.csv", "--volume", "25 mL", "--json").out
    Path("result.json").write_text(told, encoding="utf-8")
    assert command("job", "new", "van/job.toml").code == 0
    ran = command("job", "add", "van/job.toml", "hold", "--from", "result.json")
    assert (ran.code, ran.err) == (0, "")
    monkeypatch.chdir(tmp_path / "van")
    outcome = json.loads(command("job", "run", "job.toml", "--json").out)
    assert outcome["steps"][0]["result"]["outputs"] == json.loads(told)["outputs"]


def test_a_step_that_cannot_be_worked_out_takes_nothing_from_the_others(sheet: Path, command: Command) -> None:
    """A step with a wrong input between good ones: it is named and marked, and the exit code says it."""
    text = sheet.read_text(encoding="utf-8")
    sheet.write_text(f'{text}\n[[steps]]\ncalculator = "hold"\n[steps.inputs]\ntime = "2 bar"\n', encoding="utf-8")
    assert command("job", "add", sheet, "returns", *RETURNS).code == 0
    ran = command("job", "run", sheet)
    assert ran.code == 2
    assert len([line for line in ran.out.splitlines() if line.split()[:4] == ["injector", "percent", "of", "median"]]) == 2
    marked = ran.out.partition("Step 3: Pressure hold (hold)\n")[2]
    assert marked.startswith("  [x] could not be worked out:\n")
    assert 'time: "2 bar" is a pressure; give a time' in marked
    assert "Could not be worked out: step 3." in " ".join(ran.out.split())
    assert ran.err.splitlines()[-1].startswith('step 3 (hold), time: "2 bar" is a pressure')
    told = command("job", "run", sheet, "--json")
    steps = json.loads(told.out)["steps"]
    assert told.code == 2
    assert [step["taken"] for step in steps] == [True, False, False, True]
    assert [step["error"] is None for step in steps] == [True, True, False, True]
    assert steps[2]["error"]["problems"][-1]["given"] == "2 bar"


def test_a_report_names_the_step_that_could_not_be_worked_out(sheet: Path, command: Command, tmp_path: Path) -> None:
    """As where its calculator has been switched off since."""
    text = sheet.read_text(encoding="utf-8")
    sheet.write_text(f'{text}\n[[steps]]\ncalculator = "gone"\n[steps.inputs]\na = "1"\n', encoding="utf-8")
    for language, words in (("en", "could not be worked out"), ("de", "ließ sich nicht berechnen")):
        target = tmp_path / f"report-{language}.html"
        ran = command("job", "report", sheet, "--html", target, "--language", language)
        assert ran.code == 2
        assert ran.err.splitlines()[1].startswith('step 3 (gone): "gone" is not a calculator that is known')
        page = target.read_text(encoding="utf-8")
        assert f"{words}:" in page
        assert "workshop sheet 3" in page  # of the step that could
        if language == "de":
            conclusion = page.partition('class="conclusion">')[2].partition("</p>")[0]
            assert not re.search("step|looked|could not|point", conclusion), conclusion
