"""Slips that are made in a job sheet: each is understood, or told in a line with the place and the cure."""

from __future__ import annotations

from pathlib import Path

import pytest

from baybook.errors import InputError
from baybook.jobs.sheet import read_sheet

GOOD = """[job]
vehicle = "van"
complaint = "no start"
mileage = 125000

[instruments.cylinders]
what = "graduated cylinders"
uncertainty = "1 mL"

[specs.return_ratio]
range = "max 150 %"
source = "sheet 2"

[[steps]]
calculator = "returns"
title = "Returns at idle"
[steps.inputs]
volumes = "30 31 29 60 mL"
time = "60 s"
median_limit = { spec = "return_ratio" }

[[steps]]
calculator = "coil"
[steps.inputs]
reading = "3.4 ohm"
temperature = "20 °C"
"""
QUOTES = 'text stands in straight quotes: "3,4 ohm"'
NUMBER = f"a number with a unit or a comma is text; {QUOTES}"
OTHER_LETTERS = "put a name with other letters than a to z into quotes: "
STEPS = "each step begins with [[steps]], its inputs with [steps.inputs]"
COIL = '[[steps]]\ncalculator = "coil"'
IN_ITS_LINE = [
    ('vehicle = "van"', 'vehicle = "van', 2, f"a quote is missing; {QUOTES}"),
    ('"no start"', "'no start\"", 3, f"a quote is missing; {QUOTES}"),
    ('"no start"', '"C:\\users\\x"', 3, "write / instead of \\, or put the text in single quotes"),
    ("125000", "125 000 km", 4, NUMBER),
    ("125000", "28.11.2026", 4, NUMBER),
    ('"1 mL"', '["1 mL"', 8, "the list is not closed; put a ] behind its last entry"),
    ('"3.4 ohm"', "3.4 ohm", 25, NUMBER),
    ('"3.4 ohm"', "3,4", 25, NUMBER),
    ('"3.4 ohm"', "„3.4 ohm“", 25, f"use straight quotes; {QUOTES}"),
    ('"3.4 ohm"', "”3.4 ohm”", 25, f"use straight quotes; {QUOTES}"),
    ('"3.4 ohm"', "«3.4 ohm»", 25, f"use straight quotes; {QUOTES}"),
    ('"3.4 ohm"', '"3.4" ohm', 25, f"the unit belongs inside the quotes; {QUOTES}"),
    ('"3.4 ohm"', '"3.4 ohm" // cold', 25, "a remark begins with #"),
    ('reading = "3.4 ohm"', "over_range = ja", 25, "write true or false"),
    ('reading = "3.4 ohm"', "over_range = True", 25, "write true or false"),
    (COIL, f"// the coil\n{COIL}", 22, "a remark begins with #"),
    (COIL, f"; the coil\n{COIL}", 22, "a remark begins with #"),
    ('title = "Returns at idle"', 'title = "Returns"\ntitle = "Again"', 17, "title is there twice; take one line out"),
    ('time = "60 s"', 'time = "60 s"\ntime = "61 s"', 20, "time is there twice; take one line out"),
    ('time = "60 s"', 'time "60 s"', 19, f"write a name, = and its value; {QUOTES}"),
    ('time = "60 s"', 'time: "60 s"', 19, f"write a name, = and its value; {QUOTES}"),
    ("median_limit", "median limit", 20, "a name has no spaces; write median_limit = …"),
    ('{ spec = "return_ratio" }', "return_ratio", 20, QUOTES),
    ('{ spec = "return_ratio" }', "{ spec = return_ratio }", 20, 'write { name = "text", name = "text" }'),
    ('"30 31 29 60 mL"', "[30 mL, 31 mL]", 18, 'each entry stands in straight quotes: ["30 mL", "31 mL"]'),
    ('"30 31 29 60 mL"', '["30 mL" "31 mL"]', 18, "put a comma between two entries of a list"),
    ('"30 31 29 60 mL"', '["30 mL", "31 mL', 18, f"a quote is missing; {QUOTES}"),
    ('"30 31 29 60 mL"', '["30 mL", "31 mL"', 18, "the list is not closed; put a ] behind its last entry"),
    ("[specs.return_ratio]", "[specs.rücklauf]", 10, OTHER_LETTERS + '[specs."rücklauf"]'),
    ('vehicle = "van"', 'käufer = "van"', 2, OTHER_LETTERS + '"käufer" = …'),
    (COIL, '[steps]\ncalculator = "coil"', 22, STEPS),
    (COIL, '[step]\ncalculator = "coil"', 24, STEPS),
    (COIL, '[[step]]\ncalculator = "coil"', 24, STEPS),
    ("[steps.inputs]\nreading", "[steps.inputs]\n[steps.inputs]\nreading", 25, STEPS),
    (COIL, '[[steps]\ncalculator = "coil"', 22, "write [[steps]]"),
    ("[job]", "[job", 1, "write [job]"),
    (
        "[instruments.cylinders]",
        '[job]\nnumber = "3"\n[instruments.cylinders]',
        6,
        "[job] is there twice; put its lines below the first",
    ),
]
BY_NAME = [
    ("vehicle", "vehicel", '[job]: "vehicel" is not known there; did you mean vehicle?'),
    ("[job]", "[jobs]", 'the sheet: "jobs" is not known there; did you mean job?'),
    ("[specs.return_ratio]", "[spec.return_ratio]", 'the sheet: "spec" is not known there; did you mean specs?'),
    ("[specs.return_ratio]", "[specs]", '[specs.range]: "max 150 %" is not a table; give range = "…" below [specs.range]'),
    ("[instruments.cylinders]", "[instrument.cylinders]",
     'the sheet: "instrument" is not known there; did you mean instruments?'),
    ('range = "max', 'rnge = "max', '[specs.return_ratio]: "rnge" is not known there; did you mean range?'),
    ('range = "max 150 %"\n', "", '[specs.return_ratio]: has no range as text; give range = "…"'),
    ('"max 150 %"', '"about 150 %"',
     '[specs.return_ratio], range: "about 150 %" has no number where a limit should stand; give a range'),
    ('"1 mL"', "1", '[instruments.cylinders]: "1" has no uncertainty as text; give uncertainty = "…"'),
    ('"1 mL"', '"1"', '[instruments.cylinders], uncertainty: "1" has no unit; give one in a unit or in %, such as 0.05 bar'),
    ("{ spec", "{ specs", 'step 1, median_limit: "specs" is not known there; did you mean spec?'),
    ('spec = "return_ratio"', 'spec = "ratio"',
     "step 1, median_limit: \"ratio\" is not one of the sheet's specs; use return_ratio"),
    ('"30 31 29 60 mL"', '{ reading = "30 31 mL", instruments = "cylinders" }',
     'step 1, volumes: "instruments" is not known there; did you mean instrument?'),
    ('"30 31 29 60 mL"', '{ reading = "30 31 mL", instrumnt = "cylinders" }',
     'step 1, volumes: "instrumnt" is not known there; did you mean instrument?'),
    ('"30 31 29 60 mL"', '{ reading = "30 31 mL", instrument = "cylinder" }',
     "step 1, volumes: \"cylinder\" is not one of the sheet's instruments; use cylinders"),
    ('calculator = "coil"', 'calculater = "coil"', 'step 2: "calculater" is not known there; did you mean calculator?'),
    ('calculator = "coil"\n', "", 'step 2: names no calculator; give calculator = "hold"'),
    ("[steps.inputs]\nreading", "[steps.input]\nreading", 'step 2: "input" is not known there; did you mean inputs?'),
    (f"{COIL}\n[steps.inputs]", f"{COIL}\n[inputs]", 'the sheet: "inputs" belongs to a step; write [steps.inputs]'),
    (f"{COIL}\n[steps.inputs]", f"{COIL}\n[step.inputs]", 'the sheet: "step" is not known there; did you mean steps?'),
]  # fmt: skip
WORKED_OUT = [
    ('calculator = "coil"', 'calculator = "coli"', '"coli" is not a calculator that is known; did you mean coil?'),
    ("median_limit", "median-limit", "step 1 (returns), median-limit: is not an input of returns; did you mean median_limit?"),
    ("time = ", "tiem = ", "step 1 (returns), tiem: is not an input of returns; did you mean time?"),
    ('"3.4 ohm"', '"3.4 bar"', 'step 2 (coil), reading: "3.4 bar" is a pressure; give a resistance, such as 2.6 ohm'),
    ('"3.4 ohm"', '"3.4"', 'step 2 (coil), reading: "3.4" has no unit; give one, such as 2.6 ohm'),
    ('"60 s"', '"1.200 s"', 'step 1 (returns), time: "1.200 s" could be read in two ways; write 1200 or 1.2'),
    ('"30 31 29 60 mL"', '["30 mL", "", "60 mL"]', 'has nothing at place 2; write - for one that was not measured'),
]  # fmt: skip
UNDERSTOOD = [
    ('"1 mL"', '"± 1 mL"'),
    ('"1 mL"', '"+- 1 mL"'),
    ('{ spec = "return_ratio" }', '"return_ratio"'),
    ("[job]", "\ufeff[job]"),
]


