"""`logbook visit`: cutting and joining, and what is said about it."""

from tests.faces.conftest import Run

LEDGE = "quarry-ledge-2025-10-14"


def test_a_cut_says_what_it_made_and_that_tries_are_open(on_demo: Run) -> None:
    answer = on_demo("visit", "split", LEDGE, "--at", "17.40")
    assert answer.status == 0
    told = " ".join(answer.out.split())
    assert told.startswith(f"{LEDGE} now ends at 17:40, and {LEDGE}-2 begins then; they have ")
    assert f'"logbook visit edit {LEDGE} --tries N" sets each' in " ".join(answer.err.split())
    shown = on_demo("visit", "list", "--viewpoint", "quarry-ledge", "--on", "2025-10-14", "--json").data
    assert [(one["arrived_at"], one["departed_at"], one["tries"]) for one in shown] == [
        ("16:40", "17:40", None),
        ("17:40", "18:40", None),
    ]
    assert on_demo("undo").status == 0
    assert on_demo("visit", "show", LEDGE, "--json").data["tries"] is not None


def test_a_cut_and_its_joining_as_json(on_demo: Run) -> None:
    data = on_demo("visit", "split", LEDGE, "--at", "17:40", "--json").data
    assert [one["slug"] for one in data["visits"]] == [LEDGE, f"{LEDGE}-2"]
    kept = sum(data["keepers"])
    joined = on_demo("visit", "join", LEDGE, f"{LEDGE}-2", "--json").data
    assert [one["slug"] for one in joined["visits"]] == [LEDGE]
    assert joined["keepers"] == [kept]
    assert kept > 0


def test_one_keeper_is_counted_as_one(on_demo: Run) -> None:
    late = ("visit", "add", "--trip", "high-valley", "--viewpoint", "quarry-ledge", "--on", "2025-10-14")
    assert on_demo("visit", "split", LEDGE, "--at", "17:50").status == 0
    assert on_demo(*late, "--from", "17:00", "--to", "17:30").status == 0
    joined = on_demo("visit", "join", LEDGE, f"{LEDGE}-3")
    assert " ".join(joined.out.split()).endswith("is now one visit; it has 1 keeper.")


def test_a_cut_outside_the_visit_is_refused_in_one_sentence(on_demo: Run) -> None:
    answer = on_demo("visit", "split", LEDGE, "--at", "19:00")
    assert (answer.status, answer.out) == (2, "")
    assert "lasted from 16:40 to 18:40; choose a time" in " ".join(answer.err.split())


def test_visits_at_two_viewpoints_are_not_joined(on_demo: Run) -> None:
    answer = on_demo("visit", "join", LEDGE, "gravel-bar-2025-10-14")
    assert answer.status == 1
    assert "different viewpoints" in " ".join(answer.err.split())


def test_a_stay_is_read_as_one_span(on_demo: Run) -> None:
    there = ("visit", "add", "--trip", "high-valley", "--viewpoint", "quarry-ledge", "--on", "2025-10-16")
    assert on_demo(*there, "--from", "9:20", "--to", "10:45pm", "--slug", "late").status == 0
    shown = on_demo("visit", "show", "late", "--json").data
    assert (shown["arrived_at"], shown["departed_at"]) == ("21:20", "22:45")
    assert on_demo("visit", "edit", "late", "--to", "23:00", "--clear", "arrived-at").status == 0
    shown = on_demo("visit", "show", "late", "--json").data
    assert (shown["arrived_at"], shown["departed_at"]) == (None, "23:00")


def test_a_time_that_is_only_about_right_is_kept_and_said_so(on_demo: Run) -> None:
    late = ("visit", "add", "--trip", "high-valley", "--viewpoint", "quarry-ledge", "--on", "2025-10-14")
    answer = on_demo(*late, "--from", "~6:50p", "--to", "19:00ish")
    assert answer.status == 0
    assert '"~6:50p" is kept as 18:50.' in answer.err
    assert '"19:00ish" is kept as 19:00.' in answer.err
    split = on_demo("visit", "split", LEDGE, "--at", "about 17:40")
    assert '"about 17:40" is kept as 17:40.' in split.err
