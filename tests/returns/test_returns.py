"""The return balance as a technician uses it."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from typing import Any

import pytest

from baybook import calculate
from baybook.cautions import RUNNING_ENGINE
from baybook.errors import InputError
from baybook.registry import registry

FOUR = ["62 ± 1 mL", "58 ± 1 mL", "121 ± 1 mL", "60 ± 1 mL"]


def run(volumes: list[str] | str = "", **inputs: Any) -> Any:
    return calculate("returns", volumes=volumes or FOUR, **({"time": "2 ± 0.02 min"} | inputs))


def number(result: Any, output: str, injector: int) -> Any:
    """The estimate of an injector, numbered from 1."""
    return result.vector(output)[injector - 1]


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
    assert number(result, "percent_of_median", 3).value == pytest.approx(100 * 121 / 60)
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
    """At a rail pressure that is said and not low, by their flow; what it clears is this condition alone."""
    (finding,) = run(flow_limit="<= 70 mL/min", rail_pressure="280 ± 10 bar").findings
    assert finding.strength == "cleared"
    assert "nothing about another condition, nor about what the injectors inject" in finding.statement
    assert "explain the complaint" not in finding.statement + finding.next_test
    assert "in another condition the returns are still open" in finding.next_test


@pytest.mark.parametrize("limit", [{"median_limit": "<= 150 %"}, {"flow_limit": "min 10 mL/min"}])
def test_a_comparison_alone_clears_nothing(limit: dict[str, str]) -> None:
    """common practice, no source: four alike at twice the limit are a worn set. Only an upper limit of the flow tells."""
    alike = ["90 mL", "92 mL", "95 mL", "91 mL"]
    (finding,) = run(alike, time="60 s", rail_pressure="300 bar", **limit).findings
    assert finding.strength == "undecided"
    assert "the flows were not compared with an upper limit" in finding.statement
    assert "(flow_limit)" in finding.next_test and "supply" not in finding.next_test


def test_a_whole_set_above_the_limit_is_not_exchanged_like_for_like() -> None:
    """common practice, no source: rail pressure, fuel and return pressure come before the set; one finding says so."""
    result = run(["90 mL", "92 mL", "95 mL", "91 mL"], time="60 s", rail_pressure="300 bar", flow_limit="<= 45 mL/min")
    (finding,) = result.findings
    assert (result.outputs["stands_out"], finding.strength) == ("all injectors", "indicated")
    assert "exchange hoses" not in finding.next_test
    assert "rail pressure and fuel of the limit's condition" in finding.next_test
    assert "a pressure in the return" in finding.next_test


def test_all_that_are_beyond_a_limit_stand_out() -> None:
    """30; 92; 95; 31 mL: 92 and 95 are three times the median of their others (31), the greater is no less named."""
    result = run(["30 mL", "92 mL", "95 mL", "31 mL"], time="60 s", median_limit="max 150 %")
    assert result.outputs["stands_out"] == "injectors 2 and 3"
    assert result.steps[0].put_in().startswith("95")


@pytest.mark.parametrize("volumes", ["0 mL; 0 mL; 25 mL; 0 mL", "3 mL; 2 mL; 80 mL; 0 mL"])
def test_one_that_dumps_beside_nothing_stands_out_without_a_limit(volumes: str) -> None:
    """Cranking, a no-start: injector 3 returns by far the most; that another returned nothing does not hide it."""
    result = run(volumes, time="15 s", condition="cranking")
    assert result.outputs["stands_out"] == "injector 3"
    assert result.findings[0].statement.startswith("Injector 3 stands out with ")


def test_a_cylinder_that_ran_over_stands_out_without_a_limit() -> None:
    """30, 32, more than 100, 31 mL: at least 100/31 = 322 % of the others' median, told as what is certain."""
    result = run(["30 mL", "32 mL", "> 100 mL", "31 mL"], time="60 s", rail_pressure="300 bar")
    assert result.outputs["stands_out"] == "injector 3"
    shown = re.search(r"Injector 3 stands out with at least (\d+) % of what the others returned", result.findings[0].statement)
    assert shown and 310 <= int(shown[1]) <= 322
    unclear = run(["> 40 mL", "60 mL", "30 mL", "31 mL"], time="60 s")
    assert unclear.outputs["stands_out"] == "none" and "larger cylinders" in unclear.findings[0].next_test


