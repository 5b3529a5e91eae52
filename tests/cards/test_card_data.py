"""Cards as plain data: what they refuse, how they come from a declaration, how they are translated and divided into faces."""

from __future__ import annotations

from dataclasses import fields, replace
from typing import Annotated

import pytest

from baybook import api
from baybook.api import (
    HIGH_PRESSURE,
    MAKERS_DATA,
    RUNNING_ENGINE,
    Action,
    Condition,
    Example,
    HoldPoint,
    Meaning,
    Output,
    Plot,
    Procedure,
    Reading,
    Refused,
    Result,
    Series,
    SpecRange,
    Step,
    calculator,
    duration,
    propagate,
    readings,
    spec_range,
    volume,
)
from baybook.cards.build import card_of
from baybook.cards.data import Card, CardDataError, Caution, Formula, Line, Number, Section, Slot, Table, Term, WorkedStep
from baybook.cards.data import Series as CardSeries
from baybook.cards.translate import texts_of, translated
from baybook_cards.faces import faces_of
from baybook_cards.render import Paper, print_cards
from baybook_cards.sizes import LEAST_SCALE, SIZES

DANGER = Caution("danger", "Fuel goes through skin. Keep away.", ("W001",), "Keep away.")


def drawn_plot(inputs):
    """The chart hook of the calculator below."""
    top = inputs["volume"].value if "volume" in inputs else 10.0
    return (Plot("fall", "time", "s", "pressure", "bar", (Series("line", (0.0, 1.0), (top, 0.0)),)),)


@calculator(
    title="Bucket test",
    stage="supply",
    side="hydraulic",
    proves="how much arrives",
    cautions=[HIGH_PRESSURE, MAKERS_DATA],
    sources=["common practice, no source"],
    outputs={"flow": Output("flow", "what arrives", "Q"), "word": Output("word", "w", always=False)},
    procedure=Procedure(
        entry=(Condition("The limit is known.", reads=("limit",)),),
        steps=(
            HoldPoint("Nobody near."),
            Action("Collect; stop the watch.", reads=("time", "volume"), tool="a bucket", drawing="returns"),
        ),
        end=(Action("Wipe.", reads=("others",), caution=DANGER),),
        tools=("a watch",),
    ),
    formulas=["Q = V / t"],
    meanings=[Meaning("too little", "starved", "the filter")],
    charts=drawn_plot,
    revision="3",
    examples=[Example({"volume": "30 ± 0 mL", "time": "60 ± 0 s"}, {"flow": (30.0, "mL/min", 1e-9)}, "plain arithmetic")],
)
def bucket(
    volume: Annotated[Reading, volume("what was collected", symbol="V")],
    time: Annotated[Reading, duration("of the collection", symbol="t", above="0 s")],
    others: Annotated[tuple[Reading, ...], readings("volume", "other buckets", at_least_count=2)] = (),
    settle: Annotated[Reading, duration("to settle")] = "5 s",  # type: ignore[assignment]
    limit: Annotated[SpecRange | None, spec_range("flow", "least flow allowed", judges="flow")] = None,
) -> Result:
    """Work out a flow."""
    found = propagate(lambda v, t: {"flow": v / t}, {"flow": "mL/min"}, v=volume.to("mL"), t=time.to("min"))
    return Result(found, steps=(Step("flow", "Q = V / t", {"V": volume, "t": time}, found["flow"]),))


def test_a_card_says_what_its_declaration_says():
    """Nothing is typed twice: title, stage, steps, letters, meanings, sources come from the declaration."""
    card = card_of(bucket, date="2026-11-25")
    assert (card.name, card.title, card.stage, card.side) == ("bucket", "Bucket test", "supply", "hydraulic")
    assert card.proves == "How much arrives"
    assert card.needs == ("a bucket", "a watch")
    assert card.entry == (Line("The limit is known.", (Slot("limit", "mL/min"),)),)
    assert card.steps == (
        Line("Nobody near.", bar=True),
        Line("Collect; stop the watch.", (Slot("time", "s"), Slot("volume", "mL")), drawing="returns"),
    )
    assert card.end[0].caution == DANGER and len(card.end[0].slots) == 4
    assert card.formula is not None
    assert card.formula.expressions == ("Q = V / t",)
    assert card.formula.terms == (
        Term("V", "what was collected", "mL"),
        Term("t", "time of the collection", "s"),
        Term("Q", "what arrives", "mL/min"),
    )
    assert card.sources == ("common practice, no source",)
    assert (card.revision, card.date, card.command) == ("3", "2026-11-25", "baybook bucket --ask")
    assert [(m.observation, m.says, m.next) for m in card.meanings] == [("too little", "starved", "the filter")]


def test_the_example_is_worked_out_by_the_calculator():
    card = card_of(bucket)
    assert card.formula is not None
    assert card.formula.example == (WorkedStep("Q", "30 mL / 60 s", "30 mL/min"),)
    assert card.formula.source == "plain arithmetic"


