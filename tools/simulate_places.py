"""Check the engine of places on many simulated jobs: calibration, and minutes to the fault. Run by hand: minutes, not seconds.

    python tools/simulate_places.py [JOBS] [SEARCHES]

It checks the engine on draws from declared senses, not the senses.
"""

from __future__ import annotations

import random
import sys
from pathlib import Path
from statistics import median

sys.path.insert(0, str(Path(__file__).parent.parent))
from tests.places.trials import calibration, workshop_search

from baybook.places.archive import bins, calibration_error


def main(jobs: int, searches: int) -> None:
    """Print the calibration table and the minutes by both ways."""
    stated, contradictory = calibration(jobs, seed=1)
    table = bins(stated)
    print(f"{jobs} jobs; called contradictory: {100 * contradictory:.1f} %")
    print(f"calibration error: {100 * calibration_error(table):.2f} points")
    for row in table:
        print(
            f"{row.low:.1f} to {row.high:.1f}  {row.count:8d}  stated {100 * row.stated:5.1f} %  true {100 * row.true:5.1f} %"
        )
    search, chance = workshop_search(injectors=4), random.Random(1)
    places = [chance.choice(search.system.places).name for _ in range(searches)]
    for name, following in (("proposed", True), ("along the fuel's way", False)):
        ways = [search.job(place, seed, following=following) for seed, place in enumerate(places)]
        minutes = median(way.minutes if way.reached else float("inf") for way in ways)
        reached = sum(way.reached for way in ways)
        print(f"{name}: 95 % for the true place in {minutes:g} minutes (median), in {reached} of {searches} jobs")


if __name__ == "__main__":
    main(*(int(text) for text in [*sys.argv[1:], "20000", "60"][:2]))
