"""The set-up where something is missing, and the tool that tries both ends of what the project needs."""

from __future__ import annotations

import os
import runpy
import shutil
import subprocess
from pathlib import Path

import pytest

from .processes import COIL, baybook

ROOT = Path(__file__).resolve().parents[2]
DEBIAN = "libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0"


@pytest.mark.skipif(os.name != "posix", reason="the set-up is a shell script")
def test_set_up_without_pango_and_without_root_says_so_in_one_line(tmp_path: Path) -> None:
    """An ordinary user's Debian: the package manager refuses. The environment is there already, but for the renderer."""
    (tmp_path / "bin").mkdir()
    for name in ("sh", "dirname", "cat", "cksum", "uname"):
        (tmp_path / "bin" / name).symlink_to(str(shutil.which(name)))
    fakes = {
        "bin/apt-get": "exit 100", "bin/id": "echo 1000",
        "venv/bin/python": 'case "$*" in *weasyprint*) exit 1 ;; esac',
    }  # fmt: skip
    for name, text in fakes.items():
        file = tmp_path / name
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(f"#!/bin/sh\n{text}\n")
        file.chmod(0o755)
    files = ["requirements.lock", "pyproject.toml", "toolkit/baybook/version.py"]
    sums = subprocess.run(
        f"cat {' '.join(files)} | cksum", shell=True, cwd=ROOT, capture_output=True, text=True, check=True
    ).stdout
    (tmp_path / "venv" / ".requirements.lock").write_text(sums.strip())
    ran = subprocess.run(
        [ROOT / "bootstrap", "setup"], capture_output=True, text=True, check=False,
        env={"PATH": str(tmp_path / "bin"), "VENV": str(tmp_path / "venv")},
    )  # fmt: skip
    assert (ran.returncode, ran.stdout, ran.stderr) == (
        0, "",
        f"PDF cannot be made yet: Pango is missing (Debian: sudo apt-get install -y {DEBIAN}); everything else works, and "
        "reports and cards come as HTML.\n",
    )  # fmt: skip


@pytest.mark.skipif(not Path("/proc").exists(), reason="the loader's path is told otherwise elsewhere")
def test_without_pango_the_terminal_and_html_work_and_pdf_is_one_line(tmp_path: Path) -> None:
    """The loader finds libraries of that name that are none."""
    hidden = tmp_path / "lib"
    hidden.mkdir()
    for name in ("libpango-1.0.so.0", "libpangoft2-1.0.so.0"):
        (hidden / name).write_bytes(b"")
    where = {"LD_LIBRARY_PATH": str(hidden)}
    pdf = baybook("card", "print", "coil", "--out", "c.pdf", cwd=tmp_path, **where)
    assert (pdf.returncode, pdf.stdout, pdf.stderr.count("\n"), DEBIAN in pdf.stderr) == (1, "", 1, True), (
        pdf.stdout + pdf.stderr
    )
    page = baybook("card", "print", "coil", "--out", "c.html", cwd=tmp_path, **where)
    shown = baybook("coil", *COIL, cwd=tmp_path, **where)
    assert (page.returncode, shown.returncode, sorted(each.name for each in tmp_path.iterdir())) == (0, 0, ["c.html", "lib"])


def test_every_need_of_the_project_has_a_lowest_version_that_can_be_tried() -> None:
    tool = runpy.run_path(str(ROOT / "tools" / "ends.py"))
    assert tool["lowest"](["pint>=0.25,<0.27", "numpy>=2.0"]) == ["pint==0.25", "numpy==2.0"]
    assert len(tool["lowest"](tool["declared"]())) == len(tool["declared"]())
    with pytest.raises(ValueError, match="no lowest version: segno<2"):
        tool["lowest"](["segno<2"])