def test_known_inputs_fill_the_blanks_the_chart_and_the_origin_of_the_limits():
    """A card for this vehicle: its readings, its ranges with their source, its chart."""
    limit = {"range": ">= 20 mL/min", "source": "sheet 7"}
    card = card_of(bucket, {"volume": "42 ± 1 mL", "time": "2 min", "limit": limit, "others": ["1 mL", "2 mL"]}, job="J-1")
    assert card.entry[0].slots == (Slot("limit", value="at least 20 mL/min"),)
    assert card.steps[1].slots == (Slot("time", "min", value="2"), Slot("volume", "mL", value="42", half_width="1.0"))
    assert [(slot.number, slot.value) for slot in card.end[0].slots] == [("1", "1"), ("2", "2")]
    assert card.limits_origin == "sheet 7"
    assert card.back[0].series == (CardSeries("line", (0.0, 1.0), (42.0, 0.0)),)
    assert card.job == "J-1"
    (outcome,) = card.outcomes
    assert (outcome.name, outcome.verdict) == ("flow", "undecided") and outcome.value.startswith("21")


def test_readings_that_do_not_suffice_come_to_nothing():
    assert card_of(bucket, {"volume": "42 mL"}).outcomes == ()


def test_of_several_things_each_is_said_once():
    """What is read of inlet and outlet alike stands behind their names; what the unit tells apart needs no name."""
    from baybook_plugins.regulator.calculator import regulator

    line = next(line for line in card_of(regulator).lines if line.text.startswith("Read one place"))
    assert [(slot.lead, slot.unit) for slot in line.slots] == [
        ("inlet", "%"), ("", "%"), ("", "A"), ("outlet", "%"), ("", "%"), ("", "A"),
    ]  # fmt: skip
    assert not any(slot.named for slot in line.slots)


def test_without_limits_the_card_reminds_to_write_down_where_they_stand():
    assert card_of(bucket).limits_origin == "the data for this vehicle"


def test_the_notice_that_every_card_carries_is_not_said_twice():
    assert [caution.text for caution in card_of(bucket).cautions] == [HIGH_PRESSURE.text]


def test_a_calculator_without_cautions_still_has_one_on_its_card():
    from baybook_plugins.convert.calculator import convert

    assert [caution.text for caution in card_of(convert).cautions] == [MAKERS_DATA.text]


def test_unknown_and_bad_inputs_are_refused():
    with pytest.raises(KeyError):
        card_of(bucket, {"colour": "red"})
    with pytest.raises(Refused):
        card_of(bucket, {"volume": "42 s"})


@pytest.mark.parametrize(
    ("make", "message"),
    [
        (lambda: Card("x", "t", ()), "card 'x' has no caution; the cautions come first on every card"),
        (lambda: Card("x", " ", (DANGER,)), "title of card 'x': the text is empty"),
        (
            lambda: Card("x", "t", (DANGER,), stage="tank"),
            "stage of card 'x': 'tank' is not one of supply, generation, storage, delivery",
        ),
        (lambda: Caution("loud", "x"), "signal word of a caution: 'loud' is not one of danger, warning, caution, notice"),
        (lambda: Table("t", ("a", "b"), (("1",),)), "table 't': a row of 1 cells under 2 columns"),
        (lambda: CardSeries("s", (1.0,), (1.0, 2.0)), "series 's': 1 x values and 2 y values"),
        (lambda: CardSeries("s", (1.0,), (1.0,), "band"), "series 's': a band needs one upper value for each x"),
    ],
)
def test_card_data_checks_itself(make, message):
    with pytest.raises(CardDataError) as refused:
        make()
    assert str(refused.value) == message


def test_cautions_are_ordered_by_their_signal_word():
    words = ("notice", "danger", "caution", "warning")
    card = Card("x", "t", tuple(Caution(word, word) for word in words))
    assert [caution.signal for caution in card.ordered_cautions] == ["danger", "warning", "caution", "notice"]


@pytest.mark.parametrize(
    ("text", "first"), [("One. Two.", "One."), ("Only one", "Only one"), ("0.5 bar is enough. So.", "0.5 bar is enough.")]
)
def test_the_first_sentence_of_a_caution(text, first):
    assert Caution("notice", text).brief == first
    assert Caution("notice", text, short="Mind.").brief == "Mind."


def test_a_plugin_authors_caution_is_a_cards_caution():
    """The names of `baybook.api` serve in a card of one's own, and print."""
    card = Card("own", "A card of one's own", (HIGH_PRESSURE, RUNNING_ENGINE, MAKERS_DATA))
    assert api.Caution is Caution
    assert print_cards([card], Paper("A6")).pages == 2  # (the worst in front, all behind)


