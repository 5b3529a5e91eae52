"""What a killed run leaves lies under our own names, and the next run takes it away."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from pathlib import Path

from .processes import baybook


def test_the_fonts_of_a_killed_pdf_are_cleared(tmp_path: Path) -> None:
    rooms, card = tmp_path / "t", ["card", "print", "coil", "--out", "c.pdf", "--force"]
    rooms.mkdir()
    dying = (
        "import os, signal, sys; from baybook_cards import pdf\n"
        "pdf.Press.lay_out = lambda *given: os.kill(os.getpid(), signal.SIGKILL)\n"
        "from baybook.start import program; sys.exit(program())"
    )
    killed = subprocess.run(
        [sys.executable, "-c", dying, *card], cwd=tmp_path, check=False, env={**os.environ, "TMPDIR": str(rooms)}
    )
    assert killed.returncode == -signal.SIGKILL
    left = list(rooms.iterdir())
    assert [room.name.startswith("baybook-fonts-") for room in left] == [True]
    (rooms / "others-1").mkdir()
    for room in rooms.iterdir():
        os.utime(room, (1, 1))
    made = baybook(*card, cwd=tmp_path, TMPDIR=str(rooms))
    assert (made.returncode, [room.name for room in rooms.iterdir()]) == (0, ["others-1"]), made.stderr


def test_a_user_without_a_home_gets_no_folder_in_each_place(tmp_path: Path) -> None:
    """A container's: HOME is not set, and the system knows no folder for the number."""
    homeless = (
        "import os, pwd, sys\n"
        "def unknown(number): raise KeyError(number)\n"
        "pwd.getpwuid = unknown\n"
        "for name in ('HOME', 'BAYBOOK_CONFIG', 'BAYBOOK_CACHE', 'XDG_CONFIG_HOME', 'XDG_CACHE_HOME'):\n"
        "    os.environ.pop(name, None)\n"
        "from baybook.start import program; sys.exit(program())"
    )
    told = {}
    for words in ("plugins off coil", "shop set language de", "convert 3.0bar psi"):
        command = [sys.executable, "-c", homeless, *words.split()]
        ran = subprocess.run(command, cwd=tmp_path, capture_output=True, text=True, timeout=60, check=False)
        told[words] = (ran.returncode, ran.stderr.splitlines()[-1])
    assert list(tmp_path.iterdir()) == []
    assert told["plugins off coil"][0] == told["shop set language de"][0] == 2
    assert "cannot be written: Not a directory; BAYBOOK_CONFIG names another folder" in told["shop set language de"][1]
    assert told["convert 3.0bar psi"][0] == 0
    assert "set BAYBOOK_CACHE to a folder that can be written" in told["convert 3.0bar psi"][1]
