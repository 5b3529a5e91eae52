"""What people type at the bench: readings without quotes, forms of paper, and the line that leads to the fix."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any

import pytest

from baybook.api import ratio, readings, resistance, spec_range
from baybook.errors import Refused
from baybook.list_text import parts
from baybook.reading import parse
from baybook.words import grouped

Command = Callable[..., Any]


@pytest.mark.parametrize(
    ("text", "value", "unit", "half_width"),
    [
        ("1:30 min", 90.0, "s", None),
        ("0:30", 30.0, "s", None),
        ("1:30", 90.0, "s", None),
        ("1:30 h", 90.0, "min", None),
        ("1:02:03", 3723.0, "s", None),
        ("1:30 min +- 1 s", 90.0, "s", 1.0),
        ("1000 ~10 bar", 1000.0, "bar", 10.0),
        ("1000 plusminus 10 bar", 1000.0, "bar", 10.0),
        ("25 % ± 2 %", 25.0, "%", 2.0),
        ("25 ± 2 %", 25.0, "%", 2.0),
        ("25 % ± 2 % of reading", 25.0, "%", 0.5),
        ("25 ML", 25.0, "mL", None),
        ("20 mm3/Hub", 20.0, "mm3/stroke", None),
    ],
)
def test_a_reading_may_be_written_as_on_paper(text: str, value: float, unit: str, half_width: float | None) -> None:
    reading = parse(text)
    assert (reading.value, reading.unit.symbol) == (value, unit)
    assert reading.assumed if half_width is None else reading.half_width == pytest.approx(half_width)
    assert reading.text == text


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("1000 (10) bar", 'has "(10)" behind its number; write 1000 +- 10 bar'),
        ("300 bar 5%", 'has "5%" behind its unit; write 300 bar +- 5%'),
        ("1000 bar --end 900 bar", "holds an option; a quote is missing before --end"),
        ("2:61 min", 'has a unit that is not known, ":61 min"; did you mean rpm or min?'),
    ],
)
def test_what_may_mean_something_else_is_refused_with_what_to_type(text: str, message: str) -> None:
    with pytest.raises(Refused) as refusal:
        parse(text)
    assert str(refusal.value) == message


def test_three_decimals_are_read_where_thousands_are_neither_possible_nor_usual() -> None:
    """A coil of 2345 ohm is none that a meter meets here; a rail at 1200 bar is."""
    coil = resistance("of a coil", usual_range=("0.05 ohm", "200 ohm"))
    assert coil.parse("2.345 ohm").value == coil.parse("2,345 ohm").value == 2.345
    share = ratio("a share", at_least="0 %", at_most="100 %")
    assert share.parse("12.345 %").value == 12.345
    with pytest.raises(Refused, match="two ways"):
        resistance("of anything").parse("2.345 ohm")
    with pytest.raises(Refused, match="two ways"):
        coil.parse("2.345 ± 0.1 ohm")


@pytest.mark.parametrize(
    ("text", "items"),
    [
        ("30 31 29 60 ml", ["30 ml", "31 ml", "29 ml", "60 ml"]),
        ("30;31;29;60 ml", ["30 ml", "31 ml", "29 ml", "60 ml"]),
        ("30, 31, 29, 60 ml", ["30 ml", "31 ml", "29 ml", "60 ml"]),
        ("30 ml, 31 ml, 29 ml", ["30 ml", "31 ml", "29 ml"]),
        ("30 / 31 / 29 ml", ["30 ml", "31 ml", "29 ml"]),
        ("30 - 31 ml", ["30 ml", "-", "31 ml"]),
        ("30; 31; ; 60 ml", ["30 ml", "31 ml", "", "60 ml"]),
        ("1,5 2,5 ml", ["1,5 ml", "2,5 ml"]),
        ("120 130 125 ml", ["120 ml", "130 ml", "125 ml"]),
        ("> 100 31 ml", ["> 100 ml", "31 ml"]),
        ("30 ± 1 31 ± 1 ml", ["30 ± 1 ml", "31 ± 1 ml"]),
        ("30 ml; 31; 2 L", ["30 ml", "31", "2 L"]),
        ("30 31", ["30", "31"]),
    ],
)
def test_a_list_may_be_parted_as_people_part_it(text: str, items: list[str]) -> None:
    assert parts(text) == items


def test_two_numbers_that_may_be_one_are_refused() -> None:
    with pytest.raises(Refused, match="could be one reading or two; part them by ;, or write 1500 ml"):
        readings("volume", "volumes").parse("1 500 ml")


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("150 %", 'is a single value; write "max 150 %", "min 150 %", or both limits, such as max 130 %'),
        ("<= 1,5", "has no unit; write 150 % or 1.5 x, or 1.5 % if you mean that"),
        ("1.5", "has no unit; write 150 % or 1.5 x, or 1.5 % if you mean that"),
    ],
)
def test_a_limit_without_its_side_or_unit_is_refused_with_the_users_own_number(text: str, message: str) -> None:
    with pytest.raises(Refused) as refusal:
        spec_range("ratio", "limit", usual="max 130 %").parse(text)
    assert str(refusal.value) == message


def test_a_single_value_is_the_most_where_only_that_makes_sense() -> None:
    spec = spec_range("flow", "largest leak", largest=True).parse("6 mL/min; sheet 2")
    assert (spec.low, spec.high, str(spec), spec.source) == (None, 6.0, "max 6 mL/min", "sheet 2")


@pytest.mark.parametrize("text", ["2,9-3,5 ohm", "2,9/3,5 ohm", "2,9 bis 3,5 ohm", "2,9 ohm to 3,5 ohm", "von 2,9 bis 3,5 ohm"])
def test_a_range_may_be_written_as_on_paper(text: str) -> None:
    spec = spec_range("resistance", "range").parse(text)
    assert (spec.low, spec.high, spec.unit.symbol) == (2.9, 3.5, "ohm")


@pytest.mark.parametrize(
    ("words", "readings"),
    [
        ("300 bar psi", ["300 bar", "psi"]),
        ("300 ± 5 bar psi", ["300 ± 5 bar", "psi"]),
        ("3 mPa s Pa·s", ["3 mPa s", "Pa·s"]),
        ("30 US gal L", ["30 US gal", "L"]),
        ("3 bar abs psi", ["3 bar abs", "psi"]),
        ("25 % +- 2 % of reading", ["25 % +- 2 % of reading"]),
        ("- 30 > 100 ml", ["-", "30", "> 100 ml"]),
    ],
)
def test_words_are_put_together_into_readings(words: str, readings: list[str]) -> None:
    assert grouped(words.split()) == readings


SAME = {
    "two readings": (
        'hold --start=1000bar --end=900bar --time=30s "--volume=25 mL"',
        ["hold --start 1000 bar --end 900 bar --time 30 s --volume 25 mL", "hold 1000 bar 900 bar 30 s 25 mL",
         "hold 1000 900 bar 30 s 25 mL", "hold 25 mL 1000 bar --time 30 s 900 bar"],
    ),
    "a list": (
        "returns --volumes=30ml;31ml;29ml;60ml --time=60s",
        ["returns 30 31 29 60 ml 60s", "returns --volumes 30 31 29 60 ml --time 60s", "returns --time 60 s 30 31 29 60 ml",
         "returns 60s 30ml 31ml 29ml 60ml"],
    ),
    "a limit": (
        "returns --volumes=30ml;31ml;60ml --time=60s --median-limit=max150% --flow-limit=20to40mL/min",
        ["returns 30 31 60 ml 60s --median-limit max 150 % --flow-limit 20 to 40 mL/min",
         "returns --flow-limit 20 to 40 mL/min --median-limit max 150 % 30 31 60 ml 60s"],
    ),
    "a switch": (
        "coil --over-range=yes",
        ["coil --over-range", "coil --over-range yes", "coil --reading OL", "coil --reading o.l."],
    ),
    "an earlier name": (
        "returns 30 31 ml 60s --measuring-cylinders=one", ["returns 30 31 ml 60s --cylinders one"],
    ),
    "a fuel": ("hold 1000 900 bar 30s 25ml --fuel=diesel", ["hold 1000 900 bar 30s 25ml --fuel Diesel"]),
}  # fmt: skip


def _told(command: Command, line: str) -> dict[str, Any]:
    import shlex

    ran = command(*shlex.split(line.replace(";", r"\;").replace("max150%", "'max 150 %'").replace("20to40mL", "'20 to 40 mL'")))
    assert ran.code == 0, ran.err
    told: dict[str, Any] = json.loads(ran.out, object_hook=lambda part: {key: part[key] for key in part if key != "text"})
    return {key: told[key] for key in ("inputs", "outputs", "verdicts")}


@pytest.mark.parametrize("what", SAME)
def test_every_way_of_typing_gives_the_same_result(what: str, command: Command) -> None:
    first, others = SAME[what]
    wanted = _told(command, f"{first} --json")
    for line in others:
        found = _told(command, f"{line} --json")
        assert found == wanted, line


REFUSED = {
    "returns 30 31 29 60 60s": '"30 31 29 60" has no unit; write it behind the last of them',
    "returns 30 31 ml 60 s 5 bar": '"5 bar" is one reading too many for this command; put its option before it',
    "returns 30 31 mll 60 s": '"31 mll" has a unit that is not known, "mll"; did you mean',
    "returns idle 30 31 ml": '"idle" is one word too many for this command',
    "convert 300 bar psi more": '"more" is one word too many for this command',
    "hold 1000 900 800 bar 30 s": '"800 bar" is one reading too many for this command; put its option before it',
    "returns 30 31 ml 60s --steps=no": '--steps: "no" is not wanted',
}


@pytest.mark.parametrize("line", REFUSED)
def test_what_finds_no_place_is_told_in_a_line(line: str, command: Command) -> None:
    ran = command(*line.split())
    assert (ran.code, ran.out) == (2, "")
    assert ran.err.startswith(REFUSED[line])


def test_an_input_given_by_both_names_is_refused(command: Command) -> None:
    from baybook.errors import InputError
    from baybook.registry import registry

    with pytest.raises(InputError, match="is given twice; leave cylinders out"):
        registry().calculator("returns")(volumes="30 31 ml", time="60 s", measuring_cylinders="one", cylinders="each")


def test_a_return_test_of_four_injectors_takes_at_most_45_characters(command: Command) -> None:
    line = "baybook returns 30 31 29 60 ml 60s"
    assert len(line) <= 45
    assert "injector 4" in command(*line.split()[1:]).out


@pytest.mark.parametrize("name", ["returns", "coil", "hold", "regulator"])
def test_help_lists_options_under_headings_the_usual_ones_first(name: str, command: Command) -> None:
    out = command(name, "--help").out
    titles = [line[:-1] for line in out.splitlines() if line.endswith(":") and line[0].isupper() and " " not in line.strip()]
    assert [title for title in titles if title in ("Usual", "Capture", "Output")] == (
        ["Usual", "Capture", "Output"] if name == "hold" else ["Usual", "Output"]
    )
    usual = out.partition("Usual:")[2].partition("If known:")[0]
    assert {"returns": "--volumes", "coil": "--reading", "hold": "--start", "regulator": "--where"}[name] in usual
    assert "--json" not in usual
