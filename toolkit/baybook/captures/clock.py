"""Time of day, with or without a date, into seconds: one text at a time, or a whole column of equal layout at once."""

from __future__ import annotations

import re
from datetime import date
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from .model import Floats

DAY = 86400.0
_DATE = r"(?:(?P<date>\d{4}[-/.,]\d{1,2}[-/.,]\d{1,2}|\d{1,2}[-/.,]\d{1,2}[-/.,]\d{2,4}),?[ T]\s*)?"
_CLOCK = re.compile(
    r"\s*" + _DATE +
    r"(?:(?P<h>\d{1,3}):(?P<m>\d{2}):(?P<s>\d{2})(?:[.,:](?P<f>\d{1,9}))?|(?P<m2>\d{1,3}):(?P<s2>\d{2})[.,](?P<f2>\d{1,9}))"
    r"\s*(?P<half>[AaPp]\.?[Mm]\.?)?(?P<zone>Z|[+-]\d{2}:?\d{2})?\s*", re.ASCII)
# a point and a comma have changed places where the file's decimal mark is a comma: both are taken
_DAY = re.compile(r"\d{1,4}[-/.,]\d{1,2}[-/.,]\d{1,4}", re.ASCII)
_FIELDS = (("h", 3600.0), ("m", 60.0), ("s", 1.0), ("m2", 60.0), ("s2", 1.0))


def match(text: str) -> re.Match[str] | None:
    """A match with the parts of a clock time such as `10:00:00.005` or `2024-03-05 10:00:00,005`; None if it is none."""
    found = _CLOCK.fullmatch(text.strip('"'))
    return found if found and _possible(found) else None


def _possible(found: re.Match[str]) -> bool:
    minute, second = int(found["m"] or 0), int(found["s"] or found["s2"] or 0)
    return minute < 60 and second < 61 and not (found["half"] and int(found["h"] or 0) > 12)


def day_number(text: str) -> int | None:
    """The day as a count, or None where `text` leaves open which figure is the day (03/04/2024) or is no date."""
    parts = re.split(r"[-/.,]", text)
    numbers = [int(part) for part in parts]
    if len(parts[0]) == 4:
        year, month, day = numbers
    elif "." in text or "," in text or numbers[0] > 12:
        day, month, year = numbers
    elif numbers[1] > 12:
        month, day, year = numbers
    else:
        return None
    try:
        return date(year + 2000 if year < 100 else year, month, day).toordinal()
    except ValueError:
        return None


class Clock:
    """Reads clock times into seconds from midnight of the first row's day, so that no digit is lost to the date.

    dated: a date was used; undecided: dates were there, but it is open which figure is the day, so they were not used.
    """

    def __init__(self) -> None:
        self.base: int | None = None
        self.dated = self.undecided = False

    def one(self, text: str) -> float:
        """Seconds of one clock time; NaN where it is none."""
        found = match(text)
        return float("nan") if found is None else self._seconds(found) + self._days(found["date"]) * DAY

    def many(self, texts: NDArray[np.bytes_]) -> Floats:
        """Seconds for each of `texts`, shape (n,); NaN for what is no clock time."""
        import numpy as np

        seconds = np.full(len(texts), np.nan)
        lengths = np.char.str_len(texts)
        for length in np.unique(lengths):
            rows = np.flatnonzero(lengths == length)
            figures = np.ascontiguousarray(texts[rows]).view(np.uint8).reshape(len(rows), -1)[:, :length]
            seconds[rows] = self._alike(figures)
        return seconds

    def _alike(self, figures: NDArray[np.uint8]) -> Floats:
        """Seconds for rows of characters of equal length, shape (n, length); at once where laid out as the first."""
        import numpy as np

        first = figures[0].tobytes().decode("latin-1")
        found = match(first)
        if found is None or found["half"]:
            return np.array([self.one(row.tobytes().decode("latin-1")) for row in figures])
        is_digit = (figures >= 48) & (figures <= 57)
        where = np.array([character.isdigit() for character in first])
        alike = (is_digit == where).all(axis=1) & (figures[:, ~where] == figures[0, ~where]).all(axis=1)
        seconds: Floats = self._columns(figures, found) + self._day_column(figures, found) * DAY
        for row in np.flatnonzero(~alike):
            seconds[row] = self.one(figures[row].tobytes().decode("latin-1"))
        return seconds

    def _columns(self, figures: NDArray[np.uint8], found: re.Match[str]) -> Floats:
        import numpy as np

        seconds = np.zeros(len(figures))
        for name, weight in _FIELDS:
            if found[name] is not None:
                field = _number(figures, *found.span(name))
                seconds += field * weight
                if name in ("m", "s", "s2"):
                    seconds[field > (59 if name == "m" else 60)] = np.nan
        fraction = "f" if found["f"] is not None else "f2"
        if found[fraction] is not None:
            seconds += _number(figures, *found.span(fraction)) / 10.0 ** len(found[fraction])
        return seconds

    def _day_column(self, figures: NDArray[np.uint8], found: re.Match[str]) -> Any:
        import numpy as np

        if found["date"] is None:
            return 0.0
        start, end = found.span("date")
        dates = np.ascontiguousarray(figures[:, start:end]).view(f"S{end - start}").ravel()
        if (dates == dates[0]).all():
            return self._days(found["date"])
        different, which = np.unique(dates, return_inverse=True)
        days = np.array([self._days(each.decode("latin-1")) for each in different])
        return days[which]

    def _seconds(self, found: re.Match[str]) -> float:
        total = sum(int(found[name]) * weight for name, weight in _FIELDS if found[name] is not None)
        fraction = found["f"] or found["f2"]
        half = (found["half"] or "").lower()[:1]
        if half:
            total += 12 * 3600 * (half == "p") - (12 * 3600 if int(found["h"] or 0) == 12 else 0)
        return total + (int(fraction) / 10.0 ** len(fraction) if fraction else 0.0)

    def _days(self, text: str | None) -> float:
        day = day_number(text) if text and _DAY.fullmatch(text) else None
        if day is None:
            self.undecided = self.undecided or bool(text)
            return 0.0
        self.dated = True
        if self.base is None:
            self.base = day
        return float(day - self.base)


def _number(figures: NDArray[np.uint8], start: int, end: int) -> Floats:
    import numpy as np

    value = np.zeros(len(figures))
    for position in range(start, end):
        value = value * 10 + (figures[:, position].astype(np.float64) - 48)
    return value
