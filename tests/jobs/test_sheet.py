"""Job sheets read: what is resolved, and how everything wrong is told at once."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from baybook.errors import InputError
from baybook.jobs.sheet import read_sheet

GOOD = """
[job]
number = "17"
vehicle = "van"

[instruments.cylinders]
what = "graduated cylinders"
uncertainty = "2.5 mL"

[specs.return_flow]
range = "<= 40 mL/min"
source = "workshop sheet 3"

[[steps]]
calculator = "returns"
title = "Returns at idle"
[steps.inputs]
volumes = { reading = ["30 mL", "31 mL", "60 ± 1 mL", "29 mL"], instrument = "cylinders" }
time = "2 min"
flow_limit = { spec = "return_flow" }

[[steps]]
calculator = "coil"
"""


def write(folder: Path, text: str) -> Path:
    """A sheet of that text."""
    path = folder / "job.toml"
    path.write_text(text, encoding="utf-8")
    return path


def problems(folder: Path, text: str) -> list[str]:
    """The lines that a sheet is refused with."""
    with pytest.raises(InputError) as error:
        read_sheet(write(folder, text))
    assert error.value.exit_code == 2
    return str(error.value).splitlines()


def test_instruments_and_spec_ranges_are_put_into_the_inputs(tmp_path: Path) -> None:
    """A reading that was typed with its own uncertainty keeps it."""
    sheet = read_sheet(write(tmp_path, GOOD))
    assert sheet.steps[0].inputs == {
        "volumes": ["30 mL ± 2.5 mL", "31 mL ± 2.5 mL", "60 ± 1 mL", "29 mL ± 2.5 mL"],
        "time": "2 min",
        "flow_limit": {"range": "<= 40 mL/min", "source": "workshop sheet 3"},
    }


def test_a_step_without_inputs_is_planned(tmp_path: Path) -> None:
    assert read_sheet(write(tmp_path, GOOD)).steps[1].inputs == {}


def test_a_captures_file_is_looked_for_beside_the_sheet(tmp_path: Path) -> None:
    text = '[[steps]]\ncalculator = "hold"\n[steps.inputs]\ncapture = { file = "hold.csv" }\n'
    assert read_sheet(write(tmp_path, text)).steps[0].inputs["capture"]["file"] == str(tmp_path / "hold.csv")


def test_everything_wrong_is_told_at_once(tmp_path: Path) -> None:
    text = """
[job]
vehicel = "van"
[specs.leak]
source = "sheet 3"
[instruments.gauge]
what = "gauge"
uncertainty = 5
[[steps]]
calculator = "returns"
[steps.inputs]
time = { reading = "2 min", instrument = "watch" }
flow_limit = { spec = "flow" }
[[steps]]
title = "nothing"
"""
    assert problems(tmp_path, text) == [
        '[job]: "vehicel" is not known there; did you mean vehicle?',
        '[specs.leak]: has no range as text; give range = "…"',
        '[instruments.gauge]: "5" has no uncertainty as text; give uncertainty = "…"',
        'step 1, time: "watch" is not one of the sheet\'s instruments; add [instruments.watch]',
        'step 1, flow_limit: "flow" is not one of the sheet\'s specs; add [specs.flow]',
        'step 2: names no calculator; give calculator = "hold"',
    ]


def test_what_a_sheet_says_beside_its_tests_is_told_with_the_cure(tmp_path: Path) -> None:
    text = """
[system]
filter = true
[outcome]
part = "filter"
place = "filter"
confirmed = 3
[complaint]
sort = "no start"
kind = 4
[reach]
returns = 0.5
[reach.hold.sideways]
filter = 0.5
[[steps]]
calculator = "coil"
inputs = "3.4 ohm"
"""
    found = problems(tmp_path, text)
    for line in (
        '[outcome]: "part" is not known there; use place, confirmed',
        '[outcome], confirmed: "3" is not text; give confirmed = "…"',
        '[complaint]: "sort" is not known there; use kind, text, shows, after',
        '[complaint], kind: "4" is not text; give kind = "…"',
        '[reach."returns"]: "0.5" is not a table; write [reach."returns"] above a line such as "filter" = 0.8',
        'step 1: "3.4 ohm" has inputs that are not a table; write [steps.inputs]',
    ):
        assert line in found
    for test, hint in (("hold", "stops, or no question"), ("ripple", "no question"), ("line", "drop_there")):
        assert problems(tmp_path, f"[reach.{test}.sideways]\nfilter = 0.5\n") == [
            f'[reach."{test}"]: "sideways" is no question of it; use {hint}'
        ]


def test_an_outcome_outside_the_fuel_system_is_not_on_the_map(tmp_path: Path) -> None:
    found = read_sheet(write(tmp_path, '[outcome]\nplace = "battery"\n')).outcome
    assert found is not None and (found.place, found.confirmed) == ("not on the map", "battery")


def test_a_capture_that_is_no_file_is_refused_with_its_step(tmp_path: Path, command: Callable[..., Any]) -> None:
    ran = command("job", "run", write(tmp_path, '[[steps]]\ncalculator = "hold"\n[steps.inputs]\ncapture = 5\n'))
    assert ran.code == 2 and ran.err.startswith("step 1 (hold), capture: ") and len(ran.err.splitlines()) == 1


def test_what_no_step_uses_is_checked_too(tmp_path: Path) -> None:
    text = """
