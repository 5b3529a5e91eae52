"""The job report: everything a customer and a colleague need, from the job's own data."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from baybook.cli.output import harmless
from baybook.jobs.evaluation import work_out
from baybook.jobs.report import not_taken, report_data
from baybook.jobs.sheet import read_sheet
from baybook.jobs.text_report import outcome_lines
from baybook.message import Message
from baybook.numbers import percent_shown
from baybook.spec import UNSTATED
from baybook_cards.html import HARMLESS
from baybook_cards.language import language
from baybook_cards.quantities import input_shown, range_shown, shown
from baybook_cards.report import ReportError, chart_of, percent, print_report, report_html

from .conftest import read_pages

SHEET = """
[job]
number = "J-0007"
date = "2026-11-25"
workshop = "Lantern Lane Workshop (invented)"
technician = "M. Sample"
vehicle = "invented van, four injectors"
complaint = "Starts slowly when hot"

[specs.returns]
range = "<= 40 mL/min"
source = "bench sheet R-2 (invented)"

[instruments.cylinder]
what = "graduated cylinder, 100 mL"
uncertainty = "1 mL"

[[steps]]
calculator = "returns"
title = "Returns at idle, warm"
[steps.inputs]
volumes = { reading = ["30 mL", "31 mL", "29 mL", "62 mL"], instrument = "cylinder" }
time = "60 s"
LIMIT = { spec = "returns" }

[[steps]]
calculator = "coil"
title = "Rail valve coil"
note = "Plug was green inside."
[steps.inputs]
reading = "3.1 ohm"
temperature = "40 ± 5 °C"

[[steps]]
calculator = "regulator"
title = "Duty at idle"
"""


HOLD = """
[job]
number = "J-0008"
date = "2026-11-25"

