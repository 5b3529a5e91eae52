"""Static leak-off, a common return with one injector shut off at a time, and the returns of injectors, valve and pump.

What readings mean is common practice, no source; numbers are checked by hand or against JCGM 100:2008.
"""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable
from math import hypot
from random import Random
from typing import Any

import pytest

from baybook import calculate
from baybook.errors import InputError
from baybook.registry import registry
from baybook.testing import conformance
from baybook_plugins.returns.sheet_card import sheet

NAMES = ("static-return", "common-return", "return-parts")
test_static_return = conformance(registry().calculator("static-return"))
test_common_return = conformance(registry().calculator("common-return"))
test_return_parts = conformance(registry().calculator("return-parts"))

REST = {"volumes": ["2.0 mL", "2.5 mL", "11.0 mL", "1.5 mL"], "time": "30 s", "rail_pressure": "600 bar"}
OFF = ["330 ± 1 mL", "325 ± 1 mL", "250 ± 1 mL", "335 ± 1 mL"]
COMMON = {"total": ["400 ± 1 mL", "402 ± 1 mL"], "time": "120 ± 0.1 s", "without": OFF, "rail_pressure": "300 bar",
          "condition": "idle"}  # fmt: skip
PARTS = {"injectors": "120 ± 1 mL", "valve": "300 ± 1 mL", "time": "60 ± 0.1 s", "rail_pressure": "300 bar",
         "outlet_valve": "driven-shut", "condition": "idle"}  # fmt: skip


def static(**inputs: Any) -> Any:
    return calculate("static-return", **(REST | inputs))


def common(**inputs: Any) -> Any:
    return calculate("common-return", **(COMMON | inputs))


def parts(**inputs: Any) -> Any:
    return calculate("return-parts", **(PARTS | inputs))


def words(result: Any) -> list[tuple[str, str]]:
    return [(str(verdict.what), verdict.verdict) for verdict in result.verdicts]


def said(result: Any) -> str:
    return " ".join(str(finding.statement) for finding in result.findings)


def answers(result: Any) -> dict[tuple[str, str], float]:
    return {(answer.question, answer.object): answer.conforms for answer in result.answers}


# At rest


def test_an_injector_that_leaks_at_rest_is_named_and_a_nozzle_is_not_cleared() -> None:
    result = static(flow_limit="<= 10 mL/min; sheet 4")
    assert words(result)[2] == ("injector 3, flow", "outside")
    assert result.outputs["stands_out"] == "injector 3"
    assert any("a nozzle's seat does not show here" in note for note in result.notes)
    assert any("One for an engine that runs allows far more" in note for note in result.notes)
    within = static(flow_limit="<= 30 mL/min")
    assert within.findings[0].strength == "cleared"
    assert "leaks into its cylinder, not into the return" in said(within)
    assert "calculator returns" in within.findings[0].next_test and "calculator hold" in within.findings[0].next_test


def test_at_rest_nothing_is_as_it_should_be() -> None:
    """An injector that returns next to nothing at rest is tight: nobody looks for a broken wire, and it does not stand out."""
    result = static(volumes=["2.0 mL", "2.1 mL", "0.0 mL", "2.0 mL"], flow_limit="<= 10 mL/min")
    assert result.outputs["stands_out"] == "none"
    assert {question for question, _ in answers(result)} == {""}
    assert all(chance > 0.95 for chance in answers(result).values())
    assert static(volumes=["2.0 mL", "2.1 mL", "0.0 mL", "2.0 mL"]).outputs["stands_out"] == "none"
    assert answers(static(volumes=["0.2 mL", "0.2 mL", "2.0 mL", "0.2 mL"])) == {}


def test_a_low_or_unknown_pressure_at_rest_clears_nothing() -> None:
    low = static(flow_limit="<= 30 mL/min", rail_pressure="60 bar")
    assert low.findings[0].strength == "undecided" and low.met == {"pressure": False}
    assert "was not said" in said(calculate("static-return", volumes=REST["volumes"], time="30 s", flow_limit="<= 30 mL/min"))


# A common return


def test_shares_are_differences_by_hand() -> None:
    """401 in the middle, less 330, 325, 250, 335 mL in 2 min; the rest is 200.5 − (35.5 + 38 + 75.5 + 33)."""
    result = common(median_limit="<= 150 %", total_limit="<= 180 mL/min")
    assert [share.value for share in result.vector("share")] == pytest.approx([35.5, 38.0, 75.5, 33.0])
    assert result["total"].value == pytest.approx(200.5) and result["rest"].value == pytest.approx(18.5)
    assert result.vector("percent_of_median")[2].value == pytest.approx(100 * 75.5 / 35.5)
    assert result.outputs["stands_out"] == "injector 3"
    assert ("injector 3, percent of median", "outside") in words(result) and words(result)[-1] == ("total", "outside")
    assert "What leaks from it at rest is not in this number" in said(result)


