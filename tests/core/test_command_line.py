"""The command line as its user meets it."""

from __future__ import annotations

import io
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

import baybook
from baybook.cli.edge import MOST_LINES, told
from baybook.conversion import plain_answer
from baybook.errors import InputError, Problem
from baybook.registry import registry

Command = Callable[..., Any]


def test_a_reading_is_converted(command: Command) -> None:
    """300 bar are 4351.1 psi: NIST SP 811, 1 psi = 6894.757 Pa."""
    ran = command("convert", "300 ± 0 bar", "psi")
    assert (ran.code, ran.out.split()[1]) == (0, "4351.13")


NAMES = [listed.name for listed in registry().listed()]


@pytest.mark.parametrize(
    "arguments",
    [
        ["300 bar", "psi"],
        ["300 bar"],
        ["43 °C ± 3 K"],
        ["300", "bar", "psi"],
        ["300", "bar", "to", "psi"],
        ["2,7 cSt", "m2/s"],
        ["1.5 L/h", "mL/min"],
        ["3 bar", "psi"],
    ],
)
def test_a_plain_conversion_prints_what_the_calculator_prints(command: Command, process: Command, arguments: list[str]) -> None:
    assert plain_answer(arguments) == command("convert", *arguments).out
    assert process("convert", *arguments).out == plain_answer(arguments)


@pytest.mark.parametrize(
    "arguments", [["3 widgets"], ["30 s", "psi"], ["3 bar(g)"], ["3 bar", "bar(a)"], ["3 bar", "psi", "more"]]
)
def test_what_takes_more_than_a_plain_conversion_is_left_to_the_calculator(arguments: list[str]) -> None:
    assert plain_answer(arguments) is None


@pytest.mark.parametrize(
    ("arguments", "line"),
    [
        (["convert", "30 s", "psi"], 'TO: "psi" is a unit of pressure, and 30 s is a time; use s, ms, µs, min, h'),
        (["convert", "30 mpa", "psi"], 'READING: "30 mpa" has a unit that is not known, "mpa"; did you mean MPa?'),
        (["convert", "30"], 'READING: "30" has no unit; give one, such as 350 bar'),
        (
            ["job", "delete"],
            '"delete" is not a command; use one of new, mark, run, next, report, list, show, remove, move, add, edit',
        ),
        (["job", "ad", "x.toml"], '"ad" is not a command; did you mean add?'),
        (
            ["job", "add", "x.toml"],
            "CALCULATOR: is missing; use one of " + ", ".join(NAMES),
        ),
        (["job", "add", "x.toml", "coill"], '"coill" is not a calculator that is known; did you mean coil?'),
        (
            ["job", "add", "x.toml", "coil", "--readng", "3 ohm"],
            '"--readng" is not an option of this command; did you mean --reading?',
        ),
        (["plugins", "lst"], '"lst" is not a command; did you mean list?'),
        (["card", "print", "--siz", "A5"], '"--siz" is not an option of this command; did you mean --size?'),
        (
            ["job", "run", "a.toml", "b.toml"],
            '"b.toml" is one word too many for this command; put a text with spaces into quotes',
        ),
        (["job", "report", "a.toml", "--pdf"], "--pdf: is given without a value; give it behind --pdf, or leave it out"),
        (
            ["convert", "30 bar", "bar(g)"],
            'READING: "30 bar" does not say whether it is gauge or absolute; write 30 bar(g) or (a)',
        ),
        (["conver", "30 bar"], '"conver" is not a command or calculator; did you mean convert?'),
        (
            ["convert", "30 bar", "psi", "--ambiant", "1 bar"],
            '"--ambiant" is not an option of this command; did you mean --ambient?',
        ),
        (
            ["job", "run", "nothing.toml"],
            '"nothing.toml" cannot be read: No such file or directory; give the job sheet\'s file name',
        ),
        (["convert", "--from", "nothing.json"], '--from: "nothing.json" cannot be read: No such file or directory'),
    ],
)
def test_what_cannot_be_used_is_told_in_one_line(command: Command, arguments: list[str], line: str) -> None:
    ran = command(*arguments)
    assert (ran.code, ran.out) == (2, "")
    assert ran.err.strip() == line


