"""A short run of every fuzzing target: its seeds, what was once found, and some hundred new inputs."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, seed, settings
from hypothesis import strategies as st

from .targets import SEEDS, TARGETS

FOUND = Path(__file__).parent / "corpus"
MARKS = [
    *(b"\xc2\xb1", b" ", b",", b".", b";", b"%", b"0", b"9" * 40, b"e400", b"-", b"=", b"[", b"{", b'"', b"\n", b"\r\n", b"\0"),
    *(b"bar", b"\xef\xbb\xbf", b"\xff", b"\xe2\x80\xae", b"\x1b[", b"<=", b" to ", b"nan", b"inf", b"a.a.a.a", b"#"),
]


@pytest.mark.parametrize("name", TARGETS)
def test_seeds_and_what_was_found_once_hold(name: str) -> None:
    found = sorted((FOUND / name).glob("*")) if (FOUND / name).is_dir() else []
    for data in (*SEEDS[name], *(file.read_bytes() for file in found)):
        TARGETS[name](data)


@pytest.mark.parametrize("name", TARGETS)
def test_damage_of_any_kind_is_answered_in_words(name: str) -> None:
    edit = st.tuples(st.integers(0, 200), st.integers(0, 6), st.one_of(st.sampled_from(MARKS), st.binary(max_size=6)))

    @seed(20261128)
    @settings(max_examples=40, deadline=None, database=None, suppress_health_check=list(HealthCheck))
    @given(st.sampled_from(SEEDS[name]), st.lists(edit, max_size=8))
    def holds(data: bytes, edits: list[tuple[int, int, bytes]]) -> None:
        for at, take, put in edits:
            at %= len(data) + 1
            data = data[:at] + put + data[at + take :]
        TARGETS[name](data)

    holds()