def test_the_interval_of_a_difference_is_that_of_the_guide() -> None:
    """JCGM 100:2008, 5.1.2: u² of a difference is the sum of both u²; each collection has its own error of time, 5.1.6."""
    result = common(total=["400 ± 1.96 mL"], time="120 ± 1.2 s", without=["330 ± 1.96 mL", "325 ± 1.96 mL", "300 ± 1.96 mL"])
    u_time = 1.2 / 1.96 / 120
    for share, off in zip(result.vector("share"), (330, 325, 300), strict=True):
        u = hypot(hypot(1.0, 400 * u_time), hypot(1.0, off * u_time)) / 2
        assert (share.high - share.low) / 2 == pytest.approx(1.96 * u, rel=0.05)


def test_totals_that_drifted_leave_the_reference_between_them() -> None:
    steady, drifted = common(total=["400 ± 0.1 mL"] * 2), common(total=["392 ± 0.1 mL", "408 ± 0.1 mL"])
    assert drifted.vector("share")[0].value == pytest.approx(steady.vector("share")[0].value)
    low, high = drifted.vector("share")[0].low, drifted.vector("share")[0].high
    assert (low, high) == pytest.approx((35 - 4, 35 + 4), abs=0.5)
    assert any("collected once" in note for note in common(total=["400 mL"]).notes)
    assert not any("collected once" in note for note in steady.notes)


def test_intervals_of_shares_hold_the_truth_as_often_as_they_say() -> None:
    """Over 150 invented engines of known shares, each read with normal errors, 95 % hold it in 92 to 98 %."""
    random, held, total = Random(7), 0, 0
    for _ in range(150):
        shares = [random.uniform(60, 90) for _ in range(4)]
        whole = sum(shares) + 60
        read = [f"{whole + random.gauss(0, 1):.4f} ± 1.96 mL"]
        off = [f"{whole - share + random.gauss(0, 1):.4f} ± 1.96 mL" for share in shares]
        found = common(total=read, without=off, time="1 ± 0 min").vector("share")
        held += sum(estimate.low <= share <= estimate.high for estimate, share in zip(found, shares, strict=True))
        total += 4
    assert 0.92 < held / total < 0.98


@pytest.mark.parametrize(
    ("limit", "told"),
    [
        ({}, "All injectors together return 200.50 mL/min. Without a limit it has no verdict."),
        ({"total_limit": "<= 200.5 mL/min"}, "too uncertain to be judged against at most 200.5 mL/min."),
        ({"total_limit": ">= 100 mL/min"}, "This clears nothing: the flows were not compared with an upper limit."),
    ],
)
def test_all_together_alone_clear_nothing_without_an_upper_limit(limit: dict[str, str], told: str) -> None:
    (one,) = common(without=None, **limit).findings
    assert str(one.statement).endswith(told) and one.strength == "undecided"


def test_the_rest_is_told_only_where_every_injector_was_shut_off() -> None:
    found = common(without=[OFF[0], "-", *OFF[2:]])
    assert "rest" not in found.outputs
    assert [share.value if share else None for share in found.vector("share")] == pytest.approx([35.5, None, 75.5, 33.0])


def test_a_difference_that_drowns_is_told_and_clears_no_injector() -> None:
    result = common(total=["480 mL"], without=["474 mL", "476 mL", "477 mL", "478 mL"], time="60 s", share_limit="<= 60 mL/min")
    assert "drown in the two readings" in said(result)
    assert answers(result)["", "injector 4"] == 0.5
    assert not any(finding.strength == "cleared" for finding in result.findings)
    undecided = common(total=["480 mL"], without=["474 mL", "476 mL", "477 mL", "420 mL"], time="60 s",
                       share_limit="<= 60 mL/min")  # fmt: skip
    assert words(undecided)[3] == ("injector 4, share", "undecided")


def test_an_injector_whose_shut_off_changes_nothing_was_not_working() -> None:
    result = common(without=["330 ± 1 mL", "325 ± 1 mL", "400 ± 1 mL", "335 ± 1 mL"], median_limit="<= 150 %")
    assert "It was not working before, or the shut-off did not reach it" in said(result)
    assert answers(result)["dry", "injector 3"] < 0.06
    assert result.outputs["stands_out"] == "injector 3 far below the others"
    (dead,) = (finding for finding in result.findings if "was not working" in str(finding.statement))
    assert "calculator coil" in dead.next_test