def test_a_cylinder_that_ran_over_asks_for_a_larger_one() -> None:
    """More than 40 mL may be within 150 % of 31 mL or not; the way out is a larger cylinder or a shorter time."""
    result = run(["30 mL", "32 mL", "> 40 mL", "31 mL"], time="60 s", median_limit="max 150 %")
    assert words(result)[2][1] == "undecided"
    assert result.outputs["stands_out"] == "injector 3 undecided"
    assert "larger cylinders, or for a shorter time" in result.findings[0].next_test
    assert "too near zero" not in " ".join(result.notes)


def test_of_cylinders_that_all_ran_over_none_is_singled_out() -> None:
    four = run(["> 100 mL"] * 4, time="60 s", flow_limit="max 45 mL/min")
    assert four.outputs["stands_out"] == "all injectors"
    assert run(["> 100 mL"] * 4, time="60 s").outputs["stands_out"] == "none"


def test_a_bound_beyond_a_limit_is_not_shown_as_the_limit() -> None:
    """50 against the middle one of 31, 32 and more than 40 mL is 156 % (154 % with 95 %); and injector 4 may be larger yet."""
    result = run(["50 mL", "31 mL", "32 mL", "> 40 mL"], time="60 s", median_limit="max 150 %")
    assert result.outputs["stands_out"] == "injector 1; injector 4 undecided"
    shown = re.search(r"of at least ([\d.]+) % is outside", result.findings[0].statement)
    assert shown and 150 < float(shown[1]) < 156.3


def test_of_two_that_were_only_compared_none_is_accused() -> None:
    """common practice, no source. A flow limit names the one that is beyond it."""
    (finding,) = run(["60 mL", "90 mL"], median_limit="<= 120 %").findings
    assert finding.statement == "The two injectors differ by more than the limit allows. Which of them is off is not shown."
    assert "(flow_limit)" in finding.next_test
    named = run(["60 mL", "90 mL"], median_limit="<= 120 %", flow_limit="<= 35 mL/min")
    assert named.outputs["stands_out"] == "injector 2"
    assert named.findings[0].statement.startswith("Injector 2: flow")


def test_returns_that_eat_the_pump_are_said() -> None:
    """60 and 91 mL in a minute of a pump that delivers 150 mL/min: 100.7 %."""
    for limit in ({}, {"flow_limit": "<= 100 mL/min", "rail_pressure": "300 bar"}):
        found = run(["60 mL", "91 mL"], time="60 s", delivery="150 mL/min", **limit).findings
        assert found[0].strength == "indicated" and "all that the pump is said to deliver" in found[0].statement
        assert not any(finding.strength == "cleared" for finding in found)


@pytest.mark.parametrize("limit", [{"median_limit": "max 150 %"}, {"flow_limit": "max 45 mL/min"}])
def test_one_far_below_the_others_is_asked_about_and_clears_nothing(limit: dict[str, str]) -> None:
    """common practice, no source: 5 mL beside 31 is a hose that is blocked or slipped off; what it lost was not judged."""
    result = run(["30 mL", "32 mL", "5 mL", "31 mL"], time="60 s", rail_pressure="300 bar", **limit)
    (finding,) = result.findings
    assert finding.strength == "indicated" and finding.statement.startswith("Injector 3 returned less than half")
    assert "hose" in finding.next_test
    assert not any("support for the ratio" in note for note in result.notes)
    assert "hose" in run(["30 mL", "32 mL", "5 mL", "31 mL"], time="60 s").findings[0].next_test
    assert "less than half" not in str(run(["30 mL", "92 mL", "95 mL", "31 mL"], time="60 s", **limit).findings)
    three = run(["30 mL", "92 mL", "95 mL", "93 mL", "31 mL"], time="60 s", flow_limit="max 45 mL/min")
    assert "less than half" not in str(three.findings)
    beside = run(["30 mL", "32 mL", "5 mL", "95 mL"], time="60 s", flow_limit="max 45 mL/min")
    assert [finding.strength for finding in beside.findings] == ["indicated", "indicated"]


