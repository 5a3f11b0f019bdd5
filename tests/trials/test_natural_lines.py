"""Of the lines that people write, nine in ten become the right entry and none becomes a wrong one."""

from tests.trials.natural_lines import RIGHT, WRONG, counted, lines


def test_nine_in_ten_lines_are_right_and_none_is_wrong() -> None:
    for part, counts in counted().items():
        assert counts[WRONG] == 0, part
        assert counts[RIGHT] >= 0.9 * counts.total(), part


def test_the_lines_are_many_and_no_two_are_alike() -> None:
    texts = [line.text for line in lines()]
    assert len(texts) == len(set(texts)) >= 120
