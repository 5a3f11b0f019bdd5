"""How alike two things are: what is unknown is left out, never taken for equal."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.craft.errors import CraftValueError
from logbook.craft.likeness import (
    Trait,
    circular,
    likeness,
    numeric,
    ordinal,
    shared_words,
)

CROWD = ("none", "few", "dozens", "hundreds", "thousands")
TRAITS = (
    Trait("kinds", shared_words, 2.0),
    Trait("footing", ordinal(("sand", "rock"))),
    Trait("crowd", ordinal(CROWD)),
    Trait("season", circular),
    Trait("walk", numeric(120.0)),
)
VALUES = st.fixed_dictionaries(
    {
        "kinds": st.none() | st.frozensets(st.sampled_from("abcd")),
        "footing": st.none() | st.sampled_from(("sand", "rock")),
        "crowd": st.none() | st.sampled_from(CROWD),
        "season": st.none() | st.floats(0, 360),
        "walk": st.none() | st.floats(0, 500),
    }
)


def test_an_unknown_trait_is_left_out_and_not_taken_for_equal() -> None:
    first = {"footing": "sand", "crowd": "none", "season": None}
    found = likeness(TRAITS, first, {"footing": "sand", "crowd": "thousands", "walk": 30}, shared_min=1)
    assert [part.name for part in found.parts] == ["footing", "crowd"]
    assert (found.similarity, found.shared, found.alike, found.asked) == (0.5, 2, 1, 5)


def test_with_too_few_shared_traits_there_is_no_score() -> None:
    found = likeness(TRAITS, {"footing": "sand"}, {"footing": "sand"})
    assert found.similarity is None
    assert found.shared == 1


def test_a_heavier_trait_counts_for_more() -> None:
    first, second = {"kinds": {"dune"}, "footing": "sand"}, {"kinds": {"dune"}, "footing": "rock"}
    assert likeness(TRAITS, first, second, shared_min=1).similarity == pytest.approx(2 / 3)


def test_neighbouring_crowds_are_more_alike_than_far_ones() -> None:
    score = ordinal(CROWD)
    assert score("few", "dozens") == 0.75
    assert score("none", "thousands") == 0.0


def test_a_feature_that_neither_has_says_nothing() -> None:
    assert shared_words((), ()) is None


def test_numbers_farther_apart_than_their_range_are_simply_unlike() -> None:
    assert numeric(120.0)(0.0, 500.0) == 0.0


@pytest.mark.parametrize(
    "refused", [lambda: Trait("x", shared_words, 0), lambda: numeric(0), lambda: ordinal("a")]
)
def test_scales_that_cannot_be_are_refused(refused: object) -> None:
    with pytest.raises(CraftValueError):
        refused()  # type: ignore[operator]


@given(VALUES, VALUES)
def test_likeness_has_no_direction_and_lies_between_nothing_and_one(
    first: dict[str, object], second: dict[str, object]
) -> None:
    found, back = (likeness(TRAITS, *pair, shared_min=1) for pair in ((first, second), (second, first)))
    assert [part.name for part in found.parts] == [part.name for part in back.parts]
    assert found.similarity == pytest.approx(back.similarity, abs=1e-12)
    assert found.similarity is None or 0.0 <= found.similarity <= 1.0


@given(VALUES)
def test_everything_known_is_alike_to_itself(values: dict[str, object]) -> None:
    found = likeness(TRAITS, values, values, shared_min=1)
    assert found.similarity is None or found.similarity == pytest.approx(1.0)
