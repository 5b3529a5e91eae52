"""What is fuzzed: each target takes bytes, gives them to a part that reads what a person or a program wrote, and checks what
must hold whatever they are. What the part refuses, it refuses in words; anything else is a find.
"""

from __future__ import annotations

import json
import math
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

from baybook import units
from baybook.errors import BaybookError, Refused

Target = Callable[[bytes], None]
FOLDER = Path(tempfile.mkdtemp(prefix="baybook-fuzz-"))
KINDS = ("gauge pressure", "flow", "resistance", "temperature", "time", "ratio", "volume", "speed")


def _text(data: bytes) -> str:
    return data.decode("utf-8", "replace")


def number(data: bytes) -> None:
    """A number is finite, its last digit is above zero and no wider than a digit of it can be."""
    from baybook.numbers import parse_number, split_number

    text, _ = split_number(_text(data))
    try:
        value, digit = parse_number(text)
    except Refused as error:
        assert error.why
        return
    assert math.isfinite(value)
    assert 0 < digit < math.inf


def unit(data: bytes) -> None:
    """A unit that is found is found again by its symbol, and a value goes there and back."""
    from baybook.reading import find_unit

    try:
        found, reference = find_unit(_text(data))
    except Refused as error:
        assert error.why
        return
    assert reference in ("", "gauge", "absolute")
    base = units.in_family(found.family)[0]
    assert math.isclose(units.convert(units.convert(2.0, found, base), base, found), 2.0, rel_tol=1e-9)
    assert units.find(found.symbol, found.family) is found


def reading(data: bytes) -> None:
    """A reading is finite with an uncertainty from zero; with a comma for each point, or spaces around, it is the same."""
    from baybook.reading import parse

    text = _text(data)
    try:
        found = parse(text)
    except Refused as error:
        assert error.why
        return
    assert math.isfinite(found.value)
    assert 0 <= found.u < math.inf
    assert found.interval[0] <= found.value <= found.interval[1]
    again = parse(f"  {text} ") if len(text) < 70 else found
    assert (again.value, again.u, again.unit) == (found.value, found.u, found.unit)
    assert str(found.show())


def spec(data: bytes) -> None:
    """Of a range one end is known, and the lower is not above the upper."""
    from baybook import kinds
    from baybook.spec import parse_spec

    kind = kinds.KINDS[KINDS[(data[0] if data else 0) % len(KINDS)]]
    try:
        found = parse_spec(_text(data[1:]), kind)
    except Refused as error:
        assert error.why
        return
    assert found.low is not None or found.high is not None
    assert found.low is None or found.high is None or found.low <= found.high


def sheet(data: bytes) -> None:
    """A sheet is read or refused; one that is read takes a step without losing what was in it."""
    import tomllib

    from baybook.jobs.edits import add_happening
    from baybook.jobs.sheet import read_sheet

    path = FOLDER / "s.toml"
    path.write_bytes(data)
    try:
        read_sheet(path)
        before = tomllib.loads(data.decode("utf-8-sig").replace("\r\n", "\n"))
        add_happening(path, {"repair": ["filter"]})
    except BaybookError as error:
        assert error.exit_code == 2, error
        assert str(error)
        return
    after = tomllib.loads(path.read_bytes().decode("utf-8-sig"))
    steps = after.pop("steps")
    assert steps.pop() == {"repair": ["filter"]}
    assert steps == before.pop("steps", [])
    assert after == before


def inputs(data: bytes) -> None:
    """Inputs of a program end in a result that is strict JSON, or in words."""
    from baybook.cli.inputs import inputs_from
    from baybook.execution import run
    from baybook.registry import registry

    path = FOLDER / "i.json"
    path.write_bytes(data[1:])
    name = ("coil", "drop", "convert", "reading")[(data[0] if data else 0) % 4]
    try:
        result = run(registry().calculator(name), inputs_from(str(path)))
    except BaybookError as error:
        assert error.exit_code == 2, error
        assert str(error)
        return
    json.dumps(result.to_dict(), allow_nan=False)


