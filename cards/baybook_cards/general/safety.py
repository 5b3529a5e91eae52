"""Safety before touching high-pressure fuel, and what to do after an injection injury."""

from __future__ import annotations

from dataclasses import replace

from baybook.cards.data import Card, Caution, Number, Section, Table
from baybook_cards.general.common import NUMBER

PSI = 6894.757293168361
"""Pascals in one pound-force per square inch (NIST SP 811)."""
SKIN_PSI = 100
"""Pressure that can breach skin, from hand-surgery texts (University of Bath research page on high-pressure injection)."""
CASES, AMPUTATION_PERCENT = 435, 30
"""Hogan & Ruland, J. Orthop. Trauma 20 (2006) 503-511, abstract: upper-limb cases reviewed, amputation rate."""

CAUTIONS = (
    Caution(
        "danger",
        "Fuel at rail pressure goes through skin and through gloves. Keep hands and face away from every line, union "
        "and injector that may hold pressure. Never feel for a leak.",
        ("W-JET",),
        "Fuel under pressure goes through skin and gloves. Hands away. Never feel for a leak.",
    ),
    Caution(
        "warning",
        "Fuel mist and hot fuel burn. No flame, no spark, no smoking; catch what runs out, keep it off hot parts.",
        ("W021", "P003"),
        "Fuel mist burns: no flame, no spark.",
    ),
    Caution(
        "danger",
        "Injector drives make and store dangerous voltage, also when the rail is at zero. Unplug nothing on a running engine; "
        "wait as the data say; do not probe.",
        ("W012",),
        "Injector drives store dangerous voltage, also with the rail at zero.",
    ),
    Caution(
        "caution",
        "Wear eye protection and gloves. They do not stop a jet.",
        ("M004", "M009"),
        "Eye protection and gloves; they do not stop a jet.",
    ),
)

BEFORE = Section(
    "Before you open anything",
    items=(
        "Read the maker's data: how long to wait, how to make it safe.",
        "Stop so that the reading stays alive (ignition on, not cranking, if the data allow). Watch it fall to zero.",
        "Zero counts only if you saw this reading fall from pressure to zero. If it stood at zero all along, it proves "
        "nothing.",
        "No fall to see: the rail counts as loaded. Ignition off, wait the full time that the data give, empty it the maker's "
        "way. No data: stop here.",
        "Ignition off. Key with you, a keyless one out of its range, stop-start off; sign DO NOT START on the wheel. The "
        "low-pressure pump may run when a door opens or the key is turned.",
        "Wait as long as the data say. No data, not zero, or no reading you trust: do not open.",
        "Goggles, gloves. Clean first. Cloth laid under, hand only on the spanner; open slowly, face away; cap at once.",
    ),
    numbered=True,
    priority=2,
)

IN_SHORT = Section(
    "Before you open anything",
    short=(
        "Stop; see the reading fall to zero. No fall: the rail is loaded, stop here.",
        "Key off and with you. Wait as the data say. No data: do not open.",
        "Goggles, gloves.",
    ),
    priority=1,
)
NEVER = Section(
    "Never",
    items=(
        "open, loosen or tighten anything that is under pressure; loosen a union to bleed it or to let pressure out",
        "feel for a leak, or bring a hand, a rag or a cheek near one",
        "unplug a pressure control or an injector on a running engine",
        "work alone on a system that can hold rail pressure",
    ),
    priority=2,
)

INJURY = Section(
    "If fuel went through the skin",
    items=(
        "It is a surgical emergency, however small the mark and even if nothing hurts. Do not wait for pain.",
        "Call the emergency number, or be driven to a hospital at once. The first-aid card says the rest.",
        "Say: high-pressure injection of diesel fuel. Say at which pressure and at what time.",
    ),
    numbered=True,
    priority=1,
    signal="danger",
    symbols=("E003",),
    short=("Surgical emergency, even if nothing hurts.", "Call now. Say: high-pressure injection of diesel fuel."),
)

FACTS = Table(
    "Why so strict",
    ("What is known", "Figure"),
    (
        ("Pressure that can pierce skin", Number(SKIN_PSI * PSI / 1e5, 0, "bar")),
        ("Cases of the hand and arm in one review (1966 to 2003)", Number(CASES)),
        ("of these, ended in amputation", Number(AMPUTATION_PERCENT, 0, "%")),
        ("Look of the wound", "small, often painless"),
    ),
    priority=4,
)

SOURCES = (
    "Skin: hand-surgery texts (about 100 psi). Cases: Hogan & Ruland, J. Orthop. Trauma 20 (2006) 503–511, abstract.",
    "Wound: Verhoeven & Hierner, Strat. Traum. Limb Recon. 3 (2008) 27–33, abstract.",
    "Diesel among the worse fluids: Cejin, Koyfman & Long, Am. J. Emerg. Med. 88 (2025) 120–125, abstract.",
    "Signs: ISO 7010, ISO 3864; the jet sign is our own. Words: ANSI Z535.4.",
    "Waiting and proving zero: common practice, no source.",
)


def card(date: str = "") -> Card:
    """The safety card; `date` is printed on it."""
    return Card(
        name="safety",
        title="Safety: before touching high-pressure fuel",
        small=True,
        cautions=CAUTIONS,
        front=(replace(NUMBER, height=2.2), BEFORE, IN_SHORT),
        back=(INJURY, NEVER, FACTS),
        sources=SOURCES,
        limits_origin="none; the waiting time comes from the vehicle's data",
        date=date,
    )