[[steps]]
calculator = "hold"
[steps.inputs]
start = "900 ± 5 bar"
end = "200 ± 5 bar"
time = "30 ± 0.2 s"
volume = "25 ± 1 mL"
outlet_valve = "open-at-rest"
limit = { range = "<= 4 mL/min", source = "invented" }
"""

DEMO = sorted((Path(__file__).parents[2] / "data_demo").glob("*.toml"))


@pytest.fixture(scope="module")
def report(tmp_path_factory):
    """A job worked out by the core: one step outside its limit, one without a limit, one planned."""
    from baybook.fields import Limits
    from baybook_plugins.returns.calculator import returns

    limit = next(p.name for p in returns.parameters if isinstance(p.field, Limits) and p.field.kind.family == "flow")
    path = Path(tmp_path_factory.mktemp("job")) / "job.toml"
    path.write_text(SHEET.replace("LIMIT", limit), encoding="utf-8")
    return report_data(work_out(read_sheet(path)))


@pytest.fixture(scope="module")
def printed_report(report):
    return print_report(report)


def squeezed(text: str) -> str:
    return "".join(text.split())


def test_the_report_holds_every_word_of_the_job(report, printed_report):
    """Job, findings, verdicts, inputs, outputs, notes, working, sources, what is untested, what to test next."""
    assert printed_report.log == ()
    text = squeezed("".join(page.text for page in read_pages(printed_report.content)))
    wanted = [*map(str, report["job"].values()), report["conclusion"], *report["next_tests"]]
    wanted += [finding["statement"] for cell in report["findings"] for finding in cell["findings"]]
    for step in report["steps"]:
        wanted += [step["title"], step["note"]]
        result = step["result"] or {}
        wanted += list(result.get("notes", []))
        wanted += [caution["text"] for caution in result.get("cautions", [])]
        outputs = [result["labels"].get(n, n) for n in result.get("outputs", {}) if n not in result["textbook"]]
        wanted += [name.replace("_", " ") for name in (*result.get("inputs", {}), *outputs)]
        wanted += [f"{index}" for index in range(1, 5)]
        wanted += [verdict["range"]["source"] for verdict in result.get("verdicts", [])]
        wanted += list(result.get("sources", []))
    wanted += [spec["source"] for spec in report["specs"]] + [tool["what"] for tool in report["instruments"]]
    assert len(wanted) > 40
    plain = text.replace("_", "")
    assert [part for part in wanted for word in str(part).split() if word.replace("_", "") not in plain] == []


def test_the_result_comes_first_and_cautions_stand_beside_what_to_test_next(report):
    """Page one is the customer's: result, meaning, what next, signatures; the cautions are the colleague's."""
    page = report_html(report)
    order = (">Result<", "Read by the customer", "Where the fault lies", "How it was worked out", ">Test next<", ">Cautions<")
    assert [page.index(part) for part in order] == sorted(page.index(part) for part in order)
    texts = {c["text"] for step in report["steps"] if step["result"] for c in step["result"]["cautions"]}
    from markupsafe import escape

    assert texts and all(page.count(str(escape(text))) == 1 for text in texts)


def test_the_first_page_holds_no_word_of_the_trade(report):
    """Beside what the workshop typed: no verdict, no chance, no stage, no number of a step, no name of a calculator."""
    page = report_html(report)
    first = re.sub(r"<table.*?</table>|<h1>.*?</h1>|<p class=\"(?:head|foot)\">.*?</p>", "", page, flags=re.DOTALL)
    told = re.sub(r"<[^>]+>", " ", first[first.index('class="customer"') : first.index('class="chapter')]).casefold()
    wording = ("within", "outside", "hydraulic", "control side", "step ", "%", "spec", "verdict", "baybook", "returns")
    assert "injector 4 (one of the nozzles that spray the fuel into the engine)" in told
    assert [word for word in wording if word in told] == []


def test_a_vehicle_has_its_registration_mileage_and_engine_on_page_one(report):
    job = {"number": "1", "vehicle": "van", "registration": "AB 12", "mileage": "90 000 km", "engine": "2.0 L"}
    page = report_html({**report, "job": job}, "de")
    for name, value in (("Kennzeichen", "AB 12"), ("Laufleistung", "90 000 km"), ("Motor", "2.0 L")):
        assert f'<th scope="row">{name}</th><td>{value}</td>' in page


def test_what_was_typed_and_what_was_taken_stand_apart(report):
    """The meter's reading is typed; the spec's temperature, 20 °C, is what the calculator takes where nobody says."""
    page = re.sub(r"<[^>]+>", "", report_html(report))
    step = page[page.index("Step 2: Rail valve coil") :]
    typed, taken = step.index("Typed:"), step.index("Taken by default, not measured:")
    assert typed < step.index("temperature 40.0 ± 5.0 °C") < taken < step.index("spec temperature 20 °C")


def test_every_verdict_has_its_word_and_its_own_sign(report):
    """Colour is never alone: ✓, ✗ or ? stands beside the word, and the frames differ too."""
    page = report_html(report)
    verdicts = [v["verdict"] for step in report["steps"] if step["result"] for v in step["result"]["verdicts"]]
    assert "outside" in verdicts
    for word, sign in (("within", "✓"), ("outside", "✗"), ("undecided", "?")):
        assert page.count(f'<span class="sign">{sign}</span>{word}') == verdicts.count(word)


def test_each_verdict_stands_beside_what_was_measured(report):
    """62 mL in a minute, with what it is good to, in the cell of its verdict: one table, a row for each injector."""
    page = report_html(report)
    assert page.count('<table class="numbered">') == 1
    table = page[page.index('<table class="numbered">') :].split("</table>")[0]
    assert "flow" in table and "at most 40 mL/min" in table.replace("\n", "") and "bench sheet R-2 (invented)" in table
    rows = table.split("<tr>")[2:]
    verdicts = [v for step in report["steps"] if step["result"] for v in step["result"]["verdicts"]]
    assert len(rows) == len(verdicts) == 4
    for row, verdict in zip(rows, verdicts, strict=True):
        assert f'{shown(verdict["measured"], language("en"))} <span class="verdict {verdict["verdict"]}">' in row
    assert "62.0 ± 1.2 mL/min" in rows[3] and "outside" in rows[3] and "under 0.1 %" in rows[3]


def test_a_single_verdict_stands_with_its_step_reading_and_limit(tmp_path):
    (tmp_path / "job.toml").write_text(HOLD.replace("open-at-rest", "driven-shut"), encoding="utf-8")
    data = report_data(work_out(read_sheet(tmp_path / "job.toml")))
    verdict = data["steps"][0]["result"]["verdicts"][0]
    page = re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", report_html(data)))
    row = page[page.index("Verdict, chance to conform") :]
    told = [
        " 1 leak, as collected",
        shown(verdict["measured"], language("en")),
        verdict["verdict"],
        "at most 4 mL/min",
        "(invented)",
    ]
    assert [row.index(part) for part in told] == sorted(row.index(part) for part in told)


@pytest.mark.parametrize(("tongue", "words"), [("en", "it empties the rail by design"), ("de", "es entleert das Rail")])
def test_what_casts_doubt_on_a_step_is_told_before_its_numbers(tmp_path, tongue, words):
    """A rail valve that opens without current makes the hold say nothing about the rail: on screen and on paper."""
    (tmp_path / "job.toml").write_text(HOLD, encoding="utf-8")
    outcome = work_out(read_sheet(tmp_path / "job.toml"))
    screen = " ".join(" ".join(outcome_lines(outcome)).split())
    assert screen.index("[?] The outlet valve opens without current") < screen.index("leak_at_line")
    page = report_html(report_data(outcome), tongue)
    step = page[page.index('class="step"') :]
    assert step.index(words) < step.index('class="given"')


def test_a_next_test_that_was_taken_is_not_asked_for_as_if_it_had_not(tmp_path):
    """The hold asks for the returns, among other things; they are step 2 of the job, and the report asks for what is left."""
    sheet = tmp_path / "job.toml"
    hold = '[[steps]]\ncalculator = "hold"\n[steps.inputs]\nstart = "900 bar"\nend = "100 bar"\ntime = "20 s"\n'
    hold += 'volume = "25 mL"\noutlet_valve = "driven-shut"\nlimit = "<= 1 mL/min"\n'
    returns = '[[steps]]\ncalculator = "returns"\n[steps.inputs]\nvolumes = ["30 mL", "31 mL", "29 mL"]\ntime = "60 s"\n'
    sheet.write_text(hold + returns, encoding="utf-8")
    outcome = work_out(read_sheet(sheet))
    asked = [test for test in outcome.next_tests if "(calculator returns)" in test]
    assert asked and all(test.endswith("; already taken: step 2, Injector return balance") for test in asked)
    data = report_data(outcome)
    assert data["next_tests"] and "already taken" not in " ".join(data["next_tests"])
    assert not_taken(asked) == asked  # (where nothing else is left, it stands with its remark)
    assert "; schon ausgeführt: Schritt 2, " in report_html({**data, "next_tests": asked}, "de")


def test_a_step_that_failed_is_named_and_marked_and_the_rest_is_there(report):
    failed = {**report["steps"][1], "result": None, "error": {"message": "step 2: the plugin coil is switched off"}}
    page = report_html({**report, "steps": [report["steps"][0], failed]})
    assert "could not be worked out: step 2: the plugin coil is switched off" in " ".join(page.replace("</span>", "").split())
    assert "Returns at idle, warm" in page


def test_a_graph_that_cannot_be_drawn_is_named_and_the_others_are_drawn(report):
    bad = {**report["plots"][0], "title": "Torn", "series": [{"label": "", "x": [0.0], "y": [float("nan")]}]}
    page = report_html({**report, "plots": [bad, *report["plots"]]})
    assert "This graph could not be drawn: Torn" in page.replace("</span> ", "")
    assert page.count('class="plot"') == len(report["plots"])


def test_the_grid_names_all_eight_places(report):
    """Each stage on each side has a word; what was not tested says so."""
    page = report_html(report)
    grid = page[page.index('class="grid"') : page.index("</table>", page.index('class="grid"'))]
    words = re.findall(r'<td class="word-([a-z]+)"', grid)
    assert len(words) == 8
    assert words.count("untested") == len(report["untested"])


def test_the_report_draws_the_plots_of_its_results(report):
    page = report_html(report)
    assert page.count('class="plot"') == len(report["plots"])


def test_the_report_is_one_file_that_loads_nothing(report):
    page = report_html(report)
    assert "default-src 'none'" in page
    assert "<script" not in page
    addresses = re.findall(r'(?:src|href)="([^"]+)"', page) + re.findall(r'url\("?([^")]+)', page)
    assert addresses
    assert all(address.startswith(("data:font/otf;base64,", "#")) for address in addresses)


def test_pages_are_a4_with_letters_large_enough(printed_report):
    """A page in the hand: 16 minutes of arc at 375 mm at least, page numbers on all."""
    from baybook_cards.sizes import CAPITAL_RATIO, arcmin_of

    pages = read_pages(printed_report.content)
    assert len(pages) == printed_report.pages >= 2
    for number, page in enumerate(pages, 1):
        assert (round(page.width), round(page.height)) == (595, 842)
        assert f"{number} / {len(pages)}" in page.text
        smallest = min(letter["size"] for letter in page.letters if letter["text"].strip())
        assert arcmin_of(smallest * 25.4 / 72 * CAPITAL_RATIO, 375) >= 16 - 0.01


@pytest.mark.parametrize("tongue", ["en", "de"])
@pytest.mark.parametrize("path", DEMO, ids=lambda path: path.stem)
def test_a_job_of_the_demo_takes_two_or_three_pages(path, tongue):
    """The customer's page ends with the signatures; cautions and what is next stand on the last, and nothing after them."""
    done = print_report(report_data(work_out(read_sheet(path))), tongue)
    pages = [page.text for page in read_pages(done.content)]
    signed, cautions, fault = {
        "en": ("Read by the customer", "Cautions", "Where the fault lies"),
        "de": ("Vom Kunden gelesen", "Warnungen", "Wo der Fehler liegt"),
    }[tongue]
    assert len(pages) in (2, 3) and done.log == ()
    assert signed in pages[0] and fault not in pages[0] and fault in pages[1] and cautions in pages[-1]