def test_without_the_rail_pressure_within_clears_nothing() -> None:
    """common practice, no source: a leak that pressure opens does not show at a low one. The question heads the next tests."""
    (finding,) = run(flow_limit="<= 70 mL/min").findings
    assert finding.strength == "undecided"
    assert finding.next_test.startswith("say at which rail pressure the returns were collected (rail_pressure)")


@pytest.mark.parametrize(
    ("pressure", "condition", "strength"),
    [
        ("60 bar", "cranking", "undecided"), ("160 bar", "cranking", "cleared"), ("160 bar", "idle", "undecided"),
        ("160 bar", None, "undecided"), ("280 bar", "idle", "cleared"), ("28 MPa", "raised", "cleared"),
    ],
)  # fmt: skip
def test_a_low_rail_pressure_is_said_and_clears_nothing(pressure: str, condition: str | None, strength: str) -> None:
    """common practice, no source: some 100 bar while cranking and 200 bar with the engine running are the least."""
    (finding,) = run(flow_limit="<= 70 mL/min", rail_pressure=pressure, condition=condition).findings
    assert finding.strength == strength
    assert (f"the rail stood at {pressure} only" in finding.statement) is (strength == "undecided")
    assert ("feed pressure and flow first" in finding.next_test) is (strength == "undecided")


def test_a_place_that_was_not_measured_keeps_the_numbering() -> None:
    """Four injectors, the third's hose came off: the fourth with twice the others' return is injector 4."""
    result = run(["30 mL", "31 mL", "-", "60 mL"], median_limit="max 150 %")
    assert words(result) == [
        ("injector 1, percent of median", "within"), ("injector 2, percent of median", "within"),
        ("injector 4, percent of median", "outside"),
    ]  # fmt: skip
    assert [flow is None for flow in result.vector("flow")] == [False, False, True, False]
    assert result.findings[0].statement.startswith("Injector 4: ")
    assert "Not measured: injector 3. The numbers stay those of the cylinders." in result.notes
    assert result.steps[0].put_in() == "60 mL / 2.000 min"
    assert list(result.plots[0].series[1].x) == [1, 2, 4]


@pytest.mark.parametrize("volumes", ["30 ml; 31 ml; ; 60 ml", ["30 ml", "", "60 ml"], ["30 ml", "", "60 ml", "31 ml"]])
def test_an_empty_place_is_refused_and_never_renumbers(volumes: Any) -> None:
    with pytest.raises(InputError, match=r"has nothing at place [23]; write - for one that was not measured"):
        run(volumes, median_limit="max 150 %")


def test_a_set_with_a_gap_is_not_cleared() -> None:
    (finding,) = run(["30 mL", "31 mL", "-", "30 mL"], flow_limit="max 45 mL/min", rail_pressure="280 bar").findings
    assert finding.strength == "undecided"
    assert "not measured: injector 3." in finding.statement


def test_a_cylinder_that_ran_over_is_at_least_what_it_holds() -> None:
    """More than 100 mL beside 30 mL: at least three times the others and 50 mL/min; no total, no number for it."""
    result = run(["30 mL", "31 mL", "> 100 mL", "29 mL"], median_limit="max 150 %", flow_limit="max 45 mL/min")
    outside = [what for what, word in words(result) if word == "outside"]
    assert outside == ["injector 3, flow", "injector 3, percent of median"]
    statement = result.findings[0].statement
    assert "flow of at least 50 mL/min is outside at most 45 mL/min" in statement
    assert "percent of median of at least 320 % is outside at most 150 %" in statement
    assert number(result, "flow", 3) is None
    assert not {"total", "mean", "spread", "percent_of_median"} & set(result.outputs)
    assert any("Injector 3 ran its cylinder over" in note for note in result.notes)


def test_a_bound_never_says_within_a_limit_above_it() -> None:
    """At least 50 mL/min against at most 60: nobody knows; against at least 40 it is within."""
    result = run(["30 mL", "31 mL", "> 100 mL", "29 mL"], flow_limit="max 60 mL/min")
    assert [word for _, word in words(result)] == ["within", "within", "undecided", "within"]
    low = run(["30 mL", "31 mL", "> 100 mL", "29 mL"], flow_limit="min 40 mL/min")
    assert words(low)[2][1] == "within"


