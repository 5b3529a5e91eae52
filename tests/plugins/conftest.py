"""A folder of distributions as an installer leaves them, and the tool started in a process of its own beside them."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import textwrap
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest

GOOD = '''
from typing import Annotated
from baybook.api import *

@calculator(
    title="Twice", stage="storage", side="hydraulic", proves="nothing; it is made for a test", cautions=[MAKERS_DATA],
    sources=["arithmetic"], outputs={{"double": Output("pressure difference", "twice the pressure", symbol="d")}},
    formulas=["d = 2 · p"], procedure=["Read the gauge."], meanings=[Meaning("any", "nothing", "nothing")],
    examples=[Example({{"pressure": "1 ± 0.1 bar"}}, {{"double": (2.0, "bar", 1e-9)}}, "arithmetic")],
)
def {name}(
    pressure: Annotated[Reading, pressure_difference("the pressure", symbol="p", at_least="0 bar", at_most="20 bar")]
) -> Result:
    """Double a pressure."""
    {body}
    return Result(propagate(lambda pressure: {{"double": 2 * pressure}}, {{"double": "bar"}}, pressure=pressure.to("bar")))

@hookimpl
def baybook_calculators():
    return [{name}]
'''


def good(name: str, body: str = "pass") -> str:
    """Source of a plugin that keeps to everything; `body` runs in its computation."""
    return GOOD.format(name=name, body=body)


@dataclass
class Site:
    """A folder on the import path, with a cache and a configuration of its own."""

    root: Path
    settings: dict[str, str] = field(default_factory=dict)

    @property
    def packages(self) -> Path:
        return self.root / "packages"

    def add(self, name: str, code: str, *, entry: str | None = None, point: str | None = None, version: str = "1.2") -> Path:
        """Install `code` as the module test_<name> of the distribution third-<name>; the module's path."""
        module = f"third_{name.replace('-', '_')}"
        path = self.packages / f"{module}.py"
        path.parent.mkdir(exist_ok=True)
        path.write_text(textwrap.dedent(code), encoding="utf-8")
        info = self.packages / f"{module}-{version}.dist-info"
        info.mkdir()
        (info / "METADATA").write_text(f"Metadata-Version: 2.1\nName: third-{name}\nVersion: {version}\n", encoding="utf-8")
        line = f"[baybook]\n{point or name} = {entry or module}\n"
        (info / "entry_points.txt").write_text(line, encoding="utf-8")
        return path

    def environment(self) -> dict[str, str]:
        kept = {name: value for name, value in os.environ.items() if not name.startswith("BAYBOOK")}
        return {
            **kept, "PYTHONPATH": str(self.packages), "BAYBOOK_CACHE": str(self.root / "cache"),
            "BAYBOOK_CONFIG": str(self.root / "config"), **self.settings,
        }  # fmt: skip

    def run(self, *arguments: str, code: int = 0, cwd: Path | None = None) -> subprocess.CompletedProcess[str]:
        """`baybook …` in a process of its own; the exit code has to be `code`."""
        done = subprocess.run(
            [sys.executable, "-P", "-m", "baybook", *arguments], capture_output=True, text=True, timeout=120,
            env=self.environment(), cwd=cwd or self.root, stdin=subprocess.DEVNULL, check=False,
        )  # fmt: skip
        assert done.returncode == code, f"exit code {done.returncode}\n{done.stdout}\n{done.stderr}"
        assert "Traceback" not in done.stdout + done.stderr
        return done

    def listed(self) -> dict[str, dict[str, Any]]:
        """`plugins list --json`, by the name of the package."""
        return {plugin["distribution"]: plugin for plugin in json.loads(self.run("plugins", "list", "--json").stdout)}

    def index_file(self) -> Path:
        return next((self.root / "cache").glob("plugins-*.txt"))


@pytest.fixture
def site(tmp_path: Path) -> Site:
    return Site(tmp_path)