def test_a_word_wider_than_the_page_is_broken():
    """What a person typed never keeps the report from being printed, and never runs off the page."""
    done = print_report({"job": {"number": "1", "vehicle": "x" * 300}})
    assert squeezed(read_pages(done.content)[0].text).count("x") >= 300


def test_text_that_leaves_the_page_is_found():
    """The check that every report passes."""
    from baybook_cards.check import beyond_pages
    from baybook_cards.pdf import LayoutError, write

    page = '<html lang="en"><title>t</title><p style="white-space: nowrap">' + "word " * 200
    with pytest.raises(LayoutError, match="page 1: does not fit"):
        write(page, [], check=beyond_pages)


def test_a_long_outcome_in_words_is_wrapped():
    words = "without current nothing holds the pressure back and it runs up until a relief valve opens " * 2
    result = {
        "inputs": {},
        "outputs": {"loss": {"value": words, "unit": "", "low": None, "high": None}},
        "steps": [],
        "notes": [],
    }
    done = print_report({"job": {"number": "1"}, "steps": [{"number": 1, "title": "t", "result": {**result, "sources": []}}]})
    assert squeezed(words) in squeezed("".join(page.text for page in read_pages(done.content)))


def test_a_capture_is_named_without_its_folder():
    record = {"text": "/home/someone/logs/hold.csv", "value": {"file": "/home/someone/logs/hold.csv"}, "unit": ""}
    assert input_shown(record, language("en")) == "hold.csv"


