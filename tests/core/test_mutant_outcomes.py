"""What the end of a mutant's tests says: killed by a failed test alone, never by the clock or by a fault of the set-up."""

from __future__ import annotations

import ast
import shutil
import signal
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from tools import mutants, mutants_tests
from tools.mutants_changes import Mutant, functions, mutants_of, written
from tools.mutants_tests import Session, TestFile, chosen, ended, record

CALL = {"phase": "call", "name": "tests/a.py::test", "said": "assert 1 == 2"}
COLLECT = {"phase": "collect", "name": "tests/a.py", "said": "ImportError"}
TESTS = {"tests/a.py::quick": 0.1, "tests/a.py::test": 1.0, "tests/b.py::test": 2.0}
LATE = CALL | {"said": "subprocess.TimeoutExpired: timed out"}


@pytest.mark.parametrize(("code", "first", "outcome"), [
    (0, {}, "survived"), (1, CALL, "killed"), (1, CALL | {"phase": "setup"}, "killed"),
    (-signal.SIGXCPU, {}, "killed, endless"),
    (None, {}, "no answer"), (None, CALL, "no answer"), (1, {}, "no answer"), (1, LATE, "no answer"), (3, {}, "no answer"),
    (5, {}, "no answer"), (-signal.SIGKILL, {}, "no answer"), (-signal.SIGSEGV, {}, "no answer"), (2, {}, "no answer"),
])  # fmt: skip
def test_only_a_failed_test_and_an_endless_loop_kill(
    code: int | None, first: dict[str, str], outcome: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Exit codes of pytest: 1 tests failed, 2 interrupted, 3 internal error, 4 usage, 5 no tests collected (its reference)."""
    monkeypatch.setattr(mutants, "session", lambda *_: Session(0, 1.0, {}))
    assert mutants.judged(Session(code, 1.0, first), tmp_path, TESTS).outcome == outcome


UP_TO_IT = {"tests/a.py::quick": 0.1, "tests/a.py::test": 1.0}


@pytest.mark.parametrize(("code", "first", "sound", "asked"), [
    (1, COLLECT, "killed at import", (TESTS, "--collect-only")), (2, COLLECT, "killed at import", (TESTS, "--collect-only")),
    (4, {}, "killed at import", (TESTS, "--collect-only")), (1, CALL, "killed", (UP_TO_IT,)),
])  # fmt: skip
@pytest.mark.parametrize("control", [0, 1, 2, 4, -signal.SIGXCPU, None])
def test_what_fails_is_held_against_the_unmutated_tree(
    code: int,
    first: dict[str, str],
    sound: str,
    asked: Any,
    control: int | None,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """A test that fails there too, behind the same tests, says nothing about the mutant."""
    calls: list[Any] = []

    def session(*given: Any) -> Session:
        calls.append(given)
        return Session(control, 1.0, {})

    monkeypatch.setattr(mutants, "session", session)
    assert mutants.judged(Session(code, 1.0, first), tmp_path, TESTS).outcome == (sound if control == 0 else "no answer")
    assert calls == [(tmp_path, *asked)] and [*calls[0][1]] == [*asked[0]]


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


IDLE = """
from dataclasses import dataclass, field
@dataclass(frozen=True, slots=True, order=False)
class A:
    size: list = field(compare=False, repr=False, init=True)
    every: object = zip([], [], strict=True), sorted([], strict=True), field, compare(compare=True, repr=True)
"""


def test_what_can_change_no_result_is_left_alone(tmp_path: Path) -> None:
    """The same names given to other functions are not."""
    (tmp_path / "m.py").write_text(IDLE, encoding="utf-8")
    found = [(m.line, m.words) for m in mutants_of(tmp_path, "m.py")]
    true, false = "True -> False", "False -> True"
    assert sorted(found) == [(3, false), (5, true), (6, true), (6, true), (6, true)]


def test_a_mutant_is_tried_by_the_tests_that_run_its_function(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The part's own folder first, then the quickest, file by file; last those whose file alone runs it; up to a time."""
    (tmp_path / "m.py").write_text(SOURCE, encoding="utf-8")
    inner, outside = (
        next(m for m in mutants_of(tmp_path, "m.py") if m.function == name) for name in ("A.f.<locals>.g", "<module>")
    )

    def file(shared: float, tests: dict[str, tuple[float, list[int]]], common: list[int]) -> TestFile:
        runs = ["m.py::<module>", "m.py::A.f", "m.py::A.f.<locals>.g", "n.py::A.f.<locals>.g"]
        return TestFile("", shared, {n: s for n, (s, _) in tests.items()}, runs, common, {n: r for n, (_, r) in tests.items()})

    files = {
        "far/a.py": file(0.0, {"far/a.py::slow": (5.0, [1, 2]), "far/a.py::b": (0.1, [2]), "far/a.py::a": (0.05, [1, 3])}, [0]),
        "far/b.py": file(0.2, {"far/b.py::long": (0.3, [2]), "far/b.py::short": (0.1, [2])}, [0]),
        "far/c.py": file(20.0, {"far/c.py::1": (1.0, [2]), "far/c.py::2": (1.0, [2])}, [0]),
        "near/d.py": file(0.0, {"near/d.py::x": (9.0, [2])}, []), "near/e.py": file(0.0, {"near/e.py::y": (0.1, [])}, [0, 2]),
    }  # fmt: skip
    known = {"A.f", "A.f.<locals>.g"}
    wanted = {"near/d.py::x": 9.0, "far/a.py::b": 0.1, "far/b.py::short": 0.3, "far/b.py::long": 0.5, "far/a.py::slow": 5.0,
              "far/c.py::1": 21.0, "far/c.py::2": 21.0, "near/e.py::y": 0.1}  # fmt: skip

    def tried(mutant: Mutant, files: dict[str, TestFile]) -> list[tuple[str, float]]:
        return [(name, pytest.approx(seconds)) for name, seconds in chosen(files, mutant, known, ("near",)).items()]

    assert tried(inner, files) == [*wanted.items()]
    assert [name for name, _ in tried(outside, files)] == ["near/d.py::x", "far/a.py::a", *[*wanted][1:]]
    monkeypatch.setattr(mutants_tests, "LONGEST", 36.0)  # the fixtures of c are paid once: 9.0 + 0.1 + 0.6 + 5.0 + 21.0 = 35.7
    assert [name for name, _ in tried(inner, files)] == [name for name in wanted if name != "far/c.py::2"]
    unused = {"far/a.py": file(0.0, {"far/a.py::imports": (0.1, [])}, [0])}
    assert tried(outside, unused) == [("far/a.py::imports", 0.1)] and tried(inner, unused) == []


MODULE = """
from functools import cache
def over(x): return x > 3
def set_up(x): return x + 1
def keep(x): return x + 2
@cache
def kept(): return keep(1)
def in_process(x): return x + 3
def wrong(x): return x + 4
def skipped(x): return x + 5
"""
CASES = """
import subprocess, sys
import pytest
@pytest.fixture(scope="module")
def seven():
    from m import set_up
    return set_up(6)
@pytest.mark.parametrize(("x", "is_over"), [(1, False), (3, False), (9, True)])
def test_over(x, is_over):
    from m import over
    assert over(x) is is_over
def test_seven(seven): assert seven == 7
def test_kept():
    from m import kept
    assert kept() == 3
def test_process():
    from m import in_process
    subprocess.run([sys.executable, "-c", ""], check=True)
    assert in_process(1) == 4
def test_wrong():
    from m import wrong
    assert wrong(1) == 1
def test_skipped():
    from m import skipped
    skipped(1)
    pytest.skip("here")
"""


def test_only_the_tests_that_run_a_function_try_it_and_one_case_of_them_kills(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What one test leaves for the next, a fixture or a kept result, counts for every test of the file."""
    root = tmp_path / "root"
    for name, text in (("toolkit/m.py", MODULE), ("tests/core/test_cases.py", CASES)):
        (root / name).parent.mkdir(parents=True)
        (root / name).write_text(text, encoding="utf-8")
    (root / "tools").mkdir()
    shutil.copy(mutants.ROOT / "pyproject.toml", root)
    shutil.copy(mutants.ROOT / "tools" / "mutants_session.py", root / "tools")
    monkeypatch.setattr(mutants, "ROOT", root)
    name = "tests/core/test_cases.py"
    files = {name: record(root, name, "", ("toolkit/",))}
    over = [f"{name}::test_over[{case}]" for case in ("1-False", "3-False", "9-True")]
    every = [*over, f"{name}::test_seven", f"{name}::test_kept"]
    assert [*files[name].ran] == every and all(0 < seconds < 5 for seconds in files[name].seconds.values())
    found = {mutant.function: mutant for mutant in mutants_of(root, "toolkit/m.py")}
    tried_by = {function: {*chosen(files, mutant, {*found}, ())} for function, mutant in found.items()}
    for_all, for_none = {"set_up", "keep", "kept"}, {"in_process", "wrong", "skipped"}
    assert tried_by.pop("over") == {*over} and tried_by.keys() == for_all | for_none
    assert all(tests == ({*every} if function in for_all else set()) for function, tests in tried_by.items())
    trees = mutants.Trees(tmp_path / "trees", 1)
    tried = {m.words: trees.tried(m, files) for m in mutants_of(root, "toolkit/m.py") if m.function == "over"}
    assert {words: each.outcome for words, each in tried.items()} == {
        "Gt -> GtE": "killed", "Gt -> Lt": "killed", "3 -> 4": "survived", "3 -> 3.3": "survived",
    }  # fmt: skip
    assert tried["Gt -> GtE"].by == over[1] and tried["3 -> 4"].by == "3 tests"


def test_what_an_older_plugin_recorded_is_recorded_anew(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The digest in the store is of the test file and of the plugin, as both are now."""
    test, store, runs = tmp_path / "tests" / "core" / "test_a.py", tmp_path / "store.json", list[str]()
    test.parent.mkdir(parents=True)
    test.write_text("", encoding="utf-8")

    def record(tree: Path, name: str, digest: str, parts: tuple[str, ...]) -> TestFile:
        runs.append(name)
        return TestFile(digest, 0.0, {}, [], [], {})

    monkeypatch.setattr(mutants_tests, "record", record)
    for plugin, times in (("a", 1), ("a", 1), ("b", 2)):
        (tmp_path / "mutants_session.py").write_text(plugin, encoding="utf-8")
        monkeypatch.setattr(mutants_tests, "__file__", str(tmp_path / "mutants_tests.py"))
        assert [*mutants_tests.recorded(tmp_path, store, (), 1)] == ["tests/core/test_a.py"] and len(runs) == times
    store.write_text('{"tests/core/test_a.py": {"digest": "of the test alone", "passes": true}}', encoding="utf-8")
    assert mutants_tests.recorded(tmp_path, store, (), 1) and len(runs) == 3
