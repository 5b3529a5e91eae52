"""What the end of a mutant's tests says: killed by a failed test alone, never by the clock or by a fault of the set-up."""

from __future__ import annotations

import ast
import signal
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from tools import mutants
from tools.mutants_changes import functions, mutants_of, written
from tools.mutants_tests import Session, TestFile, chosen, ended

CALL = {"phase": "call", "name": "tests/a.py::test", "said": "assert 1 == 2"}
COLLECT = {"phase": "collect", "name": "tests/a.py", "said": "ImportError"}
LATE = CALL | {"said": "subprocess.TimeoutExpired: timed out"}


@pytest.mark.parametrize(("code", "first", "outcome"), [
    (0, {}, "survived"), (1, CALL, "killed"), (1, CALL | {"phase": "setup"}, "killed"),
    (-signal.SIGXCPU, {}, "killed, endless"),
    (None, {}, "no answer"), (None, CALL, "no answer"), (1, {}, "no answer"), (1, LATE, "no answer"), (3, {}, "no answer"),
    (5, {}, "no answer"), (-signal.SIGKILL, {}, "no answer"), (-signal.SIGSEGV, {}, "no answer"), (2, {}, "no answer"),
])  # fmt: skip
def test_only_a_failed_test_and_an_endless_loop_kill(
    code: int | None, first: dict[str, str], outcome: str, tmp_path: Path
) -> None:
    """Exit codes of pytest: 1 tests failed, 2 interrupted, 3 internal error, 4 usage, 5 no tests collected (its reference)."""
    assert mutants.judged(Session(code, 1.0, first, []), tmp_path, ["tests/a.py"], {}).outcome == outcome


@pytest.mark.parametrize(("code", "first"), [(1, COLLECT), (2, COLLECT), (4, {})])
@pytest.mark.parametrize(
    ("control", "outcome"), [(0, "killed at import"), (2, "no answer"), (4, "no answer"), (None, "no answer")]
)
def test_what_cannot_be_imported_is_held_against_the_unmutated_tree(
    code: int, first: dict[str, str], control: int | None, outcome: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[Any] = []

    def session(*given: Any) -> Session:
        asked.append(given)
        return Session(control, 1.0, {}, [])

    monkeypatch.setattr(mutants, "session", session)
    assert mutants.judged(Session(code, 1.0, first, []), tmp_path, ["tests/a.py"], {}).outcome == outcome
    assert asked == [(tmp_path, ["tests/a.py"], {}, "--collect-only")]


def test_the_kernel_ends_what_runs_for_ever() -> None:
    """By processor time: one second allowed, a loop without end."""
    code = "import resource; resource.setrlimit(resource.RLIMIT_CPU, (1, 9))\nwhile True: pass"
    code, spent = ended(subprocess.Popen([sys.executable, "-c", code]))
    assert code == -signal.SIGXCPU and 0.5 < spent < 3.0


SOURCE = """
LIMIT = 3.0
class A:
    size = 2
    def f(self, x=5):
        def g():
            return x > 1
        return g() and not x
"""


def test_every_place_of_a_module_is_changed_and_belongs_to_its_function(tmp_path: Path) -> None:
    """A default is worked out where the function stands, outside it. Two for a number, two for >, one for and, for not."""
    (tmp_path / "m.py").write_text(SOURCE, encoding="utf-8")
    found = {(m.line, m.words): m for m in mutants_of(tmp_path, "m.py")}
    assert {(m.function, m.words) for m in found.values()} == {
        ("<module>", "3.0 -> 4.0"), ("<module>", "3.0 -> 3.3"), ("<module>", "2 -> 3"), ("<module>", "2 -> 2.2"),
        ("<module>", "5 -> 6"), ("<module>", "5 -> 5.5"), ("A.f.<locals>.g", "1 -> 2"), ("A.f.<locals>.g", "1 -> 1.1"),
        ("A.f.<locals>.g", "Gt -> GtE"), ("A.f.<locals>.g", "Gt -> Lt"), ("A.f", "And -> Or"), ("A.f", "Not dropped"),
    }  # fmt: skip
    assert "x >= 1" in written(tmp_path, found[7, "Gt -> GtE"]) and "g() or not x" in written(tmp_path, found[8, "And -> Or"])
    assert [name for *_, name in functions(ast.parse(SOURCE))] == ["A.f", "A.f.<locals>.g"]


def test_a_mutant_is_tried_by_the_tests_that_run_its_function(tmp_path: Path) -> None:
    """The part's own folder first, then the quickest, no slow one behind a first, none that fails unmutated."""
    (tmp_path / "m.py").write_text(SOURCE, encoding="utf-8")
    inner, outside = (
        next(m for m in mutants_of(tmp_path, "m.py") if m.function == name) for name in ("A.f.<locals>.g", "<module>")
    )
    runs = {"m.py": ["<module>", "A.f", "A.f.<locals>.g"]}
    tests = {
        "tests/far/slow.py": TestFile("", True, 5.0, runs), "tests/far/quick.py": TestFile("", True, 1.0, runs),
        "tests/near/a.py": TestFile("", True, 9.0, runs), "tests/far/broken.py": TestFile("", False, 0.5, runs),
        "tests/far/long.py": TestFile("", True, 59.0, runs),
        "tests/far/other.py": TestFile("", True, 0.1, {"m.py": ["<module>"], "n.py": ["A.f.<locals>.g"]}),
    }  # fmt: skip
    known = {"A.f", "A.f.<locals>.g"}
    wanted = ["tests/near/a.py", "tests/far/quick.py", "tests/far/slow.py"]
    assert chosen(tests, inner, known, ("tests/near",)) == wanted == chosen(tests, outside, known, ("tests/near",))
    assert chosen({"tests/far/other.py": tests["tests/far/other.py"]}, outside, known, ()) == ["tests/far/other.py"]
    assert chosen({"tests/far/other.py": tests["tests/far/other.py"]}, inner, known, ()) == ["tests/far/other.py"]