def test_a_report_is_tagged(printed_report):
    import io

    import pikepdf

    with pikepdf.open(io.BytesIO(printed_report.content)) as document:
        assert bool(document.Root.MarkInfo.Marked)
        assert b'pdfaid:part="2"' in bytes(document.Root.Metadata.read_bytes())
        with document.open_outline() as outline:
            assert len(list(outline.root)) >= 4


def test_a_job_without_steps_still_makes_a_report():
    done = print_report({"job": {"number": "1"}})
    assert done.pages == 1 and done.log == ()


@pytest.mark.parametrize(
    ("report", "message"),
    [
        ({}, "job: not a mapping"),
        ({"job": {}, "steps": "x", "plots": {}}, "plots: not a list; steps: not a list"),
    ],
)
def test_a_report_of_the_wrong_shape_is_refused(report, message):
    with pytest.raises(ReportError) as refused:
        print_report(report)
    assert str(refused.value) == message


@pytest.mark.parametrize(
    ("quantity", "text"),
    [
        # JCGM 100, 7.2.6: the uncertainty with two digits, the value to the same place
        ({"value": 350.0, "unit": "bar", "low": 345.0, "high": 355.0}, "350.0 ± 5.0 bar"),
        ({"value": 0.1234, "unit": "mL/min", "low": 0.1, "high": 0.1468}, "0.123 ± 0.023 mL/min"),
        ({"value": 1.2, "unit": "mL/min", "low": 0.9, "high": 1.6}, "1.20 (0.90 to 1.60) mL/min"),
        ({"value": 12345.0, "unit": "bar", "low": 11345.0, "high": 13345.0}, "12\u202f300 ± 1000 bar"),
        ({"value": 4, "unit": "", "low": None, "high": None}, "4"),
        ({"value": "laminar", "unit": "", "low": None, "high": None}, "laminar"),
        # nobody typed the half unit: no digits of 95 % of it
        ({"value": 900.0, "unit": "bar", "low": 899.525, "high": 900.475, "assumed": True}, "900 bar (± 0.5 assumed)"),
        (-0.5, "−0.5"),
        (True, "yes"),
        ("diesel", "diesel"),
    ],
)
def test_results_are_rounded_by_their_uncertainty(quantity, text):
    assert shown(quantity, language("en")) == text


