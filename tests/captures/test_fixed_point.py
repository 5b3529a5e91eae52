"""Numbers of equally many decimals, read at once, are to the last bit what `float` makes of each; others are left alone."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from baybook.captures.fixed_point import fixed_point


def read(cells: list[str], skip: list[bool] | None = None) -> list[float] | None:
    data = "".join(f"{cell};" for cell in cells).encode()
    figures = np.frombuffer(data, np.uint8)
    ends = np.flatnonzero(figures == ord(";"))
    starts = np.append(0, ends[:-1] + 1)
    values = fixed_point(figures, starts, ends, np.array(skip or [False] * len(cells)))
    return None if values is None else values.tolist()


@given(st.integers(0, 9), st.lists(st.tuples(st.sampled_from(["", "-", "+"]), st.integers(0, 10**14 - 1)), min_size=1))
def test_every_number_is_what_float_makes_of_it(decimals: int, numbers: list[tuple[str, int]]) -> None:
    cells = []
    for sign, number in numbers:
        figures = f"{number:0{decimals + 1}d}"
        cells.append(sign + (f"{figures[:-decimals]}.{figures[-decimals:]}" if decimals else figures))
    assert read(cells) == [float(cell) for cell in cells]


@pytest.mark.parametrize(
    "odd",
    [
        "",
        "-",
        "+",
        ".",
        ".5",
        "1.",
        "1",
        "12.34",
        "1.2.3",
        "1e5",
        "1,5",
        "n/a",
        "nan",
        " 1.5",
        "1.5 ",
        "1-5",
        "--1.5",
        "1.x",
        "١.٢",
        "1234567890123456.7",
    ],
)
def test_a_column_with_anything_else_is_left_alone(odd: str) -> None:
    assert read(["1.5", odd, "2.5"]) is None
    assert read([odd, "1.5", "2.5"]) is None


def test_cells_to_be_skipped_are_missing_and_in_nobodys_way() -> None:
    np.testing.assert_array_equal(read(["n/a", "1.5", "", "-2.5"], [True, False, True, False]), [np.nan, 1.5, np.nan, -2.5])
    np.testing.assert_array_equal(read(["", ""], [True, True]), [np.nan, np.nan])
