"""`--ask`: the questions, what may be answered, and what is asked again."""

from __future__ import annotations

import fcntl
import os
import pty
import select
import shlex
import signal
import subprocess
import sys
import termios
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from baybook.api import duration, ratio, readings, spec_range
from baybook.cli.dialogue import Dialogue, command_line, with_unit

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


CTRL_C = "\x03"


class Person:
    """Answers each question by its input's name, in turn; else with Enter."""

    def __init__(self, **answers: list[str]) -> None:
        self.answers = {name: list(texts) for name, texts in answers.items()}
        self.asked: list[str] = []

    def readline(self) -> str:
        text = (self.answers.get(self.asked[-1]) or [""]).pop(0)
        if text == CTRL_C:
            raise KeyboardInterrupt
        return text + "\n"


@pytest.fixture
def asks(command: Command, monkeypatch: pytest.MonkeyPatch) -> Callable[..., tuple[Any, list[str]]]:
    """Run `baybook NAME --ask` with a person's answers; what it did, and which inputs were asked for in which order."""
    question = Dialogue._question

    def ask(name: str, *given: str, **answers: list[str]) -> tuple[Any, list[str]]:
        person = Person(**answers)

        def asked(self: Dialogue, parameter: Any, optional: bool) -> str:
            person.asked.append(parameter.name)
            return question(self, parameter, optional)

        monkeypatch.setattr(Dialogue, "_question", asked)
        monkeypatch.setattr(sys, "stdin", person)
        return command(name, *given, "--ask"), person.asked

    return ask


def test_the_finished_command_line_can_be_typed_again(asks: Any, command: Command) -> None:
    ran, _ = asks("returns", volumes=["30 31 29 60"], time=["60"], median_limit=["max 150; sheet 2"])
    line = ran.err.partition("The same in one line: ")[2].strip()
    assert sorted(shlex.split(line)) == sorted(
        ["baybook", "returns", "--volumes", "30 31 29 60 mL", "--time", "60 s", "--median-limit", "max 150 %; sheet 2"]
    )
    assert command(*shlex.split(line)[1:]).out == ran.out


def test_a_capture_is_written_out_with_what_says_how_to_read_it() -> None:
    answers = {"capture": {"file": "a b.csv", "columns": {"rail": "Rail 1"}, "units": {}, "rate": "100 Hz", "decimal": None}}
    assert command_line("baybook hold", answers) == ('baybook hold --capture "a b.csv" --column "rail=Rail 1" --rate "100 Hz"')


def test_choices_are_listed_with_their_meaning(asks: Any) -> None:
    ran, _ = asks("regulator", where=["inlet"])
    assert "  inlet   what the pump takes in\n" in ran.err
    assert ran.code == 0


def test_questions_that_an_earlier_answer_makes_idle_are_not_asked(asks: Any) -> None:
    """Nothing is read at a valve that is not fitted."""
    names = {where: set(asks("regulator", where=[where])[1]) for where in ("inlet", "outlet", "both")}
    assert {"inlet_duty", "outlet_duty", "inlet_current", "outlet_current"} <= names["both"]
    assert {"outlet_duty", "outlet_current"} & names["inlet"] == {"inlet_duty", "inlet_current"} & names["outlet"] == set()
    assert "inlet_duty" in names["inlet"] and "outlet_duty" in names["outlet"]


def test_a_question_mark_explains_and_a_less_than_goes_back(asks: Any) -> None:
    ran, names = asks("convert", reading=["?", "30 bar", "300 bar"], to=["<", "psi"])
    assert ran.code == 0 and "4351" in ran.out
    assert "with a unit if it is another" in ran.err
    assert names[:5] == ["reading", "reading", "to", "reading", "to"]


@pytest.mark.parametrize(
    ("name", "asked", "answers", "said"),
    [
        ("regulator", "where", {}, "inlet: what the pump takes in\n"),
        ("returns", "median_limit", {"volumes": ["30 31 ml"], "time": ["60 s"]},
         "max 6, min 6, 3 to 7, 5 +- 1; behind a semicolon whose limits they are.\n"),
        ("returns", "volumes", {"time": ["60 s"]},
         "30 31 29 60; one behind the other, with a unit at the end if it is another.\n"),
        ("regulator", "bleed", {"where": ["inlet"]}, "yes or no.\n"),
        ("hold", "fuel", {"start": ["1000"], "end": ["900"], "time": ["30"], "volume": ["25"]}, "  what is in the rail.\n"),
    ],
)  # fmt: skip
def test_a_question_mark_tells_which_answers_would_do(
    name: str, asked: str, answers: dict[str, list[str]], said: str, asks: Any
) -> None:
    would_do = {"where": "inlet", "volumes": "30 31 ml"}.get(asked, "")
    ran, names = asks(name, **{**answers, asked: ["?", would_do]})
    assert ran.code == 0 and said in ran.err, ran.err
    assert names.count(asked) == 2


