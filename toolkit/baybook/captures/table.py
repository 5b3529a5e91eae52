"""The table of rows: every delimiter that could be is tried on the first lines, and the one that makes most rows is taken.

Rows are the longest run of lines with the same kinds of cells column by column, between lines of words. Whatever stands
above is preamble, however many of its lines look like rows.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from ..dataclass import dataclass, field
from ..errors import InputError
from .delimiters import is_comment, kind_of, split
from .labels import is_unit
from .source import Line

DELIMITERS = (";", "\t", ",", "|", " ", "")
_TIMES = ("clock", "date")
_VALUES = ("number", *_TIMES)
_MOST = 0.9  # of a column's cells, to call the column a column of their kind

Row = tuple[Line, tuple[str, ...]]


@dataclass(frozen=True)
class Guess:
    """One way to read the lines: how many rows it makes of them, each with `numbers` cells that are values.

    fit: 2 where the line above the rows parts into as many cells, 1 where it has more, 0 where it does not fit.
    """

    delimiter: str
    decimal: str
    rows: tuple[Row, ...]
    width: int
    numbers: float
    fit: int


@dataclass
class _Run:
    """Lines of one width and like kinds: `columns` counts the kinds in each column, blanks and missing values apart."""

    width: int
    rows: list[Row] = field(default_factory=list)
    columns: list[Counter[str]] = field(default_factory=list)

    def takes(self, cells: Sequence[str], kinds: Sequence[str]) -> bool:
        """Whether a line is like those there are: one or a third of its cells may be of another kind, but not the first."""
        if len(cells) != self.width or (kinds[0] in (*_VALUES, "text") and self._usual(0) not in ("", kinds[0])):
            return False
        filled = [place for place, kind in enumerate(kinds) if kind in (*_VALUES, "text")]
        other = sum(self._usual(place) not in ("", kinds[place]) for place in filled)
        return other <= max(1, len(filled) // 3)

    @property
    def used(self) -> int:
        """How many columns hold anything."""
        return sum(bool(column) for column in self.columns)

    def _usual(self, place: int) -> str:
        """The kind of a column; "" where it has none or several."""
        kinds = self.columns[place]
        kind, count = kinds.most_common(1)[0] if kinds else ("", 0)
        return kind if count and count >= _MOST * kinds.total() else ""

    def add(self, row: Row, kinds: Sequence[str]) -> None:
        self.rows.append(row)
        self.columns = self.columns or [Counter() for _ in kinds]
        for column, kind in zip(self.columns, kinds, strict=True):
            if kind in (*_VALUES, "text"):
                column[kind] += 1

    def begun(self, decimal: str) -> list[Row]:
        """The rows without the first lines that have words where all others have values: those are labels."""
        for start in range(min(3, len(self.rows) - 1)):
            kinds = [kind_of(cell, decimal) for cell in self.rows[start][1]]
            if not any(kind == "text" and self._usual(place) in _VALUES for place, kind in enumerate(kinds)):
                return self.rows[start:]
        return self.rows

    def rank(self, decimal: str) -> tuple[bool, int]:
        """The longest counts; a list of names, each with its values, only if there is no other."""
        names = [cells[0] for _, cells in self.rows if kind_of(cells[0], decimal) == "text"]
        times = any(column[kind] for column in self.columns for kind in _TIMES)
        a_list = len(names) == len(self.rows) == len(set(names)) and not times
        return not a_list, len(self.rows)


def guesses(lines: Sequence[Line], delimiter: str | None, decimal: str | None) -> list[Guess]:
    """The ways to read the lines that find rows in them; None: any delimiter, any decimal mark."""
    quoted = any('"' in line.text for line in lines)
    found = []
    half = len(lines) // 2
    there = [each for each in DELIMITERS if each in ("", " ") or sum(each in line.text for line in lines[half:]) * 2 >= half]
    for each in there if delimiter is None else (delimiter,):
        for mark in (".", ",") if decimal is None else (decimal,):
            if each != mark or quoted:  # "12,5","3,4" keeps both apart by quotes
                found.append(_guess(lines, each, mark, delimiter is not None))
    found = [guess for guess in found if guess.rows]
    return [guess for guess in found if not any(_parts_blanks(other, guess) for other in found)]


def _parts_blanks(other: Guess, guess: Guess) -> bool:
    """Whether the rows of a guess by blanks, or by nothing, hold another's delimiter, one that is written for no other end."""
    return (
        guess.delimiter in ("", " ")
        and other.delimiter in (";", "\t", "|")
        and other.width > 1
        and (2 * len(other.rows) >= len(guess.rows))
        and all(other.delimiter in line.text for line, _ in guess.rows)
    )


