"""The objects of a test, by the inputs of its calculator that say which it was made on."""

from __future__ import annotations


def at_places(*patterns: str, input: str = "place") -> dict[str, dict[str, str]]:
    """The objects of a test that one input names as they are called: `objects=at_places("injector *", "rail sensor")`."""
    return {pattern: {input: "{object}"} for pattern in patterns}


def at_parts(*patterns: str) -> dict[str, dict[str, str]]:
    """The objects of a test whose input `part` says whose part it is, in words with hyphens, and `number` which of several:
    `objects=at_parts("injector *", "inlet valve")` is {"injector *": {"part": "injector", "number": "{n}"}, …}."""
    each = {pattern: {"part": pattern.removesuffix(" *").replace(" ", "-")} for pattern in patterns}
    return {pattern: {**named, **({"number": "{n}"} if "*" in pattern else {})} for pattern, named in each.items()}