CRANKED = {"time": "30 s", "rail_pressure": "160 bar", "condition": "cranking"}


def test_zeros_are_readings_against_a_flow_limit() -> None:
    """0, 0, 14, 0 mL in 30 s: injector 3 returns 28 mL/min, the others less than 2; a flow limit needs no median."""
    result = run("0 ml;0 ml;14 ml;0 ml", flow_limit="max 6 ml/min", **CRANKED)
    assert [word for _, word in words(result)] == ["within", "within", "outside", "within"]
    assert result.outputs["stands_out"] == "injector 3"


def test_far_above_nearly_nothing_is_outside_a_ratio() -> None:
    """14 against 1 ± 0.5 mL is 13.5/1.5 = 900 % at least: outside 150 %, though no ratio can be told as a number."""
    result = run("1 ml;1 ml;14 ml;1 ml", median_limit="max 150 %", **CRANKED)
    assert words(result)[2] == ("injector 3, percent of median", "outside")
    assert "percent_of_median" not in result.outputs
    shown = re.search(r"of at least (\d+) %", result.findings[0].statement)
    assert shown and 900 <= int(shown[1]) <= 1400
    zeros = run("0 ml;0 ml;14 ml;0 ml", median_limit="max 150 %", **CRANKED)
    assert words(zeros)[2] == ("injector 3, percent of median", "outside")
    sharp = run(["0 ± 0 mL", "0 ± 0 mL", "14 mL", "0 ± 0 mL"], median_limit="max 150 %", **CRANKED)
    assert "percent of median beyond any number is outside" in sharp.findings[0].statement


def test_nothing_from_any_injector_is_a_good_cranking_result() -> None:
    result = run("0 ml;0 ml;0 ml;0 ml", flow_limit="max 6 ml/min", **CRANKED)
    assert {word for _, word in words(result)} == {"within"}
    assert result.findings[0].strength == "cleared"
    assert run("0 ml;0 ml;0 ml;0 ml", **CRANKED).findings[0].strength == "undecided"


def test_the_plainest_fault_is_decided_and_nothing_is_negative() -> None:
    """45 against about nothing, against the mean of the others: outside, whatever the others' uncertainty, and no pole."""
    for spread in ("0.5", "1", "1.9", "2", "3"):
        result = run(
            ["45 ± 1 mL", f"0 ± {spread} mL", f"0.5 ± {spread} mL", f"0 ± {spread} mL"], others_limit="<= 150 %",
            mean_limit="<= 150 %", time="1 ± 0.02 min",
        )  # fmt: skip
        assert [what for what, word in words(result) if word == "outside"] == [
            "injector 1, percent of others", "injector 1, percent of mean",
        ]  # fmt: skip
        told = [found for found in result.outputs.values() if not isinstance(found, str)]
        assert all(one.low >= 0 for found in told for one in (found if isinstance(found, tuple) else (found,)))


def test_more_return_is_never_less_outside() -> None:
    """The chance to conform falls as the injector's own return rises."""
    chances = [
        run([f"{own} ± 1 mL", "3 ± 2 mL", "2 ± 2 mL", "3 ± 2 mL"], others_limit="<= 150 %").verdicts[0].probability
        for own in (2, 4, 6, 9, 15, 45)
    ]
    assert chances == sorted(chances, reverse=True)
    assert chances[0] > 0.4 and chances[-1] < 0.05


def test_one_common_return_is_not_forced_into_injectors() -> None:
    with pytest.raises(InputError) as refused:
        run("600 ml", median_limit="max 150 %")
    assert str(refused.value) == (
        'volumes: "600 ml" is one reading, and shows no injector by itself; collect every injector into a cylinder of its own; '
        "where the hoses cannot be parted, judge the common return against the maker's limit for the whole set (calculator "
        "common-return), and do not split it evenly"
    )


