"""`logbook keeper clock`: stated for all frames or a range, which the answer names, and listed."""

import pytest

from tests.faces.conftest import Run

TRIP = ("keeper", "clock", "--trip", "high-valley")
KEYS = {"body", "offset_s", "zone", "evidence", "doubts", "since", "until", "keepers"}
LISTED = KEYS | {"taken"}


@pytest.mark.parametrize(
    ("said", "answered"),
    [
        (("--body", "Halvern"), "Halvern Thistle: 1 min slow, stated, for all its frames;"),
        (
            ("--since", "0472"),
            "Halvern Thistle: 1 min slow, stated, for TRN_0472.JPG and all after it (6 keepers so far);",
        ),
        (
            ("--until", "0412"),
            "Halvern Thistle: 1 min slow, stated, for TRN_0412.JPG and all before it (1 keeper);",
        ),
        (("--since", "0472", "--until", "0474"), "for TRN_0472.JPG to TRN_0474.JPG (3 keepers);"),
    ],
)
def test_the_answer_says_for_which_frames_it_holds(
    on_demo: Run, said: tuple[str, ...], answered: str
) -> None:
    answer = on_demo(*TRIP, "--fast", "-60", *said)
    assert answer.status == 0, answer.err
    assert answered in " ".join(answer.out.split())
    assert max(map(len, answer.out.splitlines())) < 80


def test_json_names_the_frames_and_the_range(on_demo: Run) -> None:
    data = on_demo(*TRIP, "--fast", "0", "--since", "0472", "--until", "0473", "--json").data
    assert KEYS | {"changed"} == set(data)
    assert data["keepers"] == ["TRN_0472.JPG", "TRN_0473.JPG"]
    assert data["since"] < data["until"]
    assert (data["offset_s"], data["evidence"], data["changed"]) == (0, "stated", 2)


def test_without_a_statement_clocks_are_listed(on_demo: Run) -> None:
    on_demo(*TRIP, "--fast", "0", "--since", "0472", "--until", "0473")
    answer = on_demo(*TRIP, "--json")
    assert all(set(one) == LISTED for one in answer.data)
    thistle = [one for one in answer.data if one["body"] == "Halvern Thistle"]
    assert [(one["offset_s"], one["evidence"][0]) for one in thistle] == [
        (420, "stated: stated"),
        (0, "stated: stated"),
        (420, "stated: stated"),
    ]
    assert [one["keepers"][-1] for one in thistle] == ["TRN_0470.JPG", "TRN_0473.JPG", "TRN_0484.JPG"]
    text = on_demo(*TRIP, "--body", "halv").out
    assert "Clock of Halvern Thistle for TRN_0472.JPG to TRN_0473.JPG: right, as stated" in text
    assert "Pellick" not in text
    assert max(map(len, text.splitlines())) < 80


def test_every_range_is_listed_and_what_is_stated_is_no_proposal(on_demo: Run) -> None:
    on_demo(*TRIP, "--fast", "0", "--since", "0479")
    proposed = on_demo("keeper", "propose", "--trip", "high-valley", "--on", "2025-10-18", "--json").data
    assert not [one for one in proposed["numbered"] if one["about"] == "clocks"]
    told = " ".join(on_demo(*TRIP).out.split())
    assert "Clock of Halvern Thistle for TRN_0412.JPG to TRN_0478.JPG: 7 min slow, as stated" in told
    assert "Clock of Halvern Thistle for TRN_0479.JPG to TRN_0484.JPG: right, as stated" in told


def test_a_range_without_a_statement_is_wrong_use(on_demo: Run) -> None:
    answer = on_demo(*TRIP, "--since", "0472")
    assert (answer.status, answer.out) == (2, "")
    assert "--fast" in answer.err
    assert on_demo(*TRIP, "--shown", "2025-10-18T17:00:00").status == 2


def test_a_trip_without_keepers_has_no_clocks(stocked: Run) -> None:
    assert stocked("keeper", "clock", "--json").data == []
    assert "import keepers first" in stocked("keeper", "clock").err


def test_a_clock_is_not_fast_and_slow(on_demo: Run) -> None:
    answer = on_demo(*TRIP, "--body", "halv", "--slow", "420", "--fast", "420")
    assert (answer.status, answer.err.count("\n")) == (2, 1)
    slow = on_demo(*TRIP, "--body", "halv", "--slow", "60", "--json").data["offset_s"]
    assert (slow, on_demo(*TRIP, "--body", "halv", "--fast", "-60", "--json").data["offset_s"]) == (60, 60)
