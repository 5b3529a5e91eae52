"""Findings of a test on a part that an input names: its stage, whose it is, and no stage guessed where it was not said."""

from __future__ import annotations

from typing import Annotated, NamedTuple

import pytest

from baybook.api import (
    MAKERS_DATA,
    Calculator,
    Choice,
    Count,
    Estimate,
    Example,
    Flag,
    InputError,
    Meaning,
    Of,
    Output,
    Placing,
    Problem,
    Reading,
    Result,
    Rule,
    SpecRange,
    calculator,
    resistance,
    spec_range,
    voltage,
)
from baybook.errors import PluginError

STAGES = {"injector": "delivery", "lift-pump": "supply"}


def plug(placing: Placing) -> Calculator:
    @calculator(
        title="Plug", stage="any", side="control", proves="p", cautions=[MAKERS_DATA], sources=["common practice, no source"],
        outputs={"contact": Output("resistance", "of the plug")}, placing=placing, rules=[Rule("number", ("part",))],
        meanings=[Meaning("too high", "the contact is corroded", "clean it", verdict="above")],
        examples=[Example({"reading": "1 ± 0 ohm"}, {"contact": (1.0, "ohm", 1e-9)}, "arithmetic")],
    )  # fmt: skip
    def contact(
        reading: Annotated[Reading, resistance("read across it")],
        limit: Annotated[SpecRange | None, spec_range("resistance", "largest", judges="contact")],
        part: Annotated[str | None, Choice("whose plug it is", words={"injector": "i", "lift-pump": "l"})],
        number: Annotated[int | None, Count("which one", at_least=1)],
    ) -> Result:
        """Read a plug."""
        return Result({"contact": Estimate.from_reading(reading)})

    return contact


def test_a_finding_is_at_the_stage_of_the_part_and_begins_with_whose_it_is() -> None:
    made = plug(Placing("part", STAGES, what="plug", number="number"))
    given = {"reading": "3 ± 0.1 ohm", "limit": "max 1 ohm"}
    (third,) = made(**given, part="injector", number=3).findings
    assert (third.stage, third.side, third.strength, third.next_test) == ("delivery", "control", "indicated", "clean it")
    assert third.statement == "Injector 3 plug: Contact: 3.00 ohm is outside at most 1 ohm: the contact is corroded"
    (pump,) = made(**given, part="lift-pump").findings
    assert pump.stage == "supply" and pump.statement.startswith("Lift pump plug: ")
    with pytest.raises(InputError, match="part: is needed with number"):
        made(**given, number=3)


def test_no_stage_is_guessed_where_the_part_was_not_said() -> None:
    result = plug(Placing("part", STAGES, what="plug"))(reading="3 ± 0.1 ohm", limit="max 1 ohm")
    assert result.findings == () and result.verdicts[0].verdict == "outside"
    assert result.notes[0].startswith("Plug: Contact: 3.00 ohm is outside") and result.notes[0].endswith(" Next: clean it.")
    assert result.notes[1] == "Whose plug it is was not said (part), so this is no finding on any stage."


def test_a_placing_that_does_not_fit_is_its_authors_error() -> None:
    with pytest.raises(PluginError, match="findings are placed by 'whose', no input"):
        plug(Placing("whose", STAGES, what="plug"))
    with pytest.raises(PluginError, match="at the stage 'engine'"):
        Placing("part", {"injector": "engine"}, what="plug")


class Ends(NamedTuple):
    """What is read at one end."""

    volts: Annotated[Reading, voltage("volts at the {of}")]
    loose: Annotated[bool, Flag("the {of} is loose")]


def test_one_group_of_inputs_serves_several_places() -> None:
    """Each place has inputs of its own, named and explained by it; rules get the group too."""

    def not_loose(far: Ends) -> list[Problem]:
        return [Problem("far_loose", "yes", "is to be mended first")] if far.loose else []

    @calculator(
        title="Drop", stage="supply", side="control", proves="p", cautions=[MAKERS_DATA], sources=["common practice"],
        outputs={"drop": Output("voltage", "along the wire")}, rules=[not_loose, Rule("near_loose", ("far_loose",))],
        examples=[Example({"near_volts": "12 ± 0 V", "far_volts": "11 ± 0 V"}, {"drop": (1.0, "V", 1e-9)}, "arithmetic")],
    )  # fmt: skip
    def drop(
        near: Annotated[Ends, Of("near", "near end")],
        far: Annotated[Ends, Of("far", "far end")],
    ) -> Result:
        """Find the drop."""
        return Result({"drop": Estimate.of(near.volts.number("V") - far.volts.number("V"), "V")})

    assert [parameter.name for parameter in drop.parameters] == ["near_volts", "near_loose", "far_volts", "far_loose"]
    assert drop.parameter("far_volts").field.help == "volts at the far end"
    assert drop(near_volts="12 V", far_volts="11.5 V")["drop"].value == 0.5
    with pytest.raises(InputError, match=r"far_loose: .*is to be mended first"):
        drop(near_volts="12 V", far_volts="11.5 V", far_loose="yes")
