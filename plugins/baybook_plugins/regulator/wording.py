"""A valve and its switched wire in words."""

from __future__ import annotations

from .model import Switched, Valve, mean_voltage

USUAL_KIND = (
    "Where it was not given: a valve that stands open without current, switched to ground. That is the usual kind, "
    "not every kind: the maker's data say which one is fitted."
)
BLEED = (
    "This control also lowers pressure by pulsing injectors too short to inject: fuel then leaves through the returns. "
    "Their volumes rise while it does, so a return balance has to be taken while it does not."
)
TOLERANCE = (
    "Within {pressure} of target counts as on target, within {current} as the expected current: common practice, no source."
)

NO_CURRENT_WORDS = (
    "No current flows where one is due: coil, plug or wire is open, its supply or ground is missing, or it is not driven."
)
LOW_GROUND = "coil, its supply or the wire to it is open, or the wire is shorted to ground."
HIGH_GROUND = "the control unit does not switch it, or the wire to it is open or shorted to supply."
LOW_SUPPLY = "the control unit does not switch it, its own supply is missing, or the wire is shorted to ground."
HIGH_SUPPLY = "the wire is shorted to supply, or the switch stays on."

# A wire whose mean lies this near to an end does not pulse; a drive this far from the ends should. common practice, no source
STUCK, SHOULD_PULSE = 0.02, 0.10


def wire_fault(switched: Switched, share: float, due: float) -> str:
    """Say what is wrong with a wire that should pulse and does not, "" where nothing is.

    share: of time on, from the wire's mean voltage; due: the share of time on, or off, that duty or command say.
    """
    if STUCK < share < 1 - STUCK or not SHOULD_PULSE < due < 1 - SHOULD_PULSE:
        return ""
    high = (share > 0.5) == (switched is Switched.SUPPLY)
    causes = {
        (Switched.GROUND, False): LOW_GROUND,
        (Switched.GROUND, True): HIGH_GROUND,
        (Switched.SUPPLY, False): LOW_SUPPLY,
        (Switched.SUPPLY, True): HIGH_SUPPLY,
    }
    level = "supply voltage" if high else "0 V"
    return f"The switched wire stays near {level} although it should pulse: {causes[switched, high]}"


def effect(valve: Valve) -> str:
    """What more current does."""
    way = "rises" if valve.current_raises_pressure else "falls"
    return f"more current drives it {valve.current_moves_it}: pressure {way}"


def full_pressure(valve: Valve) -> str:
    """What full pressure needs of the valve."""
    return f"fully {valve.full_pressure_position}: {valve.full_pressure_current}, {_duty(valve)} % on"


def wire_at_full_pressure(valve: Valve, switched: Switched, supply: float | None) -> str:
    """What meters on the switched wire show when full pressure is asked for; supply in V where known."""
    drive = _duty(valve) / 100
    level = mean_voltage(drive, 1.0, switched)
    volts = f"{level * supply:.3g} V" if supply is not None else ("supply voltage" if level else "0 V")
    return f"about {volts} mean; a duty meter {100 * level:.0f} % high time, {100 * (1 - level):.0f} % low time"


def wire_at_rest(switched: Switched) -> str:
    """What the switched wire shows with the coil not driven, plug connected."""
    if switched is Switched.GROUND:
        return "supply voltage, through the coil; 0 V means that coil, wire or supply is open"
    return "0 V, whether the coil is whole or not"


def loss(valve: Valve) -> str:
    """What the loss of this valve's current does, the other one left as it is."""
    if valve.loss_of_current == "falls":
        return "pressure falls: the engine stops or does not start"
    return "pressure rises, up to a relief valve if one is fitted: dangerous"


def _duty(valve: Valve) -> int:
    return 100 if valve.current_raises_pressure else 0
