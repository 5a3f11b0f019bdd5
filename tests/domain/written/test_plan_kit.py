"""Words of a plan are a filter only where they name one."""

import pytest

from logbook.domain.written.plan_kit import kit_of
from logbook.domain.written.plans import shot_written
from logbook.domain.written.understanding import NotUnderstoodError


@pytest.mark.parametrize(
    ("words", "filters"),
    [
        ("nd64", ("nd64",)),
        ("nd 0,9", ("nd8",)),
        ("64 nd", ("nd64",)),
        ("3 stop nd", ("nd8",)),
        ("10-stop filter", ("nd1000",)),
        ("ten stop filter", ("nd1000",)),
        ("10 stopper", ("nd1000",)),
        ("filter 64", ("nd64",)),
        ("2x nd8", ("nd8", "nd8")),
        ("nd8 x 2", ("nd8", "nd8")),
        ("nd2-400", ("nd2-400",)),
        ("0.6 soft grad", ("soft gnd4",)),
        ("2-stop soft grad + 6-stop filter", ("soft gnd4", "nd64")),
        ("pol and uv", ("pol", "uv")),
    ],
)
def test_a_strength_beside_a_word_for_its_filter_is_a_filter(words: str, filters: tuple[str, ...]) -> None:
    assert kit_of(words) == {"filters": filters}


@pytest.mark.parametrize(
    "words",
    ["64", "400", "1.8", "0.9", "2x", "1.4x", "1 stop", "10 stops", "ten stops", "pol + 64", "nd8 64"],
)
def test_a_number_that_no_word_makes_a_filter_is_none(words: str) -> None:
    assert kit_of(words) is None


def test_a_count_of_stops_behind_a_stack_is_no_further_filter() -> None:
    for text in ("nd1000 + nd8 (13 stops)", "nd64 + pol (7.5 stops)", "nd8 + nd8, = 6 stops in all"):
        assert len(shot_written([f"Weir, {text}, f/8"]).said["filters"]) == 2


def test_a_count_of_stops_that_the_filters_do_not_take_waits() -> None:
    with pytest.raises(NotUnderstoodError, match=r'"13 stops" does not match pol \+ nd8 \+ nd64'):
        shot_written(["Weir, pol + nd8 + nd64 (13 stops), f/8"])
    with pytest.raises(NotUnderstoodError, match="name the filter, such as nd8"):
        shot_written(["Weir, 10 stops, f/8"])


def test_a_filter_under_its_own_word_may_be_written_as_it_is_engraved() -> None:
    assert shot_written(["Weir, filters: 64, f/8"]).said["filters"] == ("nd64",)