def test_what_stays_whichever_is_shut_off_is_a_leak_at_rest_or_another_part() -> None:
    leaking = common(total=["600 ± 1 mL"] * 2, without=["530 ± 1 mL", "526 ± 1 mL", "528 ± 1 mL", "532 ± 1 mL"])
    assert "a leak at rest of one or several, or another part" in said(leaking)
    assert "stays, whichever" not in said(common())


def test_the_total_is_cleared_only_at_a_known_pressure() -> None:
    cleared = common(total_limit="<= 240 mL/min", without=None)
    assert [finding.strength for finding in cleared.findings] == ["cleared"]
    assert answers(cleared) == {("total high", ""): pytest.approx(1.0, abs=1e-6)}
    unknown = calculate("common-return", total=["400 mL"], time="120 s", total_limit="<= 240 mL/min")
    assert "This clears nothing: at which rail pressure" in said(unknown)
    assert common(total_limit="<= 240 mL/min", rail_pressure="90 bar").met == {"pressure": False}


def test_a_total_beyond_its_limit_asks_for_one_off_at_a_time_where_that_is_open() -> None:
    alone, shared = common(total_limit="<= 150 mL/min", without=None), common(total_limit="<= 150 mL/min")
    assert "shut off one injector at a time" in alone.findings[-1].next_test
    assert "shut off one" not in shared.findings[-1].next_test
    assert "shut off one" not in common(total_limit="<= 150 mL/min", without=None, condition="static").findings[-1].next_test


def test_shares_within_their_limit_do_not_clear_a_leak_at_rest() -> None:
    (finding,) = common(share_limit="<= 90 mL/min").findings
    assert finding.strength == "undecided" and "A leak at rest stays in every reading" in str(finding.statement)


@pytest.mark.parametrize(
    ("wrong", "line"),
    [
        ({"condition": "static"}, "without: is of injectors that are driven"),
        ({"without": None, "share_limit": "<= 60 mL/min"}, "share_limit: is for what one injector adds"),
        (
            {"without": ["330 mL", "-", "-", "-"], "median_limit": "<= 150 %"},
            "median_limit: has one injector that was shut off",
        ),
        ({"total": ["480 mL", "475 mL", "380 mL"]}, 'total: "480 mL; 475 mL; 380 mL" differ by too much to be of all working'),
        ({"without": ["460 mL", "325 mL", "250 mL", "335 mL"]}, 'without: "460 mL" with injector 1 off is more than with all'),
    ],
)
def test_what_cannot_be_of_a_common_return_is_refused(wrong: dict[str, Any], line: str) -> None:
    with pytest.raises(InputError) as refused:
        common(**wrong)
    assert str(refused.value).startswith(line)


# By part


def test_the_parts_add_up_and_the_pump_itself_takes_nothing_of_what_it_gives() -> None:
    """120 + 300 + 900 mL in a minute; of 600 mL/min that the pump gives 420, and 180 are left."""
    result = parts(pump_own="900 ± 1 mL", delivery="600 ± 1 mL/min")
    assert result["total"].value == pytest.approx(1320) and result["share_of_delivery"].value == pytest.approx(70)
    assert result["left"].value == pytest.approx(180) and result.outputs["largest"] == "the outlet valve"
    assert any("never reaches the rail" in note for note in result.notes)


def test_each_part_is_found_at_its_own_stage() -> None:
    result = parts(pump_own="2600 ± 5 mL", valve_limit="<= 30 mL/min", pump_limit="500 to 1500 mL/min",
                   injectors_limit="<= 90 mL/min")  # fmt: skip
    assert [(finding.stage, finding.strength) for finding in result.findings] == [
        ("delivery", "indicated"), ("storage", "indicated"), ("generation", "indicated"),
    ]  # fmt: skip
    (starved,) = parts(pump_own="200 ± 5 mL", pump_limit="500 to 1500 mL/min").findings
    assert (starved.stage, starved.strength) == ("supply", "indicated")


def test_a_valve_that_was_not_driven_shut_is_accused_of_nothing() -> None:
    result = parts(outlet_valve="controlling", valve_limit="<= 30 mL/min")
    assert words(result) == [("valve", "undecided")] and result.met["shut"] is False
    assert "it may let out what is not needed" in said(result) and not any(q == "valve high" for q, _ in answers(result))
    with pytest.raises(InputError, match="outlet_valve"):
        calculate("return-parts", valve="300 mL", time="60 s", valve_limit="<= 30 mL/min")