def test_numbers_follow_the_language():
    assert shown({"value": 1.25, "unit": "bar", "low": 1.0, "high": 1.5}, language("de")) == "1,25 ± 0,25 bar"


@pytest.mark.parametrize(
    ("spec", "text"),
    [
        ({"low": None, "high": 6.0, "unit": "mL/min"}, "at most 6 mL/min"),
        ({"low": 2.2, "high": 2.7, "unit": "ohm"}, "2.2 to 2.7 ohm"),
        ({"low": 18.0, "high": None, "unit": "V"}, "at least 18 V"),
        ({"low": 1.0, "high": 2.0, "unit": "V", "text": "1..2 V"}, "1 to 2 V"),  # one way on a page, however it was typed
        (None, ""),
    ],
)
def test_ranges_read_in_words(spec, text):
    assert range_shown(spec, language("en")) == text


def test_several_readings_of_one_input_stand_in_a_row():
    readings = [{"value": v, "unit": "mL", "low": v - 1, "high": v + 1} for v in (30.0, 31.0)]
    assert input_shown({"text": "x", "value": readings, "unit": ""}, language("en")) == "30.0; 31.0, each ± 1.0 mL"
    readings[1]["high"] += 1.0
    assert input_shown({"text": "x", "value": readings, "unit": ""}, language("en")) == "30.0 ± 1.0 mL; 31.0 (30.0 to 33.0) mL"


@pytest.mark.parametrize(
    ("share", "text"),
    [(0.95, "95.0 %"), (0.9996, "over 99.9 %"), (0.0009, "under 0.1 %"), (1.0, "over 99.9 %"), (0.0, "under 0.1 %")],
)
def test_a_probability_is_never_rounded_to_certainty(share, text):
    """In the terminal's own words, so that two papers never tell one chance differently."""
    assert percent(share, language("en")) == text == percent_shown(share)
    assert percent(share, language("de")) in {text.replace(".", ","), "über 99,9 %", "unter 0,1 %"}
    assert percent(None, language("en")) == ""


def test_a_plot_of_a_result_becomes_a_chart():
    plot = {
        "title": "t",
        "x_label": "time",
        "x_unit": "s",
        "y_label": "p",
        "y_unit": "bar",
        "series": [{"label": "95 %", "x": (0.0, 1.0), "y": (1.0, 2.0), "style": "band", "y2": (3.0, 4.0)}],
    }
    made = chart_of(plot)
    assert (made.x.unit, made.y.label, made.series[0].y_high) == ("s", "p", (3.0, 4.0))


def test_a_title_that_the_user_gave_is_never_translated(report):
    """Even where a catalogue has a message like it; a calculator's own title is."""
    report = {**report, "catalogues": ["baybook_plugins.coil"]}
    steps = [{**report["steps"][0], "title": "Coil resistance and current", "own_title": True}]
    own, other = ({**report, "steps": [{**steps[0], "own_title": given}]} for given in (True, False))
    assert "Coil resistance and current" in report_html(own, language="de")
    assert "Spule: Widerstand und Strom" in report_html(other, language="de")


def test_texts_without_a_space_break_and_stay_on_the_page(report):
    """Five hundred letters in every text of a job: broken, on the page, the footer short."""
    long = {key: letter * 500 for key, letter in zip(("number", "workshop", "complaint", "vehicle"), "NWXV", strict=True)}
    step = {**report["steps"][1], "title": "T" * 500, "note": "O" * 500}
    done = print_report({**report, "job": {**report["job"], **long}, "steps": [step]})
    pages = read_pages(done.content)
    text = squeezed("".join(page.text for page in pages))
    assert all(text.count(letter) >= 500 for letter in "NWXVTO")
    for page in pages:
        assert max(letter["x1"] for letter in page.letters) < page.width
        assert max(letter["bottom"] for letter in page.letters) < page.height


def test_a_german_report_leaves_dates_and_versions_of_the_user_alone(report):
    """A planned step's title stands within a sentence of ours; its points are no decimal points."""
    planned = Message("Step {number}, {title}: planned, not taken yet.", number=3, title="Geplant 1.5 bar, 2026.11.03")
    data = {**report, "next_tests": [planned]}
    assert "Schritt 3, Geplant 1.5 bar, 2026.11.03: geplant, noch nicht ausgeführt." in report_html(data, language="de")


