"""observation: what was seen, on which place, and how sure."""

from __future__ import annotations

from collections.abc import Iterator
from difflib import get_close_matches
from typing import Annotated

from baybook import fields
from baybook.api import (
    ANYWHERE,
    Answer,
    Example,
    Message,
    Output,
    Problem,
    Result,
    Senses,
    calculator,
    next_in_job,
    place_problems,
)

from .known import (
    BEFORE_PUMP,
    CIRCUIT,
    CODES,
    FAULT_MEMORY,
    HOSE,
    JOINED,
    JOINT,
    LOW_PART,
    MOVED,
    MOVED_LIVE,
    NEARER,
    OBSERVATIONS,
    OF_INJECTOR,
    OF_ONE,
    OTHER,
    OUTPUT_STAGE,
    PLUG,
    THERE,
    UPSTREAM,
)
from .procedures import PROCEDURES
from .words import is_at_plug, is_movement, kinds_of

CONFORMS = {"certain": 0.0005, "likely": 0.05, "maybe": 0.3}
"""The chance that all is well after all, by how sure one is to have seen it. common practice, no source"""
SURE = {"certain": "seen plainly, and nothing else looks so", "likely": "seen", "maybe": "it seemed so"}
SEEN = {"yes": "it was seen", "no": "it was looked for and not seen"}
NONE = "none"
KINDS_OF_CODE = {**dict.fromkeys(CODES, "a code of this kind is stored"), NONE: "no code is stored"}
WHILE = {"yes": "it came and went as plug or loom was moved, tapped or shaken", "no": "nobody moved anything"}
SURER = 0.1
"""Of the doubt that is left where it came and went with one's own hand. common practice, no source"""
MOVES = (MOVED, MOVED_LIVE)


def place_fits(what: str, place: str | None, code: str | None) -> Iterator[Problem]:
    """What is not one of the usual has to say its place; what is made on parts, on which of them."""
    if what == HOSE and place not in (None, *BEFORE_PUMP, *UPSTREAM):
        hint = f"give {' or '.join(UPSTREAM)}, or leave it out for a hose before the high-pressure pump"
        yield Problem("place", place, "has no clear hose", hint)
    elif what != FAULT_MEMORY or "circuit" in kinds_of(code):
        yield from place_problems(
            what, spot(what, place), OBSERVATIONS, usual="usual observations", where="on which place it was", done="looked for"
        )


def code_fits(what: str, code: str | None, seen: str) -> Iterator[Problem]:
    """Codes are the fault memory's, of kinds that are known, and it is nothing without one; one that is stored was seen."""
    if what == FAULT_MEMORY and code is None:
        yield Problem("code", None, "is missing", f"give {', '.join(KINDS_OF_CODE)}, or several with commas between them")
    elif what != FAULT_MEMORY and code is not None:
        yield Problem("code", code, "belongs to the fault memory", f'give what as "{FAULT_MEMORY}"')
    elif code is not None and seen == "no" and kinds_of(code) != [NONE]:
        yield Problem("code", code, "was found, and seen no says that none was", f"leave seen out, or give code {NONE}")
    for word in kinds_of(code):
        if word not in KINDS_OF_CODE or (word == NONE and kinds_of(code) != [NONE]):
            close = get_close_matches(word, KINDS_OF_CODE, n=1)
            yield Problem(
                "code", word, "is no kind of code", f"did you mean {close[0]}?" if close else f"use {', '.join(KINDS_OF_CODE)}"
            )


def moved_fits(what: str, moved: str | None) -> Iterator[Problem]:
    """What is itself a movement, by its name, was moved; that nothing came of it is said otherwise."""
    if moved == "no" and (what in MOVES or (what.casefold().endswith("test") and is_movement(what))):
        why = f'says that nobody moved anything, and "{what}" does'
        yield Problem("moved", moved, why, "give seen no where nothing changed")


