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
    Example,
    Meaning,
    Output,
    Plot,
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
from baybook.cards.data import Card, CardDataError, Caution, Formula, Number, RecordRow, Section, Table, Term, WorkedStep
from baybook.cards.data import Series as CardSeries
from baybook.cards.translate import texts_of, translated
from baybook_cards.estimate import Estimate as Room
from baybook_cards.faces import faces_of
from baybook_cards.render import Paper, print_cards
from baybook_cards.sizes import SIZES
from baybook_cards.trim import trimmed

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
    needs=["a bucket", "a watch"],
    procedure=["Engine stopped.", "Collect."],
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
    limit: Annotated[SpecRange | None, spec_range("flow", "least flow allowed")] = None,
) -> Result:
    """Work out a flow."""
    found = propagate(lambda v, t: {"flow": v / t}, {"flow": "mL/min"}, v=volume.to("mL"), t=time.to("min"))
    return Result(found, steps=(Step("flow", "Q = V / t", {"V": volume, "t": time}, found["flow"]),))


def test_a_card_says_what_its_declaration_says():
    """Nothing is typed twice: title, stage, steps, letters, meanings, sources come from the declaration."""
    card = card_of(bucket, date="2026-11-25")
    assert (card.name, card.title, card.stage, card.side) == ("bucket", "Bucket test", "supply", "hydraulic")
    assert card.proves == "How much arrives"
    assert (card.needs, card.steps) == (("a bucket", "a watch"), ("Engine stopped.", "Collect."))
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


def test_the_record_asks_for_readings_and_limits_and_leaves_settings_to_the_tool():
    assert card_of(bucket).record == (
        RecordRow("What was collected", "V", "mL"),
        RecordRow("Time of the collection", "t", "s"),
        RecordRow("Least flow allowed", "", "mL/min"),
    )


def test_known_inputs_fill_the_record_the_chart_and_the_origin_of_the_limits():
    """A card for this vehicle: its readings, its ranges with their source, its chart."""
    limit = {"range": ">= 20 mL/min", "source": "sheet 7"}
    card = card_of(bucket, {"volume": "42 ± 1 mL", "limit": limit, "others": ["1 mL", "2 mL"]}, job="J-1")
    assert [row.value for row in card.record] == ["42", "at least 20 mL/min", "1", "2", ""]
    assert [(row.half_width, row.unit) for row in card.record][:2] == [("1.0", "mL"), ("", "")]
    assert card.limits_origin == "sheet 7"
    assert card.back[0].series == (CardSeries("line", (0.0, 1.0), (42.0, 0.0)),)
    assert card.job == "J-1"


def test_without_limits_the_card_reminds_to_write_down_where_they_stand():
    assert card_of(bucket).limits_origin == "the data for this vehicle; write down where they stand"


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
    assert print_cards([card], Paper("A6")).pages == 1


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
    assert loud.record[0] == RecordRow("WHAT WAS COLLECTED", "V", "mL")
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
        "steps",
        "formula",
        "record",
        "meanings",
        "front",
        "back",
        "sources",
        "limits_origin",
    }


def test_smaller_sizes_hold_less_and_always_the_cautions():
    card = replace(card_of(bucket), front=(Section("far", priority=4), Section("near", priority=2)))
    shown = {name: faces_of(card, size)[0] for name, size in SIZES.items()}
    assert [b.title for b in shown["A4"].blocks] == ["far", "near"]
    assert [b.title for b in shown["A5"].blocks] == ["near"]
    assert [b.title for b in shown["A6"].blocks] == ["near"]
    assert shown["ID-1"].blocks == ()
    assert all("cautions" in face.parts for face in shown.values())
    assert "record" in shown["A5"].parts and "record" not in shown["A6"].parts
    assert faces_of(card, SIZES["ID-1"])[1].parts == {"formula", "command"}


def test_a_card_with_little_on_its_back_has_no_back():
    card = Card("x", "t", (DANGER,), sources=("a book",), command="baybook")
    (only,) = faces_of(card, SIZES["A5"])
    assert {"cautions", "sources", "command"} <= only.parts


def test_a_face_gets_lighter_step_by_step_and_never_loses_what_keeps_hands_safe():
    """Short cautions, then the blocks of low priority, then a shorter record …; cautions, steps and formula stay."""
    rows = tuple(RecordRow(str(n)) for n in range(8))
    card = replace(card_of(bucket), record=rows, front=(Section("far", priority=4), Section("near", priority=2)))
    face = faces_of(card, SIZES["A4"])[0]
    seen = []
    while (lighter := face.lighter()) != face:
        face = lighter
        seen.append((face.brief, dict(face.fewer), face.left_out))
    assert seen[0] == (True, {}, ())
    assert seen[1] == (True, {}, ("far",))
    assert seen[2][1] == {"record": 7}
    assert face.left_out == ("far", "record", "near", "proves", "needs")
    assert face.parts == {"cautions", "steps"}


def test_the_estimate_trims_only_what_is_too_full():
    room = Room(SIZES["A4"], 210, 297)
    card = card_of(bucket)
    front = faces_of(card, SIZES["A4"])[0]
    assert trimmed(front, room) == front
    crowded = faces_of(replace(card, front=tuple(Section(f"s{n}", items=("word " * 30,) * 6) for n in range(6))), SIZES["A4"])[
        0
    ]
    kept = trimmed(crowded, room)
    assert room.fits(kept) and kept.left_out


def test_numbers_are_rounded_only_when_shown():
    from baybook_cards.language import language
    from baybook_cards.markup import cell

    assert cell(Number(6.8948, 1, "bar"), language("en")) == "6.9 bar"
    assert cell(Number(6.8948, 1, "bar"), language("de")) == "6,9 bar"
    assert cell(None, language("en")) == ""