def test_one_measured_of_several_is_judged_by_flow_alone() -> None:
    assert words(run("-; 30 mL; -; -", flow_limit="max 45 mL/min")) == [("injector 2, flow", "within")]
    with pytest.raises(InputError, match="median_limit: has one measured injector only; give more, or flow_limit"):
        run("-; 30 mL; -; -", median_limit="max 150 %")


def test_nobody_is_accused_of_a_millilitre() -> None:
    """22, 21, 23, 22 mL: the second and the third are as far off; all within a limit, or without one, none stands out."""
    values = ["22 mL", "21 mL", "23 mL", "22 mL"]
    assert run(values).outputs["stands_out"] == "none"
    assert run(values, median_limit="max 150 %").outputs["stands_out"] == "none"
    assert "none stands out" in run(values).findings[0].statement


def test_whole_millilitres_are_no_outliers() -> None:
    """1, 0, 1, 1 mL read to whole mL differ by less than the reading makes: no test speaks of 5 in 100 sets."""
    result = run(["1 mL", "0 mL", "1 mL", "1 mL"])
    assert result.outputs["stands_out"] == "none"
    assert not any("5 of 100" in note for note in result.notes)
    assert any("no larger than the readings' own errors" in note for note in result.notes)
    assert "grubbs_g" not in result.outputs


def test_an_excess_is_not_called_a_leak_before_hose_and_cylinder_were_exchanged() -> None:
    """common practice, no source."""
    meaning = registry().calculator("returns").meanings[0]
    assert meaning.says.startswith("it may leak inside") and meaning.next_test.startswith("exchange hose and cylinder first")
    (finding,) = run(median_limit="<= 150 %").findings
    assert "until hose and cylinder were exchanged they may be the cause" in finding.statement
    assert "rail seen to fall to zero again, key off, waited" in finding.next_test


def test_the_procedure_closes_no_return_and_puts_everything_back() -> None:
    """common practice, no source: the hand never meets a rail under pressure, nor shuts the return of pump, rail or valve."""
    how = registry().calculator("returns").how
    assert "piezo" in how.conditions[0].otherwise and "leave this test" in how.conditions[0].otherwise
    plug = next(action for action in how.actions if action.text == "Plug open tank line.")
    assert plug.caution and plug.caution.text.startswith(
        "Never close, pinch or plug the return of an injector, pump, rail or pressure valve"
    )
    assert any(caution.short == "Hot." for caution in how.cautions)
    assert RUNNING_ENGINE in registry().calculator("returns").cautions
    ending = ["Refit hoses.", "Wipe; count tools.", "Run; look from afar; wet: stop.", "Stop; switch off."]
    assert [action.text for action in how.actions][-4:] == ending


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
    assert width(number(vague, "flow", 3)) > 2 * width(number(sharp, "flow", 3))
    for name in ("percent_of_median", "percent_of_mean"):
        assert width(number(vague, name, 3)) == pytest.approx(width(number(sharp, name, 3)), rel=1e-9)
    assert width(vague["spread"]) == pytest.approx(width(sharp["spread"]), rel=1e-9)


def test_one_cylinder_for_all_cancels_in_ratios_and_one_for_each_does_not() -> None:
    """The calibration of a cylinder that measured them all is a shared error; of separate ones, each its own."""
    none, one, each = run(), run(calibration="4 %", cylinders="one"), run(calibration="4 %", cylinders="each")
    for name in ("percent_of_median", "percent_of_mean"):
        without, common, own = (width(number(result, name, 3)) for result in (none, one, each))
        assert common == pytest.approx(without, rel=1e-9)
        assert own > 1.5 * without
    assert width(number(one, "flow", 3)) == pytest.approx(width(number(each, "flow", 3)), rel=0.01)
    assert width(number(one, "flow", 3)) > 2 * width(number(none, "flow", 3))


def test_half_a_division_is_what_a_reading_is_good_for() -> None:
    """Typed without uncertainty, 60 mL would count as good to 0.5 mL; on a scale with 5 mL divisions it is good to 2.5 mL."""
    plain = run(["62 mL", "58 mL", "121 mL", "60 mL"])
    coarse = run(["62 mL", "58 mL", "121 mL", "60 mL"], division="5 mL")
    fine, wide = (width(number(result, "percent_of_mean", 3)) for result in (plain, coarse))
    assert wide == pytest.approx(5 * fine, rel=0.01)
    assert any("half a division of 5 mL" in note for note in coarse.notes)


