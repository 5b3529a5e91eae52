"""Two terminals, two temporary folders, two computers on one folder: no step and no switch is lost."""

from __future__ import annotations

import os
import tempfile
import time
import tomllib
from pathlib import Path

from .processes import COIL, SHEET, baybook, python

ADD = """
import sys
from pathlib import Path
import baybook.changes
from baybook.jobs.edits import add_happening
baybook.changes.TELL_AFTER = 60.0  # (on a busy machine one may hold the lock for a second: that is told elsewhere)
for number in range(5):
    add_happening(Path("s.toml"), {"repair": [f"injector {number + 1}"], "note": sys.argv[1]})
"""
SLOW = """
import sys, time
from pathlib import Path
import baybook.changes, baybook.files
baybook.changes._taken = lambda *_: False
real = baybook.files._now
def waits(target):
    Path("waiting").touch()
    while not Path("go").exists():
        time.sleep(0.01)
    return real(target)
baybook.files._now = waits
from baybook.start import main
sys.exit(main())
"""


def test_no_step_of_four_writers_is_lost(tmp_path: Path) -> None:
    """Each has a temporary folder of its own, as two computers have."""
    (tmp_path / "s.toml").write_text(SHEET)
    (tmp_path / "linked.toml").symlink_to("s.toml")
    running = []
    for name in ("one", "two", "three", "four"):
        (tmp_path / name).mkdir()
        running.append(python(ADD, name, cwd=tmp_path, TMPDIR=str(tmp_path / name)))
    told = [process.communicate(timeout=60)[1] for process in running]
    assert told == [""] * 4
    steps = tomllib.loads((tmp_path / "s.toml").read_text())["steps"]
    assert sorted((step["note"], step["repair"][0]) for step in steps) == sorted(
        (name, f"injector {number}") for name in ("one", "two", "three", "four") for number in range(1, 6)
    )
    assert sorted(os.listdir(tmp_path)) == ["four", "linked.toml", "one", "s.toml", "three", "two"]


def test_who_is_overtaken_while_changing_a_step_is_told_and_changes_nothing(tmp_path: Path) -> None:
    """The number may be another step's by now, so it is not tried again."""
    assert baybook("job", "new", "s.toml", cwd=tmp_path).returncode == 0
    for _ in range(2):
        assert baybook("job", "add", "s.toml", "coil", *COIL, cwd=tmp_path).returncode == 0
    slow = python(SLOW, "job", "remove", "s.toml", "1", cwd=tmp_path)
    while not (tmp_path / "waiting").exists():
        time.sleep(0.02)
        assert slow.poll() is None, slow.communicate()
    assert baybook("job", "remove", "s.toml", "1", cwd=tmp_path).returncode == 0
    before = (tmp_path / "s.toml").read_bytes()
    (tmp_path / "go").touch()
    out, told = slow.communicate(timeout=60)
    assert (slow.returncode, out) == (2, "")
    assert told == '"s.toml" has been changed by somebody else meanwhile; nothing was written; look at it, and repeat this\n'
    assert (tmp_path / "s.toml").read_bytes() == before


def test_a_step_that_is_overtaken_is_added_to_what_the_other_wrote(tmp_path: Path) -> None:
    assert baybook("job", "new", "s.toml", cwd=tmp_path).returncode == 0
    slow = python(SLOW, "job", "add", "s.toml", "coil", *COIL, "--note", "slow", cwd=tmp_path)
    while not (tmp_path / "waiting").exists():
        time.sleep(0.02)
        assert slow.poll() is None, slow.communicate()
    assert baybook("job", "add", "s.toml", "coil", *COIL, "--note", "quick", cwd=tmp_path).returncode == 0
    (tmp_path / "go").touch()
    assert slow.communicate(timeout=60)[1] == ""
    assert [step["note"] for step in tomllib.loads((tmp_path / "s.toml").read_text())["steps"]] == ["quick", "slow"]


HOLD = """
import time
from pathlib import Path
import baybook.changes
with baybook.changes.locked(Path("s.toml")):
    print(1, flush=True)
    time.sleep(60)
"""


def test_a_lock_of_a_killed_process_keeps_nobody_out_and_one_that_cannot_be_is_done_without(tmp_path: Path) -> None:
    (tmp_path / "s.toml").write_text(SHEET)
    holder = python(HOLD, cwd=tmp_path)
    assert holder.stdout is not None
    assert holder.stdout.readline() == "1\n"
    assert sorted(os.listdir(tmp_path)) == [".baybook-s.toml.lock", "s.toml"]
    holder.kill()
    holder.communicate()
    assert baybook("job", "add", "s.toml", "coil", *COIL, cwd=tmp_path).returncode == 0
    assert os.listdir(tmp_path) == ["s.toml"]
    (tmp_path / ".baybook-s.toml.lock").symlink_to("nowhere/at/all")  # nobody's: is waited for, then taken away
    brief = "import sys, baybook.changes as c; c.LOCK_SECONDS = 0.3\nfrom baybook.start import main; sys.exit(main())"
    added = python(brief, "job", "add", "s.toml", "coil", *COIL, cwd=tmp_path)
    assert added.communicate(timeout=60) == ("step 2 (coil) added\n", "")
    (tmp_path / ".baybook-s.toml.lock").mkdir()
    added = python(brief, "job", "add", "s.toml", "coil", *COIL, cwd=tmp_path)
    assert added.communicate(timeout=60) == ("step 3 (coil) added\n", "")


