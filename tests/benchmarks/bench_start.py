"""How fast commands start: whole-process wall time over that of `python -c pass`, in one run.

python tests/benchmarks/bench_start.py [ROUNDS]
"""

from __future__ import annotations

import sys

from processes import BAYBOOK, PASS, READINGS, environment, quickest, told

BARS: dict[str, tuple[list[str], float | None]] = {
    "--version": (["--version"], 2.0),
    'convert "300 bar" psi': (["convert", "300 bar", "psi"], 2.0),
    **{f"{name}, on readings": (arguments, 6.0) for name, arguments in READINGS.items()},
    "--help": (["--help"], 8.0),
    "plugins list": (["plugins", "list"], None),
    'convert "3 bar(g)" "bar(a)", the ordinary way': (["convert", "3 bar(g)", "bar(a)"], 6.0),
    "coil --help": (["coil", "--help"], None),
}


def main(rounds: int = 15) -> int:
    """Print the ratios; the exit code is 1 where a bar is passed."""
    env = environment()
    runs = {"pass": (PASS, env), **{name: ([BAYBOOK, *arguments], env) for name, (arguments, _) in BARS.items()}}
    found = quickest(runs, rounds)
    print(f"whole process, times `python -c pass` ({found['pass'] * 1e3:.0f} ms here), least of {rounds}:")
    return told([(name, found[name] / found["pass"], bar) for name, (_, bar) in BARS.items()])


if __name__ == "__main__":
    sys.exit(main(*map(int, sys.argv[1:])))
