"""Every file of the corpus, changed in ways that files are changed: read right or refused in words, never wrong quietly."""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from baybook.captures import Capture, read_capture
from baybook.errors import InputError

from .corpus import cases
from .made import Case

CASES = {case.name: case for case in cases()}
ROWS = 40


def _separator(text: str) -> str:
    return max(";\t,", key=lambda each: text.rstrip().splitlines()[-1].count(each))


def _swap(to: str, decimal: str = ".") -> Callable[[str], str]:
    def swap(text: str) -> str:
        separator = _separator(text)
        if '"' in text or (decimal == "," and separator != ";" and ("," in text or to == ",")):
            text = text.replace('"', "") if '","' not in text else text
        marked = text.replace(separator, "\x01")
        return (marked.replace(".", ",") if decimal == "," and "," not in marked else marked).replace("\x01", to)

    return swap


def _without(first: int, count: int) -> Callable[[str], str]:
    def cut(text: str) -> str:
        lines = text.splitlines(keepends=True)
        above = max(0, len(lines) - ROWS)
        del lines[min(first, above) : min(first + count, above)]
        return "".join(lines)

    return cut


def _above_gone(left: int) -> Callable[[str], str]:
    return lambda text: "".join(text.splitlines(keepends=True)[-min(ROWS, text.count("\n")) - left :])


def _random_lines(seed: int, put: str) -> Callable[[str], str]:
    def put_in(text: str) -> str:
        lines, chance = text.splitlines(keepends=True), random.Random(seed)
        for _ in range(3):
            lines.insert(chance.randrange(max(1, len(lines) - ROWS), len(lines)), put)
        return "".join(lines)

    return put_in


def _cells(seed: int, put: str) -> Callable[[str], str]:
    def change(text: str) -> str:
        lines, chance, separator = text.splitlines(keepends=True), random.Random(seed), _separator(text)
        for _ in range(3):
            place = chance.randrange(max(1, len(lines) - ROWS), len(lines))
            cells = lines[place].rstrip("\n").split(separator)
            cells[chance.randrange(len(cells))] = put
            lines[place] = separator.join(cells) + "\n"
        return "".join(lines)

    return change


TEXT: dict[str, Callable[[str], str]] = {
    "as it is": lambda text: text,
    **{f"line {n} gone": _without(n, 1) for n in (0, 1, 2, 5)},
    "all above gone": _above_gone(0),
    "but one line gone": _above_gone(1),
    "but two lines gone": _above_gone(2),
    "semicolons": _swap(";"),
    "tabs": _swap("\t"),
    "bars": _swap("|"),
    "semicolons and decimal commas": _swap(";", ","),
    "tabs and decimal commas": _swap("\t", ","),
    "a title above": lambda text: "Fennimore's mill, 3 channels\n" + text,
    "a title with figures above": lambda text: "Fennimore;12;3,5;2024\n12.5,3\n" + text,
    "the file twice": lambda text: text + text,
    "the first half": lambda text: text[: len(text) // 2],
    "the last bytes gone": lambda text: text[:-9],
    "the first 5 rows alone": lambda text: "".join(text.splitlines(keepends=True)[: max(0, text.count("\n") - ROWS) + 5]),
    "blank lines": _random_lines(1, "\n"),
    "remarks": _random_lines(2, "# pause\n"),
    "words": _random_lines(3, "pause here\n"),
    "short lines": _random_lines(4, "1.5\n"),
    "long lines": _random_lines(5, "9,9,9,9;9;9;9\t9\t9\t9\t9,9,9\n"),
    **{f"cells {put!r}": _cells(seed, put) for seed, put in enumerate(["", "n/a", "x", "OL", "99:99", "1.2.3"], 6)},
    "a date as it cannot be": lambda text: text.replace("/26/", "/46/").replace(".26.", ".46."),
    "upper case": str.upper,
    "lower case": str.lower,
    "brackets gone": lambda text: text.translate(str.maketrans("", "", "[]()")),
    "newest first": lambda text: "".join(
        [*text.splitlines(keepends=True)[:-ROWS], *reversed(text.splitlines(keepends=True)[-ROWS:])]
    ),
}
BYTES: dict[str, Callable[[str], bytes]] = {
    "CRLF": lambda text: text.replace("\n", "\r\n").encode(),
    "CR": lambda text: text.replace("\n", "\r").encode(),
    "byte-order mark": lambda text: ("\ufeff" + text.lstrip("\ufeff")).encode(),
    "UTF-16": lambda text: text.lstrip("\ufeff").encode("utf-16"),
    "UTF-16 without a mark": lambda text: text.lstrip("\ufeff").encode("utf-16-le"),
    "cp1252": lambda text: text.lstrip("\ufeff").encode("cp1252", "replace"),
}


def is_true(capture: Capture, case: Case) -> bool:
    """Whether every row that was read is a row of the case, at its time from the first row that was read."""
    time, truth = capture.time, np.array(case.time)
    near = 1e-9 + 1e-12 * abs(truth[-1])
    for start in range(len(truth)):
        rows = np.searchsorted(truth, time + truth[start] - near)
        if rows.max() >= len(truth) or (np.abs(truth[rows] - truth[start] - time) > 2 * near).any():
            continue
        if all(_same(capture.channel(name).values, np.array(values)[rows]) for name, values in case.values.items()):
            return True
    return False


def _same(read: np.ndarray, truth: np.ndarray) -> bool:
    """A cell that was spoilt is no number; all others are as they were made."""
    lost = np.isnan(read)
    return bool((read[~lost] == truth[~lost]).all())


# where rows are counted nothing can tell whether a spoilt line stands for a row, or which end is the first
UNKNOWABLE = {"short lines", "long lines", "newest first"}


def outcome(case: Case, data: bytes, path: Path) -> str:
    path.write_bytes(data)
    try:
        capture = read_capture(path, case.columns, case.units, sample_rate_hz=case.rate)
    except InputError as error:
        assert len(str(error).splitlines()) == len(error.problems)
        return "refused"
    return "right" if is_true(capture, case) else "wrong"


@pytest.mark.parametrize("name", CASES)
def test_no_change_of_a_file_gives_a_wrong_number(name: str, tmp_path: Path) -> None:
    case, path = CASES[name], tmp_path / "changed.csv"
    turn = list(CASES).index(name)  # a third of the changes for each file, other ones for the next
    changed = {
        how: change(case.text).encode(case.encoding, "replace")
        for place, (how, change) in enumerate(TEXT.items())
        if (place + turn) % 3 == 0
    }
    changed |= {how: change(case.text) for how, change in BYTES.items()}
    if case.counted:
        changed = {how: data for how, data in changed.items() if how not in UNKNOWABLE}
    found = {how: outcome(case, data, path) for how, data in changed.items()}
    assert [how for how, each in found.items() if each == "wrong"] == []
    assert Counter(found.values())["right"] >= len(found) // 4
    assert all(found[how] == "right" for how in BYTES)