def test_returns_that_are_nothing_have_no_largest() -> None:
    result = calculate("return-parts", injectors="0 mL", valve="0 mL", pump_own="0 mL", time="60 s")
    assert str(result.outputs["largest"]) == "none that can be told from nothing"
    assert "returns most" not in str(result.findings[0].statement)


def test_all_that_the_pump_gives_comes_back() -> None:
    """420 of 425 mL/min: 99 %."""
    result = parts(delivery="425 ± 2 mL/min")
    assert "next to nothing is left" in said(result) and "the outlet valve takes most" in said(result)
    assert "next to nothing" not in said(parts(delivery="900 ± 2 mL/min"))


def test_what_is_within_clears_only_at_a_known_pressure() -> None:
    good = parts(injectors_limit="<= 180 mL/min", valve_limit="<= 400 mL/min")
    assert [finding.strength for finding in good.findings] == ["cleared", "undecided"]
    low = parts(injectors_limit="<= 180 mL/min", rail_pressure="90 bar")
    assert low.findings[0].strength == "undecided" and "it clears nothing" in said(low)


@pytest.mark.parametrize(
    ("wrong", "line"),
    [
        ({"injectors": None, "valve": None}, "valve: is missing, and so is every other return"),
        ({"pump_own": "90 mL", "condition": "static"}, 'pump_own: "90 mL" is read at rest'),
        ({"outlet_valve": "not-fitted"}, "valve:"),
    ],
)
def test_what_cannot_be_of_parts_is_refused(wrong: dict[str, Any], line: str) -> None:
    with pytest.raises(InputError) as refused:
        parts(**wrong)
    assert str(refused.value).startswith(line)


# In all ways


@pytest.mark.parametrize(
    ("name", "one", "other"),
    [
        ("static-return", REST | {"division": "0.5 mL", "time": "30 ± 0.3 s"},
         REST | {"volumes": "0.0020; 0.0025; 0.0110; 0.0015 L", "time": "0.5 ± 0.005 min", "rail_pressure": "60 MPa",
                 "division": "0.0005 L"}),
        ("common-return", COMMON,
         COMMON | {"total": ["0.400 ± 0.001 L", "0.402 ± 0.001 L"], "time": "2 ± 0.0016666667 min",
                   "without": [f"0.{v[:3]} ± 0.001 L" for v in OFF]}),
        ("return-parts", PARTS | {"delivery": "600 ± 1 mL/min"},
         PARTS | {"injectors": "0.120 ± 0.001 L", "valve": "0.300 ± 0.001 L", "time": "1 ± 0.0016666667 min",
                  "delivery": "36 ± 0.06 L/h"}),
    ],
)  # fmt: skip
def test_units_of_the_inputs_do_not_matter(name: str, one: dict[str, Any], other: dict[str, Any]) -> None:
    found, again = (calculate(name, **{k: v for k, v in given.items() if k != "rail_pressure"}) for given in (one, other))
    assert found.outputs.keys() == again.outputs.keys() and len(found.outputs) > 3
    for output, value in found.outputs.items():
        if isinstance(value, str):
            assert value == again.outputs[output]
            continue
        pairs = zip(*(each if isinstance(each, tuple) else (each,) for each in (value, again.outputs[output])), strict=True)
        for a, b in pairs:
            assert (a.value, a.low, a.high) == pytest.approx((b.value, b.low, b.high), rel=1e-6, abs=1e-9)


def test_a_decimal_comma_is_read() -> None:
    assert static(volumes=["2,0 mL", "2,5 mL", "11,0 mL", "1,5 mL"])["total"] == static()["total"]
    comma = common(total=["400,0 ± 1,0 mL", "402,0 ± 1,0 mL"], without=[v.replace(" ± 1", ",0 ± 1,0") for v in OFF])
    assert comma.vector("share") == common().vector("share")
    assert parts(valve="300,5 ± 1,5 mL")["valve"] == parts(valve="300.5 ± 1.5 mL")["valve"]


@pytest.mark.parametrize("name", NAMES)
def test_no_procedure_closes_a_return_or_pulls_a_plug_of_a_running_engine(name: str) -> None:
    how = registry().calculator(name).how
    assert how.faults() == [] and how.conditions[0].otherwise.startswith("leave this test")
    assert any(
        caution.text.startswith("Never close, pinch or plug the return of an injector, pump") for caution in how.cautions
    )
    pulls = [caution for caution in how.cautions if "plug on a running engine" in caution.text]
    assert len(pulls) == (name == "common-return")
    assert all("engine stopped, rail seen to fall to zero, key out, waited" in caution.text for caution in pulls)