def test_a_range_without_a_source_says_so_in_german():
    verdict = {"what": "x", "verdict": "within", "probability": 0.99, "range": {"low": 2.5, "high": None, "unit": "V"}}
    result = {"inputs": {}, "outputs": {}, "notes": [], "sources": [], "steps": [], "verdicts": [verdict]}
    verdict["range"]["source"] = UNSTATED
    page = report_html({"job": {"number": "1"}, "steps": [{"number": 1, "title": "t", "result": result}]}, language="de")
    assert "eingegeben; Herkunft nicht angegeben" in page and UNSTATED not in page


def test_no_control_character_of_a_sheet_reaches_a_page(tmp_path):
    """Escape sequences, a bell and a mark that turns the writing round, in every text of a job; scripts stay text."""
    text = '"a\\u001b[31mred\\u0007 \\u009b31m \\u202e <script>alert(1)</script>"'
    head = "\n".join(f"{key} = {text}" for key in ("number", "workshop", "customer", "complaint", '"k"'))
    step = f'title = {text}\nnote = {text}\n[steps.inputs]\nreading = "3.1 ohm"\n'
    step += f'limit = {{ range = "2 to 3 ohm", source = {text} }}\n'
    (tmp_path / "job.toml").write_text(f'[job]\n{head}\n[[steps]]\ncalculator = "coil"\n{step}', encoding="utf-8")
    page = report_html(report_data(work_out(read_sheet(tmp_path / "job.toml"))))
    harmful = {
        code for code in map(ord, page) if (code < 32 and code not in (9, 10)) or 127 <= code < 160 or 0x202A <= code <= 0x202E
    }
    assert all(harmless(chr(code)) != chr(code) for code in HARMLESS) and len(HARMLESS) > 60  # (no fewer than a terminal's)
    assert all(code in HARMLESS for code in range(0x3000) if harmless(chr(code)) != chr(code))
    assert harmful == set() and "<script>" not in page and page.count("[31mred") >= 6


def test_of_what_a_step_was_read_is_told_with_its_name_unless_the_word_speaks_for_itself() -> None:
    """ "none runs" is no news; air none, tank pump runs is."""
    from baybook_cards.report_tables import of_what

    def named(name: str, word: str = "") -> str:
        return word or name

    assert of_what([("air", "none"), ("tank_pump", "runs")], named) == "air none, tank pump runs"
    assert of_what([("part", "injector"), ("number", "3"), ("look", "clear")], named) == "injector 3, look clear"


READ = """
format = 2
[system]
low_pressure = ["tank pump"]
inlet_valve = true
outlet_valve = "none"
[[steps]]
calculator = "reading"
[steps.inputs]
what = "relief valve return"
value = "210 ± 5 mL/min"
limit = "max 5 mL/min; sheet"
[[steps]]
calculator = "reading"
[steps.inputs]
what = "feed pressure"
value = "4.3 ± 0.1 bar"
limit = "3.5 to 5 bar; sheet"
load = "yes"
[[steps]]
calculator = "delivery"
[steps.inputs]
corrections = ["0.30 mm3/stroke", "-0.20 mm3/stroke", "0.10 mm3/stroke", "-0.20 mm3/stroke"]
correction_limit = "-2 to 2 mm3/stroke; sheet"
[[steps]]
calculator = "ripple"
[steps.inputs]
elements = 3
speed = "3000 ± 10 rpm"
pump_ratio = "0.5 1"
amplitudes = "0.5 0.4 9 0.4 0.3 3 bar"
"""


def test_what_a_reading_said_is_evidence_and_its_digits_are_those_that_were_typed(tmp_path):
    """A reading that decides stands among the evidence, at the place that it looks at; digits by JCGM 100:2008, 7.2.6, those of
    an uncertainty itself too, and of what was typed without one as it was typed."""
    (tmp_path / "job.toml").write_text(READ, encoding="utf-8")
    page = " ".join(report_html(report_data(work_out(read_sheet(tmp_path / "job.toml")))).split())
    evidence = page[page.index("<h3>Evidence</h3>") : page.index("Against the spec ranges")]
    valve = 'relief valve return: 210.0 mL/min is outside at most 5 mL/min <span class="quiet">(storage, hydraulic: indicated; '
    assert valve in evidence
    assert 'feed pressure: 4.30 bar is within 3.5 to 5 bar <span class="quiet">(supply, hydraulic: cleared; step' in evidence
    assert "0.3 mm3/stroke (± 0.005 assumed)" in page and "0.3000" not in page
    assert "0.029 bar" in page and "0.0288" not in page
    assert "take it into the job sheet" not in page  # (there it is)
