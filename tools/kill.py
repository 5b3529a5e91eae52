"""Kill the commands that write, at every call to the system that they make and at moments by chance, and look at what is left.

    nice -n 19 python tools/kill.py --by-call 300 --by-time 200 [--seed 1]

Each run is a process of its own that dies of SIGKILL: before its Nth opening, syncing, moving or removing of a file, or
after a time by chance. Then the sheet must be the old one or the new one, byte by byte, the next run must add its step, and
nothing but the sheet may lie in the folder after it. Prints a line of what was tried, and what was not as it must be; exit code
1 where anything was not.
"""

from __future__ import annotations

import argparse
import contextlib
import json
import os
import random
import signal
import sys
import tempfile
import time
import tomllib
from collections import Counter
from collections.abc import Callable
from pathlib import Path
from typing import Any

COIL = ["--reading", "5.2 ± 0.1 ohm", "--temperature", "20 °C"]
SHEET = 'format = 2\n[job]\nnumber = "1"  # a remark\n'
COMMANDS = {
    "job add": ["job", "add", "s.toml", "coil", *COIL],
    "job remove": ["job", "remove", "s.toml", "1"],
    "job mark": ["job", "mark", "s.toml", "--repair", "filter"],
    "report": ["job", "report", "s.toml", "--html", "r.html", "--force"],
}
FILES = ("open", "os.rename", "os.remove", "os.chmod", "os.mkdir", "os.listdir", "os.scandir")
CALLS = ("fsync", "replace", "close", "stat")


def in_child(work: Callable[[], None]) -> int:
    """Do it in a process of its own; its process id."""
    pid = os.fork()
    if pid:
        return pid
    with contextlib.suppress(BaseException):
        nothing = os.open(os.devnull, os.O_RDWR)
        for stream in (0, 1, 2):
            os.dup2(nothing, stream)
        work()
    os._exit(0)


def run(arguments: list[str]) -> None:
    """The command, as it is."""
    from baybook.start import main

    sys.argv = ["baybook", *arguments]
    main()


def dying(arguments: list[str], at: int) -> None:
    """The command, killed before its call number `at`."""
    left = at

    def count(name: str) -> None:
        nonlocal left
        left -= 1
        if left <= 0:
            os.kill(os.getpid(), signal.SIGKILL)

    def counted(real: Callable[..., Any], name: str) -> Callable[..., Any]:
        def call(*given: Any, **named: Any) -> Any:
            count(name)
            return real(*given, **named)

        return call

    sys.addaudithook(lambda event, given: count(event) if event in FILES else None)
    for name in CALLS:
        real = getattr(os, name)
        setattr(os, name, counted(real, name))
    run(arguments)


def wrong(folder: Path, before: dict[str, bytes], after: dict[str, bytes]) -> str:
    """What is not as it must be, after the kill and after the next run."""
    for name in ("s.toml", "r.html"):
        now = (folder / name).read_bytes() if (folder / name).exists() else b""
        whole = (before.get(name, b""), after.get(name, b""))
        if now not in whole and not (name == "r.html" and now.endswith(after.get(name, b"")[-40:])):
            return f"{name} is neither the old one nor the new one"
    lock = folder / ".baybook-s.toml.lock"
    steps = len(tomllib.loads((folder / "s.toml").read_text()).get("steps", []))
    for entry in os.scandir(folder):  # as if they were old
        if entry.name != lock.name:
            os.utime(entry.path, (1, 1))
    os.waitpid(in_child(lambda: run(COMMANDS["job add"])), 0)
    if len(tomllib.loads((folder / "s.toml").read_text()).get("steps", [])) != steps + 1:
        return "the next run did not add its step"
    left = sorted(name for name in os.listdir(folder) if name.startswith(".") and "s.toml" in name)
    return f"litter: {left}" if left else ""


def filled(folder: Path) -> dict[str, bytes]:
    """Make the folder as it is before each run; what is in it."""
    for name in os.listdir(folder):
        (folder / name).unlink()
    (folder / "s.toml").write_text(SHEET + '[[steps]]\ncalculator = "coil"\n[steps.inputs]\nreading = "3 ohm"\n', "utf-8")
    return {name: (folder / name).read_bytes() for name in os.listdir(folder)}


def campaign(by_call: int, by_time: int, seed: int) -> dict[str, object]:
    """All of the kills; what was tried and what was wrong."""
    chance, kills, runs, faults = random.Random(seed), Counter[str](), 0, list[str]()
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        os.chdir(folder)
        filled(folder)
        for arguments in COMMANDS.values():  # everything that is needed is loaded once, here
            with contextlib.redirect_stdout(None), contextlib.redirect_stderr(None):
                run(arguments)
        names = list(COMMANDS)
        jobs = [("call", names[n % len(names)], 1 + n // len(names)) for n in range(by_call)]
        jobs += [("time", names[n % len(names)], 0) for n in range(by_time)]
        for how, command, at in jobs:
            before = filled(folder)
            began = time.monotonic()
            os.waitpid(in_child(lambda command=command: run(COMMANDS[command])), 0)  # type: ignore[misc]
            took = time.monotonic() - began
            after = {file: (folder / file).read_bytes() for file in os.listdir(folder)}
            filled(folder)
            if how == "call":
                pid = in_child(lambda command=command, at=at: dying(COMMANDS[command], at))  # type: ignore[misc]
            else:
                pid = in_child(lambda command=command: run(COMMANDS[command]))  # type: ignore[misc]
                time.sleep(chance.uniform(0, took))
                os.kill(pid, signal.SIGKILL)
            status = os.waitpid(pid, 0)[1]
            runs += 1
            if os.WIFSIGNALED(status):
                kills[f"{how}, {command}"] += 1
            if fault := wrong(folder, before, after):
                faults.append(f"{how}, {command}, {at}: {fault}")
        os.chdir("/")
    return {"runs": runs, "killed": sum(kills.values()), "how": dict(kills), "seed": seed, "wrong": faults}


def main() -> int:
    """The command."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--by-call", type=int, default=300)
    parser.add_argument("--by-time", type=int, default=200)
    parser.add_argument("--seed", type=int, default=1)
    given = parser.parse_args()
    told = campaign(given.by_call, given.by_time, given.seed)
    print(json.dumps(told, ensure_ascii=False))
    return int(bool(told["wrong"]))


if __name__ == "__main__":
    sys.exit(main())
