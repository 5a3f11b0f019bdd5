"""`--json` answers with stable keys: unknown is null, and each value says where it came from."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

Run = Callable[..., Any]

KEEPER = {
    *(
        "slug",
        "file",
        "hash",
        "body",
        "lens",
        "taken_local",
        "taken_utc",
        "exposure_s",
        "exposure",
        "f_number",
    ),
    *("iso", "focal_mm", "focal_35mm", "bias_stops", "latitude", "longitude", "rating", "filters", "support"),
    *("shot", "viewpoint", "site", "trip", "provenance"),
}
SHOT = {"slug", "title", "viewpoint", "planned", "outcome", "reasons", "replaced_by", "note", "trip"}


def test_keepers(on_demo: Run) -> None:
    rows = on_demo("keeper", "list", "--json").data
    assert len(rows) > 20
    assert all(set(row) >= KEEPER for row in rows)
    (row,) = (row for row in rows if row["file"] == "TRN_0415.JPG")
    assert (row["exposure_s"], row["exposure"]) == (4.0, "4 s")
    assert (row["filters"], row["support"], row["shot"]) == (["nd128"], "tripod", "bridge-smooth")
    assert (row["viewpoint"], row["site"]) == ("gravel-bar", "quarry-gorge")
    assert row["provenance"]["exposure_s"] == row["provenance"]["exposure"] == "camera"
    assert row["provenance"]["filters"] == row["provenance"]["site"] == "stated"
    for one in rows:
        unknown = {name for name, value in one.items() if value is None}
        assert not unknown & set(one["provenance"])
        assert set(one["provenance"].values()) <= {"camera", "stated", "assumed", "inferred"}


def test_unknown_filters_are_null_and_none_is_an_empty_list(on_demo: Run) -> None:
    said = {row["file"]: row["filters"] for row in on_demo("keeper", "list", "--json").data}
    assert said["TRN_0412.JPG"] == []
    assert said["TRN_0440.JPG"] is None


def test_shots(on_demo: Run) -> None:
    rows = on_demo("shot", "list", "--json", "--trip", "high-valley").data
    assert all(set(row) >= SHOT for row in rows)
    (row,) = (row for row in rows if row["slug"] == "town-morning")
    assert isinstance(row["planned"], dict)
    assert (row["outcome"], row["reasons"], row["replaced_by"]) == ("replaced", ["weather"], "town-fog")


@pytest.mark.parametrize("noun", ["trip", "site", "viewpoint", "kit", "visit", "condition", "lesson"])
def test_a_list_and_one_of_its_records_have_the_same_keys(on_demo: Run, noun: str) -> None:
    rows = on_demo(noun, "list", "--json").data
    assert rows
    one = on_demo(noun, "show", rows[0]["slug"], "--json").data
    assert one == rows[0]
    assert all(list(row) == list(rows[0]) for row in rows)


def test_every_add_answers_the_record_with_its_slug(logbook: Run) -> None:
    lines = {
        "high-valley": ["trip", "add", "High valley", "--zone", "Asia/Dushanbe"],
        "quarry": ["site", "add", "Quarry"],
        "rail": ["viewpoint", "add", "Rail", "--site", "quarry"],
        "silk": ["shot", "add", "Silk"],
        "pol": ["kit", "add", "Pol", "--kind", "filter"],
        "rail-2031-10-14": ["visit", "add", "--viewpoint", "rail", "--on", "2031-10-14"],
        "crowd-2031-10-14": ["condition", "add", "crowd", "--level", "none", "--on", "2031-10-14"],
        "come-early": ["lesson", "add", "change", "Come early."],
    }
    for slug, line in lines.items():
        answer = logbook(*line, "--json")
        assert (answer.status, answer.err) == (0, "")
        assert answer.data["slug"] == slug


def test_a_trip_needs_no_more_than_a_title(logbook: Run) -> None:
    answer = logbook("trip", "add", "High valley")
    assert (answer.status, answer.out) == (0, "trip high-valley added.\n")
    assert "until the trip has a zone" in answer.err


def test_an_import_counts_and_lists_what_it_refused(stocked: Run, tmp_path: Path) -> None:
    folder = tmp_path / "pictures"
    folder.mkdir()
    Image.new("RGB", (8, 8), "green").save(folder / "a.jpg")
    (folder / "b.jpg").write_text("no picture", encoding="utf-8")
    answer = stocked("keeper", "import", str(folder), "--json")
    assert answer.status == 0
    counted = {"added", "known", "moved", "refused", "joined", "updated", "passed_over", "outside"}
    assert answer.data.keys() == {*counted, "elsewhere", "left", "renewed", "made_here", "doubted"}
    assert (answer.data["added"], answer.data["known"], answer.data["moved"]) == (1, 0, 0)
    (refused,) = answer.data["refused"]
    assert refused.keys() == {"file", "reason"}
    assert refused["file"].endswith("b.jpg")


def test_a_removal_says_what_went_with_it(stocked: Run) -> None:
    answer = stocked("viewpoint", "remove", "quarry-ledge", "--with-dependents", "--json")
    assert answer.data == {"removed": "quarry-ledge", "with_it": [], "let_go": ["shot bridge-flow"]}


def test_what_json_escapes_comes_back_as_it_was(stocked: Run) -> None:
    title = "a\x9bb\u202ec"
    answer = stocked("site", "add", title, "--slug", "odd", "--json")
    assert "\x9b" not in answer.out
    assert "\u202e" not in answer.out
    assert answer.data["title"] == title
