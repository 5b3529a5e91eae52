"""Damage of any kind ends in a capture or in a refusal in words: never in a traceback, never in a warning."""

from __future__ import annotations

from pathlib import Path

import numpy as np
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from baybook.captures import describe, read_capture
from baybook.errors import InputError

DATA = Path(__file__).parent / "data"
WHOLE = {name: (DATA / name).read_bytes() for name in ("heron_hold.csv", "quarry_hold.csv", "lantern_hold.csv")}
CLOCK = b"Clock;Rail [bar]\r\n" + b"".join(b"23:59:%02d,%03d;%d,5\r\n" % (s // 10, s % 10 * 100, 350 - s) for s in range(600))
FILES = {name: data[:6000] for name, data in (*WHOLE.items(), ("clock.csv", CLOCK))}

damage = st.lists(
    st.tuples(
        st.integers(0, 6000),
        st.integers(0, 20),
        st.sampled_from(
            [
                b"",
                b";",
                b",",
                b"\n",
                b"\r",
                b"\t",
                b"n/a",
                b"-",
                b"1",
                b".",
                b"e",
                b"E5",
                b"9",
                b'"',
                b"#",
                b"\0\0",
                b"\xff\xfe",
                b" ",
                b":",
                b"999999999999999999999",
                b"1e999",
                b"\n\n\n",
                b"12:00:00",
                b"\xb0",
                b"inf",
                b"[",
                b"(",
            ]
        ),
    ),
    min_size=1,
    max_size=6,
)


@settings(max_examples=300, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(name=st.sampled_from(sorted(FILES)), cuts=damage, rate=st.booleans())
def test_damage_ends_in_a_capture_or_in_words(
    name: str, cuts: list[tuple[int, int, bytes]], rate: bool, tmp_path: Path
) -> None:
    data = FILES[name]
    for place, length, put_in in cuts:
        data = data[:place] + put_in + data[place + length :]
    path = tmp_path / "damaged.csv"
    path.write_bytes(data)
    try:
        capture = read_capture(path, wanted=("rail",), sample_rate_hz=100.0 if rate else None)
    except InputError as error:
        assert len(str(error).splitlines()) == len(error.problems) > 0
        return
    assert np.all(np.diff(capture.time) > 0)
    assert np.isfinite(capture.time).all()
    assert len(capture.time) == len(capture.channel("rail").values) == capture.report.rows
    assert not np.isinf(capture.channel("rail").values).any()
    assert describe(capture.report)[0] == f"damaged.csv: {capture.report.rows} row" + "s" * (capture.report.rows != 1)


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=st.one_of(st.binary(max_size=400), st.text('0123456789.,;:\t\n\r -+eE"#nabT/[]()', max_size=400).map(str.encode)))
def test_any_bytes_end_in_a_capture_or_in_words(data: bytes, tmp_path: Path) -> None:
    path = tmp_path / "any.csv"
    path.write_bytes(data)
    try:
        read_capture(path)
    except InputError as error:
        assert len(str(error).splitlines()) == len(error.problems) > 0
