"""`logbook keeper join`, `split` and `sets`: said by a person, listed with where each came from."""

from pathlib import Path

import pytest

from tests.faces.conftest import Run

TRIP = ("--trip", "high-valley")
BRACKET = ["TRN_0472.JPG", "TRN_0473.JPG", "TRN_0474.JPG"]


def test_sets_are_listed_with_kind_keepers_provenance_and_reason(on_demo: Run) -> None:
    (found,) = on_demo("keeper", "sets", *TRIP, "--json").data
    assert list(found) == ["kind", "keepers", "provenance", "reason"]
    assert (found["kind"], found["keepers"], found["provenance"]) == ("bracket", BRACKET, "inferred")
    answer = on_demo("keeper", "sets", *TRIP)
    assert answer.out.startswith("Bracket, inferred: TRN_0472.JPG, TRN_0473.JPG, TRN_0474.JPG (3 exposures")
    assert max(map(len, answer.out.splitlines())) < 80


def test_joining_says_what_moved(on_demo: Run) -> None:
    assert on_demo("keeper", "join", "0472-0474", "--as", "bracket", *TRIP).status == 0
    answer = on_demo("keeper", "join", "0474-0479", "--as", "panorama", *TRIP)
    assert answer.out.splitlines() == [
        "Joined as a panorama: TRN_0474.JPG, TRN_0478.JPG, TRN_0479.JPG.",
        "No longer in a stated bracket: TRN_0474.JPG.",
    ]
    data = on_demo("keeper", "join", "0473-0474", "--as", "burst", *TRIP, "--json").data
    assert data == {
        "trip": "high-valley-autumn",
        "kind": "burst",
        "keepers": ["TRN_0473.JPG", "TRN_0474.JPG"],
        "left": [
            {"kind": "bracket", "keepers": ["TRN_0473.JPG"]},
            {"kind": "panorama", "keepers": ["TRN_0474.JPG"]},
        ],
    }
    shown = on_demo("keeper", "sets", *TRIP, "--json").data
    assert {(one["kind"], one["provenance"]) for one in shown} == {
        ("panorama", "stated"),
        ("burst", "stated"),
    }


def test_a_split_is_remembered(on_demo: Run) -> None:
    answer = on_demo("keeper", "split", "0472-0474", *TRIP)
    assert "not proposed as a set again" in " ".join(answer.out.split())
    assert [one["kind"] for one in on_demo("keeper", "sets", *TRIP, "--json").data] == ["apart"]
    proposed = on_demo("keeper", "propose", *TRIP, "--on", "2025-10-18", "--json").data
    assert proposed["sets"] == []


def test_one_keeper_leaves_its_set(on_demo: Run) -> None:
    answer = on_demo("keeper", "split", "0474", *TRIP)
    assert answer.out.startswith("TRN_0474.JPG was taken out of its set")
    (found,) = (one for one in on_demo("keeper", "sets", *TRIP, "--json").data if one["kind"] == "bracket")
    assert found["keepers"] == BRACKET[:2]


def test_stated_sets_stand_among_the_proposals_as_stated(on_demo: Run) -> None:
    on_demo("keeper", "join", "0478-0479", "--as", "burst", *TRIP)
    sets = on_demo("keeper", "propose", *TRIP, "--on", "2025-10-18", "--json").data["sets"]
    assert [(one["kind"], one["provenance"]) for one in sets] == [
        ("bracket", "inferred"),
        ("burst", "stated"),
    ]


def test_wrong_use_is_one_sentence(on_demo: Run) -> None:
    for arguments, said in (
        (("join", "0472", "--as", "burst"), "one frame"),
        (("join", "0472-0474", "--as", "apart"), "bracket"),
        (("join", "0472-0474"), "--as"),
        (("split", "0412"), "not in a set"),
    ):
        answer = on_demo("keeper", *arguments, *TRIP)
        assert (answer.status, answer.out) == (2, ""), arguments
        assert said in answer.err
        assert len(answer.err.splitlines()) == 1


@pytest.mark.slow
def test_a_removed_keeper_leaves_its_set_and_the_report_names_no_set_of_what_was_split(
    on_demo: Run, tmp_path: Path
) -> None:
    on_demo("keeper", "join", "0472-0474", "--as", "bracket", *TRIP)
    on_demo("keeper", "split", "0478-0479", *TRIP)
    gone = on_demo("keeper", "remove", "0474", *TRIP, "--json").data
    assert gone["let_go"] == ["1 set"]
    made = on_demo("report", "high-valley", "--for", "archive", "--into", str(tmp_path / "site"))
    assert made.status == 0, made.err
    pages = "".join(page.read_text(encoding="utf-8") for page in (tmp_path / "site").rglob("*.html"))
    assert "racket of two" in pages
    assert "apart of" not in pages.lower()
