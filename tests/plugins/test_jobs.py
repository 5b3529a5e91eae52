"""A plugin that fails takes no job down with it, and its verdicts reach the job."""

from __future__ import annotations

import json

import pytest

from .conftest import Site, good

STEP = '\n[[steps]]\ncalculator = "{}"\n[steps.inputs]\n{}\n'
TWO = STEP.format("twice", 'pressure = "3 ± 0.1 bar"') + STEP.format("convert", 'reading = "300 ± 0 bar"\nto = "psi"')


def test_a_plugin_that_fails_in_a_step_takes_no_other_step_down(site: Site) -> None:
    """What works is worked out; the step is named and marked; the fault is the plugin's, and the exit code its."""
    site.add("twice", good("twice", "raise ZeroDivisionError('made for a test')"))
    (site.root / "job.toml").write_text(TWO, encoding="utf-8")
    ran = site.run("job", "run", "job.toml", code=1)
    words = "plugin third-twice 1.2 [twice]: calculator twice failed: ZeroDivisionError: made for a test"
    assert "Step 1: Twice (twice)\n  [x] could not be worked out:\n" in ran.stdout
    assert "4351.13 psi" in ran.stdout
    said = " ".join(ran.stdout.split())
    assert said.index("Could not be worked out: step 1.") > said.index("4351.13 psi")
    assert ran.stderr == f"step 1 (twice): {words}\n"
    told = json.loads(site.run("job", "run", "job.toml", "--json", code=1).stdout)
    assert [step["taken"] for step in told["steps"]] == [False, True]
    assert told["steps"][0]["error"] == {"exit_code": 1, "message": words, "problems": []}


def test_bad_input_counts_for_more_than_a_plugins_fault(site: Site) -> None:
    """It is the user's to mend: exit code 2."""
    site.add("twice", good("twice", "raise ZeroDivisionError"))
    (site.root / "job.toml").write_text(TWO + STEP.format("coil", 'reading = "2 bar"'), encoding="utf-8")
    assert "step 3 (coil), reading: " in site.run("job", "run", "job.toml", code=2).stderr


def test_a_calculator_switched_off_leaves_the_rest_of_the_job_and_its_report(site: Site) -> None:
    site.add("twice", good("twice"))
    (site.root / "job.toml").write_text(TWO, encoding="utf-8")
    site.run("job", "run", "job.toml")
    site.run("plugins", "off", "twice")
    ran = site.run("job", "run", "job.toml", code=2)
    assert "4351.13 psi" in ran.stdout
    assert "the plugin twice is switched off, see baybook plugins on" in ran.stderr
    site.run("job", "report", "job.toml", "--html", "report.html", code=2)
    page = (site.root / "report.html").read_text(encoding="utf-8")
    assert "could not be worked out" in page
    assert "4351.1" in page


JUDGED = '''
from typing import Annotated
from baybook.api import *

@calculator(
    title="Filter", stage="supply", side="hydraulic", proves="nothing; it is made for a test", cautions=[MAKERS_DATA],
    sources=["arithmetic"], outputs={"drop": Output("pressure difference", "what the filter takes")},
    formulas=["d = p"], procedure=["Read the gauge."], meanings=[Meaning("any", "nothing", "nothing")],
    examples=[Example({"pressure": "1 ± 0.1 bar"}, {"drop": (1.0, "bar", 1e-9)}, "arithmetic")],
)
def filter(
    pressure: Annotated[Reading, pressure_difference("the pressure")],
    limit: Annotated[SpecRange | None, spec_range("pressure difference", "what is allowed")] = None,
) -> Result:
    """Judge a pressure and say nothing else."""
    outputs = propagate(lambda pressure: {"drop": pressure}, {"drop": "bar"}, pressure=pressure.to("bar"))
    return Result(outputs, verdicts=(judge("drop", outputs["drop"], limit),) if limit else ())

@hookimpl
def baybook_calculators():
    return [filter]
'''


@pytest.mark.parametrize(
    ("pressure", "word", "conclusion"),
    [
        ("0.9 ± 0.1 bar", "indicated", "The readings point to supply (hydraulic side), which is not yet proof."),
        ("0.5 ± 0.1 bar", "undecided", "Undecided: supply (hydraulic side)."),
        ("0.1 ± 0.1 bar", "cleared", "No fault was found in supply (hydraulic side), as far as these tests reach."),
    ],
)
def test_a_verdict_without_a_finding_reaches_the_job(site: Site, pressure: str, word: str, conclusion: str) -> None:
    """The declaration says the stage and the side, the verdict says how it stands; nobody has to say it twice."""
    site.add("filter", JUDGED)
    inputs = f'pressure = "{pressure}"\nlimit = "<= 0.5 bar; sheet 4"'
    (site.root / "job.toml").write_text(STEP.format("filter", inputs), encoding="utf-8")
    told = json.loads(site.run("job", "run", "job.toml", "--json").stdout)
    assert [(cell["stage"], cell["side"], cell["word"]) for cell in told["findings"]] == [("supply", "hydraulic", word)]
    assert told["conclusion"].startswith(conclusion)
