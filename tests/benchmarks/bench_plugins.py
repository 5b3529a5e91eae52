"""What 50 installed plugins cost: each command with them over the same with the shipped ones alone, in one run.

    python tests/benchmarks/bench_plugins.py [ROUNDS]

The 50 are what `baybook plugins new` makes, each under a name of its own, with a unit added in every fifth. Beside the shipped
ones alone lie the same 50 packages without an entry point: that Python looks through a folder of a hundred names is its own.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

from processes import BAYBOOK, READINGS, environment, quickest, told

COUNT = 50
COMMANDS: dict[str, tuple[list[str], float | None]] = {
    "--version": (["--version"], 1.05),
    'convert "300 bar" psi': (["convert", "300 bar", "psi"], 1.05),
    **{f"{name}, on readings": (arguments, 1.05) for name, arguments in READINGS.items()},
    "--help": (["--help"], None),
    "plugins list": (["plugins", "list"], None),
}
UNITS = """

from baybook.api import UnitOffer, hookimpl


@hookimpl
def baybook_units():
    return [UnitOffer("flow", "drop{number}/min", "0.05 * millilitre / minute")]
"""


def install(folder: Path, number: int, env: dict[str, str]) -> None:
    """A plugin as an installer leaves it: its package and its dist-info."""
    name = f"lift-{number:02d}"
    with tempfile.TemporaryDirectory() as made:
        subprocess.run([BAYBOOK, "plugins", "new", name, "--into", made], env=env, check=True, capture_output=True)
        package = f"baybook_lift_{number:02d}"
        shutil.copytree(Path(made) / f"baybook-{name}" / "src" / package, folder / package)
    if number % 5 == 0:
        with (folder / package / "calculator.py").open("a", encoding="utf-8") as file:
            file.write(UNITS.format(number=number))
    info = folder / f"{package}-0.1.0.dist-info"
    info.mkdir()
    (info / "METADATA").write_text(f"Metadata-Version: 2.1\nName: baybook-{name}\nVersion: 0.1.0\n", encoding="utf-8")
    (info / "entry_points.txt").write_text(f"[baybook]\n{name} = {package}.calculator\n", encoding="utf-8")


def main(rounds: int = 15) -> int:
    """Print the ratios; the exit code is 1 where a bar is passed."""
    folder = Path(tempfile.mkdtemp(prefix="fifty-"))
    for number in range(COUNT):
        install(folder, number, environment())
    packages = shutil.copytree(folder, Path(tempfile.mkdtemp(prefix="no-plugins-")), dirs_exist_ok=True)
    for entry_points in packages.glob("*/entry_points.txt"):
        entry_points.write_text("[console_scripts]\n", encoding="utf-8")
    alone, beside = environment(PYTHONPATH=str(packages)), environment(PYTHONPATH=str(folder), BAYBOOK_PLUGIN_SECONDS="30")
    listed = subprocess.run([BAYBOOK, "plugins", "list"], env=beside, check=True, capture_output=True, text=True).stdout
    if listed.count("lift-") < 2 * COUNT or "left out" in listed:
        raise SystemExit(f"not all {COUNT} are accepted:\n{listed}")
    runs = {}
    for name, (arguments, _) in COMMANDS.items():
        runs[f"{name} alone"] = ([BAYBOOK, *arguments], alone)
        runs[f"{name} beside"] = ([BAYBOOK, *arguments], beside)
    runs["theirs alone"] = runs["coil, on readings alone"]
    runs["theirs beside"] = ([BAYBOOK, "lift-07", "--height", "1 m"], beside)
    found = quickest(runs, rounds)
    print(f"with {COUNT} plugins over without, least of {rounds}:")
    code = told([(name, found[f"{name} beside"] / found[f"{name} alone"], bar) for name, (_, bar) in COMMANDS.items()])
    print("one of the 50 over coil without them:")
    code |= told([("lift-07", found["theirs beside"] / found["theirs alone"], None)])
    index = os.path.getsize(next(Path(beside["BAYBOOK_CACHE"]).glob("plugins-*.txt")))
    print(f"index: {index / 1024:.0f} kB")
    return code


if __name__ == "__main__":
    sys.exit(main(*map(int, sys.argv[1:])))
