"""How the pump is tested: flows into fixed cylinders, pressure from live data, the valve driven the maker's way alone."""

from __future__ import annotations

from baybook.api import CLEAR, LOCK_OUT, LOOK, Action, Caution, Condition, HoldPoint, guarded

PLUG = "1 plug for the open end of the line to the tank, counted again at the end"

HOT_FUEL = Caution(
    "warning", "What comes out of the returns is hot: let it cool before a cylinder is carried.", ("W017",), "Hot."
)
OTHER_RETURNS = Caution(
    "danger",
    "Never close, pinch or plug a return of pump, rail, valve or injector: a hose bursts, and hot fuel meets the exhaust.",
    ("W-JET", "W017"),
    "Never any other.",
)
PROCEDURE = guarded(
    entry=(
        Condition("Supply good.", otherwise="supply first (calculator supply): a starved pump looks like a worn one"),
        Condition("Size, ratio, pressure.", ("displacement", "drive_ratio", "pressure_limit")),
        Condition("Routine shuts outlet valve.", ("outlet_shut",),
                  otherwise="leave the highest pressure: a valve is never closed otherwise"),
    ),
    steps=(
        Action("Relieve low side; fix returns in jars.", tool="measuring jars and hoses", hands="high pressure"),
        Action("Plug open tank line.", tool=PLUG, caution=OTHER_RETURNS,
               hands="high pressure"),
        Action("Run steadily, timed; read:", ("engine_speed", "rail_pressure", "quantity", "cylinders"),
               "live data, a watch", state="running"),
        Action("Lock out; read; refit returns.", ("returns", "control", "limiter"),
               caution=HOT_FUEL, hands="high pressure", state="key off"),
        CLEAR,
        LOOK,
        HoldPoint("Maker's routine only, nobody near:", danger=True),
        Action("Read highest.", ("highest",)),
    ),
    lock=LOCK_OUT,
)  # fmt: skip
