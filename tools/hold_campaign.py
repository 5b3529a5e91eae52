"""Does the hold test keep its promises outside its home ground? A long run over the independent simulation, group by group.

Run: python tools/hold_campaign.py [cases for each group [seed [home or abroad [group ...]]]]. Abroad is a world that lies away
from what the estimator believes, each hold behind a running pump. Prints, for captures and for two readings of the same holds:
how often the truth lies inside the 95 % intervals, bias, wrong verdicts and what they were said with, tight rails called
leaking, laws named and right.
"""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1]))

from tests.hold.scoring import Wide, estimate_case, two_of, widely
from tests.hold.worlds import ABROAD, GROUPS, HOME, World, draw_wide


def main(count: int, seed: int, world: World, groups: tuple[str, ...]) -> None:
    """Run and print."""
    everything: dict[str, list[Wide]] = {"capture": [], "two": []}
    for group in groups:
        random = np.random.default_rng([seed, GROUPS.index(group)])
        cases = [draw_wide(random, group, world) for _ in range(count)]
        found = {
            "capture": [widely(case, estimate_case(case)) for case in cases],
            "two": [widely(case, two) for case in cases if (two := two_of(case)) is not None],
        }
        for way, some in found.items():
            everything[way] += some
            print(f"{group:9} {way:7} {report(some)}", flush=True)
    for way, some in everything.items():
        print(f"{'all':9} {way:7} {report(some)}")
        for one in some:
            if one.wrong_verdict or one.false_leak:
                print(f"   {one}")


def report(found: list[Wide]) -> str:
    """One line."""
    leaking = [one for one in found if one.truth > 0.0]
    named = [one for one in leaking if one.law not in ("unknown", "none")]
    missed = sum(one.law == "none" for one in leaking)
    return (
        f"n {len(found):3}  inside: line {_share([o.line for o in found])} collected {_share([o.collected for o in found])} "
        f"(leaking {_share([o.line for o in leaking])})  bias {100 * np.median([o.bias for o in leaking]):+.1f} % "
        f"width {100 * np.median([o.width for o in leaking]):.1f} %  wrong verdicts {sum(o.wrong_verdict for o in found)} "
        f"undecided {sum(o.verdict == 'undecided' for o in found)} false leaks {sum(o.false_leak for o in found)} "
        f"of {len(found) - len(leaking)}  laws named {len(named)} of {len(leaking)}, "
        f"right {sum(o.law == o.kind for o in named)}, missed {missed}  not fitted {sum(o.growth > 2.5 for o in found)}"
    )


def _share(hits: list[bool]) -> str:
    return f"{100 * np.mean(hits):5.1f} %"


if __name__ == "__main__":
    words = [*sys.argv[1:], *("40", "20261127", "home")[len(sys.argv) - 1 :]]
    main(int(words[0]), int(words[1]), {"home": HOME, "abroad": ABROAD}[words[2]], tuple(words[3:]) or GROUPS)