def capture(data: bytes) -> None:
    """A capture is read, with as many values as times and times that rise, or refused in words."""
    import numpy as np

    from baybook.captures import read_capture
    from baybook.errors import InputError

    path = FOLDER / "c.csv"
    path.write_bytes(data)
    try:
        found = read_capture(path, {"rail": "Rail [bar]"})
    except InputError as error:
        assert str(error)
        return
    assert all(len(found.time) == len(channel.values) for channel in found.channels.values())
    assert (np.diff(found.time) > 0).all()
    json.dumps(found.report.to_dict(), allow_nan=False)


def fuel(data: bytes) -> None:
    """A fuel is refused in words, or has a density that can be one."""
    from baybook_physics.fuels import fuel_from_file

    path = FOLDER / "f.toml"
    path.write_bytes(data)
    try:
        found = fuel_from_file(str(path))
    except BaybookError as error:
        assert error.exit_code == 2, error
        return
    assert 500 < found.density(20.0, 0.101325) < 1100


def screen(data: bytes) -> None:
    """What is shown holds no control character; one line stays one line."""
    from baybook.cli.output import fitting, harmless, json_text

    text = _text(data)
    shown = harmless(text)
    assert not any((ord(c) < 32 and c not in "\n\t") or 127 <= ord(c) < 160 or c in "\u202a\u202e\u2066" for c in shown)
    assert len(shown.splitlines()) <= len(text.splitlines()) + 1
    assert json.loads(json_text(text)) == text
    fitting(text).encode("ascii")


TARGETS: dict[str, Target] = {
    each.__name__: each for each in (number, unit, reading, spec, sheet, inputs, capture, fuel, screen)
}
SEEDS: dict[str, list[bytes]] = {
    "number": [b"1.500", b"1,5", b"1 500 600", b"1e-3", b"0,001", b"-3.50", b"1'000.5"],
    "unit": [b"bar", "°C".encode(), b"bar(g)", b"psia", b"mL/min", "µL".encode(), b"kg/cm2"],
    "reading": ["350 ± 5 bar".encode(), b"350 bar +- 1 %", b"1:30 min", b"-0,3 bar", "25 ± 2 %".encode(), b"3,4 ohm"],
    "spec": [b"\x00<= 6 bar", b"\x013 to 7 mL/min", "\x022.5 ohm ± 10 %".encode(), b"\x03max 90 \xc2\xb0C", b"\x00> 3 bar(a)"],
    "sheet": [
        b'format = 2\n[job]\nnumber = "1"\n[specs.leak]\nrange = "<= 6 mL/min"\n[[steps]]\ncalculator = "coil"\n'
        b'[steps.inputs]\nreading = "3,4 ohm"\n',
        b'steps = [{calculator = "coil"}]\n[complaint]\nkind = "does not start"\n',
    ],
    "inputs": [
        b'\x00{"reading": "3.4 ohm", "temperature": "20 C", "limit": "<= 5 ohm"}',
        b'\x02{"reading": "3 bar", "to": "psi"}',
    ],
    "capture": [b"Time [s];Rail [bar]\n0;350\n1;349,5\n2;348\n", b"t,Rail [bar]\n0.0,350.5\n0.1,350.1\n0.2,349\n"],
    "fuel": [b'name = "x"\ndensity_15C = 832.5\nviscosity_40C = 2.7\nsources = ["sheet"]\n'],
    "screen": [b"plain", "\x1b[2J\x9b\u202eß".encode()],
}


def check(name: str, data: bytes) -> None:
    """Run one target on one input. Raises what it finds."""
    TARGETS[name](data)


def words(error: BaseException) -> dict[str, Any]:
    """What went wrong, for a line of the record."""
    return {"kind": type(error).__name__, "text": str(error)[:200]}
