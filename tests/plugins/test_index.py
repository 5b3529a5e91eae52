"""The index: fresh after every install, edit, removal and switch; a plugin is imported only when it must be; damage mends."""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from baybook import units
from baybook.plugins import index, index_builder, query

from .conftest import Site, good

UNITS = "from baybook.api import *\n@hookimpl\ndef baybook_units():\n    return [UnitOffer('flow', '{}', '{}', ('drops/min',))]"
DROP = "0.05 * millilitre / minute"
NOTED = "import pathlib\nwith open({place!r}, 'a') as file: file.write('x')\n"


def imports(place: Path) -> int:
    return len(place.read_text()) if place.exists() else 0


def test_an_install_an_edit_and_a_removal_are_noticed_at_the_next_command(site: Site) -> None:
    assert "third-good" not in site.listed()
    path = site.add("good", good("well"))
    assert site.listed()["third-good"]["calculators"] == ["well"]
    path.write_text(good("better"))
    assert site.listed()["third-good"]["calculators"] == ["better"]
    path.unlink()
    assert site.listed()["third-good"]["reason"] == "cannot be imported: ModuleNotFoundError: No module named 'third_good'"
    shutil.rmtree(next(site.packages.glob("third_good-*")))
    assert "third-good" not in site.listed()


def test_a_plugin_removed_behind_the_index_is_told_when_it_is_used(site: Site) -> None:
    """The index says that it is there; the fault is one line, whatever the index believed."""
    path = site.add("good", good("well"))
    site.listed()
    text = site.index_file().read_text()
    body = text.rpartition("\nend ")[0].replace("\tthird_good\t", "\tthird_gone\t")
    site.index_file().write_text(f"{body}\nend {index._sum(body)}")
    done = site.run("well", "--pressure", "1 bar", code=1)
    assert (
        done.stderr.splitlines()[-1]
        == "plugin third-good 1.2 [good] cannot be imported: ModuleNotFoundError: No module named 'third_gone'"
    )
    assert path.exists()


def test_mending_a_plugin_that_was_left_out_is_noticed(site: Site) -> None:
    """The broken file was never imported, and is watched all the same."""
    path = site.add("good", "def (")
    assert site.listed()["third-good"]["state"] == "left out"
    path.write_text(good("well"))
    assert site.listed()["third-good"]["state"] == "accepted"


def test_a_plugin_is_imported_once_and_then_only_when_it_is_used(site: Site, tmp_path: Path) -> None:
    place = tmp_path / "imports"
    site.add("good", NOTED.format(place=str(place)) + good("well"))
    for arguments in (["--help"], ["plugins", "list"], ["convert", "1 bar", "psi", "--json"]):
        site.run(*arguments)
    assert imports(place) == 1
    site.run("well", "--pressure", "1 bar")
    assert imports(place) == 2


@pytest.mark.parametrize("by", ["file", "environment"])
def test_switched_off_means_not_imported(site: Site, tmp_path: Path, by: str) -> None:
    """By the plugin's name in the file, by the package's in the environment."""
    place = tmp_path / "imports"
    site.add("bad", NOTED.format(place=str(place)) + "import os; os._exit(1)", point="bad-one")
    if by == "file":
        (tmp_path / "config").mkdir()
        (tmp_path / "config" / "switched-off").write_text("# a note\n bad-one \n")
    else:
        site.settings["BAYBOOK_WITHOUT"] = "other, third-bad"
    assert site.listed()["third-bad"]["state"] == "switched off"
    assert imports(place) == 0
    assert "third-bad" not in site.run("--help").stderr


def test_off_and_on_keep_the_rest_of_the_file(site: Site, tmp_path: Path) -> None:
    site.add("good", good("well"))
    assert site.run("plugins", "off", "good").stdout == "good is switched off; baybook plugins on good brings it back\n"
    file = tmp_path / "config" / "switched-off"
    file.write_text(file.read_text() + "# mine\n")
    assert site.run("good", code=2).stderr.splitlines()[-1] == (
        '"good" is not a command or calculator; the plugin good is switched off, see baybook plugins on'
    )
    assert site.run("plugins", "on", "good").stdout == "good is switched on\n"
    assert file.read_text() == "# plugins or packages that Baybook does without, a name each line\n# mine\n"
    site.run("well", "--pressure", "1 bar")
    assert (
        site.run("plugins", "off", "goood", code=2).stderr == '"goood" is not a plugin that is installed; did you mean good?\n'
    )