def test_who_waits_for_a_lock_says_so_after_a_second(tmp_path: Path) -> None:
    """An empty lock, or that of another computer: nobody can tell whether its process is at work."""
    (tmp_path / "s.toml").write_text(SHEET)
    brief = "import sys, baybook.changes as c; c.LOCK_SECONDS = 2.5\nfrom baybook.start import main; sys.exit(main())"
    for content in ("", "another-computer 12 345"):
        (tmp_path / ".baybook-s.toml.lock").write_text(content)
        out, err = python(brief, "job", "add", "s.toml", "coil", *COIL, cwd=tmp_path).communicate(timeout=60)
        assert out.endswith("(coil) added\n")
        assert err == "waiting, 2.5 s at most, for another change of the same file to end (.baybook-s.toml.lock)\n"


def test_windows_lines_mark_and_permissions_of_a_sheet_stay(tmp_path: Path) -> None:
    sheet = tmp_path / "s.toml"
    sheet.write_bytes(b"\xef\xbb\xbf" + SHEET.replace("\n", "\r\n").encode() + b"# remark\r\n")
    assert baybook("job", "add", "s.toml", "coil", *COIL, cwd=tmp_path).returncode == 0
    after = sheet.read_bytes()
    assert after.startswith(b"\xef\xbb\xbfformat = 2\r\n")
    assert after.count(b"\n") == after.count(b"\r\n") > 8
    sheet.chmod(0o444)
    ran = baybook("job", "add", "s.toml", "coil", *COIL, cwd=tmp_path)
    assert (ran.returncode, ran.stderr) == (
        2,
        '"s.toml" is marked read-only; let it be written to, or give another name\n',
    )
    assert sheet.read_bytes() == after


def test_what_killed_runs_left_is_cleared_and_what_is_fresh_stays(tmp_path: Path) -> None:
    (tmp_path / "s.toml").write_text(SHEET)
    old, fresh = tmp_path / ".baybook-s.toml.abcdefgh", tmp_path / ".baybook-s.toml.ijklmnop"
    old.write_text("half")
    fresh.write_text("being written")
    os.utime(old, (time.time() - 3600, time.time() - 3600))
    assert baybook("job", "add", "s.toml", "coil", *COIL, cwd=tmp_path).returncode == 0
    assert sorted(os.listdir(tmp_path)) == [fresh.name, "s.toml"]


def test_switches_of_two_processes_are_both_kept_through_a_link_with_every_byte(tmp_path: Path) -> None:
    settings = {"BAYBOOK_CONFIG": str(tmp_path), "BAYBOOK_CACHE": str(tmp_path / "cache")}
    (tmp_path / "far").write_bytes(b"# caf\xe9\n")
    (tmp_path / "switched-off").symlink_to("far")
    code = "import sys; from baybook.plugins.switches import switch_off; switch_off(sys.argv[1])"
    running = [python(code, name, cwd=tmp_path, **settings) for name in ("coil", "hold", "drop")]
    assert [process.communicate(timeout=60)[1] for process in running] == [""] * 3
    assert (tmp_path / "switched-off").is_symlink()
    first, *names = (tmp_path / "far").read_bytes().splitlines()
    assert (first, sorted(names)) == (b"# caf\xe9", [b"coil", b"drop", b"hold"])


AS_NOBODY = """
import os, sys
from baybook.errors import InputError
from baybook.plugins.switches import switch_off
if os.geteuid() == 0:  # the system's administrator may read everything
    os.seteuid(65534)
try:
    switch_off("coil")
except InputError as error:
    print(error)
"""


def test_a_switch_file_that_cannot_be_read_is_not_written_over() -> None:
    with tempfile.TemporaryDirectory() as name:
        folder, file = Path(name), Path(name) / "switched-off"
        folder.chmod(0o777)
        file.write_text("hold\n")
        file.chmod(0)
        told = python(AS_NOBODY, cwd=folder, BAYBOOK_CONFIG=name).communicate(timeout=60)[0]
        file.chmod(0o600)
        assert (file.read_text(), os.listdir(folder)) == ("hold\n", ["switched-off"])
    assert told == f'"{file}" cannot be read: Permission denied; BAYBOOK_WITHOUT=NAME does the same for one command\n'


def test_what_is_written_reaches_the_disk_before_it_takes_the_others_place(tmp_path: Path) -> None:
    """The order of the calls in a real process: write, sync, rename, sync of the folder."""
    code = (
        "import os, pathlib; from baybook.files import write_whole\n"
        "for name in ('fsync', 'replace'):\n"
        "    def call(*given, name=name, real=getattr(os, name)): print(name); return real(*given)\n"
        "    setattr(os, name, call)\n"
        "write_whole(pathlib.Path('a'), b'new')"
    )
    assert python(code, cwd=tmp_path).communicate(timeout=60)[0].split() == ["fsync", "replace", "fsync"]