[job]
number = 17
date = 2026-11-17
vehicle = ["van"]
customer = {name = "Heath"}
[specs.a]
range = "banana"
[specs.b]
range = "7 to 3 mL/min"
source = ["x"]
[specs.c]
range = "<= 6 mL/mim"
[instruments.c]
what = 3
uncertainty = "three"
[[steps]]
calculator = "hold"
title = ["x"]
"""
    assert problems(tmp_path, text) == [
        """[job], vehicle: "['van']" is not text; give vehicle = "…\"""",
        """[job], customer: "{'name': 'Heath'}" is not text; give customer = "…\"""",
        '[specs.a], range: "banana" has no number where a limit should stand; give a range, such as max 350 bar',
        """[specs.b], source: "['x']" is not text; give source = "…\"""",
        '[specs.b], range: "7 to 3 mL/min" has its lower limit at or above its upper one; give the smaller number first',
        '[specs.c], range: "<= 6 mL/mim" has a unit that is not known, "mL/mim"; did you mean mL/min or L/min?',
        """[instruments.c], what: "3" is not text; give what = "…\"""",
        '[instruments.c], uncertainty: "three" is not an uncertainty; give one in a unit or in %, such as 0.05 bar or 1 %',
        """step 1, title: "['x']" is not text; give title = "…\"""",
    ]


@pytest.mark.parametrize("spread", ["0.05 bar", "1 %", "1 K", "0,5 mL", "1 %  of the reading"])
@pytest.mark.parametrize("limits", ["<= 6 mL/min", "290 K to 40 °C", "3 to 7 bar(g)", "at least 20 %", "2.5 ohm ± 10 %"])
def test_every_range_and_uncertainty_that_a_step_takes_may_stand_unused(tmp_path: Path, spread: str, limits: str) -> None:
    text = f'[specs.a]\nrange = "{limits}"\n[instruments.b]\nuncertainty = "{spread}"\n'
    sheet = read_sheet(write(tmp_path, text))
    assert (sheet.specs[0].range, sheet.instruments[0].uncertainty) == (limits, spread)


@pytest.mark.parametrize("spread", ["2.5", "± 2.5", "0,5"])
def test_an_instruments_uncertainty_without_a_unit_is_refused_though_no_step_uses_it(tmp_path: Path, spread: str) -> None:
    """An instrument may read in more than one unit: 2.5 would be mL of one step and L of the next."""
    assert problems(tmp_path, f'[instruments.b]\nuncertainty = "{spread}"\n') == [
        f'[instruments.b], uncertainty: "{spread}" has no unit; give one in a unit or in %, such as 0.05 bar or 1 %'
    ]


@pytest.mark.parametrize("cut", range(1, len(GOOD), 37))
def test_a_truncated_sheet_is_read_or_refused_in_words(tmp_path: Path, cut: int) -> None:
    path = write(tmp_path, GOOD[:cut])
    try:
        assert read_sheet(path).path == path
    except InputError as error:
        assert all(line.strip() for line in str(error).splitlines())


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"\xff\xfe\x00\x01", "is not text in UTF-8"),
        (b"[job", "cannot be read at line"),
        (b"[job]\nnumber = " + b"9" * 5000, "cannot be read at line"),
        (b"job = 3", "is not a table"),
    ],
)
def test_a_file_that_is_no_sheet_is_refused(tmp_path: Path, content: bytes, words: str) -> None:
    path = tmp_path / "job.toml"
    path.write_bytes(content)
    with pytest.raises(InputError, match=words):
        read_sheet(path)


def test_a_missing_file_is_named(tmp_path: Path) -> None:
    with pytest.raises(InputError, match=r"nothing\.toml.*cannot be read: No such file"):
        read_sheet(tmp_path / "nothing.toml")


