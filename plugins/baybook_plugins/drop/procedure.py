"""How drops and insulation are read: leads fitted only at zero and key off. Common practice, no source."""

from __future__ import annotations

from baybook.api import INJECTOR_PLUGS, LOCK_OUT, NO_TESTER, RUNS_AWAY, SLIPPING_PIN, Action, Condition, guarded

PROCEDURE = guarded(
    caution=INJECTOR_PLUGS,
    entry=(
        Condition("Circuit, limits.", ("part", "number", "limit")),
        Condition("Meter, leads for 200 V.", otherwise="leave it: injector wiring stores voltage"),
        NO_TESTER,
    ),
    steps=(
        Action("Unplug; measure pins to housing; plug on.", ("insulation", "over_range"), "a multimeter",
               hands="high pressure"),
        Action("Back-probe, plug on, insulated pins; injectors: clamp only.", tool="insulated pins for back-probing",
               caution=SLIPPING_PIN, drawing="back-probe", hands="high pressure"),
        Action("Clamp one wire, zeroed; leads clear.", tool="a current clamp", drawing="clamp",
               hands="high pressure"),
        Action("Run or actuate; read current.", ("current",), "a scan tool", RUNS_AWAY, state="running"),
        Action("Read one place per run:", ("drops", "battery", "at_part")),
        Action("Read driver's low level, duty.", ("duty", "driver"), "an oscilloscope"),
    ),
    end=(Action("Lock out; take leads, clamp off.", hands="high pressure", state="key off"),),
    lock=LOCK_OUT,
)  # fmt: skip
