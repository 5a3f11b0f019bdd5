"""`logbook export` and `logbook import`: out of one book, into another, and one sentence for every miss."""

import json
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator

from tests.faces.conftest import Run

SAMPLE = Path(__file__).parents[3] / "sample_trip" / "one-evening.json"


def test_a_trip_goes_out_and_into_an_empty_book_whole(stocked: Run, tmp_path: Path) -> None:
    out = stocked("export", "high", "--as", "json", "--private")
    assert out.status == 0, out.err
    (tmp_path / "trip.json").write_text(out.out, encoding="utf-8")
    other = ("--book", str(tmp_path / "other.sqlite"))
    dry = stocked(*other, "import", "trip.json", "--dry-run", "--json")
    assert dry.data["added"]["shots"] == 1
    done = stocked(*other, "import", "trip.json")
    assert done.out == "Added 1 trip, 1 site, 1 viewpoint, 1 shot; already in the book: 0.\n"
    again = stocked(*other, "import", "trip.json", "--json")
    assert (sum(again.data["added"].values()), sum(again.data["same"].values())) == (0, 4)
    assert stocked(*other, "export", "high", "--private").out == out.out


def test_a_whole_book_needs_private(stocked: Run) -> None:
    assert stocked("export").status == 2
    assert "--private" in stocked("export").err
    assert stocked("export", "--as", "gpx", "--private").status == 2
    whole = stocked("export", "--private")
    assert json.loads(whole.out)["trip"] is None


def test_the_schema_is_printed_without_a_book_and_fits_the_export(stocked: Run) -> None:
    schema = stocked("--book", "missing.sqlite", "export", "--schema").data
    Draft202012Validator(schema).validate(stocked("export", "high").data)
    Draft202012Validator(schema).validate(json.loads(SAMPLE.read_text(encoding="utf-8")))


@pytest.mark.parametrize("form", ["json", "csv", "gpx", "geojson", "kml", "ics"])
def test_each_format_goes_into_a_file_safely(form: str, stocked: Run, tmp_path: Path) -> None:
    first = stocked("export", "high", "--as", form, "--into", f"out.{form}")
    assert (first.status, first.out) == (0, f"{tmp_path / 'out'}.{form}\n")
    assert "anything you keep private" in first.err
    written = (tmp_path / f"out.{form}").read_bytes()
    assert written
    assert stocked("export", "high", "--as", form, "--into", f"out.{form}").status == 0, (
        "running it again changes nothing"
    )
    (tmp_path / f"out.{form}").write_text("mine")
    for asked in ([], ["--over"]):
        refused = stocked("export", "high", "--as", form, "--into", f"out.{form}", *asked)
        assert refused.status == 1
        assert refused.err.count("\n") == 1
        assert (tmp_path / f"out.{form}").read_text() == "mine"
    assert not list(tmp_path.glob(".*"))


def test_days_go_into_a_folder_and_are_read_again(stocked: Run, tmp_path: Path) -> None:
    visit = ("visit", "add", "--viewpoint", "quarry-ledge", "--on", "2031-10-14", "--tries", "3")
    assert stocked(*visit).status == 0
    assert stocked("condition", "add", "wind", "--level", "4", "--on", "2031-10-15").status == 0
    assert stocked("export", "high", "--as", "markdown", "--private").status == 2, "two files need a folder"
    out = stocked("export", "high", "--as", "markdown", "--private", "--into", "days")
    assert [Path(line).name for line in out.out.splitlines()] == [
        "private-high-valley-2031-10-14.md",
        "private-high-valley-2031-10-15.md",
    ]
    read = stocked("day", "read", "days/private-high-valley-2031-10-14.md", "--json")
    assert (read.data["added"], read.data["changed"], read.data["unchanged"]) == (0, 0, 1)


def test_what_was_written_for_others_says_so_when_it_is_imported(stocked: Run, tmp_path: Path) -> None:
    (tmp_path / "trip.json").write_text(stocked("export", "high").out, encoding="utf-8")
    done = stocked("--book", str(tmp_path / "other.sqlite"), "import", "trip.json")
    assert done.status == 0
    assert "written for others" in done.err


@pytest.mark.parametrize(
    "arguments",
    [
        ("export", "nowhere"),
        ("export", "high", "--into", "no/folder/out.json"),
        ("export", "high", "--as", "markdown", "--into", "book.sqlite"),
        ("import", "missing.json"),
        ("import", "."),
        ("export", "high", "--as", "word"),
    ],
)
def test_a_miss_is_one_sentence(arguments: tuple[str, ...], stocked: Run) -> None:
    answer = stocked(*arguments)
    assert answer.status in (1, 2)
    assert answer.err.count("\n") == 1, answer.err
    assert not answer.out


def test_a_refused_import_makes_no_book(logbook: Run, tmp_path: Path) -> None:
    (tmp_path / "bad.json").write_text('{"format": "another"}')
    assert logbook("import", "bad.json").status == 1
    assert not (tmp_path / "book.sqlite").exists()


@pytest.mark.slow
def test_an_export_says_which_words_it_struck_and_one_may_stand(stocked: Run, tmp_path: Path) -> None:
    assert stocked("site", "add", "Kerswell crag", "--location", "withheld").status == 0
    assert stocked("trip", "edit", "high", "--summary", "From Kerswell on foot.").status == 0
    out = stocked("export", "high", "--as", "gpx", "--into", "out.gpx")
    assert "Not shown to others: “Kerswell” (trip high-valley, summary)" in out.err
    assert 'To allow a word: "logbook trip edit high-valley --may-say WORD".' in out.err
    assert "From [place withheld] on foot." in (tmp_path / "out.gpx").read_text(encoding="utf-8")
    told = stocked("export", "high", "--as", "gpx", "--into", "out.gpx", "--json")
    assert told.data["struck"] == [{"word": "Kerswell", "record": "trip high-valley", "field": "summary"}]
    assert stocked("trip", "edit", "high", "--may-say", "Kerswell").status == 0
    stands = stocked("export", "high", "--as", "gpx", "--into", "two.gpx")
    assert "Struck" not in stands.err
    assert "From Kerswell on foot." in (tmp_path / "two.gpx").read_text(encoding="utf-8")


def test_what_slipped_through_the_blurring_is_refused_in_one_sentence(
    stocked: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    stocked("site", "edit", "quarry", "--location", "withheld")
    stocked("trip", "edit", "high", "--summary", "Up at the quarry.")
    assert stocked("export", "high").status == 0
    monkeypatch.setattr("logbook.domain.discretion.Discretion.scrub", lambda _say, text: text)
    refused = stocked("export", "high")
    assert (refused.status, refused.out) == (1, "")
    assert "the name of a withheld place" in refused.err
    assert stocked("export", "high", "--private").status == 0
