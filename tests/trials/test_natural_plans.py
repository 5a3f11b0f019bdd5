"""Of the lines of plans that people type, nine in ten become the right shot and none a wrong one."""

from tests.trials.natural_plans import RIGHT, WRONG, counted_plans, plan_lines


def test_nine_in_ten_lines_of_a_plan_are_right_and_none_is_wrong() -> None:
    for part, counts in counted_plans().items():
        assert counts[WRONG] == 0, part
        assert counts[RIGHT] >= 0.9 * counts.total(), part


def test_the_lines_of_plans_are_many_and_no_two_are_alike() -> None:
    texts = [line.text for line in plan_lines()]
    assert len(texts) == len(set(texts)) >= 90
