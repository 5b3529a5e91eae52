"""Regulator logic: inlet valve, outlet valve, both. Facts of the trade: common practice, no source."""

from __future__ import annotations

from baybook.cards.data import Card, Figure, Meaning, Section, Table
from baybook_cards.general.common import JET, PRACTICE, RUNNING

LOGIC = Table(
    "The usual kinds",
    ("", "Inlet valve", "Outlet valve"),
    (
        ("where", "low side, before the elements", "pump outlet or rail"),
        ("coil", "larger, more current", "small"),
        ("more current", "drives it in: less fuel enters", "drives it in: less escapes"),
        ("so pressure", "▼ falls", "▲ rises"),
        ("full pressure", "fully open", "fully closed"),
        ("current lost", "▲ pressure may rise without limit", "▼ pressure falls, engine stops or won't start"),
    ),
    note="Some inlet valves rest closed, and then it is the other way round: know which one you have.",
    priority=2,
)
SWITCHING = Section(
    "Which side is switched",
    items=(
        "Often to ground: while it is on, the switched wire reads low.",
        "A duty meter that counts the high time then shows 100 % less the true duty.",
        "Mean voltage on the switched wire falls as the duty rises.",
    ),
    priority=3,
)
BOTH = Section(
    "Both fitted",
    items=(
        "The control may lead with one and hold the other: know which one leads in this state.",
        "Full pressure needs inlet fully open and outlet fully closed.",
        "Some systems trim pressure by opening injectors too briefly to inject: the rail bleeds through the returns.",
    ),
    priority=3,
)
MEANINGS = (
    Meaning(
        "pressure too low, control asks for more, valve gets its current",
        "hydraulic: it can't be made or is lost",
        "supply, closed rail, returns",
    ),
    Meaning("pressure too low, control does not ask", "control: a wrong reading or target", "sensor against a second reading"),
    Meaning("asks, but the current is not there", "control: wiring, driver or coil", "coil, supply under load"),
    Meaning(
        "pressure too high with the valve driven open",
        "hydraulic: stuck valve or blocked return",
        "return path; valve as the data say",
    ),
)


IN_SHORT = Section(
    "The usual kinds",
    short=(
        "Inlet: more current, pressure falls.",
        "Outlet: more current, pressure rises.",
        "Full pressure: inlet open, outlet closed.",
    ),
    priority=1,
)


def card() -> Card:
    """Regulator logic."""
    figure = Figure(
        "regulators", "Where they sit",
        "The fuel's way from the low side through the inlet valve into the pump elements, on into the rail; the outlet "
        "valve lets fuel from the rail back into the return.", priority=3,
    )  # fmt: skip
    return Card(
        name="regulators",
        title="Pressure valves: which way they work",
        stage="generation",
        side="control",
        cautions=(RUNNING, JET),
        front=(figure, LOGIC),
        back=(IN_SHORT, SWITCHING, BOTH),
        meanings=MEANINGS,
        sources=(PRACTICE,),
        limits_origin="none on this card",
        command="baybook regulator --ask",
    )
