"""How the rail pressure sensor is looked at, and what that says of which places. Common practice, no source."""

from __future__ import annotations

from baybook.api import RUNAWAY, TO_ZERO, Action, Condition, Halt, HoldPoint, Need, Question, Sense, guarded

PROCEDURE = guarded(
    entry=(
        Condition("Sensor's line, limits.", reads=("full_scale", "zero_limit")),
        Condition("Pin numbers known."),
    ),
    steps=(
        TO_ZERO,
        Action("Read pressure shown.", reads=("standing",), tool="a scan tool"),
        HoldPoint("Above your zero limit: STOP, nobody near.", danger=True),
        HoldPoint("Its zero proves nothing: use second means.", danger=True),
        Action(
            "Connect meter at sensor's, unit's plugs; sensor stays in.",
            tool="a multimeter with insulated probe leads",
            hands="high pressure",
        ),
        Action("Switch on; read signal.", reads=("standing_signal",), state="key on"),
        Action("Read supply at both.", reads=("supply", "reference")),
        Action("Read ground between both.", reads=("ground_drop",)),
        Action("Run as complained, standing.", state="running"),
        Action("Read signal, shown, second together.", reads=("signal", "shown", "second")),
    ),
    end=(Action("Lock out; take leads off.", hands="high pressure", state="key off"),),
)
AT_ZERO, SUPPLIED = "rail sensor against gauge or zero", "rail sensor supply and ground"
TOLD = "told rail pressure"
"""What is wrong has to make the sensor tell too much, or too little, as it does."""
BEYOND = "second far above"
"""A second reading far above what is shown: the control regulates what is shown, and the rail holds what is not."""
OFF = {"rail sensor": 0.7, "rail sensor wiring": 0.5, "control unit": 0.02}
RARE = 0.002
"""False alarm rate of a zero that is off in a rail that is proven empty: nothing but its circuit brings that about."""
READ_BY_IT = (
    "rail pressure low", "rail pressure high", "rail sensor against gauge or zero", "cranking too much is lost",
    "cranking too little is pumped", "regulator control", "hold", "ripple", "pump highest_pressure low",
    "pump efficiency_found low", "pressure with the outlet valve driven shut",
)  # fmt: skip
"""What is measured by the rail sensor, which without its supply tells nothing."""
NO_SIGNAL, SHORTED = "a signal of no pressure", "a signal above its supply"
GROUND_EXPLAINS, NO_SUPPLY, BETWEEN = "ground explains the zero", "no supply", "plug_difference"
PULLED = "supply pulled down"
"""What hangs on the feed pulls it down where it leaves the unit as well: another sensor of it more often than this one, a wire
of any of them, or the unit's own feed. Told as a share of a supply that is off, no zero tells anything."""
LOADED = Halt(
    "take the rail as loaded and keep away: first prove it empty by a second means, not by this sensor (sensor, emptied)",
    engine=False, lifted="emptied", reason="The rail is taken as loaded",
)  # fmt: skip
SENSE = Sense(
    {
        "zero_error low": Question(
            OFF, RARE, ("rail sensor",), measures=AT_ZERO, shows={TOLD: "zero_error"}, at_rest=True,
        ),
        "zero_error high": Question(
            OFF, RARE, ("rail sensor",), measures=AT_ZERO, shows={TOLD: "zero_error"}, halt=LOADED, at_rest=True,
        ),
        "difference": Question(
            {"rail sensor": 0.85, "rail sensor wiring": 0.5}, measures=AT_ZERO, shows={TOLD: "difference"}
        ),
        BEYOND: Question(dict.fromkeys(OFF, 0.02), off_map=0.02, sought=False, halt=RUNAWAY),
        "supply_voltage": Question(
            {"rail sensor wiring": 0.4, "control unit": 0.2}, 0.01, ("rail sensor wiring",), measures=SUPPLIED,
            brings={TOLD: "supply_error"}, at_rest=True,
        ),
        NO_SUPPLY: Question(
            {"rail sensor wiring": 0.85, "control unit": 0.6, "rail sensor": 0.02}, 0.001, ("rail sensor wiring",),
            sought=False, measures=SUPPLIED, voids=READ_BY_IT,
        ),
        NO_SIGNAL: Question(
            {"rail sensor": 0.6, "rail sensor wiring": 0.85, "control unit": 0.02}, RARE, sought=False, voids=READ_BY_IT,
        ),
        SHORTED: Question(
            {"rail sensor wiring": 0.5, "control unit": 0.02}, RARE, ("rail sensor wiring",), sought=False, voids=READ_BY_IT,
        ),
        PULLED: Question(
            {"rail sensor": 0.15, "rail sensor wiring": 0.1, "control unit": 0.4}, 0.001, ("control unit",), 0.6, sought=False,
            measures=SUPPLIED, voids=READ_BY_IT,
        ),
        GROUND_EXPLAINS: Question({"rail sensor wiring": 0.4}, 0.005, ("rail sensor wiring",), sought=False),
        BETWEEN: Question({"rail sensor wiring": 0.8, "control unit": 0.3}, 0.01, ("rail sensor wiring",), sought=False),
        "ground_voltage": Question(
            {"rail sensor wiring": 0.4}, 0.01, ("rail sensor wiring",), brings={TOLD: "ground_error"}, at_rest=True
        ),
    },
    12.0,
    hands="live wiring",
    turning=True,
    needs=(
        Need("emptied", "was the rail proven empty by a second means, not by this sensor?", met=0.7, bad=0.9,
             of=("zero_error high",)),
    ),
)  # fmt: skip
