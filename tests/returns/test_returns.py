"""The return balance as a technician uses it."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any

import pytest

from baybook import calculate
from baybook.errors import InputError

FOUR = ["62 ± 1 mL", "58 ± 1 mL", "121 ± 1 mL", "60 ± 1 mL"]


def run(volumes: list[str] | str = "", **inputs: Any) -> Any:
    return calculate("returns", volumes=volumes or FOUR, **({"time": "2 ± 0.02 min"} | inputs))


def words(result: Any) -> list[tuple[str, str]]:
    return [(verdict.what, verdict.verdict) for verdict in result.verdicts]


def test_one_injector_beyond_the_ratio_is_named() -> None:
    """Injector 3 at twice the median of the others is outside 150 %, the others are within; the finding is about delivery."""
    result = run(median_limit="<= 150 %; workshop sheet 4")
    assert words(result) == [
        ("injector 1, percent of median", "within"),
        ("injector 2, percent of median", "within"),
        ("injector 3, percent of median", "outside"),
        ("injector 4, percent of median", "within"),
    ]
    assert result["percent_of_median_3"].value == pytest.approx(100 * 121 / 60)
    assert result.outputs["stands_out"] == "injector 3"
    (finding,) = result.findings
    assert (finding.stage, finding.side, finding.strength) == ("delivery", "hydraulic", "indicated")
    assert finding.statement.startswith("Injector 3: percent of median 201.7 % is outside at most 150 %.")
    assert "exchange hoses and cylinders" in finding.next_test


@pytest.mark.parametrize(
    ("rule", "limit", "outside"),
    [
        ("flow_limit", "<= 40 mL/min", [3]),
        ("flow_limit", "29.9 to 40 mL/min", [2, 3]),
        ("median_limit", "<= 150 %", [3]),
        ("others_limit", "60 to 150 %", [3]),
        ("mean_limit", "<= 130 %", [3]),
    ],
)
def test_the_rule_is_the_users(rule: str, limit: str, outside: list[int]) -> None:
    """Absolute flow, ratio to the median or the mean of the others, percentage of the mean: each judges by its own numbers."""
    result = run(["62 ± 0.2 mL", "58 ± 0.2 mL", "121 ± 0.2 mL", "60.6 ± 0.2 mL"], **{rule: limit})
    found = [i for i, verdict in enumerate(result.verdicts, 1) if verdict.verdict == "outside"]
    assert found == outside


def test_two_rules_are_judged_together() -> None:
    result = run(flow_limit="<= 70 mL/min", median_limit="<= 150 %")
    assert [verdict.verdict for verdict in result.verdicts] == ["within"] * 4 + ["within", "within", "outside", "within"]


def test_an_injector_beyond_two_rules_is_one_finding() -> None:
    """Both rules stand in it; an injector on the other side gets a finding of its own."""
    found = run(
        ["62 ± 1 mL", "10 ± 1 mL", "121 ± 1 mL", "60 ± 1 mL"], flow_limit="20 to 40 mL/min", median_limit="<= 150 %"
    ).findings
    assert [finding.statement.partition(".")[0] for finding in found] == [
        "Injector 2: flow 5",
        "Injector 3: flow 60",
    ]
    assert "percent of median 201.7 % is outside at most 150 %" in found[1].statement
    assert "returns less than it should" in found[0].statement


def test_a_limit_inside_the_uncertainty_is_left_undecided() -> None:
    """201.7 % with some 4 % of uncertainty against 202 %: neither within nor outside, and the next step is a better reading."""
    result = run(median_limit="<= 202 %")
    assert words(result)[2] == ("injector 3, percent of median", "undecided")
    assert result.findings[0].strength == "undecided"
    assert "collect for longer" in result.findings[0].next_test


def test_all_within_clears_the_returns_and_no_more() -> None:
    (finding,) = run(median_limit="<= 250 %").findings
    assert finding.strength == "cleared"
    assert "nothing about what the injectors inject" in finding.statement


def test_a_low_return_is_called_low() -> None:
    result = run(["62 ± 1 mL", "12 ± 1 mL", "61 ± 1 mL", "60 ± 1 mL"], median_limit="70 to 140 %")
    (finding,) = result.findings
    assert "returns less than it should" in finding.statement
    assert "hose" in finding.next_test


def test_without_a_limit_there_is_no_verdict() -> None:
    """What stands out is named, and the finding asks for a limit."""
    result = run()
    assert result.verdicts == ()
    (finding,) = result.findings
    assert finding.strength == "undecided" and "Injector 3" in finding.statement and "no verdict" in finding.statement


def test_readings_that_differ_by_less_than_their_errors_are_called_equal() -> None:
    (finding,) = run(["60 ± 2 mL", "61 ± 2 mL", "59 ± 2 mL", "60 ± 2 mL"]).findings
    assert "do not differ by more than the readings' own errors" in finding.statement


def width(estimate: Any) -> float:
    return float((estimate.high - estimate.low) / estimate.value)


def test_the_common_time_widens_flows_and_not_ratios() -> None:
    """A stop watch 5 % off moves every flow alike: flows get a wide interval, comparisons keep theirs."""
    sharp, vague = run(time="2 ± 0.001 min"), run(time="2 ± 0.1 min")
    assert width(vague["flow_3"]) > 2 * width(sharp["flow_3"])
    for name in ("percent_of_median_3", "percent_of_mean_3", "spread"):
        assert width(vague[name]) == pytest.approx(width(sharp[name]), rel=1e-9)


def test_one_cylinder_for_all_cancels_in_ratios_and_one_for_each_does_not() -> None:
    """The calibration of a cylinder that measured them all is a shared error; of separate ones, each its own."""
    none, one, each = run(), run(calibration="4 %", cylinders="one"), run(calibration="4 %", cylinders="each")
    for name in ("percent_of_median_3", "percent_of_mean_3"):
        assert width(one[name]) == pytest.approx(width(none[name]), rel=1e-9)
        assert width(each[name]) > 1.5 * width(none[name])
    assert width(one["flow_3"]) == pytest.approx(width(each["flow_3"]), rel=0.01)
    assert width(one["flow_3"]) > 2 * width(none["flow_3"])


def test_half_a_division_is_what_a_reading_is_good_for() -> None:
    """Typed without uncertainty, 60 mL would count as good to 0.5 mL; on a scale with 5 mL divisions it is good to 2.5 mL."""
    plain = run(["62 mL", "58 mL", "121 mL", "60 mL"])
    coarse = run(["62 mL", "58 mL", "121 mL", "60 mL"], division="5 mL")
    assert width(coarse["percent_of_mean_3"]) == pytest.approx(5 * width(plain["percent_of_mean_3"]), rel=0.01)
    assert any("half a division of 5 mL" in note for note in coarse.notes)


def test_a_typed_uncertainty_stands_before_the_division() -> None:
    assert run(division="20 mL")["percent_of_median_3"] == run()["percent_of_median_3"]


def test_units_of_the_input_do_not_matter() -> None:
    litres = run(["0.062 ± 0.001 L", "0.058 ± 0.001 L", "0.121 ± 0.001 L", "0.060 ± 0.001 L"], time="120 ± 1.2 s")
    for name, estimate in run().outputs.items():
        if name != "stands_out":
            assert litres[name].value == pytest.approx(estimate.value)  # type: ignore[union-attr]
            assert litres[name].high == pytest.approx(estimate.high)  # type: ignore[union-attr]


def test_share_of_a_stated_delivery() -> None:
    """301 mL in 2 min of a pump that delivers 800 mL/min: 18.8 %."""
    assert run(delivery="800 ± 20 mL/min")["share_of_delivery"].value == pytest.approx(100 * 150.5 / 800)
    assert "share_of_delivery" not in run().outputs


def test_four_values_are_not_oversold() -> None:
    """Grubbs and Dixon are reported with what they prove for four values, and a shared fault is called invisible."""
    equal = run(["62 mL", "58 mL", "66 mL", "60 mL"])
    notes = " ".join(equal.notes)
    assert "with 4 values this test can show very little" in notes
    assert "no outlier shown, which does not mean that the injectors are equal" in notes
    assert "cannot see a fault that most injectors share" in notes


def test_the_steps_follow_the_injector_that_stands_out() -> None:
    result = run()
    assert [step.put_in() for step in result.steps] == [
        "121.0 mL / 2.000 min",
        "100 · 4 · 121.0 mL / 301 mL",
        "100 · 121.0 mL / 60 mL",
    ]


def test_the_plot_shows_every_flow_with_its_interval() -> None:
    """Injectors 1 to 4 with flow, interval, mean and the upper limit where there is one."""
    (plot,) = run(flow_limit="<= 40 mL/min").plots
    series = {one.label: one for one in plot.series}
    assert list(series["flow"].x) == [1, 2, 3, 4]
    assert list(series["flow"].y) == [31, 29, 60.5, 30]
    boxes = series["95 % interval"]
    edges = list(zip(boxes.x, boxes.y, boxes.y2, strict=True))
    own = [(low, high) for x, low, high in edges if abs(x - 3) < 0.2 and low != high]
    assert own == [pytest.approx((60.5 - 1.0, 60.5 + 1.0), abs=0.6)] * 2
    assert [low == high for _, low, high in edges[:4]] == [True, False, False, True]
    assert set(series["limit"].y) == {40}
    assert "limit" not in {one.label for one in run().plots[0].series}


def test_the_outlier_tests_name_their_suspect() -> None:
    """Six values, one at twice the others: both tests pass their limit, name injector 3, and only support the ratio."""
    six = run(["62 mL", "58 mL", "121 mL", "60 mL", "61 mL", "59 mL"])
    said = [note for note in six.notes if note.startswith(("Grubbs", "Dixon"))]
    assert len(said) == 2
    assert all("equal injectors would leave injector 3 so far out" in note for note in said)
    assert all(note.endswith("take it as support for the ratio, no more.") for note in said)
    seven = run(["62 mL", "58 mL", "121 mL", "60 mL", "61 mL", "59 mL", "60 mL"])
    assert not any("no more" in note for note in seven.notes)


def test_two_injectors_cannot_accuse_each_other() -> None:
    result = run(["60 ± 1 mL", "90 ± 1 mL"], median_limit="<= 120 %")
    assert [verdict.verdict for verdict in result.verdicts] == ["within", "outside"]
    assert result.outputs["stands_out"] == "one of the two"
    assert run(["60 ± 1 mL", "90 ± 1 mL"]).findings[0].statement.endswith("Which of them is off is not shown.")
    assert "With two injectors a comparison cannot tell which of them is off." in result.notes
    assert "grubbs_g" not in result.outputs


def test_many_injectors_are_taken() -> None:
    result = run([f"{50 + i} ± 1 mL" for i in range(12)], median_limit="<= 150 %")
    assert len(result.verdicts) == 12
    assert "dixon_q" not in result.outputs and "grubbs_g" in result.outputs


def test_nothing_to_compare_is_refused() -> None:
    with pytest.raises(InputError) as refused:
        run(["0 mL", "0 mL", "0 mL", "3 mL"])
    assert str(refused.value) == (
        "volumes: are zero for all injectors but one at most; "
        "collect for longer, or check that the returns run into the cylinders"
    )


def test_a_ratio_to_nearly_nothing_is_refused_where_it_is_asked_for() -> None:
    """Two of four dry: the median of the others is near zero, so the ratio is left out, and a limit on it is refused."""
    assert "percent_of_median_1" not in run(["0 mL", "0 mL", "30 mL", "31 mL"]).outputs
    with pytest.raises(InputError, match=r"median_limit.*too near zero; collect for longer, or judge by flow_limit"):
        run(["0 mL", "0 mL", "30 mL", "31 mL"], median_limit="<= 150 %")


@pytest.mark.parametrize(("spread", "formed"), [("1", True), ("2", False)])
def test_a_ratio_needs_readings_clear_of_zero(spread: str, formed: bool) -> None:
    """3 ± 1 mL is six standard uncertainties from zero, 3 ± 2 mL three: four are asked for."""
    result = run([f"3 ± {spread} mL", f"3 ± {spread} mL", f"4 ± {spread} mL", f"3 ± {spread} mL"])
    assert ("percent_of_median_1" in result.outputs) is formed
    assert any("collect for longer" in note for note in result.notes) is not formed


def test_all_mistakes_are_told_at_once(command: Callable[..., Any]) -> None:
    """Wrong unit, negative time, unknown word, a limit in the wrong kind: a line each, exit code 2."""
    ran = command(
        "returns", "--volumes", "60 mL; 61 bar", "--time", "-2 min", "--cylinders", "three", "--median-limit", "<= 30 mL"
    )  # fmt: skip
    assert ran.code == 2
    assert ran.out == ""
    assert [line.partition(":")[0] for line in ran.err.strip().splitlines()] == [
        "--volumes", "--time", "--cylinders", "--median-limit",
    ]  # fmt: skip


def test_the_command_gives_the_call_s_numbers_as_json(command: Callable[..., Any]) -> None:
    arguments = [part for volume in FOUR for part in ("--volumes", volume)]
    ran = command("returns", *arguments, "--time", "2 ± 0.02 min", "--median-limit", "<= 150 %", "--json")
    assert ran.code == 0
    expected = json.loads(json.dumps(run(median_limit="<= 150 %").to_dict()))
    assert json.loads(ran.out) == expected


def test_a_verdict_can_set_the_exit_code(command: Callable[..., Any]) -> None:
    arguments = ("returns", "--volumes", "; ".join(FOUR), "--time", "2 min", "--median-limit", "<= 150 %")
    assert command(*arguments).code == 0
    assert command(*arguments, "--fail-on", "outside").code == 3


def test_nobody_stands_out_of_readings_that_do_not_tell_them_apart() -> None:
    """23 mL to within a millilitre is 22 mL and 24 mL as well."""
    result = calculate("returns", volumes="22 ± 1 mL; 24 ± 1 mL; 23 ± 1 mL; 23 ± 1 mL", time="1 ± 0.02 min")
    assert result.outputs["stands_out"] == "none"