MISSPELT = [
    ('time = { reading = "2 min", instruments = "watch" }', '"instruments" is not known there; did you mean instrument?'),
    ('time = { reading = "2 min", instrumnt = "watch" }', '"instrumnt" is not known there; did you mean instrument?'),
    ('time = { redaing = "2 min" }', '"redaing" is not known there; did you mean reading?'),
    ('flow_limit = { range = "<= 40 mL/min", sorce = "3" }', '"sorce" is not known there; did you mean source?'),
    ('flow_limit = { spec = "flow", source = "3" }', '"source" is not known there; use spec'),
    ('time = { value = 2, unti = "min" }', '"unti" is not known there; did you mean unit?'),
    ('time = { text = "2 min", asumed = true }', '"asumed" is not known there; did you mean assumed?'),
    ('capture = { file = "a.csv", colums = { rail = "x" } }', '"colums" is not known there; did you mean columns?'),
    ('volumes = [{ value = 1, unit = "mL", u59 = 1 }]', '"u59" is not known there; did you mean u95?'),
    ('capture = { text = "a", value = { file = "a", rat = 1 } }', '"rat" is not known there; did you mean rate?'),
]


@pytest.mark.parametrize(("line", "words"), MISSPELT)
def test_a_misspelt_key_of_an_input_is_refused(tmp_path: Path, line: str, words: str) -> None:
    """Nothing that was typed is dropped in silence: an instrument's uncertainty would be."""
    tools = '[instruments.watch]\nuncertainty = "1 s"\n[specs.flow]\nrange = "<= 40 mL/min"\n'
    text = f'{tools}[[steps]]\ncalculator = "returns"\n[steps.inputs]\n{line}\n'
    assert problems(tmp_path, text) == [f"step 1, {line.partition(' ')[0]}: {words}"]


FILES = [
    ('capture = "{}"', "hold.csv"),
    ('capture = {{ file = "{}", decimal = "comma" }}', "../hold.csv"),
    ('capture = {{ text = "as told", value = {{ file = "{}" }} }}', "hold.csv"),
    ('fuel = "{}"', "fuel.toml"),
    ('fuel = {{ text = "{}" }}', "fuel.toml"),
]


@pytest.mark.parametrize(("line", "file"), FILES)
def test_a_file_is_looked_for_beside_the_sheet_in_whatever_form_it_is_named(tmp_path: Path, line: str, file: str) -> None:
    head = '[[steps]]\ncalculator = "hold"\n[steps.inputs]\n'
    read = read_sheet(write(tmp_path, head + line.format(file))).steps[0].inputs
    whole = read_sheet(write(tmp_path, head + line.format(tmp_path / file))).steps[0].inputs
    assert read == whole
    assert str(tmp_path / file) in str(read)


def test_a_fuel_by_name_is_no_file(tmp_path: Path) -> None:
    text = '[[steps]]\ncalculator = "hold"\n[steps.inputs]\nfuel = "diesel"\n'
    assert read_sheet(write(tmp_path, text)).steps[0].inputs == {"fuel": "diesel"}


@pytest.mark.parametrize("line", ["", "format = 1\n", "format = 2\n"])
def test_sheets_of_every_format_so_far_are_read(line: str, tmp_path: Path) -> None:
    path = tmp_path / "job.toml"
    path.write_text(f'{line}[job]\nnumber = "17"\n')
    assert read_sheet(path).job["number"] == "17"


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("format = 3", 'format: "3" is that of a later Baybook; bring Baybook up to date, or make a sheet with baybook job '
         "new; this one reads formats 1 to 2"),
        ('format = "two"', 'format: "two" is not the format of a job sheet; write format = 2, or leave the line out'),
        ("format = true", 'format: "True" is not the format of a job sheet; write format = 2, or leave the line out'),
    ],
)  # fmt: skip
def test_a_sheet_of_a_later_format_is_refused_with_the_way_out(line: str, said: str, tmp_path: Path) -> None:
    path = tmp_path / "job.toml"
    path.write_text(f'{line}\n[job]\nnumber = "17"\n')
    with pytest.raises(InputError) as error:
        read_sheet(path)
    assert str(error.value) == said


def test_a_reading_without_a_unit_does_not_take_the_instruments(tmp_path: Path) -> None:
    path = write(tmp_path, GOOD.replace('time = "2 min"', 'time = { reading = "2", instrument = "cylinders" }'))
    assert read_sheet(path).steps[0].inputs["time"] == "2"  # refused when it is worked out: it has no unit