def test_with_json_an_error_is_json_too(command: Command) -> None:
    ran = command("convert", "30 s", "psi", "--json")
    error = json.loads(ran.out)["error"]
    assert ran.code == error["exit_code"] == 2
    assert error["problems"][0] == {
        "input": "TO", "given": "psi", "why": "is a unit of pressure, and 30 s is a time", "hint": "use s, ms, µs, min, h",
    }  # fmt: skip


def test_json_out_is_json_in(command: Command, process: Command, tmp_path: Path) -> None:
    first = command("convert", "3 ± 0.1 bar(g)", "psia", "--json").out
    file = tmp_path / "in.json"
    file.write_text(first, encoding="utf-8")
    assert command("convert", "--from", file, "--json").out == first
    assert process("convert", "--from", "-", "--json", stdin=first).out == first


def test_a_byte_order_mark_before_json_is_no_fault(command: Command, tmp_path: Path) -> None:
    file = tmp_path / "in.json"
    file.write_text('{"reading": "3 ± 0.1 bar", "to": "psi"}', encoding="utf-8-sig")
    assert command("convert", "--from", file).code == 0


@pytest.mark.parametrize("content", ["", "[1]", "{", '"text"', "[" * 100_000])
def test_a_file_of_inputs_that_is_none_is_refused(command: Command, tmp_path: Path, content: str) -> None:
    file = tmp_path / "in.json"
    file.write_text(content, encoding="utf-8")
    ran = command("convert", "--from", file)
    assert (ran.code, len(ran.err.strip().splitlines())) == (2, 1)


def test_asking_asks_again_for_what_cannot_be_used(process: Command) -> None:
    ran = process("convert", "--ask", stdin="30 mpa\n30 MPa\nbar\n\n\n\n")
    assert ran.code == 0
    assert "300" in ran.out
    assert "did you mean MPa?" in ran.err


def test_a_dot_leaves_out_every_optional_input_that_is_still_to_come(process: Command) -> None:
    ran = process("returns", "--ask", stdin=".\n2 min\n30 mL; 31 mL\n")
    assert ran.code == 0
    assert "\n  2 " in ran.out.partition("\n  injector  ")[2]
    assert ran.err.count("[optional]") == 1


def test_a_verdict_changes_the_exit_code_only_when_asked(command: Command) -> None:
    arguments = ["coil", "--reading", "5.2 ohm", "--temperature", "20 °C", "--limit", "<= 3 ohm"]
    assert command(*arguments).code == 0
    assert command(*arguments, "--fail-on", "outside").code == 3
    assert command(*arguments, "--fail-on", "undecided").code == 0


def test_an_answer_ends_with_the_worst_caution_in_a_line(command: Command) -> None:
    """In full they stand before the measuring (help, --how, --ask); what is always there in full is not read."""
    ran = command("coil", "--reading", "5.2 ohm", "--temperature", "20 °C", "--limit", "<= 3 ohm")
    assert ran.out.count("DANGER:") == 1
    last = "DANGER: Fuel at rail pressure goes through skin and gloves. All cautions: baybook coil --how"
    assert " ".join(line.strip() for line in ran.out.splitlines()[-2:]) == last


def test_python_gives_what_the_command_line_gives(command: Command) -> None:
    result = baybook.calculate("convert", reading="300 bar", to="psi")
    assert json.loads(command("convert", "300 bar", "psi", "--json").out) == result.to_dict()


def test_version_is_the_packages(command: Command, process: Command) -> None:
    assert process("--version").out == command("--version").out == f"baybook {baybook.__version__}\n"


def test_help_lists_every_calculator_and_command(command: Command) -> None:
    ran = command("--help")
    for name in ("convert", "hold", "returns", "coil", "regulator", "job", "card", "plugins", "capture", "fuels"):
        assert f"\n  {name} " in ran.out


@pytest.mark.parametrize("before", [[], ["coil"], ["job"], ["job", "add"], ["job", "add", "x.toml", "coil"], ["card", "print"]])
def test_h_is_help(command: Command, before: list[str]) -> None:
    short, long = command(*before, "-h"), command(*before, "--help")
    assert short == long and short.code == 0
    assert "-h, --help" in short.out


