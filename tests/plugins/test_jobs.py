"""A plugin that fails takes no job down with it."""

from __future__ import annotations

import json

from .conftest import Site, good

STEP = '\n[[steps]]\ncalculator = "{}"\n[steps.inputs]\n{}\n'
TWO = STEP.format("twice", 'pressure = "3 ± 0.1 bar"') + STEP.format("convert", 'reading = "300 bar"\nto = "psi"')


def test_a_plugin_that_fails_in_a_step_takes_no_other_step_down(site: Site) -> None:
    """What works is worked out; the step is named and marked; the fault is the plugin's, and the exit code its."""
    site.add("twice", good("twice", "raise ZeroDivisionError('made for a test')"))
    (site.root / "job.toml").write_text(TWO, encoding="utf-8")
    ran = site.run("job", "run", "job.toml", code=1)
    words = "plugin third-twice 1.2 [twice]: calculator twice failed: ZeroDivisionError: made for a test"
    assert "Step 1: Twice (twice)\n  [x] could not be worked out:\n" in ran.stdout
    assert "4351.1 psi" in ran.stdout
    assert ran.stdout.index("Could not be worked out: step 1.") > ran.stdout.index("4351.1 psi")
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
    assert "4351.1 psi" in ran.stdout
    assert "the plugin twice is switched off, see baybook plugins on" in ran.stderr
    site.run("job", "report", "job.toml", "--html", "report.html", code=2)
    page = (site.root / "report.html").read_text(encoding="utf-8")
    assert "could not be worked out" in page
    assert "4351.1" in page
