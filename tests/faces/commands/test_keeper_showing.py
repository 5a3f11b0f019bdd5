"""`keeper note --opening`, `--hide-from`, `--show-to` and `keeper arrange`: how reports show keepers."""

import shutil
from pathlib import Path
from typing import Any

import pytest

from tests.faces.conftest import Run

TRIP = ("--trip", "high-valley")


def chosen(run: Run, which: str) -> dict[str, Any]:
    keeper = run("keeper", "show", which, *TRIP, "--json").data
    return {name: keeper[name] for name in ("opening", "hidden_from")}


def order(run: Run, audience: str) -> list[str]:
    trip = run("trip", "show", "high-valley", "--json").data
    files = {one["id"]: one["file"] for one in run("keeper", "list", *TRIP, "--json").data}
    return [files[key] for key in trip[f"{audience}_order"]]


def test_a_trip_has_one_opening(on_demo: Run) -> None:
    assert on_demo("keeper", "note", "2011", *TRIP, "--opening").status == 0
    assert on_demo("keeper", "note", "2019", *TRIP, "--opening").status == 0
    assert chosen(on_demo, "2019")["opening"] is True
    assert not chosen(on_demo, "2011")["opening"]


def test_several_openings_at_once_are_refused_and_nothing_changes(on_demo: Run) -> None:
    on_demo("keeper", "note", "2019", *TRIP, "--opening")
    answer = on_demo("keeper", "note", "2011,2027", *TRIP, "--opening")
    assert answer.status == 2
    assert "Only one picture opens a trip" in answer.err
    assert chosen(on_demo, "2019")["opening"] is True


def test_an_opening_is_let_go(on_demo: Run) -> None:
    on_demo("keeper", "note", "2019", *TRIP, "--opening")
    assert on_demo("keeper", "note", "2019", *TRIP, "--clear", "opening").status == 0
    assert not chosen(on_demo, "2019")["opening"]


def test_a_keeper_is_hidden_from_several_and_shown_again_to_one(on_demo: Run) -> None:
    on_demo("keeper", "note", "2011-2019", *TRIP, "--hide-from", "students", "--hide-from", "client")
    assert chosen(on_demo, "2011")["hidden_from"] == ["client", "students"]
    on_demo("keeper", "note", "2011", *TRIP, "--show-to", "client")
    assert chosen(on_demo, "2011")["hidden_from"] == ["students"]
    assert chosen(on_demo, "2019")["hidden_from"] == ["client", "students"]


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("--hide-from", "archive"), "The archive is yours alone"),
        (("--hide-from", "client", "--show-to", "client"), "not both"),
    ],
)
def test_what_cannot_be_meant_is_refused(on_demo: Run, words: tuple[str, ...], says: str) -> None:
    answer = on_demo("keeper", "note", "2011", *TRIP, *words)
    assert answer.status == 2
    assert says in " ".join(answer.err.split())


def test_an_order_is_kept_as_it_was_said_ranges_in_order_of_time(on_demo: Run) -> None:
    answer = on_demo("keeper", "arrange", "2027,0412-0415,2019", "--for", "client", *TRIP)
    assert answer.status == 0
    wanted = ["PKT_2027.JPG", "TRN_0412.JPG", "TRN_0415.JPG", "PKT_2019.JPG"]
    assert order(on_demo, "client") == wanted
    assert answer.out.split() == f"In order for client: {', '.join(wanted)}.".split()
    assert order(on_demo, "students") == []


def test_an_order_is_let_go(on_demo: Run) -> None:
    on_demo("keeper", "arrange", "2027,2019", "--for", "students", *TRIP)
    assert on_demo("keeper", "arrange", "", "--for", "students", *TRIP).status == 0
    assert order(on_demo, "students") == []


def test_what_is_hidden_from_an_audience_has_no_place_in_its_order(on_demo: Run) -> None:
    on_demo("keeper", "note", "2019", *TRIP, "--hide-from", "client")
    answer = on_demo("keeper", "arrange", "2027,2019", "--for", "client", *TRIP)
    assert answer.status == 2
    assert "--show-to client" in " ".join(answer.err.split())


def test_choices_are_taken_back_by_undo(on_demo: Run) -> None:
    on_demo("keeper", "note", "2011", *TRIP, "--opening", "--hide-from", "client")
    assert on_demo("undo").status == 0
    assert chosen(on_demo, "2011") == {"opening": None, "hidden_from": []}


@pytest.mark.slow
@pytest.mark.parametrize(("audience", "shown"), [("client", False), ("students", True), ("archive", True)])
def test_a_report_does_not_have_what_is_hidden_from_its_audience(
    demo: Path, on_demo: Run, tmp_path: Path, audience: str, shown: bool
) -> None:
    before, after = demo / audience, tmp_path / audience
    shutil.copytree(before, after)  # built again, it takes the pictures over
    on_demo("keeper", "note", "0412", *TRIP, "--hide-from", "client")
    assert on_demo("report", "high-valley", "--for", audience, "--into", str(after)).status == 0
    pages = [len(list((folder / "pages").iterdir())) for folder in (before, after)]
    assert pages[0] - pages[1] == (0 if shown else 1)
