"""The return balance sheet: a table for three to eight injectors, filled in with a grease pencil."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from baybook.api import HIGH_PRESSURE, HIGH_VOLTAGE, RUNNING_ENGINE, Reading
from baybook.cards.data import Card, Cell, Formula, Meaning, Number, Section, Table, Term

from .calculator import returns

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


def conditions(inputs: Mapping[str, Any]) -> Table:
    """In what was collected: blank, or with what is known of it; no input tells the speed and the fuel's temperature."""
    limits = (inputs[name].show() for name in inputs if name.endswith("limit") and name != "spread_limit")
    time, pressure = (str(inputs[name]) if name in inputs else None for name in ("time", "rail_pressure"))
    return Table(
        "Collected at",
        ("time", "rail pressure", "engine speed", "fuel temperature", "largest allowed"),
        ((time, pressure, None, None, "; ".join(limits) or None),),
        priority=3,
    )


def sheet(volumes: Sequence[Reading | None]) -> Table:
    """The table: blank for the most injectors it serves, or with these volumes and each against the median of the others."""
    if not volumes:
        return Table("Return balance", COLUMNS, tuple((str(place), *BLANK) for place in range(1, ROWS + 1)), NOTE, 2)
    result = returns(volumes=tuple(volumes), time="1 min ± 0 s")  # (the time leaves the ratio as it is)
    told = "percent_of_median" in result.outputs
    ratios = result.vector("percent_of_median") if told else (None,) * len(volumes)
    rows = []
    for place, (volume, ratio) in enumerate(zip(volumes, ratios, strict=True), 1):
        percent = Number(ratio.value, 1) if ratio else None
        rows.append((str(place), *_typed(volume), percent, None))
    return Table("Return balance", COLUMNS, tuple(rows), priority=2)


def _typed(volume: Reading | None) -> tuple[Cell, Cell]:
    """The volume in mL and its half-width; a dash for an injector that was not measured."""
    if not isinstance(volume, Reading):
        return "–", None
    millilitres = volume.to("mL")
    if volume.bound:  # (it ran over)
        return f"> {millilitres.value:g}", None
    half = millilitres.half_width
    return Number.plain(millilitres.value), Number.plain(half) if half else None


def card(**inputs: Any) -> Card:
    """The balance sheet, with this engine's `volumes` where the calculator's inputs hold them."""
    return Card(
        name="balance",
        title="Return balance sheet, 3 to 8 injectors",
        stage="delivery",
        side="hydraulic",
        cautions=(HIGH_PRESSURE, HIGH_VOLTAGE, RUNNING_ENGINE),
        front=(sheet(inputs.get("volumes", ())), conditions(inputs), MEDIAN),
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
            Meaning(
                "one far above the others",
                "it may leak inside",
                "rail seen to fall to zero, key off, waited: swap hoses and cylinders, repeat; then the bench",
            ),
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
        sources=(
            "Common practice, no source",
            "With four values an outlier test proves little (Grubbs, Technometrics 11 (1969) 1–21)",
        ),
        limits_origin="the data for this vehicle; write down where they stand",
        command="baybook returns --ask",
        catalogue="baybook_plugins.returns",
    )
