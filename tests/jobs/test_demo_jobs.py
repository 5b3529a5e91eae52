"""The two demo jobs of the supply: where they stand before the repair, and what proves it."""

from __future__ import annotations

from pathlib import Path

from baybook.jobs.evaluation import Outcome, work_out
from baybook.jobs.sheet import read_sheet

DEMO = Path(__file__).parents[2] / "data_demo"


def before_the_repair(name: str, folder: Path) -> Outcome:
    """The sheet as it was when the repair had not been made."""
    text = (DEMO / f"{name}.toml").read_text(encoding="utf-8")
    path = folder / "before.toml"
    path.write_text(text.partition("[[steps]]\nrepair")[0], encoding="utf-8")
    return work_out(read_sheet(path))


def test_air_after_a_filter_change_ends_at_its_seal(tmp_path: Path) -> None:
    found = before_the_repair("sandpiper_no_start_filter", tmp_path)
    assert found.errors == ()
    assert max(found.found.chances, key=found.found.chances.__getitem__) == "air leak"
    assert found.conclusion.startswith("Proven") and "the filter's seal" in found.conclusion
    said = " ".join(str(finding.statement) for step in found.steps for finding in (step.result.findings if step.result else ()))
    assert "air is drawn in on the way" in said


def test_power_loss_ends_at_the_filter(tmp_path: Path) -> None:
    found = before_the_repair("curlew_power_loss", tmp_path)
    assert found.errors == ()
    assert max(found.found.chances, key=found.found.chances.__getitem__) == "filter"
    assert found.conclusion.startswith("Proven") and "filter" in found.conclusion


def test_both_repairs_are_proved_by_the_same_test_after_them() -> None:
    for name, place in (("sandpiper_no_start_filter", "air leak"), ("curlew_power_loss", "filter")):
        done = work_out(read_sheet(DEMO / f"{name}.toml"))
        assert done.errors == () and done.lacking == ()
        assert "The repair of filter is proved" in done.conclusion and "complaint is gone" in done.conclusion
        assert len(set(done.conclusions)) == len(done.conclusions)  # each proof is said once
        assert done.found.chances["no fault"] > 0.95
        assert done.sheet.outcome is not None and done.sheet.outcome.place == place
