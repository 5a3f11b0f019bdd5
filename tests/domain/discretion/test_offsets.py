"""A distance and a direction from a place that others know tell where a withheld one is."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.domain.discretion.offsets import offsets
from logbook.domain.discretion.positions import HiddenPlace, HiddenPositions
from logbook.domain.position import Position
from tests.domain.discretion.test_positions import struck

LEDGE = Position(55.05, 3.30)
SECRET = Position(55.0754, 3.3443)  # 4.0 km north-east of the ledge
KNOWN = HiddenPositions((HiddenPlace(SECRET, True),), (LEDGE, Position(47.0, 12.0)))


@pytest.mark.parametrize(
    "text",
    [
        "# of the ledge|4 km NE of the ledge",
        "it lies # of here|it lies 4 kilometres to the north-east of here",
        "# from the ledge|four kilometres northeast from the ledge",
        "#|4.1 km on a bearing of 45\u00b0",
        "go #|go 4000 m, 47 deg",
        "# away|NE of the ledge, about 4 km away",
        "#|2.5 miles NE",
        "we see the ledge's hide # of it|we see the ledge's hide 4 km NE of it",
        "in the west, #|in the west, 4 km northeast",
    ],
)
def test_a_distance_and_a_direction_that_lead_there_are_struck(text: str) -> None:
    left, _, typed = text.partition("|")
    told = struck(KNOWN, typed)
    assert "#" in told
    assert told.replace("#", "") == left.replace("#", "")


@pytest.mark.parametrize(
    "text",
    [
        "4 km SW of the ledge",
        "40 km NE of the ledge",
        "300 m north along the river",
        "wind NE, 4 on the lower rail",
        "f/4 at 24 mm, NE light",
        "4 km of sand, then east",
    ],
)
def test_other_ways_stand(text: str) -> None:
    assert struck(KNOWN, text) == text


def test_without_a_place_that_others_know_it_leads_nowhere() -> None:
    assert (
        struck(HiddenPositions((HiddenPlace(SECRET, True),)), "4 km NE of the ledge")
        == "4 km NE of the ledge"
    )


_PIECES = ("north", "south", "east", "west", " ", "-", "N", "NE", "4 km", "45", "°", " of the ledge", ".")


@given(st.lists(st.sampled_from(_PIECES)).map("".join))
def test_no_text_makes_it_fail(text: str) -> None:
    for told in offsets(text):
        assert 0 <= told.begin < told.end <= len(text)
