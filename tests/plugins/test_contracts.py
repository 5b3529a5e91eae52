"""The directions of imports are kept, and the interface's promise is one that a plugin can break only knowingly."""

from __future__ import annotations

import subprocess
import sys
import tomllib
from pathlib import Path

import grimp
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
        ("from baybook.conversion import find_unit", "Plugins use the public names alone"),
        ("from baybook.captures.reader import read_capture", "Plugins use the public names alone"),
        ("from baybook_plugins.convert.chart import charts", "No plugin leans on another"),
    ],
)
def test_a_plugin_that_reaches_further_is_found(imports: str, contract: str, tmp_path: Path) -> None:
    """The same contracts over a copy with one more plugin, that does what it must not."""
    for place in ("toolkit/baybook", "toolkit/baybook_physics", "plugins/baybook_plugins", "cards/baybook_cards"):
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


def test_every_import_is_declared_and_every_declared_package_is_imported() -> None:
    done = subprocess.run([str(LINT.with_name("deptry")), "."], cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr


def test_every_plugin_that_ships_is_accepted() -> None:
    """Those that pyproject.toml declares, and no other."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    declared = set(project["project"]["entry-points"]["baybook"])
    states = {p.name: (p.state, p.reason) for p in registry().index.plugins() if p.distribution == "baybook"}
    assert states == dict.fromkeys(declared, ("accepted", ""))


def test_no_files_import_each_other_in_a_circle() -> None:
    """Those for types alone, and those inside functions, count."""
    graph = grimp.build_graph(
        "baybook", "baybook_physics", "baybook_plugins", "baybook_cards", exclude_type_checking_imports=False, cache_dir=None
    )
    left = {module: graph.find_modules_directly_imported_by(module) for module in graph.modules}
    while outermost := ends(left):
        left = {module: imported - outermost for module, imported in left.items() if module not in outermost}
    assert sorted(left) == []


def ends(left: dict[str, set[str]]) -> set[str]:
    """Modules that import none of the others, or that none of the others import."""
    imported = set().union(*left.values())
    return {module for module in left if not left[module] or module not in imported}


def test_a_circle_is_found() -> None:
    assert ends({"top": {"a"}, "a": {"b"}, "b": {"a", "ground"}, "ground": set()}) == {"top", "ground"}
    assert ends({"a": {"b"}, "b": {"a"}}) == set()