@pytest.mark.parametrize("arguments", [["job"], ["card"], ["plugins"], ["coil"], ["capture"], ["job", "add"]])
def test_a_command_without_arguments_shows_its_help(command: Command, arguments: list[str]) -> None:
    ran = command(*arguments)
    assert (ran.code, ran.err) == (0, "")
    assert ran.out.startswith(f"Usage: baybook {' '.join(arguments)} ")


def test_no_private_names_of_the_command_lines_library_are_used() -> None:
    for path in (Path(baybook.__file__).parent / "cli").glob("*.py"):
        text = path.read_text(encoding="utf-8")
        assert "typer._" not in text and "type(error).__name__ ==" not in text, path.name


def test_inputs_that_are_more_than_a_person_types_are_refused(
    command: Command, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr("baybook.cli.inputs.LARGEST", 40)
    text = '{"reading": "300 bar", "to": "psi"}'
    Path("in.json").write_text(text, encoding="utf-8")
    monkeypatch.setattr("sys.stdin", io.StringIO(text))
    assert command("convert", "--from", "in.json").out == command("convert", "--from", "-").out != ""
    Path("in.json").write_text(text + " " * 9, encoding="utf-8")
    monkeypatch.setattr("sys.stdin", io.StringIO(text + " " * 9))
    ran = command("convert", "--from", "in.json")
    assert (ran.code, ran.err) == (2, '--from: "in.json" is too large for what a person types\n')
    ran = command("convert", "--from", "-")
    assert (ran.code, ran.err) == (2, '--from: "-" is too large for inputs; give the inputs as JSON\n')


def test_an_input_of_a_file_is_told_as_the_person_wrote_it(command: Command, tmp_path: Path) -> None:
    (tmp_path / "in.json").write_text('{"reading": {"text": "30 mpa"}, "to": "psi"}', encoding="utf-8")
    ran = command("convert", "--from", tmp_path / "in.json")
    assert (ran.code, ran.err) == (2, 'READING: "30 mpa" has a unit that is not known, "mpa"; did you mean MPa?\n')


def test_a_capture_is_described_as_json_too(command: Command) -> None:
    log = Path(__file__).parents[2] / "data_demo" / "heath_hold.csv"
    said, ran = command("capture", log), command("capture", log, "--json")
    report = json.loads(ran.out)
    assert ran.code == 0 and report["rows"] > 100 and str(report["rows"]) in said.out


OURS = "a fault of Baybook's own: ZeroDivisionError: division by zero; BAYBOOK_TRACEBACK=1 shows where"


@pytest.mark.parametrize(
    ("error", "code", "line"),
    [
        (ZeroDivisionError("division by zero"), 1, OURS),
        (
            FileNotFoundError(2, "No such file or directory", "log.csv"),
            2,
            '"log.csv" cannot be used: No such file or directory',
        ),
        (
            UnicodeEncodeError("utf-8", "a\udcff", 1, 2, "no"),
            2,
            '"\\udcff" is no text that can be written; type it again, in UTF-8',
        ),
        (KeyboardInterrupt(), 130, "stopped; nothing was written"),
    ],
    ids=lambda value: type(value).__name__ if isinstance(value, BaseException) else "",
)
def test_what_nobody_foresaw_is_one_line(
    error: BaseException, code: int, line: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr("baybook.files.written", [])
    monkeypatch.delenv("BAYBOOK_TRACEBACK", raising=False)
    assert told(error, as_json=False) == code
    assert capsys.readouterr() == ("", f"{line}\n")


def test_a_fault_of_our_own_shows_where_when_asked(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("BAYBOOK_TRACEBACK", "1")
    with pytest.raises(ZeroDivisionError):
        told(ZeroDivisionError("division by zero"), as_json=False)


def test_more_problems_than_a_screen_holds_are_counted(capsys: pytest.CaptureFixture[str]) -> None:
    error = InputError([Problem(f"input_{number}", "x", "is wrong", "mend it") for number in range(MOST_LINES + 3)])
    assert told(error, as_json=False) == 2
    lines = capsys.readouterr().err.splitlines()
    assert len(lines) == MOST_LINES + 1 and lines[-1] == "… and 3 more like these; mend the first, and look again"
