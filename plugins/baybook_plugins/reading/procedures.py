"""How each usual reading is taken, where a hand could be near danger for it. Common practice, no source."""

from __future__ import annotations

from collections.abc import Mapping

from baybook.api import CONTROL_LOSS, TO_ZERO, WAITING, Action, Caution, Condition, Procedure, guarded

MAKERS_WAY = Condition("Data: this reading, its range.", ("limit",), "without them it says nothing: leave this test")
ROUTINE = Condition("Data: a routine that drives the valve shut.", (), "leave this test: nothing else may drive it shut")
CEILING = Condition("Highest pressure by the data, written down.", ("limit",), "leave this test")
NEVER_FED = Caution(
    "danger",
    "Never feed the valve from a battery or a bench driver, and never unplug a pressure control: pressure rises without limit. "
    "Only the maker's routine, from the driver's seat, by scan tool.",
    ("W-JET",),
    "Maker's routine only: never feed the valve, never unplug.",
)
BEYOND = Caution(
    "danger",
    "Above the data's highest pressure: engine off at once, from the seat.",
    ("W-JET",),
    "Above it: engine off at once.",
)
DRIVEN_SHUT = guarded(
    caution=NEVER_FED,
    entry=(ROUTINE, CEILING, Condition("Live data show rail pressure.", (), "leave this test: pressure has to be watched")),
    steps=(
        Action("Sit at the wheel; nobody in the engine bay."),
        Action("Run the maker's routine by scan tool.", tool="a scan tool with the maker's routine", state="running",
               caution=NEVER_FED),
        Action("Watch pressure; above the data's highest: engine off.", caution=BEYOND),
        Action("Read the highest pressure; end the routine.", ("value",)),
    ),
)  # fmt: skip
FROM_SEAT = guarded(
    entry=(MAKERS_WAY,),
    steps=(
        Action("Run as data say; read by scan tool, from the seat.", ("value",), "live data by scan tool", state="running"),
    ),
)
_OFF = (Action("Lock out; take leads off.", hands="high pressure", state="key off"),)
PINS = "insulated pins for back-probing, or a clamp; a meter that stands away from rail and drives"
WIRED = guarded(
    caution=CONTROL_LOSS,
    entry=(MAKERS_WAY,),
    steps=(
        Action("Fix insulated pins or clamp, plug stays on.", tool=PINS, hands="high pressure"),
        Action("Run or crank; read from a distance, hands off.", ("value",), state="running"),
    ),
    end=_OFF,
)
CLAMPED = guarded(
    caution=Caution(
        "danger", "Injector wires carry up to 200 V: clamp only, no pins, never unplug while it runs.", ("W012",),
        "200 V: clamp only, never unplug.",
    ),
    entry=(MAKERS_WAY,),
    steps=(
        Action("Clamp round one insulated wire; leads clear.", (), "a current clamp, rated for the voltage",
               hands="high pressure"),
        Action("Run or crank; read from a distance, hands off.", ("value",), state="running"),
    ),
    end=_OFF,
)  # fmt: skip
AT_REST = guarded(
    entry=(MAKERS_WAY,),
    steps=(
        Action("Fix insulated pins, plug stays on.", tool=PINS, hands="high pressure"),
        Action("Ignition on, engine stopped; read.", ("value",), state="key on"),
    ),
    end=_OFF,
)
UNPLUGGED = guarded(
    entry=(MAKERS_WAY,),
    steps=(
        TO_ZERO,
        Action("Take plugs off at part and control unit.", hands="high pressure", state="key off"),
        Action("Measure each wire from pin to pin.", ("value",), "a multimeter, its leads touched together first",
               hands="wiring", state="key off"),
    ),
    end=(Action("Put plugs on.", hands="high pressure", state="key off"),),
)  # fmt: skip
RELIEVE = Action("Relieve low side as data say.", hands="low side")
PUT_BACK = (Action("Lock out; relieve; put back.", hands="low side", state="key off"),)
GAUGED = guarded(
    entry=(MAKERS_WAY,),
    steps=(
        RELIEVE,
        Action("Fit the gauge as data say.", tool="a gauge and hose rated for the feed pressure", hands="low side"),
        Action("Run where the complaint is; read.", ("value", "load"), state="running"),
    ),
    end=PUT_BACK,
    opened=True,
)
DELIVERED = guarded(
    entry=(MAKERS_WAY,),
    steps=(
        RELIEVE,
        Action("Fix feed hose in can.", tool="a graduated can and a watch", hands="low side"),
        Action("Drive electric pump as data say; read.", ("value",), state="key on"),
    ),
    end=PUT_BACK,
    opened=True,
)
COLLECTED = guarded(
    caution=Caution("danger", "Never close a return: what it held back breaks out.", ("W-JET",), "Never close a return."),
    entry=(MAKERS_WAY,),
    steps=(
        Action("Lead that return open into a can, as data say.", tool="a vented can, hose rated for it, plugs for the way back",
               hands="high pressure"),
        Action("Run or crank as data say; then stop.", state="running"),
        Action("Lock out; read the can.", ("value",), hands="low side", state="key off"),
    ),
    end=(Action("Put the return back.", hands="high pressure"),),
    opened=True,
)  # fmt: skip
PROCEDURES: Mapping[str, Procedure] = {
    **dict.fromkeys(
        ("feed pressure", "feed pressure before the filter", "filter pressure drop", "filter pressure drop, warm",
         "suction depression", "return back pressure"), GAUGED,
    ),
    "supply pump delivery": DELIVERED,
    "rail sensor against gauge or zero": guarded(
        (TO_ZERO, Action("Read what it shows at zero.", ("value",))), entry=(MAKERS_WAY, WAITING)
    ),
    "rail sensor supply and ground": AT_REST,
    **dict.fromkeys(("valve wiring voltage drop", "valve drive signal", "valve drive signal at the unit"), WIRED),
    "wires end to end": UNPLUGGED,
    "injector current": CLAMPED,
    "injector quantity correction": FROM_SEAT,
    **dict.fromkeys(("outlet valve return", "relief valve return", "pump leak return"), COLLECTED),
    "pressure with the outlet valve driven shut": DRIVEN_SHUT,
}  # fmt: skip
