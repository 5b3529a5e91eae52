"""How drops and insulation are read: leads fitted only at zero and key off. Common practice, no source."""

from __future__ import annotations

from baybook.api import LOCK_OUT, Action, Caution, Condition, guarded

SLIPPED = Caution(
    "danger",
    "A pin that slips to ground drives a valve fully on: with an outlet valve that is full pressure.",
    ("W-JET",),
    "Slipping pins: full pressure.",
)
RUNAWAY = Caution(
    "danger",
    "Pressure runs away: engine off from where you sit.",
    ("W-JET",),
    "Runs away: engine off.",
)
PROCEDURE = guarded(
    caution=Caution("danger", "Injector plugs: up to 200 V; first rail zero, waiting time.", ("W012",)),
    entry=(
        Condition("Circuit, limits.", ("part", "number", "limit")),
        Condition("Meter, leads rated for 200 V.", otherwise="leave it: injector wiring stores voltage"),
        Condition("Ohmmeter, no insulation tester.", otherwise="its high voltage destroys the control unit"),
    ),
    steps=(
        Action("Unplug; measure pins to housing; plug on.", ("insulation", "over_range"), "a multimeter",
               hands="high pressure"),
        Action("Back-probe each section, insulated pins, plug on.", tool="insulated pins for back-probing", caution=SLIPPED,
               drawing="back-probe", hands="high pressure"),
        Action("Clamp one wire, zeroed; leads clear.", tool="a current clamp", drawing="clamp",
               hands="high pressure"),
        Action("Run or actuate; read current.", ("current",), "a scan tool", RUNAWAY, state="running"),
        Action("Read one place per run:", ("drops", "battery", "at_part", "driver")),
    ),
    end=(Action("Lock out; take leads, clamp off.", hands="high pressure", state="key off"),),
    lock=LOCK_OUT,
)  # fmt: skip
