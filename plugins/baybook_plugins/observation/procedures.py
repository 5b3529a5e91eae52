"""How each usual observation is made, where a hand could be near danger for it. Common practice, no source."""

from __future__ import annotations

from collections.abc import Mapping

from baybook.api import Action, Caution, Condition, Procedure, guarded

SIGNAL = Condition("A signal that jumps: live data or a logger.", (), "without one nothing is seen: leave this test")
STRAIGHT = Caution(
    "danger",
    "Never unplug. Injector and valve looms carry up to 200 V: insulated rod only, one hand, leads clear of rail and drives.",
    ("W012",),
    "Up to 200 V: insulated rod only, never unplug.",
)
ROD = "an insulated rod, rated for the voltage; a logger that holds what was seen"
END_STOPPED = (Action("Lock out; take leads off.", hands="wiring", state="key off"),)
MOVED_AT_REST = guarded(
    caution=Caution(
        "danger", "Never unplug; keep off fan, belts, starter.", ("W017",), "Never unplug; keep off fan and belts."
    ),
    entry=(SIGNAL,),
    steps=(
        Action("Look at plug, loom and the rod's way to them.", tool=ROD, hands="wiring"),
        Action("Ignition on, engine stopped; log the signal.", state="key on"),
        Action("Move plug and loom by the rod; watch the signal.", ("seen", "moved")),
    ),
    end=END_STOPPED,
)
MOVED_DRIVEN = guarded(
    caution=STRAIGHT,
    entry=(
        SIGNAL,
        Condition("Valve or injector may be driven at rest, by the data.", (),
                  "log a road test over the same shaking instead: nobody near the engine"),
    ),
    steps=(
        Action("Look at plug, loom, seals, its way.", hands="high pressure", tool=ROD),
        Action("Ignition on, engine stopped; drive it by scan tool.", (), "a scan tool with the maker's routine",
               state="key on"),
        Action("Move the loom by the insulated rod; watch the signal.", ("seen", "moved"), caution=STRAIGHT),
    ),
    end=END_STOPPED,
)  # fmt: skip
LOOKED_AT = guarded(
    entry=(Condition("Nothing is opened, nothing unplugged.", (), "leave this test"),),
    steps=(
        Action("Look with a lamp, from outside; touch no wet place.", ("seen",), "a lamp and a mirror on a rod",
               hands="high pressure"),
    ),
)  # fmt: skip
FOUND_APART = guarded(
    entry=(Condition("Data: how that part is taken out, and cleanliness.", (), "leave it to who has them"),),
    steps=(
        Action("Relieve low side as data say.", hands="low side"),
        Action("Clean; take the part out as data say.", tool="caps for all that is open; new seals", hands="high pressure"),
        Action("Look at it, note what is seen.", ("seen",)),
    ),
    end=(Action("Fit new seals and pipes as data say; bleed.", hands="high pressure"),),
    opened=True,
)
CLEAR_HOSE = guarded(
    entry=(Condition("Hose rated for the feed pressure.", (), "leave this test"),),
    steps=(
        Action("Relieve low side as data say.", hands="low side"),
        Action("Fit the clear hose as data say.", tool="a clear hose rated for the feed pressure", hands="low side"),
        Action("Run; watch for bubbles from a distance.", ("seen",), state="running"),
    ),
    end=(Action("Lock out; relieve; put back.", hands="low side", state="key off"),),
    opened=True,
)
PROCEDURES: Mapping[str, Procedure] = {
    "jump when plug or loom is moved": MOVED_AT_REST,
    "jump when a driven loom is moved": MOVED_DRIVEN,
    **dict.fromkeys(
        ("wetness at the high-pressure side", "wetness at the low-pressure side", "damaged or loose plug"), LOOKED_AT
    ),
    **dict.fromkeys(
        ("fault in a high-side part by itself", "fault in a low-side part by itself", "swarf in the filter or the inlet valve"),
        FOUND_APART,
    ),
    "bubbles in the clear hose": CLEAR_HOSE,
}