@calculator(
    title="Observation",
    stage="any",
    side="any",
    proves="That something was seen, or looked for and not seen. Which places that speaks of, the kind of observation says.",
    outputs={"seen": Output("word", "whether it was seen"), "sure": Output("word", "how sure")},
    cautions=ANYWHERE,
    sources=("Which places it speaks of, and how surely: common practice, no source.",),
    examples=(
        Example(
            {"what": "bubbles in the clear hose", "sure": "certain"},
            {"seen": "yes", "sure": "certain"},
            "What was seen, as it is",
        ),
    ),
    sense=Senses("what", OBSERVATIONS, OTHER, PROCEDURES),
    rules=(place_fits, code_fits, moved_fits),
)
def observation(
    what: Annotated[
        str, fields.Text("what was looked for", positional=True, known=dict.fromkeys(OBSERVATIONS, "usually looked for"))
    ],
    seen: Annotated[str, fields.Choice("whether it was seen", words=SEEN, default="yes")],
    sure: Annotated[str, fields.Choice("how sure", words=SURE, default="likely")],
    place: Annotated[str | None, fields.Text("on which part: injector 3, inlet valve")],
    moved: Annotated[str | None, fields.Choice("whether it came and went with a movement", words=WHILE)],
    code: Annotated[str | None, fields.Text("of the fault memory: the kinds of code that are stored", known=KINDS_OF_CODE)],
) -> Result:
    """Note what was seen, or looked for and not seen.

    What is usually looked for is known by its name and says of itself of which places it speaks; anything else says its place.
    Of a fault memory give all kinds of code that are stored, or none.
    """
    doubt = CONFORMS[sure]
    stored = kinds_of(code)
    notes = [next_in_job(OBSERVATIONS.get(what, OTHER), place, [word for word in stored if word != NONE])]
    if what == FAULT_MEMORY:
        outputs = {"seen": "no" if stored == [NONE] else "yes", "sure": sure}
        return Result(outputs, notes=tuple(notes), answers=tuple(_codes(stored, doubt, place)))
    question, at = "", spot(what, place) or "" if what == PLUG else ""
    if what == HOSE and place in UPSTREAM and seen == "no":
        question = NEARER
        notes.append(BEHIND_IT)
    elif place in JOINED and (what == LOW_PART or what not in OBSERVATIONS):
        question = JOINT
    if place is not None and THERE in OBSERVATIONS.get(what, OTHER).questions:
        question, at = THERE, place
    if what in MOVES or moved == "yes" or (moved is None and is_movement(what)):
        doubt *= SURER
        if what not in OBSERVATIONS:
            question, at = MOVED, contact(place or "", what)
            notes.append(AS_MOVED)
    elif what not in OBSERVATIONS and seen == "yes":
        notes.append(OWN_WORDS)
    conforms = doubt if seen == "yes" else 1.0 - doubt
    answer = Answer(question, conforms, at, Message.of(SEEN[seen]))
    return Result({"seen": seen, "sure": sure}, notes=tuple(notes), answers=(answer,))


def spot(what: str, place: str | None) -> str | None:
    """The part whose plug it is, where its wiring was named."""
    return place.removesuffix(" wiring") if what == PLUG and place else place


BEHIND_IT = Message("No bubbles nearer to the tank: where they were seen at the pump, the air comes in behind this hose.")
OWN_WORDS = Message("Own words are not read: this counts as a fault that was seen there. Where nothing is wrong, give seen no.")
AS_MOVED = Message(
    "It counts as a contact that comes and goes: readings taken while nobody moves it hardly speak against it (moved)."
)


def contact(place: str, what: str) -> str:
    """Where plug or loom was moved it is the contact; a part that was tapped may be stuck itself."""
    wiring = f"{place} wiring"
    return wiring if is_at_plug(what) and any(OBSERVATIONS[name].takes(wiring) for name in MOVES) else place


def _codes(stored: list[str], doubt: float, place: str | None) -> Iterator[Answer]:
    """What is stored answers its own question, and what is not the others; of other circuits a stored one leaves that open."""
    injector = bool(place) and OBSERVATIONS[FAULT_MEMORY].takes(place or "") and str(place).startswith("injector")
    for word, question in CODES.items():
        if word in stored:
            said = Message("code: {code}", code=Message.of(word))
            yield Answer(OF_INJECTOR if word == CIRCUIT and injector else word, doubt, said=said)
            if word == OUTPUT_STAGE and injector:
                yield Answer(OF_ONE, doubt, said=said)
        else:
            said = Message("no code: {code}", code=Message.of(word))
            yield Answer(word, 1.0 - doubt, "*" if question.aimed else "", said)
            if word == CIRCUIT and OUTPUT_STAGE not in stored:
                yield Answer(OF_INJECTOR, 1.0 - doubt, "*", said)
