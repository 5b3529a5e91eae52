"""In which order to check and what a test is worth: against published costs and by adding up."""

from __future__ import annotations

import pytest

from baybook.places.hypotheses import Hypotheses
from baybook.places.worth import MOST, Check, best_action, best_order, by_cost_and_chance, expected_minutes, value_of_test


def test_checks_one_by_one() -> None:
    """Expected minutes by adding up what is paid until the fault is found, and all where it is none of them."""
    order = (Check("a", 0.5, 10.0), Check("b", 0.2, 4.0))
    assert expected_minutes(order) == pytest.approx(0.5 * 10 + 0.2 * 14 + 0.3 * 14)
    assert expected_minutes(order, last_left_out=True) == pytest.approx(10.0)
    over = (Check("a", 0.9, 10.0), Check("b", 0.6, 4.0))
    assert expected_minutes(over) == pytest.approx(1.5 * 10 + 0.6 * 4)
    assert [check.name for check in by_cost_and_chance(order)] == ["a", "b"]
    assert best_order(()) == () == best_order((), last_left_out=True)
    assert MOST == 12


def test_twelve_orders_can_be_weighed() -> None:
    """The last left out is the dearest of twelve that are alike but for one."""
    checks = [Check(str(n), 1 / 12, 50.0 if n == 3 else 1.0) for n in range(12)]
    found = best_order(checks, last_left_out=True)
    assert len(found) == 12 and found[-1].name == "3"


def test_what_is_gained_has_a_number_for_each_hypothesis() -> None:
    belief = Hypotheses(("a",), ((), (0,)), (0.5, 0.5)).belief()
    assert best_action(belief, {"x": [1.0, 0.0], "y": [0.0, 3.0]}) == ("y", 1.5)
    with pytest.raises(ValueError, match="zip"):
        best_action(belief, {"x": [1.0]})
    with pytest.raises(ValueError, match="zip"):
        value_of_test(belief, [[1.0]], {"x": [1.0, 0.0]})


@pytest.mark.parametrize(("chance", "first", "second"), [(0.6, 112.0, 109.0), (0.7, 116.5, 118.0)])
def test_two_causes_of_which_one_is_checked_first(chance: float, first: float, second: float) -> None:
    """Troubleshooting of two causes, checks of 30 and 15, repairs of 100 and 40: the published rule's costs, computed. What is
    repaired does not depend on the order."""
    one, two = Check("1", chance, 30.0), Check("2", 1 - chance, 15.0)
    repairs = chance * 100 + (1 - chance) * 40
    assert expected_minutes((one, two)) + repairs == pytest.approx(first)
    assert expected_minutes((two, one)) + repairs == pytest.approx(second)
    assert by_cost_and_chance((one, two))[0] is (one if first < second else two)


def test_three_parts_or_none_of_them() -> None:
    """0.4, 0.3, 0.2, inspected for 20, 5, 8, replaced for 50, 120, 60, or else a service of 300: all six orders, computed."""
    parts = {"1": Check("1", 0.4, 20.0), "2": Check("2", 0.3, 5.0), "3": Check("3", 0.2, 8.0)}
    costs = {"231": 118.6, "213": 119.4, "321": 120.0, "123": 123.4, "312": 124.0, "132": 124.8}
    behind = 0.4 * 50 + 0.3 * 120 + 0.2 * 60 + 0.1 * 300
    assert {order: expected_minutes([parts[n] for n in order]) + behind for order in costs} == pytest.approx(costs)
    assert "".join(check.name for check in by_cost_and_chance(list(parts.values()))) == "231"