@pytest.mark.parametrize("word", ["exhaust gas", "Neutral or P", "chocked", "lift", "hot", "fan", "extinguisher", "starter"])
def test_a_running_engine_has_its_own_caution(word):
    """common practice, no source."""
    assert word in RUNNING_ENGINE.text


def test_translation_reaches_every_text_and_leaves_codes_alone():
    """Names, signs, units and commands are the same in every language; a formula line may hold words."""
    card = card_of(bucket)
    loud = translated(card, str.upper)
    assert loud.title == "BUCKET TEST"
    assert loud.cautions[0].text == HIGH_PRESSURE.text.upper()
    assert loud.meanings[0].next == "THE FILTER"
    assert (loud.name, loud.stage, loud.command, loud.cautions[0].symbols) == (
        card.name,
        card.stage,
        card.command,
        card.cautions[0].symbols,
    )
    assert loud.formula is not None and loud.formula.expressions == ("Q = V / T",)
    assert loud.steps[1] == Line("COLLECT; STOP THE WATCH.", (Slot("time", "s"), Slot("volume", "mL")), drawing="returns")
    assert translated(loud, str.upper) == loud
    assert "Bucket test" in texts_of(card) and "bucket" not in texts_of(card)


@pytest.mark.parametrize(
    ("line", "words"),
    [("Q = V / t", False), ("r = V / V_{median}", False), ("I_full = U / R", False), ("Q = A · sqrt(2 · p)", False),
     ("r = V / median of the other V", True), ("U = 2 · p, switched to ground", True)],
)  # fmt: skip
def test_a_catalogue_needs_the_formula_lines_that_hold_words(line, words):
    card = Card("x", "t", (DANGER,), formula=Formula((line,)))
    assert (line in texts_of(card)) is words


def test_every_field_of_a_card_is_either_text_or_a_known_code():
    """A new field must be put on one of the two sides; this list is read when it changes."""
    from baybook.cards.translate import CODES

    assert {f.name for f in fields(Card)} - CODES == {
        "title",
        "cautions",
        "proves",
        "proves_not",
        "needs",
        "strong",
        "entry",
        "steps",
        "end",
        "outcomes",
        "small",
        "formula",
        "record",
        "meanings",
        "front",
        "back",
        "sources",
        "limits_origin",
        "stops",
    }


def test_smaller_sizes_hold_less_and_always_every_line():
    card = replace(card_of(bucket), front=(Section("far", priority=4), Section("near", priority=2)))
    shown = {name: faces_of(card, size)[0] for name, size in SIZES.items()}
    blocks = {name: [part.title for part in face.parts if part.item] for name, face in shown.items()}
    assert blocks == {"A4": ["far", "near"], "A5": ["near"], "A6": ["near"], "ID-1": []}
    kinds = {name: [part.kind for part in face.parts if part.item is None] for name, face in shown.items()}
    assert kinds["A4"] == kinds["A6"] == ["entry", "steps", "end"]


def test_formulas_are_for_the_bench():
    """On the largest paper beside the rest, on others on a face of their own, asked for."""
    card = card_of(bucket)
    kinds = {size: [part.kind for part in faces_of(card, SIZES[size])[1].parts] for size in ("A4", "A5")}
    assert {"formula", "terms", "example"} <= set(kinds["A4"]) and not {"formula", "terms", "example"} & set(kinds["A5"])
    more = faces_of(card, SIZES["A5"], all_leaves=True)
    assert [face.side for face in more] == ["front", "back", "more"]
    assert [part.kind for part in more[2].parts] == ["needs", "proves", "formula", "terms", "example"]  # (what comes first)


def test_a_face_gets_tighter_and_never_loses_a_line():
    """Smaller letters first, down to 16 of 22 minutes of arc; then the least important part, never what is done."""
    face = faces_of(replace(card_of(bucket), front=(Section("far", priority=3),)), SIZES["A5"])[0]
    smaller = face.tighter(100.0, 20.0, [10.0] * 4)
    assert smaller is not None and LEAST_SCALE < smaller.scale < 0.93 and smaller.parts == face.parts
    lighter = face.tighter(100.0, 120.0, [40.0] * 4)
    assert lighter is not None and lighter.left_out == ("far",) and lighter.scale >= LEAST_SCALE
    assert [part.kind for part in lighter.parts] == ["entry", "steps", "end"]
    tight = replace(lighter, scale=LEAST_SCALE).tighter(100.0, 1.0, [40.0] * 3)
    assert tight is not None and tight.tight and tight.tighter(100.0, 1.0, [40.0] * 3) is None


def test_numbers_are_rounded_only_when_shown():
    from baybook_cards.language import language
    from baybook_cards.markup import cell

    assert cell(Number(6.8948, 1, "bar"), language("en")) == "6.9 bar"
    assert cell(Number(6.8948, 1, "bar"), language("de")) == "6,9 bar"
    assert cell(None, language("en")) == ""
