"""What stands in a set of cards, in which order, and what a size may not hold."""

from __future__ import annotations

import datetime
import io
import os
import re
from pathlib import Path

import pytest
from pypdf import PdfReader

from baybook.cards.build import card_of
from baybook.cards.data import Card
from baybook.cards.filling import Fill, filled_cards
from baybook.cli.card_command import _today
from baybook.cli.pages import Printed, printed_cards
from baybook.errors import PluginError
from baybook.registry import registry
from baybook_cards.render import Paper, print_cards

HOLD = "t [s],rail [bar]\n" + "".join(f"{i / 10},{900 - i / 20}\n" for i in range(400))


def pages(source: Path | bytes) -> list[str]:
    """The text of each page with single spaces."""
    opened = PdfReader(source if isinstance(source, Path) else io.BytesIO(source))
    return [" ".join(page.extract_text().split()) for page in opened.pages]


def test_a_card_is_filled_from_a_capture_and_takes_no_other_with_it(tmp_path: Path, command) -> None:  # type: ignore[no-untyped-def]
    """The capture's file stands in the record; before, this ended as a fault of the program's own."""
    (tmp_path / "hold.csv").write_text(HOLD, encoding="utf-8")
    sheet = tmp_path / "job.toml"
    sheet.write_text(
        '[job]\nnumber = "1"\n[[steps]]\ncalculator = "hold"\n[steps.inputs]\ncapture = "hold.csv"\nvolume = "25 mL"\n',
        encoding="utf-8",
    )
    done = command("card", "print", "hold", "units", "--job", str(sheet), "--out", str(tmp_path / "c.pdf"))
    assert (done.code, done.err) == (0, "")
    text = " ".join(pages(tmp_path / "c.pdf"))
    assert "hold.csv" in text and "Units of pressure and flow" in text


def test_a_value_that_a_card_refuses_is_that_cards_fault_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    from baybook.cards import build
    from baybook.errors import Refused

    def refuse(*given: object, **named: object) -> None:
        raise Refused("is not what a card can show")

    monkeypatch.setattr(build, "card_of", refuse)
    made, failed = filled_cards(registry(), ["hold", "units"], [Fill("hold", {"volume": "25 mL"}, 3)])
    assert [card.name for card in made] == ["units"]
    assert [str(error) for error in failed] == ["card hold (step 3) cannot be filled: is not what a card can show"]


