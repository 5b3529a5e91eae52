"""The README shows what the program prints, and its commands run."""

from __future__ import annotations

import doctest
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")


def test_every_output_in_the_tour_is_what_the_command_prints() -> None:
    done = subprocess.run([sys.executable, ROOT / "tools" / "refresh_tour.py", "--check"], check=False, cwd=ROOT)
    assert done.returncode == 0, "run tools/refresh_tour.py and read what changed"


def test_the_python_example_is_true() -> None:
    examples = "\n".join(re.findall(r"```python\n(.*?)```", README, re.DOTALL))
    test = doctest.DocTestParser().get_doctest(examples, {}, "README", "README.md", 0)
    assert len(test.examples) > 2
    assert doctest.DocTestRunner().run(test).failed == 0


def test_the_commands_on_paper_write_their_files(tmp_path: Path) -> None:
    (tmp_path / "data_demo").symlink_to(ROOT / "data_demo")
    lines = [line for block in re.findall(r"```sh\n(.*?)```", README, re.DOTALL) for line in block.splitlines()]
    commands = [line for line in lines if line.startswith("baybook ")]
    assert len(commands) == 2
    for line in commands:
        path = f"{Path(sys.executable).parent}{os.pathsep}{os.environ['PATH']}"
        done = subprocess.run(
            line, shell=True, cwd=tmp_path, env={**os.environ, "PATH": path}, capture_output=True, check=False
        )
        assert done.returncode == 0, done.stderr
    assert all((tmp_path / name).read_bytes().startswith(b"%PDF") for name in ("report.pdf", "cards.pdf"))


@pytest.mark.parametrize("sheet", sorted((ROOT / "data_demo").glob("*.toml")), ids=lambda path: path.stem)
def test_every_demo_job_is_worked_out(sheet: Path, command) -> None:  # type: ignore[no-untyped-def]
    ran = command("job", "run", sheet)
    assert (ran.code, ran.err) == (0, "")


def test_the_demo_jobs_end_differently(command) -> None:  # type: ignore[no-untyped-def]
    ends = {command("job", "run", sheet).out.rpartition("Conclusion")[2] for sheet in (ROOT / "data_demo").glob("*.toml")}
    assert len(ends) == 5


def test_bootstrap_is_plain_shell_and_knows_its_words(tmp_path: Path) -> None:
    assert subprocess.run(["sh", "-n", ROOT / "bootstrap"], check=False).returncode == 0
    done = subprocess.run([ROOT / "bootstrap", "nonsense"], check=False, capture_output=True, text=True)
    assert (done.returncode, done.stderr) == (2, "usage: ./bootstrap demo | test | setup | setup-test\n")


def test_bootstrap_deletes_no_folder_that_is_no_environment(tmp_path: Path) -> None:
    kept = tmp_path / "mine" / "kept.txt"
    kept.parent.mkdir()
    kept.write_text("kept")
    environment = {**os.environ, "VENV": str(kept.parent)}
    done = subprocess.run([ROOT / "bootstrap", "setup"], check=False, capture_output=True, text=True, env=environment)
    assert (done.returncode, kept.read_text()) == (1, "kept")
    assert "holds no Python environment; set VENV" in done.stderr