def _guess(lines: Sequence[Line], delimiter: str, decimal: str, forced: bool) -> Guess:
    runs = _runs(lines, delimiter, decimal)
    run = max(reversed(runs), key=lambda each: each.rank(decimal), default=None)
    if run is None or (run.width == 1 and delimiter and not forced):
        return Guess(delimiter, decimal, (), 0, 0.0, 0)
    rows = run.begun(decimal)
    numbers = sum(kind_of(cell, decimal) in _VALUES for _, cells in rows for cell in cells) / len(rows)
    before = [line.text for line in lines if line.number < rows[0][0].number]
    fit = _fit(before[-1].lstrip("#%/ "), delimiter, run.width) if before else 0
    return Guess(delimiter, decimal, tuple(rows), run.width, numbers, fit)


def _runs(lines: Sequence[Line], delimiter: str, decimal: str) -> list[_Run]:
    """The runs of like lines. A line of words ends a run, unless it is the line of labels once more."""
    runs: list[_Run] = []
    here: list[_Run] = []
    words = ""
    for line in lines:
        if is_comment(line.text, delimiter):
            continue
        cells = tuple(split(line.text, delimiter))
        kinds = [kind_of(cell, decimal) for cell in cells]
        if _is_row(cells, kinds):
            run = next((each for each in here if each.takes(cells, kinds)), None)
            if run is None:
                run = _Run(len(cells))
                here.append(run)
            run.add((line, cells), kinds)
        elif line.text != words and _parts(kinds, max((each.used for each in here), default=1)):
            runs += here
            here, words = [], line.text
    return runs + here


def _parts(kinds: Sequence[str], used: int) -> bool:
    """Whether a line of words is one of labels or the like, that parts what is above from what is below.

    It may hold a few numbers, as a label may be one, or be parted by the guess as its writer did not mean it.
    """
    words, filled = kinds.count("text"), len(kinds) - kinds.count("empty")
    return 2 * words >= used and (words == filled or (kinds[0] == "text" and 3 * words >= 2 * filled))


def _is_row(cells: Sequence[str], kinds: Sequence[str]) -> bool:
    """Whether enough cells are values: a time and a number, or as many as there are words, and more after a name."""
    values = sum(kinds.count(kind) for kind in _VALUES)
    times = sum(kinds.count(kind) for kind in _TIMES)
    words = kinds.count("text")
    if kinds[0] == "text" and cells[0].endswith((":", "=")):
        return False
    if times and values > times:
        return True
    values -= kinds.count("date")
    if kinds[0] == "text":  # most often a key and its value
        return values > words
    return values > 0 and values + kinds.count("missing") + kinds.count("empty") >= words


def _fit(header: str, delimiter: str, width: int) -> int:
    """How a header parts: as `Guess.fit`. Nothing parts "Rail, bar"; a comma does part "Time,Rail"."""
    cells = split(header, delimiter)
    if not delimiter:
        return 0 if any(each in header for each in (";", "\t", ",", "|")) else 2
    while len(cells) > width and not cells[-1]:
        cells.pop()
    label_and_unit = delimiter == "," and width == 2 and len(cells) == 2 and is_unit(cells[1]) and not is_unit(cells[0])
    return 0 if label_and_unit else 2 if len(cells) == width else int(len(cells) > width)


def best_of(guesses: list[Guess], file: str) -> Guess:
    """The likeliest. Raises InputError where there is none, or where two are as likely."""
    if not guesses:
        raise InputError.one("capture", file, "has no row of numbers", "give a file with a header and at least one row")
    most = max(len(guess.rows) for guess in guesses)
    close = [guess for guess in guesses if 2 * len(guess.rows) >= most]
    ranked = sorted(close, key=_rank, reverse=True)  # stable: the order of the delimiters settles a tie
    first = ranked[0]
    if _comma_is_open(first, ranked):
        example = first.rows[0][0].text
        raise InputError.one(
            "decimal",
            example,
            "has a comma that may part two columns or be the decimal mark",
            "say which: --decimal point or --decimal comma",
        )
    return first


def refuse_no_table(guess: Guess, lines: Sequence[Line], file: str) -> None:
    """Raise InputError where the rows are but some of the lines among which they stand."""
    first = guess.rows[0][0].number
    above = {line.text for line in lines if line.number < first}
    among = [
        line for line in lines if line.number >= first and line.text not in above and not is_comment(line.text, guess.delimiter)
    ]
    if 2 * len(guess.rows) < len(among) - 1:
        raise InputError.one(
            "capture",
            file,
            "holds no table of rows: lines of like columns are fewer than the others",
            "export the recording as CSV, one row a line",
        )


def _comma_is_open(first: Guess, others: Sequence[Guess]) -> bool:
    """Whether "12,5" is as well one number as two cells: only the header can tell."""
    return first.delimiter in (",", "") and any(
        other.delimiter != first.delimiter and other.delimiter in (",", "") and _rank(other)[:2] == _rank(first)[:2]
        for other in others
    )


def _rank(guess: Guess) -> tuple[int, int, bool, float, float]:
    # where blanks part a date from its clock and a semicolon stands as well, it is that which parts the columns
    return guess.fit, len(guess.rows), guess.delimiter in (";", "\t", "|"), guess.numbers / guess.width, guess.numbers
