"""Cards filled from a job sheet or a file of values: one card for each step, and no card's fault is another's."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

from baybook.errors import BaybookError, InputError, PluginError, Problem, Refused
from baybook.execution import given_text

if TYPE_CHECKING:
    from baybook.cards.data import Card, Stop
    from baybook.declare import Calculator
    from baybook.jobs.sheet import Sheet
    from baybook.registry import Registry


@dataclass(frozen=True, slots=True)
class Fill:
    """What is known for one card of a calculator: raw inputs, and the number and title of the job's step (0: no step)."""

    calculator: str = ""
    inputs: Mapping[str, Any] = field(default_factory=dict)
    step: int = 0
    title: str = ""

    def named(self, card: str) -> str:
        """The card and the step, for a message."""
        return f"{card} (step {self.step})" if self.step else card


def fills_of(sheet: Sheet, only: int = 0) -> list[Fill]:
    """A fill for each step of the sheet, or for step `only` alone. Raises InputError where there is no such step."""
    numbers = [step.number for step in sheet.steps]
    if only and only not in numbers:
        there = f"use {', '.join(map(str, numbers))}" if numbers else "the sheet has none"
        raise InputError.one("--step", only, "is not a step of the sheet", there)
    return [Fill(step.calculator, step.inputs, step.number, step.title) for step in sheet.steps if only in (0, step.number)]


def has_card(known: Registry, name: str) -> bool:
    """Whether a calculator has a card: one that has nobody do anything has none; of one that cannot be loaded it is told."""
    try:
        return bool(known.calculator(name).how)
    except BaybookError:
        return True


def filled_cards(
    known: Registry, names: Sequence[str], fills: Sequence[Fill], job: str = "", stops: tuple[Stop, ...] = ()
) -> tuple[list[Card], list[BaybookError]]:
    """The cards of these names that can be made, in order, and what kept others, or a part of one, from being made.

    A card that draws on a calculator is made once for each of its fills, or once blank; any other card once, and is of no job:
    a repair or a complaint fills none. stops: what the job says comes first of all, on each card of a place on the fuel's way.
    """
    made, failed = list["Card"](), list[BaybookError]()
    calculators = {listed.name for listed in known.listed()}
    for name in names:
        try:
            drawn_on = name if name in calculators else known.card(name).fills or ""
        except BaybookError as error:
            failed.append(error)
            continue
        for fill in [fill for fill in fills if drawn_on and fill.calculator == drawn_on] or [Fill()]:
            try:
                card, lacks = _card(known, name, drawn_on, fill)
            except BaybookError as error:
                failed.append(error)
            except Refused as error:
                failed.append(PluginError(f"card {fill.named(name)} cannot be filled: {error.why}"))
            else:
                told = stops if card.stage or card.lines else ()  # (first aid, words, units stop nobody)
                made.append(replace(card, job=job * bool(drawn_on), step=fill.step, step_title=fill.title, stops=told))
                failed += lacks
    return made, failed


def _card(known: Registry, name: str, drawn_on: str, fill: Fill) -> tuple[Card, list[BaybookError]]:
    """The card, and what failed of it alone. Raises BaybookError."""
    from baybook.cards.build import chosen, limits_origin

    inputs = _parsed(known.calculator(drawn_on), fill, fill.named(name)) if fill.inputs else {}
    if name == drawn_on:
        return _of_calculator(known.calculator(name), inputs)
    card: Card = known.card(name).make(**inputs)
    if not inputs:
        return card, []
    drawn = known.calculator(drawn_on)
    told = limits_origin(drawn, inputs) if card.limits_origin else ""
    return replace(card, chosen=chosen(drawn, inputs), limits_origin=told), []


def _of_calculator(calculator: Calculator, inputs: Mapping[str, Any]) -> tuple[Card, list[BaybookError]]:
    """The calculator's card, without its charts or its example where they fail, and why."""
    from baybook.cards.build import card_of

    failed: list[BaybookError] = []
    for less in ({}, {"charts": None}, {"charts": None, "examples": ()}):
        try:
            return card_of(replace(calculator, **less), inputs), failed
        except BaybookError as error:
            failed = [*failed, error][:1]
    raise failed[0]


def _parsed(calculator: Calculator, fill: Fill, card: str) -> dict[str, Any]:
    """Inputs as the calculator gets them. Raises InputError, named by the card, for what cannot be used."""
    found, problems = {}, list[Problem]()
    for name, raw in fill.inputs.items():
        try:
            found[name] = calculator.parameter(name).field.parse(raw)
        except KeyError:
            there = [parameter.name for parameter in calculator.parameters]
            problems.append(Problem(card, name, f"is not an input of {calculator.name}", close(name, there)))
        except Refused as error:
            problems.append(Problem(f"{card}, {name}", given_text(raw), error.why, error.hint))
    if problems:
        raise InputError(problems)
    return found


def close(name: str, there: Sequence[str]) -> str:
    """What would do in the place of a name that there is not."""
    from difflib import get_close_matches

    near = get_close_matches(name, there, n=1)
    return f"did you mean {near[0]}?" if near else f"use {', '.join(there)}"


def unknown_steps(known: Registry, fills: Sequence[Fill]) -> Iterator[InputError]:
    """An error for each fill whose calculator is not there, such as one that is switched off."""
    for fill in fills:
        try:
            known.calculator(fill.calculator) if fill.calculator else None
        except InputError as error:
            problem = error.problems[0]
            yield InputError.one(f"step {fill.step}", problem.given, problem.why, problem.hint)