def test_there_is_nothing_before_the_first_question(asks: Any) -> None:
    ran, names = asks("convert", reading=["<", "300 bar"], to=["psi"])
    assert ran.code == 0 and "4351" in ran.out and names[:3] == ["reading", "reading", "to"]


def test_over_range_is_an_answer_to_a_reading(asks: Any) -> None:
    ran, _ = asks("coil", reading=["OL"])
    assert ran.code == 0 and "--reading OL" in ran.err.partition("The same in one line: ")[2]


def test_ctrl_c_gives_the_line_to_go_on_with(asks: Any) -> None:
    ran, _ = asks("convert", reading=["300 bar"], to=[CTRL_C])
    assert (ran.code, ran.out) == (130, "")
    assert ran.err.endswith('To go on with what was typed: baybook convert "300 bar" --ask\nstopped; nothing was written\n')
    ran, _ = asks("convert", reading=[CTRL_C])
    assert ran.code == 130 and "To go on" not in ran.err


def test_what_was_given_wrongly_beside_the_questions_is_asked_for_after_them(asks: Any) -> None:
    ran, names = asks("regulator", "--pressure", "298 bor", where=["inlet"], target=["300"], pressure=["298"])
    assert ran.code == 0, ran.err
    assert 'pressure: "298 bor" has a unit that is not known' in ran.err and names[-1] == "pressure"


def test_inputs_that_do_not_fit_each_other_are_told_at_once_and_asked_again_alone(asks: Any) -> None:
    """A target is no use without the pressure: it alone is asked for again, the rest stays."""
    ran, names = asks("regulator", where=["inlet"], pressure=["", "298"], target=["300"])
    assert ran.code == 0, ran.err
    assert "pressure: is missing: a target says something only against it" in ran.err
    assert names.count("pressure") == 2 and names.count("where") == names.count("target") == 1
    assert names.index("target") + 1 == len(names) - names[::-1].index("pressure") - 1  # at once
    assert '--pressure "298 bar"' in ran.err.partition("The same in one line: ")[2]


def test_what_the_calculator_refuses_after_all_is_asked_again_alone(asks: Any) -> None:
    ran, names = asks("hold", volume=["25"], start=["1000"], end=["", "900"], time=["", "30"])
    assert ran.code == 0, ran.err
    assert "end: is missing" in ran.err and "time: is missing" in ran.err
    assert (names.count("start"), names.count("end"), names.count("time")) == (1, 2, 2)


def test_a_file_that_is_not_there_is_asked_for_again(asks: Any) -> None:
    ran, names = asks("hold", start=["", "1000"], end=["", "900"], time=["", "30"], volume=["25"], capture=["nothing.csv", ""])
    assert '"nothing.csv" is not a file that is there' in ran.err
    assert ran.code == 0 and names.count("capture") == 2


def test_ctrl_c_keeps_what_was_typed_and_says_so(tmp_path: Path) -> None:
    """In a real terminal, where Ctrl-C is a key."""

    def foreground() -> None:
        signal.signal(signal.SIGINT, signal.SIG_DFL)  # (a shell starts what runs behind it with this one ignored)
        fcntl.ioctl(0, termios.TIOCSCTTY, 0)

    master, slave = pty.openpty()
    done = subprocess.Popen(
        [sys.executable, "-m", "baybook", "convert", "--ask"], stdin=slave, stdout=slave, stderr=slave, cwd=tmp_path,
        start_new_session=True, preexec_fn=foreground,
    )  # fmt: skip
    os.close(slave)
    seen = _until(master, "the reading")
    os.write(master, b"300 bar\n")
    seen += _until(master, "the unit wanted")
    time.sleep(1.0)  # it waits for the key: between its prompt and that, Python leaves a signal pending until a line comes
    os.write(master, b"\x03")
    seen += _until(master, "nothing was written")
    assert done.wait(timeout=30) == 130
    os.close(master)
    assert 'baybook convert "300 bar" --ask' in seen
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
