"""What is promised to authors is in a file; the code keeps to it, and a name that goes says so for a while."""

from __future__ import annotations

import sys
import types
import warnings
from pathlib import Path

import pytest
from tools import make_surface

from baybook import api, hooks
from baybook.deprecation import deprecated


def test_the_code_is_what_the_file_promises() -> None:
    version, promised = make_surface.stored()
    now = make_surface.surface()
    assert version == hooks.INTERFACE
    assert [line for line in promised if line not in now] == [], "promised, and gone or changed"
    assert [line for line in now if line not in promised] == [], "new: run tools/make_surface.py"


def test_every_name_of_the_interface_is_promised_with_what_it_takes() -> None:
    lines = make_surface.stored()[1]
    told = {line.partition("(")[0].partition(":")[0] for line in lines}
    assert [name for name in api.__all__ if f"baybook.api.{name}" not in told] == []
    assert not any("baybook.light" in line for line in lines)
    assert any(line.startswith("baybook.api.judge(what: ") for line in lines)


@pytest.mark.parametrize("change", ["gone", "another type", "one thing more to give"])
def test_a_promise_is_not_broken_by_running_the_tool(
    change: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    old, new = {
        "gone": ("baybook.api.older(x: float) -> float", ""),
        "another type": ("baybook.api.older(x: float) -> float", "baybook.api.older(x: str) -> float"),
        "one thing more to give": ("baybook.api.older(x: float) -> float", "baybook.api.older(x: float, y: float) -> float"),
    }[change]
    target = tmp_path / "surface.txt"
    target.write_text(f"interface version {hooks.INTERFACE}\n{old}\n", encoding="utf-8")
    monkeypatch.setattr(make_surface, "TARGET", target)
    monkeypatch.setattr(make_surface, "surface", lambda: [new] if new else [])
    assert make_surface.main([]) == 1
    assert old in capsys.readouterr().err and old in target.read_text(encoding="utf-8")
    assert make_surface.main(["--anew"]) == 0
    assert old not in target.read_text(encoding="utf-8").splitlines()


def test_an_option_more_takes_no_line_away() -> None:
    def before(x: float) -> float:
        return x

    def after(x: float, *, y: float = 1.0) -> float:
        return x * y

    lines = [list(make_surface._called("f", function)) for function in (before, after)]
    assert set(lines[0]) < set(lines[1])
    assert lines[1] == ["f(x: float) -> float", "f(… y: float = 1.0), by name"]


@pytest.fixture
def module(monkeypatch: pytest.MonkeyPatch) -> types.ModuleType:
    made = types.ModuleType("some_interface")
    made.newer = 7  # type: ignore[attr-defined]
    made.__getattr__ = lambda name: deprecated("some_interface", {"older": ("0.2", "newer")}, name)  # type: ignore[method-assign]
    monkeypatch.setitem(sys.modules, "some_interface", made)
    return made


def test_a_deprecated_name_works_and_tells_its_author_at_the_line_what_to_use(module: types.ModuleType) -> None:
    with warnings.catch_warnings(record=True) as told:
        warnings.simplefilter("always")
        exec(compile("\n\nfrom some_interface import older", "an_authors_file.py", "exec"), {"__name__": "authors"})
        assert module.older == 7
    assert {str(warning.message) for warning in told} == {
        "some_interface.older is deprecated since Baybook 0.2; use some_interface.newer"
    }
    assert (told[0].category, told[0].filename, told[0].lineno) == (DeprecationWarning, "an_authors_file.py", 3)
    with pytest.raises(AttributeError, match="module 'some_interface' has no attribute 'oldest'"):
        _ = module.oldest


def test_the_interface_itself_has_that_path(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(api.DEPRECATED, "Measurement", ("0.2", "Reading"))
    with pytest.warns(DeprecationWarning, match="use baybook.api.Reading"):
        assert api.Measurement is api.Reading
    assert "baybook.api.Measurement deprecated since 0.2, use Reading" in make_surface.surface()
    with pytest.raises(AttributeError, match="no attribute 'Measurment'"):
        _ = api.Measurment
