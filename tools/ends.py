"""Try the project with the oldest and with the newest releases of what it needs; look for known weaknesses of the locked ones.

    python tools/ends.py oldest newest audit

oldest: the lowest versions that pyproject.toml allows; newest: the highest. Each in an environment of its own, made for it and
thrown away, with the tests of the core, of one plugin and of the pages. audit: pip-audit over requirements.lock. What cannot be
had here (no registry, no such release for this Python, no list of weaknesses) is left out in a line that says so. Exit code 1
where a test fails, the versions do not go together, or a weakness is known.
"""

from __future__ import annotations

import argparse
import json
import os
import re
import subprocess
import sys
import tempfile
import tomllib
from collections.abc import Sequence
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
TESTS = ("tests/core", "tests/coil", "tests/cards/test_rendering.py")
_LOWEST = re.compile(r"([A-Za-z0-9_.-]+)>=([0-9][0-9.]*)")
_CLASH = "ResolutionImpossible"


def lowest(dependencies: Sequence[str]) -> list[str]:
    """Each at the lowest version that it may have. Raises ValueError for one that names none."""
    found = [(each, _LOWEST.match(each)) for each in dependencies]
    without = [each for each, bound in found if bound is None]
    if without:
        raise ValueError(f"no lowest version: {', '.join(without)}")
    return [f"{bound[1]}=={bound[2]}" for _, bound in found if bound is not None]


def declared() -> list[str]:
    """What the project needs to run."""
    dependencies: list[str] = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]["dependencies"]
    return dependencies


def called(*command: str | Path, cwd: Path = ROOT) -> subprocess.CompletedProcess[str]:
    """The command, what it says kept."""
    return subprocess.run(list(map(str, command)), cwd=cwd, capture_output=True, text=True, encoding="utf-8", check=False)


def environment(folder: Path) -> Path:
    """The Python of a new environment."""
    subprocess.run([sys.executable, "-m", "venv", str(folder)], check=True)
    return folder / ("Scripts" if os.name == "nt" else "bin") / "python"


def left_out(what: str, ran: subprocess.CompletedProcess[str]) -> int:
    """Say why; 0, or 1 where it is no fault of the place: versions that do not go together."""
    lines = [line for line in ran.stderr.splitlines() if line.strip()]
    told = next((line for line in lines if line.startswith("ERROR")), lines[-1] if lines else "no word of why")
    print(f"{what} was left out: {told[:200]}", flush=True)
    return int(_CLASH in ran.stderr)


def end(which: str, folder: Path) -> int:
    """Install and test at one end of the ranges; the exit code."""
    python = environment(folder / which)
    held = folder / f"{which}.txt"
    held.write_text("\n".join(lowest(declared()) if which == "oldest" else []), encoding="utf-8")
    made = called(python, "-m", "pip", "install", "-q", "--upgrade", "-c", held, "-e", f"{ROOT}[test]")
    if made.returncode:
        return left_out(f"the {which} end", made)
    names = {re.split("[<>=]", each)[0] for each in declared()}
    listed = json.loads(called(python, "-m", "pip", "list", "--format", "json").stdout)
    print(
        f"the {which} end:", ", ".join(f"{p['name']} {p['version']}" for p in listed if p["name"].lower() in names), flush=True
    )
    return subprocess.run(
        [python, "-m", "pytest", "-q", "-n", "2", "--dist", "loadfile", *TESTS], cwd=ROOT, check=False
    ).returncode


def audit(folder: Path) -> int:
    """Known weaknesses of the locked versions; the exit code."""
    python = environment(folder / "audit")
    made = called(python, "-m", "pip", "install", "-q", "pip-audit")
    if made.returncode:
        return left_out("the audit", made)
    ran = called(
        python, "-m", "pip_audit", "-r", "requirements.lock", "--disable-pip", "-f", "json", "--progress-spinner", "off"
    )
    try:
        found = json.loads(ran.stdout)["dependencies"]
    except ValueError:
        return left_out("the audit", ran)
    weak = [f"{each['name']} {each['version']}: {fault['id']}" for each in found for fault in each.get("vulns", ())]
    print("\n".join(weak) or f"the audit: no weakness is known in {len(found)} locked packages", flush=True)
    return int(bool(weak))


def main() -> int:
    """The command."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("what", nargs="+", choices=("oldest", "newest", "audit"))
    given = parser.parse_args()
    code = 0
    for what in given.what:
        with tempfile.TemporaryDirectory() as name:
            code |= audit(Path(name)) if what == "audit" else end(what, Path(name))
    return code


if __name__ == "__main__":
    sys.exit(main())