def test_a_typed_uncertainty_stands_before_the_division() -> None:
    assert number(run(division="20 mL"), "percent_of_median", 3) == number(run(), "percent_of_median", 3)


def test_units_of_the_input_do_not_matter() -> None:
    litres = run(["0.062 ± 0.001 L", "0.058 ± 0.001 L", "0.121 ± 0.001 L", "0.060 ± 0.001 L"], time="120 ± 1.2 s")
    for name, found in run().outputs.items():
        if name != "stands_out":
            both = (litres.outputs[name], found) if isinstance(found, tuple) else ((litres.outputs[name],), (found,))
            for other, estimate in zip(*both, strict=True):
                assert (other.value, other.high) == pytest.approx((estimate.value, estimate.high))


def test_share_of_a_stated_delivery() -> None:
    """301 mL in 2 min of a pump that delivers 800 mL/min: 18.8 %."""
    assert run(delivery="800 ± 20 mL/min")["share_of_delivery"].value == pytest.approx(100 * 150.5 / 800)
    assert "share_of_delivery" not in run().outputs


def test_four_values_are_not_oversold() -> None:
    """Grubbs and Dixon are reported with what they prove for four values, and a shared fault is called invisible."""
    equal = run(["62 mL", "58 mL", "66 mL", "60 mL"])
    notes = " ".join((*equal.notes, *equal.background))
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
    """Six values, one at twice the others: both tests pass their limit, name injector 3, and prove little."""
    six = run(["62 mL", "58 mL", "121 mL", "60 mL", "61 mL", "59 mL"])
    said = [note for note in six.background if note.startswith(("Grubbs", "Dixon"))]
    assert len(said) == 2
    assert all("would leave one so far out, here injector 3," in note for note in said)
    assert all(note.endswith("by itself it proves little.") for note in said)
    seven = run(["62 mL", "58 mL", "121 mL", "60 mL", "61 mL", "59 mL", "60 mL"])
    assert not any("proves little" in note for note in seven.notes)


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


def test_a_ratio_to_nearly_nothing_is_judged_and_not_told() -> None:
    """Two of four dry: the median of the others is near zero for two of them; what is certain is said, the rest left open."""
    result = run(["0 mL", "0 mL", "30 mL", "31 mL"], median_limit="<= 150 %")
    assert "percent_of_median" not in result.outputs
    assert [word for _, word in words(result)] == ["within", "within", "outside", "outside"]


@pytest.mark.parametrize(("spread", "formed"), [("1", True), ("2", False)])
def test_a_ratio_needs_readings_clear_of_zero(spread: str, formed: bool) -> None:
    """3 ± 1 mL is six standard uncertainties from zero, 3 ± 2 mL three: four are asked for."""
    given = [f"3 ± {spread} mL", f"3 ± {spread} mL", f"4 ± {spread} mL", f"3 ± {spread} mL"]
    result = run(given, median_limit="<= 150 %")
    assert ("percent_of_median" in result.outputs) is formed
    assert any("judged by the least that it is" in note for note in result.notes) is not formed


def test_all_mistakes_are_told_at_once(command: Callable[..., Any]) -> None:
    """Wrong unit, negative time, unknown word, a limit in the wrong kind: a line each, exit code 2."""
    ran = command(
        "returns", "--volumes", "60 mL; 61 bar", "--time", "-2 min", "--cylinders", "three", "--median-limit", "<= 30 mL"
    )  # fmt: skip
    assert ran.code == 2
    assert ran.out == ""
    assert [line.partition(":")[0] for line in ran.err.strip().splitlines()] == [
        "--volumes", "--time", "--measuring-cylinders", "--median-limit",
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


def test_a_delivery_whose_uncertainty_reaches_zero_is_worked_with() -> None:
    result = run(["30 ± 1 mL", "31 ± 1 mL", "32 ± 1 mL"], delivery="800 ± 800 mL/min")
    assert result["share_of_delivery"].low < 100 * 46.5 / 800 < result["share_of_delivery"].high