@pytest.mark.parametrize(
    ("alone", "error", "told"),
    [
        (False, RuntimeError, "both"),
        (True, PluginError, "both"),
        (True, RuntimeError, "plugin baybook 0.1.0 [hold]: card hold cannot be printed: RuntimeError: hold"),
    ],
)
def test_where_each_card_can_be_printed_alone_or_none_can_the_fault_is_of_the_whole(
    alone: bool, error: type[Exception], told: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    def made(cards: list[Card], paper: object, kind: str) -> Printed:
        if len(cards) > 1 or alone:
            raise error("both" if len(cards) > 1 else cards[0].name)
        return Printed(b"", len(cards))

    monkeypatch.setattr("baybook.cli.pages._made", made)
    cards = [card_of(registry().calculator(name)) for name in ("hold", "coil")]
    with pytest.raises((RuntimeError, PluginError)) as raised:
        printed_cards(cards, {"size": "A6"}, "pdf")
    assert str(raised.value) == told


def test_the_date_of_a_build_that_must_not_differ_is_fixed(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1764028800")  # 2025-11-25T00:00:00Z, by the calendar of ISO 8601
    assert _today() == "2025-11-25"
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "soon")
    assert _today() == datetime.date.today().isoformat()


@pytest.mark.parametrize("names", [["hold", "safety"], ["safety"], ["units", "safety", "first-aid"]])
def test_first_aid_comes_first_and_with_safety(tmp_path: Path, command, names: list[str]) -> None:  # type: ignore[no-untyped-def]
    out = tmp_path / "c.pdf"
    done = command("card", "print", *names, "--out", str(out), "--single-sided")
    assert done.code == 0, done.err
    titles = pages(out)[::2]
    assert "Fuel went through the skin?" in titles[0] and "Safety: before touching" in titles[1]
    assert sum("Fuel went through the skin?" in text for text in titles) == 1


def test_every_card_begins_with_first_aid() -> None:
    from baybook.cli.card_command import _wanted

    assert _wanted(registry(), [], True)[:2] == ["first-aid", "safety"]


@pytest.mark.parametrize("size", ["ID-1", "id1"])
def test_a_key_ring_card_is_refused_for_a_test(tmp_path: Path, command, size: str) -> None:  # type: ignore[no-untyped-def]
    """It has no room for steps, and a test without them is none; first aid, safety and valves are printed."""
    out = tmp_path / "c.pdf"
    done = command("card", "print", "hold", "--size", size, "--out", str(out))
    told = f'--size: "{size}" has no room for this card: hold; use A6 or larger\n'
    assert (done.code, done.err, out.exists()) == (2, told, False)
    done = command("card", "print", "hold", "first-aid", "--size", size, "--out", str(out))
    assert (done.code, done.err) == (2, told) and "skin" in pages(out)[0]


def test_a_calculator_that_touches_nothing_has_no_card(tmp_path: Path, command) -> None:  # type: ignore[no-untyped-def]
    done = command("card", "print", "convert", "--out", str(tmp_path / "c.pdf"))
    assert (done.code, done.err) == (2, 'NAME: "convert" has no card: nothing is done at the vehicle; use baybook convert\n')
    assert "convert" not in command("card", "list").out


def test_a_code_leads_a_telephone_somewhere_or_is_not_there() -> None:
    """No shell text: the shop's own address of its cards, else the job's number, else none."""
    from baybook_cards.faces import faces_of
    from baybook_cards.language import language as speak
    from baybook_cards.render import Setting
    from baybook_cards.sizes import size_named

    made, _ = filled_cards(registry(), ["safety"], [])
    size = size_named("A5")
    back = faces_of(made[0], size)[1]
    plain = Setting(Paper(size="A5"), size, speak("en"), tuple(made)).face(back)
    linked = Setting(Paper(size="A5", link="https://shop.example/cards.html"), size, speak("en"), tuple(made)).face(back)
    assert 'class="qr"' not in plain and 'class="qr"' in linked


@pytest.mark.parametrize("size", ["A4", "A5", "A6"])
def test_the_first_aid_card_dials_the_emergency_number(size: str) -> None:
    """In its frame, on the front; the safety card has the number alone; the page for a tablet has it to tap. RFC 3966."""
    from baybook_cards import qr
    from baybook_cards.faces import faces_of
    from baybook_cards.language import language as speak
    from baybook_cards.render import Setting
    from baybook_cards.screen import render_html
    from baybook_cards.sizes import size_named

    made, _ = filled_cards(registry(), ["first-aid", "safety"], [])
    paper = Paper(size=size, emergency="0049 (0)89 / 123 45-0")
    setting = Setting(paper, size_named(size), speak("en"), tuple(made))
    aid, safety = (setting.face(faces_of(card, setting.size)[0]) for card in made)
    assert qr.call(paper.emergency) == "tel:004989123450"
    drawn = str(qr.svg(qr.call(paper.emergency), "code for a telephone"))
    assert drawn in aid and drawn not in safety
    assert paper.emergency in aid and paper.emergency in safety
    assert '<a href="tel:004989123450">' in render_html(made, emergency=paper.emergency)


@pytest.mark.parametrize(
    ("option", "given", "said"),
    [
        ("--emergency", "call me", '--emergency: "call me" is no number that a telephone dials; give one number in digits'),
        ("--link", "my shop", '--link: "my shop" is no address that a telephone opens from a card; give one of at most'),
        ("--link", "https://shop.example/" + "a" * 100, "is no address that a telephone opens from a card"),
        ("--link", "javascript:alert(1)", "is no address that a telephone opens from a card"),
    ],
)
def test_a_code_that_would_lead_nowhere_is_refused(command, tmp_path: Path, option: str, given: str, said: str) -> None:  # type: ignore[no-untyped-def]
    done = command("card", "print", "first-aid", option, given, "--out", str(tmp_path / "c.pdf"))
    assert done.code == 2 and said in done.err and done.err.count("\n") == 1
    assert not (tmp_path / "c.pdf").exists()


@pytest.mark.parametrize("tongue", ["en", "de"])
@pytest.mark.parametrize("size", ["A4", "A5", "A6"])
def test_the_emergency_number_is_on_the_front_of_the_safety_card(size: str, tongue: str) -> None:
    from baybook_cards.language import language as speak

    made, _ = filled_cards(registry(), ["safety"], [])
    front = pages(print_cards(made, Paper(size=size, language=tongue)).content)[0]
    assert speak(tongue).text("Emergency number") in front


@pytest.mark.parametrize("tongue", ["en", "de"])
def test_the_small_safety_card_keeps_its_steps_on_the_front_and_its_nevers(tongue: str) -> None:
    from baybook_cards.general import safety
    from baybook_cards.language import language as speak

    made, _ = filled_cards(registry(), ["safety"], [])
    found = ["".join(page.split()) for page in pages(print_cards(made, Paper(size="A6", language=tongue)).content)]
    say = speak(tongue).text
    assert len(found) == 2
    assert all("".join(say(item).split())[:25] in found[0] for item in safety.BEFORE.items)
    assert all("".join(say(item).split())[:25] in found[1] for item in safety.NEVER.items)


def test_a_line_for_the_capture_is_no_column(tmp_path: Path) -> None:
    """A folder that is not there is no matter: the card shows the name of the file, and nothing is opened."""
    made, failed = filled_cards(registry(), ["hold"], [Fill("hold", {"capture": os.fspath(tmp_path / "none.csv")})])
    assert not failed and [s.value for line in made[0].lines for s in line.slots if s.value] == ["none.csv"]


def test_a_filled_general_card_says_where_its_limits_come_from_and_in_what_was_collected() -> None:
    """The balance sheet of a job: its time, rail pressure and limit, and the sheet that the limit was read from."""
    inputs = {
        "volumes": ["30 mL", "31 mL", "61 mL", "29 mL"], "time": "2 min", "rail_pressure": "290 bar",
        "median_limit": {"range": "<= 150 %", "source": "bench sheet R-2 (invented)"},
    }  # fmt: skip
    made, failed = filled_cards(registry(), ["balance"], [Fill("returns", inputs, 2, "Idle")])
    assert not failed and made[0].limits_origin == "bench sheet R-2 (invented)"
    collected = next(block for block in made[0].front if block.title == "Collected at")
    assert collected.rows == (("2 min", "290 bar", None, None, "at most 150 %"),)  # type: ignore[union-attr]
    blank, _ = filled_cards(registry(), ["balance"], [])
    assert blank[0].limits_origin.startswith("the data for this vehicle")


def test_the_leak_chart_says_at_most_in_its_heading() -> None:
    made, _ = filled_cards(registry(), ["leak-chart"], [])
    assert any(block.title.startswith("Leaks at most, as collected") for block in made[0].front)


def test_verdicts_stand_under_their_step_with_the_part_and_what_was_measured(tmp_path: Path) -> None:
    """Of four coils the bad one is named; a percentage stands beside its limit; before and after a repair are two steps."""
    from baybook.jobs.evaluation import work_out
    from baybook.jobs.report import report_data
    from baybook.jobs.sheet import read_sheet
    from baybook_cards.report import report_html

    coil = '[[steps]]\ncalculator = "coil"\n[steps.inputs]\n'
    coil += 'part = "injector"\nnumber = {}\nreading = "{} ohm"\nleads = "0 ohm"\n'
    coil += 'temperature = "20 ± 1 °C"\nlimit = "2 to 4 ohm"\n'
    returns = '[[steps]]\ncalculator = "returns"\ntitle = "{}"\n[steps.inputs]\n'
    returns += 'volumes = ["30 mL", "31 mL", "{} mL", "29 mL"]\n'
    returns += 'time = "60 s"\nmedian_limit = "<= 150 %"\n'
    path = tmp_path / "job.toml"
    path.write_text(
        '[job]\nnumber = "1"\n' + coil.format(1, "3.00") + coil.format(3, "9.00")
        + returns.format("Before the repair", 60) + returns.format("After the repair", 30), encoding="utf-8",
    )  # fmt: skip
    page = report_html(report_data(work_out(read_sheet(path))))
    plain = " ".join(re.sub(r"<[^>]+>", " ", page).split())
    judged = plain[plain.index("Against the spec ranges") : plain.index("How it was worked out")]
    titles = [
        "Coil resistance and current · injector 1", "Coil resistance and current · injector 3",
        "Step 3: Before the repair", "Step 4: After the repair",
    ]  # fmt: skip
    groups = [judged[judged.index(title) :] for title in titles]
    groups = [group[: group.index(after)] for group, after in zip(groups, [*titles[1:], "within: conforms"], strict=True)]
    assert ["outside" in group for group in groups] == [False, True, True, False]
    assert " 3 200" in groups[2] and "<b></b>" not in page


def test_a_code_says_what_it_is_for() -> None:
    """A telephone pointed at a job's number dials nothing."""
    from baybook_cards.faces import faces_of
    from baybook_cards.language import language as speak
    from baybook_cards.render import Setting
    from baybook_cards.sizes import size_named

    aid = filled_cards(registry(), ["first-aid"], [])[0][0]
    hold = filled_cards(registry(), ["hold"], [], "D-777")[0][0]
    setting = Setting(Paper(size="A5", emergency="112"), size_named("A5"), speak("en"), (aid, hold))
    assert "dials 112" in setting.face(faces_of(aid, setting.size)[0])
    assert "code: the job&#39;s number" in setting.face(faces_of(hold, setting.size)[1])
