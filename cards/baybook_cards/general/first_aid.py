"""What to do when fuel went through the skin, with a place for the emergency number; fuel in the eye, fuel swallowed.

A DOCTOR HAS TO APPROVE THIS WORDING BEFORE IT IS USED IN A WORKSHOP; the card says so itself. The facts are those of the
sources below; how to wait, what to leave alone, and eye and mouth are common practice of first aid, no source.
"""

from __future__ import annotations

from dataclasses import replace

from baybook.cards.data import Card, Caution, RecordRow, Section
from baybook_cards.general.common import NUMBER

CAUTIONS = (
    Caution(
        "danger",
        "Fuel under the skin is a surgical emergency, even if it is only a pin-prick and nothing hurts. Do not wait for pain.",
        ("W-JET",),
        "Surgical emergency, even if nothing hurts. Do not wait for pain.",
    ),
)
CALL = Section(
    "Call now",
    items=(
        "Stop the engine; keep clear of the jet.",
        "Call the number above, or be driven to a hospital with hand surgery. Do not drive yourself.",
        "Say: “High-pressure injection of diesel fuel.” Say which fluid, at which pressure, at what time.",
        "Do not let them send you home.",
    ),
    numbered=True,
    priority=1,
    symbols=("E003",),
    short=(
        "Stop the engine. Call, or be driven to hand surgery.",
        "Say “high-pressure injection of diesel fuel”, pressure, time. Do not let them send you home.",
    ),
)
WAIT = Section(
    "While you wait",
    items=(
        "Sit down. Rings and watch off.",
        "Limb raised and still. Cover the spot loosely.",
        "Nothing to eat or drink: it will be operated on.",
    ),
    priority=2,
)
LEAVE = Section(
    "Do not",
    items=("squeeze, cut or suck", "tie off the limb (no tourniquet)", "use solvent, ice or heat", "wait for pain"),
    priority=2,
)
ALONG = Section("Take along", "This card, the safety data sheet of the fuel, somebody who stays with you.", priority=2)
IN_SHORT = Section(
    "While you wait",
    short=(
        "Sit. Rings and watch off. Limb raised and still, covered loosely.",
        "Nothing to eat or drink. Do not drive yourself.",
        "Do not squeeze, cut, suck; no tourniquet; no solvent.",
    ),
    priority=1,
)
DOCTOR = Section(
    "For the doctor",
    "High-pressure injection of diesel fuel. The small wound hides deep damage; the literature asks for early surgical "
    "exploration, and diesel is among the fluids with a worse outcome. No finger block.",
    priority=2,
    symbols=("E003",),
)
EYE = Section(
    "Jet or splash in the eye",
    items=(
        "A jet in eye, face, neck, chest, belly or groin: call the emergency number at once. Do not rinse hard, rub or press.",
        "Only a splash: rinse at once with much clean water, lids held open, for 15 minutes at least. Then to a doctor.",
        "Contact lenses out, if they come out easily.",
    ),
    priority=2,
)
SHOCK = Section(
    "Electric shock, not breathing",
    items=(
        "Ignition off before you touch them. Call the emergency number.",
        "Not breathing: chest compressions, defibrillator. Breathing, not awake: on the side.",
        "Feels well after a shock: to a doctor all the same.",
    ),
    priority=2,
    short=("Shock: ignition off first, call. Not breathing: chest compressions.",),
)
OTHERS = Section(
    "Breathed in, burnt, faint",
    items=(
        "Clothes soaked with fuel: off, away from flame.",
        "Mist breathed in: out into fresh air, sit upright. Cough or short breath: call.",
        "Burn: cool with running water for 20 minutes, no ice; cover loosely. To a doctor if larger than a hand or blistered; "
        "of face, hand, joint or groin always.",
        "Pale, cold, faint: lay down, legs up (sitting, if short of breath), keep warm, call.",
    ),
    priority=2,
)
SWALLOWED = Section(
    "Fuel swallowed", "Do not make them vomit: fuel in the lungs is worse. Call the emergency number.", priority=2
)
APPROVAL = Section(
    "Before this card hangs",
    "A doctor has to approve this wording before it is used.",
    priority=1,
    short=("A doctor has to approve this wording before use.",),
)
SOURCES = (
    "Surgical emergency whatever the look of the wound: Hogan & Ruland, J. Orthop. Trauma 20 (2006) 503–511; Verhoeven "
    "& Hierner, Strat. Traum. Limb Recon. 3 (2008) 27–33; Cejin, Koyfman & Long, Am. J. Emerg. Med. 88 (2025) 120–125; "
    "abstracts",
    "While you wait, eye, swallowed, mist, burn, finger block: common practice, no source",
    "Signs: ISO 7010",
)


def card(date: str = "") -> Card:
    """The first-aid card; `date` is printed on it."""
    return Card(
        name="first-aid",
        title="Fuel went through the skin?",
        small=True,
        cautions=CAUTIONS,
        front=(replace(NUMBER, note="fill in before it hangs"), CALL, WAIT, LEAVE, ALONG),
        back=(IN_SHORT, DOCTOR, EYE, SHOCK, SWALLOWED, OTHERS, APPROVAL),
        record=(
            RecordRow("Hospital with hand surgery"),
            RecordRow("We are at: street, door"),
            RecordRow("Fluid, pressure, time"),
            RecordRow("Approved by a doctor: name, date"),
        ),
        sources=SOURCES,
        date=date,
    )
