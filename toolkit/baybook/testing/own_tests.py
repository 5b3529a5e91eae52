"""The plugin's own tests, as its author would run them: pytest, in its folder, in a process of its own."""

from __future__ import annotations

import os
import subprocess
import sys
from importlib.util import find_spec
from pathlib import Path

from .promise import NotChecked

NO_TESTS = 5  # pytest's exit code where it found none


def own_tests(folder: Path, path: str, seconds: float) -> list[str]:
    """A line for every test of the folder's `tests` that fails; `path`: the import path to run them with.

    The kit's own `test_conformance` is left out: what it looks at has been looked at. Raises NotChecked where nothing can
    be run.
    """
    if not (folder / "tests").is_dir():
        raise NotChecked("the plugin has no folder tests")
    if find_spec("pytest") is None:
        raise NotChecked("pytest is not installed")
    command = [sys.executable, "-P", "-m", "pytest", "-q", "--tb=no", "-rfE", "-p", "no:cacheprovider", "tests"]
    try:
        done = subprocess.run(
            [*command, "-k", "not test_conformance"], cwd=folder, env={**os.environ, "PYTHONPATH": path, "COLUMNS": "200"},
            stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, timeout=seconds, check=False,
            text=True, encoding="utf-8", errors="replace",
        )  # fmt: skip
    except subprocess.TimeoutExpired:
        return [f"did not end within {seconds:g} s"]
    if done.returncode == NO_TESTS:
        raise NotChecked("the folder tests holds no test beside that of conformance")
    lines = [line.strip() for line in done.stdout.splitlines() if line.strip()]
    failed = [line for line in lines if line.startswith(("FAILED ", "ERROR "))]
    return failed or (lines[-1:] or [f"exit code {done.returncode}"] if done.returncode else [])
