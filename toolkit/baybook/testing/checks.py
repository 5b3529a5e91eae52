"""The promises of the interface, each with the function that looks whether a calculator keeps it."""

from __future__ import annotations

from .promise import Check


def _of_declaration() -> tuple[Check, ...]:
    from . import catalogues, declaration

    return (
        Check("declaration complete", "all that the card and the help need is declared", declaration.complete),
        Check("units parse", "every unit, limit, default and example in the declaration can be read", declaration.units_parse),
        Check("sense of places", "what the test says is of places that a vehicle can have", declaration.sense),
        Check("cautions present", "cautions come first and defer to the maker's data", declaration.cautions),
        Check(
            "procedure",
            "a hand goes near rail, wire and belts only when nothing can happen there, and each step is read at a glance",
            declaration.procedure,
        ),
        Check(
            "texts translatable",
            "texts are plain, finished and the same every time, so that a catalogue can hold them",
            declaration.texts,
        ),
        Check("catalogues", "each catalogue has every message of code and results, place for place", catalogues.complete),
    )


def _of_behaviour() -> tuple[Check, ...]:
    from . import behaviour, limit_checks, page, process_checks, uncertainty

    return (
        Check("worked example", "every worked example is reproduced within its tolerance", behaviour.examples),
        Check(
            "verdicts", "a limit is judged, and what is beyond it is found at a stage, for the job to see", limit_checks.reaches
        ),
        Check("limits", "a value just inside each limit is taken and one just outside is refused", behaviour.limits),
        Check(
            "bad input",
            "wrong, missing and senseless input is refused in words, every wrong input at once",
            behaviour.bad_input,
        ),
        Check("same each time", "the same inputs give the same result, and nothing is printed", behaviour.repeatable),
        Check("unit change", "an input in another unit of its family gives an equal result", behaviour.unit_change),
        Check("uncertainty", "a wider input never narrows an output, and widens one", uncertainty.propagates),
        Check(
            "JSON",
            "result and inputs fit their JSON Schemas, and a result's inputs give the same result again",
            behaviour.json_shape,
        ),
        Check("card", "the card fits on every size", page.card),
        Check("import", "importing is cheap: nothing heavy, nothing printed, no warning", process_checks.imports),
        Check("no network", "neither importing nor computing reaches for the network", process_checks.network),
    )


CHECKS = (*_of_declaration(), *_of_behaviour())
