"""The directions of imports are kept, and the interface's promise is one that a plugin can break only knowingly."""

from __future__ import annotations

import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

from baybook.registry import registry

ROOT = Path(__file__).resolve().parents[2]
LINT = Path(sys.executable).with_name("lint-imports")


def test_the_contracts_of_imports_are_kept() -> None:
    done = subprocess.run([str(LINT), "--no-cache"], cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout
    assert "Plugins use the public names alone KEPT" in done.stdout and " 0 broken" in done.stdout


@pytest.mark.parametrize(
    ("imports", "contract"),
    [
        ("from baybook.registry import registry", "Plugins use the public names alone"),
        ("from baybook_plugins.convert.chart import charts", "No plugin leans on another"),
    ],
)
def test_a_plugin_that_reaches_further_is_found(imports: str, contract: str, tmp_path: Path) -> None:
    """The same contracts over a copy with one more plugin, that does what it must not."""
    for place in ("toolkit/baybook", "plugins/baybook_plugins", "cards/baybook_cards"):
        (tmp_path / Path(place).name).symlink_to(ROOT / place)
    (tmp_path / "baybook_plugins").unlink()
    own = tmp_path / "baybook_plugins"
    own.mkdir()
    for item in (ROOT / "plugins/baybook_plugins").iterdir():
        (own / item.name).symlink_to(item)
    (own / "reaching").mkdir()
    (own / "reaching" / "__init__.py").write_text(imports + "\n")
    (tmp_path / "pyproject.toml").write_text((ROOT / "pyproject.toml").read_text(encoding="utf-8"), encoding="utf-8")
    done = subprocess.run(
        [str(LINT), "--no-cache"], cwd=tmp_path, env={"PYTHONPATH": str(tmp_path)}, capture_output=True, text=True, check=False
    )
    assert f"{contract} BROKEN" in done.stdout, done.stdout + done.stderr


def test_every_plugin_that_ships_is_accepted() -> None:
    """Those that pyproject.toml declares, and no other."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    declared = set(project["project"]["entry-points"]["baybook"])
    states = {row[0]: row[4:] for row in registry().index.of("plugin") if row[1] == "baybook"}
    assert states == dict.fromkeys(declared, ("accepted", ""))