def test_with_everything_switched_off_help_and_list_work(site: Site) -> None:
    site.settings["BAYBOOK_WITHOUT"] = "baybook"
    assert "baybook plugins list says why" in site.run("--help").stdout
    assert "switched off" in site.run("plugins", "list").stdout
    assert site.run("convert", "1 bar", "psi", code=2).stderr == (
        '"convert" is not a command or calculator; the plugin convert is switched off, see baybook plugins on\n'
    )
    assert site.run("schema", "convert", code=2).stderr.endswith("the plugin convert is switched off, see baybook plugins on\n")


def test_on_says_when_the_environment_keeps_it_off(site: Site) -> None:
    site.add("good", good("well"))
    site.settings["BAYBOOK_WITHOUT"] = "good"
    assert site.run("plugins", "on", "good").stdout == "good stays switched off by BAYBOOK_WITHOUT\n"


@pytest.mark.parametrize("damage", ["", "cut", "flipped", "not text", "lines of another kind", "old format"])
def test_a_damaged_index_is_built_anew(site: Site, damage: str) -> None:
    site.add("good", good("well"))
    before = site.listed()
    path = site.index_file()
    data = path.read_bytes()
    path.write_bytes({
        "": b"", "cut": data[: len(data) // 2], "not text": b"\xff\xfe\x00\n\x00end",
        "flipped": data.replace(b"calculator\tgood", b"calculator\tg00d"),
        "lines of another kind": b"baybook-index 6\nwatch\nend 00000000", "old format": data.replace(b"index 6", b"index 5"),
    }[damage])  # fmt: skip
    assert site.run("convert", "1 ± 0 bar", "kPa").stdout == "  kPa  100 kPa\n"
    assert site.listed() == before
    assert path.read_bytes() == data


def test_a_cache_that_cannot_be_written_is_said_in_one_line(site: Site, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    site.settings["BAYBOOK_CACHE"] = str(tmp_path / "file" / "cache")
    done = site.run("convert", "1 ± 0 bar", "kPa")
    assert done.stdout == "  kPa  100 kPa\n"
    assert [line for line in done.stderr.splitlines() if "index of plugins" in line] == [
        f"the index of plugins cannot be kept in {tmp_path}/file/cache (Not a directory), so every command asks every "
        "plugin again; set BAYBOOK_CACHE to a folder that can be written"
    ]


def test_a_switch_file_that_cannot_be_written_is_refused(site: Site, tmp_path: Path) -> None:
    site.add("good", good("well"))
    (tmp_path / "file").write_text("")
    site.settings["BAYBOOK_CONFIG"] = str(tmp_path / "file" / "config")
    done = site.run("plugins", "off", "good", code=2)
    assert done.stderr.endswith("cannot be written: Not a directory; BAYBOOK_WITHOUT=NAME does the same for one command\n")


def test_a_switch_file_that_cannot_be_read_is_not_written_over(site: Site) -> None:
    """Whatever names it holds would be forgotten. A folder stands for a file without the right to read it."""
    site.add("good", good("well"))
    (site.root / "config" / "switched-off").mkdir(parents=True)
    for command in ("off", "on"):
        done = site.run("plugins", command, "good", code=2)
        assert done.stderr.endswith("cannot be read: Is a directory; BAYBOOK_WITHOUT=NAME does the same for one command\n")


def test_a_switch_file_keeps_its_place_and_its_bytes(site: Site) -> None:
    """A link stays one, and a remark in another encoding what it was."""
    site.add("good", good("well"))
    (site.root / "config").mkdir()
    real = site.root / "real"
    real.write_bytes(b"# caf\xe9\n")
    (site.root / "config" / "switched-off").symlink_to(real)
    site.run("plugins", "off", "good")
    assert real.read_bytes() == b"# caf\xe9\ngood\n"
    assert (site.root / "config" / "switched-off").is_symlink()


def test_a_setting_that_is_no_number_leaves_the_time_limit_as_it_is(site: Site) -> None:
    site.settings["BAYBOOK_PLUGIN_SECONDS"] = "soon"
    site.add("good", good("well"))
    assert site.listed()["third-good"]["state"] == "accepted"


def test_files_of_the_folder_that_one_is_in_stand_in_for_nothing(site: Site, tmp_path: Path) -> None:
    """A json.py beside the job sheets must not be run, neither by the tool nor by the process that asks plugins."""
    here = tmp_path / "here"
    here.mkdir()
    for name in ("json", "typer", "queue", "third_good"):
        (here / f"{name}.py").write_text("raise SystemExit('not me')")
    site.add("good", good("well"))
    assert "well" in site.run("--help", cwd=here).stdout
    assert "third-good" not in site.run("well", "--pressure", "1 ± 0.1 bar", cwd=here).stderr


def test_a_folder_that_was_deleted_under_us_stops_nothing(site: Site, tmp_path: Path) -> None:
    gone = tmp_path / "gone"
    gone.mkdir()
    command = f"cd {gone} && rmdir {gone} && {sys.executable} -P -m baybook --help"
    done = subprocess.run(["sh", "-c", command], env=site.environment(), capture_output=True, text=True, check=False)
    assert (done.returncode, "Traceback" in done.stderr) == (0, False)


def test_two_import_paths_in_turn_keep_an_index_each(site: Site) -> None:
    site.add("good", good("well"))
    assert "third-good" in site.listed()
    elsewhere = Site(site.root, {"PYTHONPATH": ""})
    assert "third-good" not in elsewhere.listed()
    assert len(list((site.root / "cache").glob("plugins-*.txt"))) == 2


def test_two_names_of_one_interpreter_share_an_index(site: Site, tmp_path: Path) -> None:
    """`python -m baybook` and the command run python and python3 of one environment; in turn they built the index again."""
    place = tmp_path / "imports"
    site.add("noted", NOTED.format(place=str(place)) + good("well"))
    python = Path(sys.executable)
    for name in ("python", "python3", "python"):
        command = [str(python.with_name(name)), "-P", "-m", "baybook", "--help"]
        done = subprocess.run(command, env=site.environment(), capture_output=True, text=True, check=True)
        assert "well" in done.stdout
    assert imports(place) == 1


def test_units_of_a_plugin_serve_every_command_without_importing_it(site: Site, tmp_path: Path) -> None:
    """Factor by hand: 20 drops to a millilitre, so 1 mL/min is 20 drop/min."""
    place = tmp_path / "imports"
    code = UNITS.format("drop/min", DROP)
    site.add("drops", NOTED.format(place=str(place)) + code)
    assert site.run("convert", "60 ± 0 drops/min", "mL/min").stdout == "  mL/min  3 mL/min\n"
    assert site.run("convert", "1 ± 0 mL/min", "drop/min").stdout == "  drop/min  20 drop/min\n"
    told = json.loads(site.run("convert", "1 ± 0 mL/min", "drop/min", "--json").stdout)
    assert told["outputs"]["drop/min"]["value"] == pytest.approx(20)
    assert imports(place) == 1


def test_a_second_plugin_cannot_take_a_unit_of_the_first_by_another_spelling(site: Site) -> None:
    site.add("a", UNITS.format("drop/min", DROP))
    site.add("b", UNITS.format("dr/min", DROP))
    assert site.listed()["third-b"]["reason"] == "the unit drops/min (flow) is taken by third-a 1.2 [a]"


def test_plugins_are_found_sorted_and_own_ones_first() -> None:
    """Two may arrive in either order from the file system; nothing depends on it."""
    found = index_builder.find()
    assert found == sorted(found, key=lambda plugin: (plugin.distribution != "baybook", plugin.distribution, plugin.name))
    assert found[0].distribution == "baybook"


PROCESS = "import os, pathlib\nwith open({place!r}, 'a') as file: file.write(f'{{os.getpid()}}\\n')\n"


def test_one_process_asks_all_plugins_and_another_only_what_is_left_after_a_failure(site: Site, tmp_path: Path) -> None:
    place = tmp_path / "processes"
    for name in ("a", "b", "d"):
        site.add(name, PROCESS.format(place=str(place)) + good(f"name_{name}"))
    site.listed()
    assert len(set(place.read_text().split())) == 1
    place.unlink()
    site.add("c", "import os; os._exit(7)")
    assert site.listed()["third-c"]["reason"] == "ended the process that imported it"
    first, second, last = place.read_text().split()
    assert first == second != last


@pytest.mark.skipif(not Path("/proc/self/stat").exists(), reason="looks at processes in /proc")
def test_a_plugin_that_hangs_at_import_ends_within_its_time_also_without_the_command_that_asked(
    site: Site, tmp_path: Path
) -> None:
    """The command is killed, so that it cannot end what it started; the loop keeps Python's lock to itself."""
    place = tmp_path / "process"
    site.settings["BAYBOOK_PLUGIN_SECONDS"] = "2"
    site.add("hang", PROCESS.format(place=str(place)) + "pow(3, 9**9)")
    command = [sys.executable, "-P", "-m", "baybook", "plugins", "list"]
    asking = subprocess.Popen(command, env=site.environment(), cwd=site.root)
    assert waited_for(place.exists, 60) and waited_for(lambda: place.read_text().endswith("\n"), 5)
    asking.kill()
    asking.wait()
    assert waited_for(lambda: not alive(int(place.read_text())), 6)


def waited_for(happened: Callable[[], bool], seconds: float) -> bool:
    end = time.monotonic() + seconds
    while not happened() and time.monotonic() < end:
        time.sleep(0.05)
    return happened()


def alive(process: int) -> bool:
    try:
        return Path(f"/proc/{process}/stat").read_text().rpartition(")")[2].split()[0] != "Z"
    except OSError:
        return False


def test_a_list_of_plugins_fits_any_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    """What a plugin offers is broken where the line ends, and every plugin stays one row."""
    from baybook.plugins import overview
    from baybook.registry import registry

    monkeypatch.setenv("COLUMNS", "60")
    found = registry().index
    lines = overview.list_lines(found)
    first = [line.split()[0] for line in lines if line.startswith("  ") and not line.startswith("   ")]
    assert first == [plugin.name for plugin in overview.plugins(found)]


@pytest.mark.parametrize(
    ("points", "metadata", "reason"),
    [
        (b"[baybook]\nodd = odd\xff\n", "Name: odd\nVersion: 1\n", "its entry points cannot be read: UnicodeDecodeError"),
        (b"[others]\nodd = odd\xff\n", "Name: odd\nVersion: 1\n", ""),
        (b"[baybook]\nodd = odd\n", "Metadata-Version: 2.1\n", "its METADATA has no name or no version; install it again"),
    ],
)
def test_damaged_metadata_are_told_where_they_speak_of_a_plugin(
    points: bytes, metadata: str, reason: str, tmp_path: Path
) -> None:
    folder = tmp_path / "odd-1.dist-info"
    folder.mkdir()
    (folder / "entry_points.txt").write_bytes(points)
    (folder / "METADATA").write_text(metadata)
    told = [(found.name, found.module, found.fault) for found in index_builder.find([str(tmp_path)])]
    assert told == ([("odd-1.dist-info", "", reason)] if reason else [])


def test_a_unit_that_is_known_already_is_left_as_it_is() -> None:
    other = index.UnitRecord("a", "pressure", "bar", 7.0, 0.0, "bars")
    index.add_units(index.Index([other.row()]))
    assert units.find("bar").factor == 1e5  # Pa: the SI Brochure (9th edition), table 8 of the 8th: 1 bar = 100 kPa


def test_mending_any_file_of_a_package_that_was_left_out_is_noticed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    package = tmp_path / "third_packed"
    (package / "__pycache__").mkdir(parents=True)
    for file in ("__init__.py", "physics.py", "notes.txt"):
        (package / file).write_text("")
    (tmp_path / "third_single.py").write_text("raise ValueError('not today')")
    monkeypatch.syspath_prepend(str(tmp_path))
    assert query._all_files("third_packed.physics") == [
        str(package),
        *(str(package / f) for f in ("__init__.py", "physics.py")),
    ]
    assert query._answer("third_single")["files"] == [str(tmp_path / "third_single.py")]
    assert query._all_files("third_nowhere") == []


def test_a_plugin_that_is_left_out_is_shown_with_the_reason_and_asked_again_at_will(site: Site) -> None:
    site.add("late", "raise ValueError('not today')")
    reason = "cannot be imported: ValueError: not today (third_late.py, line 1)"
    refreshed = site.run("plugins", "refresh").stdout
    assert ", 0 switched off, 1 left out\n" in refreshed
    assert refreshed.endswith(f"plugin third-late 1.2 [late] is left out: {reason}\n")
    shown = site.run("plugins", "show", "late").stdout
    assert shown == f"late: third-late 1.2, left out\n  module  third_late\n  because {reason}\n"
    assert json.loads(site.run("plugins", "show", "late", "--json").stdout)[0]["reason"] == reason


def test_an_offer_that_is_there_no_more_is_told_with_what_to_do(site: Site) -> None:
    code = good("moody").replace(
        "return [moody]", "import os, dataclasses as d; return [d.replace(moody, name=os.environ.get('MOOD', 'moody'))]"
    )
    site.add("moody", code)
    assert site.run("moody", "--pressure", "2 bar").stdout
    site.settings["MOOD"] = "bad"
    told = site.run("moody", "--pressure", "2 bar", code=1).stderr
    assert "offers the calculator moody no more; baybook plugins refresh asks it again" in " ".join(told.split())