def test_cranking_is_judged_as_cranking() -> None:
    """Its limit is one for the starter's speed, the starter rests between, and a start complaint is what it speaks of."""
    inputs = {"volumes": "3.0; 4.0; 3.5; 3.0 mL", "time": "15 s", "rail_pressure": "150 bar", "flow_limit": "<= 60 mL/min"}
    result = calculate("returns", condition="cranking", **inputs)
    notes = " ".join(map(str, result.notes))
    assert "One for idle allows far more" in notes and "the starter at rest between them" in notes
    (finding,) = result.findings
    assert finding.strength == "cleared" and "a start that fails for want of pressure is not explained" in str(
        finding.statement
    )
    assert "calculator return-parts" in finding.next_test and "calculator cranking" in finding.next_test
    idle = calculate("returns", condition="idle", **(inputs | {"rail_pressure": "280 bar"}))
    assert "starter" not in " ".join(map(str, idle.notes))
    assert "for an engine that does not start those while cranking" in idle.findings[0].next_test
    assert any("keep it from starting" in note for note in parts(condition="cranking").notes)


@pytest.mark.parametrize(
    "words",
    [
        ["static-return", "2,0", "3,0", "11,0", "2,0", "ml", "60s"],
        ["common-return", "480", "484", "ml", "120s", "--without", "400 402 330 398 mL"],
        ["return-parts", "--valve", "20 mL", "--time", "60s"],
    ],
)
def test_a_command_is_typed_as_it_is_said(command: Callable[..., Any], words: list[str]) -> None:
    ran = command(*words)
    assert (ran.code, ran.err) == (0, "")
    german = command(*words, "--language", "de")
    assert german.code == 0 and "Urteil" in german.out and " the " not in german.out


def test_the_balance_starts_without_the_other_ways() -> None:
    """Only what is used is imported: none of the other ways' modules."""
    code = (
        "import sys; from baybook.cli.main import run; run(['returns', '30', '31', '29', '60', 'ml', '60s']); "
        "print([name for name in sys.modules if name.startswith('baybook_plugins.')], file=sys.stderr)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, timeout=60)
    assert "'baybook_plugins.returns.collection'" in done.stderr
    for module in ("ways", "static", "common", "shares", "parts"):
        assert f"'baybook_plugins.returns.{module}'" not in done.stderr


@pytest.mark.parametrize(
    ("limit", "told"),
    [
        (
            {"injectors_limit": "<= 120 mL/min"},
            "What the injectors returned, 120.0 mL/min, is too uncertain to be judged against",
        ),
        ({"total_limit": ">= 900 mL/min"}, "Together 420.0 mL/min comes back, outside at least 900 mL/min: less than should."),
        ({"total_limit": "<= 420 mL/min"}, "What all of them returned, 420.0 mL/min, is too uncertain to be judged against"),
    ],
)
def test_parts_that_are_too_near_a_limit_or_too_little_accuse_none(limit: dict[str, str], told: str) -> None:
    (one,) = parts(**limit).findings
    assert told in str(one.statement) and one.strength == "undecided"


def test_a_delivery_is_set_against_what_it_feeds() -> None:
    with pytest.raises(InputError) as refused:
        parts(injectors=None, valve=None, pump_own="50 mL", delivery="900 mL/min")
    assert str(refused.value) == ('delivery: "900 mL/min" is what feeds injectors and valve; give what one of them returned')


def test_the_balance_sheet_is_filled_in_with_what_was_read() -> None:
    """By hand: 30 against the median of 31 and 60 is 30/45.5, 65.9 %; 60 against that of 30 and 31 is 60/30.5, 196.7 %."""
    volumes = next(one for one in registry().calculator("returns").parameters if one.name == "volumes").field.parse
    rows = sheet(volumes(["30 ± 1 mL", "31 ± 0 mL", "60 ± 1 mL", "-"])).rows
    assert [row[0] for row in rows] == ["1", "2", "3", "4"]
    assert [row[3].value for row in rows[:3]] == pytest.approx([65.93, 68.89, 196.72], abs=0.01)  # type: ignore[union-attr]
    assert [row[1].value for row in rows[:3]] == [30.0, 31.0, 60.0]  # type: ignore[union-attr]
    assert (rows[1][2], rows[3][1:4]) == (None, ("–", None, None))
    assert sheet(volumes(["30 mL", "31 mL", "> 100 mL"])).rows[2][1] == "> 100"
    assert [row[0] for row in sheet(()).rows] == [str(number) for number in range(1, 9)]  # blank: for the most it serves
