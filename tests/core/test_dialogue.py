"""`--ask`: the questions, what may be answered, and what is asked again."""

from __future__ import annotations

import os
import pty
import select
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from baybook.api import duration, ratio, readings, spec_range
from baybook.cli.dialogue import command_line, with_unit

Command = Callable[..., Any]


@pytest.mark.parametrize(
    ("field", "answer", "taken"),
    [
        (duration("time", usual="120 s"), "60", "60 s"),
        (duration("time", usual="120 s"), "60 +- 1", "60 +- 1 s"),
        (duration("time", usual="120 s"), "2 min", "2 min"),
        (duration("time", usual="120 s"), "1:30", "1:30"),
        (readings("volume", "volumes", usual="30 mL", gaps=True), "30 31 - 60", "30 31 - 60 mL"),
        (readings("volume", "volumes", usual="30 mL"), "30; 31; 2 L", "30; 31; 2 L"),
        (spec_range("ratio", "limit", usual="max 150 %"), "max 150; sheet 2", "max 150 %; sheet 2"),
        (spec_range("ratio", "limit", usual="max 150 %"), "80-120", "80-120 %"),
        (ratio("share"), "25", "25 %"),
    ],
)
def test_bare_numbers_have_the_unit_that_is_shown(field: Any, answer: str, taken: str) -> None:
    assert with_unit(field, answer) == taken
    field.parse(taken)


def test_the_finished_command_line_can_be_typed_again(process: Command) -> None:
    ran = process("returns", "--ask", stdin="30 31 29 60\n60\n.\n")
    line = ran.err.partition("The same in one line: ")[2].strip()
    assert line == 'baybook returns --volumes "30 31 29 60 mL" --time "60 s"'
    assert process("returns", "--volumes", "30 31 29 60 mL", "--time", "60 s").out == ran.out


def test_a_capture_is_written_out_with_what_says_how_to_read_it() -> None:
    answers = {"capture": {"file": "a b.csv", "columns": {"rail": "Rail 1"}, "units": {}, "rate": "100 Hz", "decimal": None}}
    assert command_line("baybook hold", answers) == ('baybook hold --capture "a b.csv" --column "rail=Rail 1" --rate "100 Hz"')


def test_choices_are_listed_with_their_meaning(process: Command) -> None:
    ran = process("regulator", "--ask", stdin="inlet\n.\n")
    assert "  inlet   what the pump takes in\n" in ran.err
    assert ran.code == 0


def test_questions_that_an_earlier_answer_makes_idle_are_not_asked(process: Command) -> None:
    """Nothing is read at a valve that is not fitted."""
    err = {where: process("regulator", "--ask", stdin=f"{where}\n" + "\n" * 40).err for where in ("inlet", "outlet", "both")}
    assert "duty read on the outlet valve" not in err["inlet"] and "duty read on the inlet valve" in err["inlet"]
    assert "duty read on the inlet valve" not in err["outlet"] and "duty read on the outlet valve" in err["outlet"]
    assert "duty read on the inlet valve" in err["both"] and "duty read on the outlet valve" in err["both"]


def test_a_question_mark_explains_and_a_less_than_goes_back(process: Command) -> None:
    ran = process("convert", "--ask", stdin="?\n30 bar\n<\n300 bar\npsi\n.\n")
    assert ran.code == 0 and "4351" in ran.out
    assert "with a unit if it is another" in ran.err
    assert ran.err.count("the reading (") == 3


def test_inputs_that_do_not_fit_each_other_are_told_at_once_and_asked_again_alone(process: Command) -> None:
    """A target is no use without the pressure: it alone is asked for again, the rest stays."""
    ran = process("regulator", "--ask", stdin="inlet\nground\nlow\n\n300\n298\n.\n")
    assert ran.code == 0, ran.err
    assert "pressure: is missing: a target says something only against it" in ran.err
    assert ran.err.count("where pressure is controlled") == 1
    assert ran.err.index("is missing") < ran.err.index("state at rest")
    assert '--pressure "298 bar"' in ran.err.partition("The same in one line: ")[2]


def test_what_the_calculator_refuses_after_all_is_asked_again_alone(process: Command) -> None:
    ran = process("hold", "--ask", stdin="25\n1000\n.\n900\n30\n")
    assert ran.code == 0, ran.err
    assert "end: is missing" in ran.err and "time: is missing" in ran.err
    assert ran.err.count("rail pressure when the pump stopped") == 1


def test_a_file_that_is_not_there_is_asked_for_again(process: Command) -> None:
    ran = process("hold", "--ask", stdin="25\n1000\n900\n30\nnothing.csv\n.\n")
    assert '"nothing.csv" is not a file that is there' in ran.err
    assert ran.code == 0


def test_ctrl_c_keeps_what_was_typed_and_says_so(tmp_path: Path) -> None:
    """In a real terminal, where Ctrl-C is a key."""
    master, slave = pty.openpty()
    done = subprocess.Popen(
        [sys.executable, "-m", "baybook", "returns", "--ask"], stdin=slave, stdout=slave, stderr=slave, cwd=tmp_path,
        start_new_session=True, preexec_fn=lambda: __import__("fcntl").ioctl(0, __import__("termios").TIOCSCTTY, 0),
    )  # fmt: skip
    os.close(slave)
    seen = _until(master, "what each injector returned")
    os.write(master, b"30 31 29 60\n")
    seen += _until(master, "how long was collected")
    os.write(master, b"\x03")
    seen += _until(master, "nothing was written")
    assert done.wait(timeout=30) == 130
    os.close(master)
    assert 'baybook returns --volumes "30 31 29 60 mL" --ask' in seen
    assert "Traceback" not in seen


def _until(terminal: int, text: str) -> str:
    """What the terminal shows until the text has come."""
    seen = b""
    end = time.monotonic() + 60
    while text.encode() not in seen and time.monotonic() < end:
        if select.select([terminal], [], [], 0.2)[0]:
            try:
                seen += os.read(terminal, 4096)
            except OSError:
                break
    assert text.encode() in seen, seen.decode(errors="replace")
    return seen.decode(errors="replace")


def test_nothing_on_standard_input_is_told(process: Command) -> None:
    ran = process("convert", "--from", "-", stdin="")
    assert (ran.code, ran.err) == (2, "--from: standard input holds nothing; give the inputs as JSON\n")
    ran = process("convert", "--from", "-", stdin='{"reading": \n oops')
    assert (ran.code, ran.err) == (2, '--from: "-" is not JSON in line 2; give {"start": "350 bar", …}\n')


def test_every_question_and_explanation_is_there_in_german() -> None:
    """What `?` and the questions say, of every calculator and of the dialogue itself."""
    from baybook.cli import dialogue
    from baybook.cli.screen_language import spoken
    from baybook.registry import registry

    for name in ("coil", "convert", "hold", "regulator", "returns"):
        calculator = registry().calculator(name)
        german = spoken("de", (calculator.package,))
        own = [dialogue.INTRODUCTION, "To go on with what was typed:", "The same in one line:", "such as", "optional"]
        fields = [parameter.field for parameter in calculator.parameters]
        meanings = [text for field in fields for text in getattr(field, "words", {}).values()]
        texts = [*own, *(field.help for field in fields), *meanings, *(output.help for output in calculator.outputs.values())]
        assert [text for text in texts if german.text(text) == text] == [], name
