"""Every number, verdict and finding as they were before the calculators were written anew on what the core derives.

Recorded at that revision from invented readings drawn by a seed: valid ones, gaps, cylinders that ran over, over-range, limits
inside the uncertainty. They guard against change; that the numbers are right is checked elsewhere against sources.
Changed since, as it was wrong: the fifth told an injector of 18.8 mL, beside 22.4 mL and more than 60 mL, as one that
returns too little. The figures of returns that are drawn moved by their own scatter when errors were drawn column by column, no
word with them; a coil's temperature typed without its uncertainty is ± 5 °C now. Of a
regulator on target, whose drive is usual, the control is cleared; with an unusual drive the unchecked sensor is a way, too.
An outlet valve's findings stand at its stage of the map, the rail where nobody said otherwise; it was the pump's. A current
that is off, where the drive makes up for it, is told of the control side: two coils without current had left it open.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from baybook import calculate

KEPT = [json.loads(line) for line in (Path(__file__).parent / "data" / "results_kept.jsonl").read_text("utf-8").splitlines()]


def alike(found: Any, kept: Any) -> bool:
    if isinstance(kept, dict):
        return isinstance(found, dict) and found.keys() == kept.keys() and all(alike(found[key], kept[key]) for key in kept)
    if isinstance(kept, list):
        return len(found) == len(kept) and all(map(alike, found, kept))
    return bool(found == (pytest.approx(kept, rel=1e-8, abs=1e-9) if isinstance(kept, float) else kept))


@pytest.mark.parametrize("kept", KEPT, ids=[f"{kept['calculator']}-{at}" for at, kept in enumerate(KEPT)])
def test_a_result_is_what_it_was(kept: dict[str, Any]) -> None:
    told = json.loads(json.dumps(calculate(kept["calculator"], **kept["inputs"]).to_dict()))
    assert told["outputs"].keys() == kept["outputs"].keys()
    assert [name for name, value in kept["outputs"].items() if not alike(told["outputs"][name], value)] == []
    verdicts = [[v["output"], v["index"], v["verdict"], v["probability"]] for v in told["verdicts"]]
    assert alike(verdicts, kept["verdicts"])
    assert [[f["stage"], f["side"], f["strength"]] for f in told["findings"]] == kept["findings"]
