"""The return balance sheet: a table for three to eight injectors, filled in with a grease pencil."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from baybook.cards.data import Card, Formula, Meaning, Number, Section, Table, Term
from baybook.reading import Reading
from baybook.result import Result
from baybook.running import calculate
from baybook_cards.general.common import JET, PRACTICE, RUNNING, number

INJECTORS = range(3, 9)
"""How many injectors a sheet serves."""
ROWS = max(INJECTORS)
BLANK = (None,) * 4
COLUMNS = ("Injector", "Volume V (mL)", "± (mL)", "V ÷ median of the others (%)", "Again, swapped (mL)")
NOTE = "Strike out the lines you don't need: three to eight injectors. All cylinders alike, all for the same time."
MEDIAN = Section(
    "Median of the others",
    "Leave the injector out, put the other volumes in order: the middle one is the median; of an even number of "
    "others, half-way between the two in the middle.",
    priority=3,
)


def known_of(inputs: Mapping[str, Any]) -> dict[str, Any]:
    """What `card` takes, from the inputs of `returns`: the volumes, as readings."""
    return {"volumes": inputs["volumes"]} if "volumes" in inputs else {}


def sheet(volumes: Sequence[Reading | None]) -> Table:
    """The table: blank for the most injectors it serves, or with these volumes and each against the median of the others."""
    if not volumes:
        return Table("Return balance", COLUMNS, tuple((str(place), *BLANK) for place in range(1, ROWS + 1)), NOTE, 2)
    result: Result = calculate("returns", volumes=tuple(volumes), time="1 min ± 0 s")  # (the time leaves the ratio as it is)
    rows: list[tuple[str, Number | None, Number | None, Number | None, None]] = []
    for place, reading in enumerate(volumes, 1):
        if reading is None:  # not measured
            rows.append((str(place), None, None, None, None))
            continue
        volume, name = reading.to("mL"), f"percent_of_median_{place}"
        ratio = Number(result[name].value, 1) if name in result.outputs else None
        half = number(volume.half_width) if volume.half_width else None
        rows.append((str(place), number(volume.value), half, ratio, None))
    return Table("Return balance", COLUMNS, tuple(rows), priority=2)


def card(known: Mapping[str, Any] | None = None) -> Card:
    """The balance sheet; `known` may hold this engine's `volumes`."""
    return Card(
        name="balance",
        title="Return balance sheet, 3 to 8 injectors",
        stage="delivery",
        side="hydraulic",
        cautions=(JET, RUNNING),
        front=(sheet((known or {}).get("volumes", ())), MEDIAN),
        formula=Formula(
            ("r = 100 % · V / V_{median}",),
            (
                Term("r", "an injector against the others", "%"),
                Term("V", "what it returned", "mL"),
                Term("V_{median}", "median of the others", "mL"),
            ),
            note="The maker's data say how far r, or the flow itself, may go.",
        ),
        meanings=(
            Meaning("one far above the others", "it leaks inside", "swap hoses and cylinders, repeat; then the bench"),
            Meaning(
                "all alike and too much",
                "wear of the set, hot fuel, or pressure bled through the injectors",
                "fuel temperature; does the control bleed?",
            ),
            Meaning(
                "one far below the others",
                "its return is blocked, or it is not driven",
                "the hose; then the drive by oscilloscope",
            ),
            Meaning("all alike and within the limit", "pressure is not lost here", "supply, generation, closed rail"),
        ),
        sources=(PRACTICE, "With four values an outlier test proves little (Grubbs, Technometrics 11 (1969) 1–21)"),
        limits_origin="the data for this vehicle; write down where they stand",
        command="baybook returns --ask",
    )
