"""How a crank is read, and what its outcome says of which places. Common practice, no source."""

from __future__ import annotations

from baybook.api import (
    ANY_PRESSURE,
    FED,
    LOST,
    NO_PRESSURE,
    PRESSURE_LOW,
    REGULATED,
    STARVED,
    Action,
    Condition,
    Halt,
    Message,
    Need,
    Question,
    Sense,
    guarded,
)

PROCEDURE = guarded(
    entry=(
        Condition("Data tell how injection is kept off.", otherwise="be ready for an engine that starts"),
        Condition("Battery charged; starter cool.", reads=("battery_limit", "speed_limit")),
        Condition("Enabling pressure, time.", reads=("enable", "time_limit")),
    ),
    steps=(
        Action("Keep injection off as data say.", hands="wiring"),
        Action("Connect logger, clear of belts.", tool="a scan tool or logger", hands="wiring"),
        Action("Begin to log.", reads=("capture",)),
        Action("Crank within data's time; rest starter.", state="running"),
        Action("Let go; log pressure's fall.", state="stopped"),
        Action("Read speed, lowest battery.", reads=("speed", "battery")),
        Action("Read highest rail, lowest supply.", reads=("pressure", "supply")),
        Action("Read enabling time.", reads=("time",)),
    ),
    end=(
        Action("Stand clear; prove zero.", state="zero"),
        Action("Lock out; take logger off.", hands="wiring", state="key off"),
        Action("Let injection work again.", hands="wiring"),
    ),
    tools=("volume of the rail, displacement and drive of the pump, where pump and loss are to be told apart",),
)
TURNED = "battery and starter while cranking"
CHARGE = Halt(
    "charge or test the battery, look at its leads and the starter, then crank again: nothing else that was read while "
    "cranking is valid",
    spoils=True,
    reason="The battery falls away while cranking",
)
NOT_SEEN, TURNS = "no speed shown", 15.0
"""rpm: below it a speed that is shown is none (common practice, no source)."""
UNSEEN = (
    "While cranking a speed of {speed} is shown: the starter does not turn the engine, or the control unit does not see it "
    "turn, and drives neither valves nor injectors then."
)
SIGNALS = Message("see whether the engine turns; where it does, measure the signals of speed and phase while cranking")
LITTLE, SHARE = "little pressure", 0.4
"""Of the pressure that releases injection: less than that is far from it. common practice, no source"""
LOSS, WEAK = "too much is lost", "too little is pumped"
OPENS = "something lets go at the pressure that is held"
AIR, ELEMENT, ZERO = "free air", "one element gives less", "zero before the starter turns"
CURRENTS = {f"{valve} valve current": valve for valve in ("inlet", "outlet")}
_LOSSES = {
    "rail and joints": 0.8, "relief valve": 0.8, "outlet valve": 0.8, "pump outlet": 0.4, "injector *": 0.8,
}  # fmt: skip
_OPENS = {"outlet valve": 0.7, "relief valve": 0.7, **{f"outlet valve {part}": 0.7 for part in ("coil", "wiring", "driver")}}
_PUMPS = {**STARVED, "pump drive": 0.8, "pump elements": 0.9, "inlet valve": 0.8, "rail sensor": 0.3}
# a pump that has one weak element, and a leak that a sound pump outruns, still reach what the control waits for
_LOW = {
    **PRESSURE_LOW, "pump drive": 0.8, "pump elements": 0.6, "injector *": 0.5, "rail and joints": 0.6,
    "speed and phase sensors": 0.3,
}  # fmt: skip
_LITTLE = {
    **dict.fromkeys(STARVED, 0.35), "pump drive": 0.9, "pump elements": 0.25, "pump outlet": 0.3, "inlet valve": 0.5,
    "outlet valve": 0.45, **{f"outlet valve {part}": 0.5 for part in ("coil", "wiring", "driver")},
    **{f"inlet valve {part}": 0.15 for part in ("coil", "wiring", "driver")}, "relief valve": 0.25, "rail and joints": 0.2,
    "injector *": 0.06, "rail sensor": 0.3, "rail sensor wiring": 0.5, "control unit": 0.35, "speed and phase sensors": 0.3,
}  # fmt: skip
# what holds a pump down there is a way that stands open, or a pump that is hardly fed or turned: a worn gap lets little through
# at little pressure
_AIR = {"air leak": 0.8, "tank fuel": 0.3, "feed line": 0.4, "filter": 0.3, "suction pump": 0.2, "tank pump": 0.2}
SENSE = Sense(
    {
        TURNED: Question({}, 0.05, off_map=0.9, sought=False, measures=TURNED, halt=CHARGE),
        NOT_SEEN: Question(
            {"speed and phase sensors": 0.9}, 0.005, off_map=0.1, sought=False, measures="speed and phase signals"
        ),
        LOSS: Question(_LOSSES, 0.05, sought=False),
        WEAK: Question(_PUMPS, 0.05, sought=False),
        OPENS: Question(_OPENS, 0.02, sought=False),
        NO_PRESSURE: ANY_PRESSURE,
        LITTLE: Question(_LITTLE, 0.01, sought=False),
        "pressure low": Question(_LOW, measures="rail pressure low", spares=REGULATED, shows={LOST: "lost"}),
        "time": Question(
            {**_LOW, "feed line": 0.8, "air leak": 0.85, "tank fuel": 0.7}, measures="rail pressure low", spares=REGULATED
        ),
        AIR: Question(_AIR, 0.05, sought=False),
        ELEMENT: Question({"pump elements": 0.5, "inlet valve": 0.05}, 0.02, sought=False, measures="orders of the pump"),
        ZERO: Question({"rail sensor": 0.6, "rail sensor wiring": 0.4}, 0.02, sought=False),
        **{
            question: Question(
                {f"{valve} valve {part}": 0.5 for part in ("coil", "wiring", "driver")},
                0.005,
                sought=False,
                measures=f"whether current flows in the {valve} valve",
            )
            for question, valve in CURRENTS.items()
        },
        "supply_pressure low": Question(FED, sought=False, measures="feed pressure low"),
    },
    5.0,  # what a scan tool shows while the engine is cranked, as it is for every complaint of starting
    turning=True,
    starting=True,
    made_in="cranking",
    needs=(
        Need(
            "starter",
            "did the starter turn the engine as fast as it should?",
            met=0.8,
            bad=0.7,
            of=(LOSS, WEAK, "pressure low", "time", "supply_pressure low"),
        ),
    ),
)
