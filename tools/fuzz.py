"""Fuzz the parts that read what others wrote, one target or all, for as long as you like.

    nice -n 19 python tools/fuzz.py --seconds 600 [--target reading] [--seed 1] [--record fuzz.jsonl]
    nice -n 19 python tools/fuzz.py --seconds 600 --guided --target reading     # by coverage; needs atheris

An input that breaks a target is written to tests/fuzz/corpus/TARGET/, where the ordinary tests try it from then on. Prints for
each target how many inputs were tried in how long, and what broke it. Exit code 1 where anything did.
"""

from __future__ import annotations

import argparse
import hashlib
import json
import random
import subprocess
import sys
import time
import warnings
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT))

from tests.fuzz.targets import SEEDS, TARGETS, words  # noqa: E402
from tests.fuzz.test_fuzz import FOUND, MARKS  # noqa: E402

MOST_FINDS = 20


def mutated(seeds: list[bytes], chance: random.Random) -> bytes:
    """One of the seeds with some edits: something put in, taken out, doubled, or crossed with another."""
    data = chance.choice(seeds)
    for _ in range(chance.choice((1, 1, 2, 3, 5, 9))):
        at = chance.randrange(len(data) + 1)
        way = chance.randrange(5)
        if way == 0:
            data = data[:at] + chance.choice(MARKS) + data[at:]
        elif way == 1:
            data = data[:at] + data[at + chance.randrange(1, 8) :]
        elif way == 2:
            data = data[:at] + chance.randbytes(chance.randrange(1, 5)) + data[at + chance.randrange(4) :]
        elif way == 3:
            data = data[:at] + data[max(0, at - 9) :]
        else:
            other = chance.choice(seeds)
            data = data[:at] + other[chance.randrange(len(other) + 1) :]
    return data[:4000]


def keep(name: str, data: bytes) -> Path:
    """Write the input to where the ordinary tests try it."""
    path: Path = FOUND / name / hashlib.sha256(data).hexdigest()[:16]
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(data)
    return path


def run(name: str, seconds: float, seed: int) -> dict[str, object]:
    """Try mutated seeds; what was tried and found."""
    chance, seeds = random.Random(seed), list(SEEDS[name])
    end, began = time.monotonic() + seconds, time.monotonic()
    count, slowest, finds = 0, 0.0, dict[str, str]()
    while time.monotonic() < end and len(finds) < MOST_FINDS:
        data = mutated(seeds, chance)
        start = time.perf_counter()
        try:
            TARGETS[name](data)
        except (Exception, RecursionError) as error:
            told = json.dumps(words(error), ensure_ascii=False)
            if told not in finds:
                finds[told] = str(keep(name, data).relative_to(ROOT))
        slowest = max(slowest, time.perf_counter() - start)
        count += 1
    took = time.monotonic() - began
    return {"target": name, "seed": seed, "how": "mutated", "inputs": count, "seconds": round(took, 1),
            "slowest_s": round(slowest, 3), "finds": finds}  # fmt: skip


def guided(name: str, seconds: float) -> None:
    """Let atheris look for inputs that reach new lines; does not return."""
    import atheris  # type: ignore[import-untyped,import-not-found,unused-ignore]

    with atheris.instrument_imports(include=["baybook", "baybook_physics"]):
        import baybook.captures
        import baybook.jobs.edits
        import baybook.spec  # noqa: F401
        import baybook_physics.fuels  # noqa: F401
    atheris.instrument_func(TARGETS[name])
    folder = FOUND.parent / ".guided" / name
    folder.mkdir(parents=True, exist_ok=True)
    for number, data in enumerate(SEEDS[name]):
        (folder / f"seed-{number}").write_bytes(data)
    atheris.Setup(["fuzz", f"-max_total_time={seconds:.0f}", "-max_len=400", str(folder)], TARGETS[name])
    atheris.Fuzz()


def main() -> int:
    """The command."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--seconds", type=float, default=60.0, help="for all targets together")
    parser.add_argument("--target", choices=TARGETS)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--guided", action="store_true")
    parser.add_argument("--record", type=Path, help="a file that a line for each target is added to")
    given = parser.parse_args()
    warnings.simplefilter("error")
    names = [given.target] if given.target else list(TARGETS)
    if given.guided and given.target:
        guided(given.target, given.seconds)
    broken = False
    for name in names:
        if given.guided:
            ran = subprocess.run(
                [sys.executable, __file__, "--guided", "--target", name, "--seconds", str(given.seconds / len(names))],
                check=False,
            )
            broken |= ran.returncode != 0
            continue
        told = run(name, given.seconds / len(names), given.seed)
        line = json.dumps(told, ensure_ascii=False)
        print(line, flush=True)
        if given.record:
            with given.record.open("a", encoding="utf-8") as file:
                file.write(line + "\n")
        broken |= bool(told["finds"])
    return int(broken)


if __name__ == "__main__":
    sys.exit(main())
