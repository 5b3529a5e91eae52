"""What an archive of finished jobs tells a job that is being worked out."""

from __future__ import annotations

import json
from collections.abc import Mapping

from ..dataclass import dataclass
from ..errors import InputError
from ..places.archive import Bin
from ..small_files import read_small


@dataclass(frozen=True)
class Learned:
    """What an archive tells a job: how often which place it was, and how good the stated chances were.

    outcomes: finished jobs by place. leading: the calibration table of the likeliest place.
    """

    outcomes: Mapping[str, int]
    leading: tuple[Bin, ...] = ()

    def bin_of(self, chance: float) -> Bin | None:
        """The row of jobs whose likeliest place was stated with about that chance; None where there were none."""
        return next((row for row in self.leading if row.low <= chance < row.high or chance == row.high == 1.0), None)


def read_rates(path: str) -> Learned:
    """What `baybook archive --rates` wrote. Raises InputError."""
    try:
        told = json.loads(read_small(path, input="--rates"))
        outcomes = told["outcomes"]
        leading = tuple(Bin(**{key: float(row[key]) for key in ("low", "high", "stated", "true")}, count=int(row["count"]))
                        for row in told.get("leading", ()))  # fmt: skip
        if all(isinstance(count, int) and count >= 0 for count in outcomes.values()):
            return Learned({str(place): count for place, count in outcomes.items()}, leading)
    except (InputError, ValueError, KeyError, TypeError, AttributeError, RecursionError):
        pass
    raise InputError.one("--rates", path, "holds no base rates", "give a file that baybook archive --rates wrote")
