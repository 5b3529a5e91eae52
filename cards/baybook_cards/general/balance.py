"""The return balance sheet: a table for three to eight injectors, filled in with a grease pencil."""

from __future__ import annotations

from baybook.cards.data import Card, Formula, Meaning, Section, Table, Term
from baybook_cards.general.common import JET, PRACTICE, RUNNING

INJECTORS = range(3, 9)
"""How many injectors a sheet serves."""
ROWS = max(INJECTORS)
COLUMNS = ("Injector", "Volume V (mL)", "± (mL)", "V ÷ median of the others (%)", "Again, swapped (mL)")
SHEET = Table(
    "Return balance",
    COLUMNS,
    tuple((str(place), *(None,) * (len(COLUMNS) - 1)) for place in range(1, ROWS + 1)),
    note="Strike out the lines you don't need: three to eight injectors. All cylinders alike, all for the same time.",
    priority=2,
)
MEDIAN = Section(
    "Median of the others",
    "Leave the injector out, put the other volumes in order: the middle one is the median; of an even number of "
    "others, half-way between the two in the middle.",
    priority=3,
)


def card() -> Card:
    """The blank balance sheet."""
    return Card(
        name="balance",
        title="Return balance sheet, 3 to 8 injectors",
        stage="delivery",
        side="hydraulic",
        cautions=(JET, RUNNING),
        front=(SHEET, MEDIAN),
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