def changed(folder: Path, good: str, slip: str) -> Path:
    """A sheet with the slip in it."""
    assert good in GOOD
    path = folder / "job.toml"
    path.write_text(GOOD.replace(good, slip, 1), "utf-8")
    return path


@pytest.mark.parametrize(("good", "slip", "number", "cure"), IN_ITS_LINE)
def test_it_is_told_with_its_line_and_the_cure(good: str, slip: str, number: int, cure: str, tmp_path: Path) -> None:
    path = changed(tmp_path, good, slip)
    with pytest.raises(InputError) as refused:
        read_sheet(path)
    line = path.read_text("utf-8").splitlines()[number - 1]
    assert str(refused.value) == f'"{path}" cannot be read at line {number}, "{line}"; {cure}'


@pytest.mark.parametrize(("good", "slip", "told"), BY_NAME)
def test_a_name_is_told_with_the_one_that_was_meant(good: str, slip: str, told: str, tmp_path: Path) -> None:
    with pytest.raises(InputError) as refused:
        read_sheet(changed(tmp_path, good, slip))
    assert str(refused.value).startswith(told)


@pytest.mark.parametrize(("good", "slip", "told"), WORKED_OUT)
def test_an_input_is_told_with_its_step(good: str, slip: str, told: str, tmp_path: Path, command: object) -> None:
    ran = command("job", "run", changed(tmp_path, good, slip))  # type: ignore[operator]
    assert ran.code == 2 and told in ran.err


@pytest.mark.parametrize(("good", "slip"), UNDERSTOOD)
def test_it_is_understood(good: str, slip: str, tmp_path: Path, command: object) -> None:
    ran = command("job", "run", changed(tmp_path, good, slip))  # type: ignore[operator]
    assert (ran.code, ran.err) == (0, "") and "max 150 %" in ran.out


def test_a_number_without_quotes_keeps_its_digits(tmp_path: Path) -> None:
    """125.000 is not 125.0, and 0.70 was read to two places."""
    sheet = read_sheet(changed(tmp_path, "125000", "125.000"))
    assert sheet.job["mileage"] == "125.000"


@pytest.mark.parametrize("encoding", ["utf-16", "cp1252"])
def test_another_encoding_is_named(encoding: str, tmp_path: Path) -> None:
    path = tmp_path / "job.toml"
    path.write_bytes(GOOD.replace("van", "Lieferwagen für Öl").encode(encoding))
    with pytest.raises(InputError, match=r"is not text in UTF-8; save it as UTF-8"):
        read_sheet(path)
