"""What is exported for others tells nothing that they must not know, in any format."""

import json
import re
from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date

import pytest
from geopy.distance import geodesic

from logbook.domain.errors import LogbookError
from logbook.domain.formats import ExportFormat
from logbook.domain.horizon import Horizon
from logbook.domain.position import Position
from logbook.domain.shown import Shown
from logbook.domain.words import Audience, Disclosure, OutcomeWord
from logbook.services.books.imports import import_document
from logbook.services.exports.book_json import from_document
from logbook.services.exports.calendar import calendar_text
from logbook.services.exports.geojson import geojson_text
from logbook.services.exports.gpx import gpx_text
from logbook.services.exports.json_text import parse_json
from logbook.services.exports.kml import kml_text
from logbook.services.exports.settings_csv import settings_csv
from logbook.services.exports.trip_export import export_trip, exported
from logbook.store.book import Book
from tests.domain.discretion.conftest import small_trip
from tests.services.exports.moment import NOW

SECRETS = re.compile(
    r"hollow.{0,12}arch|owl.{0,12}wood|61\.23|7\.654|crawl in|adders|tell nobody|Ilse|Brand|Orrin"
    r"|Twelve prints|under the stone|my own affair|4711|TRN_04|/cards/|38\.765|73\.123|3501"
    r"|direction_deg\W+123|0{40}[234]\b|400000[234]|polariser|Hidden Owner|secret-keyword",
    re.IGNORECASE,
)


def whole(book: Book, form: ExportFormat, *, private: bool) -> str:
    files = export_trip(book, "high-valley", form, private=private).files
    return "".join(f"{file.name}\n{file.text}" for file in files)


def unfolded(text: str) -> str:
    return text.replace("\r\n ", "")


@pytest.mark.parametrize("form", ExportFormat)
def test_no_format_tells_others_a_secret(form: ExportFormat, book: Book) -> None:
    text = unfolded(whole(book, form, private=False))
    assert not SECRETS.findall(text)
    assert "quarry" in text.lower(), "what may be known is there"


@pytest.mark.parametrize("form", ExportFormat)
def test_for_oneself_every_format_tells_all_it_can(form: ExportFormat, book: Book) -> None:
    assert SECRETS.search(unfolded(whole(book, form, private=True)))


@pytest.mark.parametrize("write", [gpx_text, kml_text, geojson_text, settings_csv, calendar_text])
def test_no_bearing_towards_a_withheld_place_is_written(write: Callable[[Shown], str]) -> None:
    account = small_trip()
    told = write(exported(account, private=False))
    assert not re.search(r"faces|looks at|facing_deg|60|far wood|,50(\.0)?[,\n]", told)
    assert [one.word for one in exported(account, private=False).struck] == [
        "Anvarra", "Brandauer", "Kerswell", "Tomas"
    ]  # fmt: skip


def test_filters_are_scrubbed_word_by_word() -> None:
    account = small_trip()
    keeper = replace(account.keepers[0], filters=("nd8", "Kerswell glass"))
    shown = exported(replace(account, keepers=(keeper,)), private=False)
    assert shown.keepers[0].filters == ("nd8", "[place withheld] glass")


def test_a_day_that_comes_near_a_withheld_place_loses_its_track(book: Book) -> None:
    assert whole(book, ExportFormat.GPX, private=True).count("<trkpt") == 6
    assert whole(book, ExportFormat.GPX, private=False).count("<trkpt") == 3


def test_an_area_is_rounded_and_says_so(book: Book) -> None:
    text = whole(book, ExportFormat.GPX, private=False)
    assert 'lat="38.8" lon="73.1"' in text
    assert "rounded to a tenth of a degree on purpose" in text


def test_what_others_get_can_be_imported_as_what_it_is(book: Book, tmp_path: object) -> None:
    text = export_trip(book, None, ExportFormat.JSON, private=False).files[0].text
    document = from_document(parse_json(text, "a.json"), "a.json")
    assert not document.private
    other = Book(book.path.with_name("other.sqlite"), lambda: NOW, create=True)
    done = import_document(other, document, "a.json")
    assert (done.added["sites"], done.added["keepers"], done.added["night_answers"]) == (2, 3, 0)
    assert text == export_trip(other, None, ExportFormat.JSON, private=False).files[0].text, (
        "nothing left to blur"
    )
    with pytest.raises(LogbookError, match="contradicts the book"):
        import_document(book, document, "a.json")


HIDE = Position(61.23456, 7.65432)  # of the withheld place in this book


def placed(book: Book, away_m: float, *, viewpoint: str | None) -> str:
    """The GeoJSON for others after a picture was placed so far from the withheld place."""
    there = geodesic(meters=away_m).destination((HIDE.latitude_deg, HIDE.longitude_deg), 90)
    with book.writing() as desk:
        trip = desk.trips.all()[0]
        desk.trips.put(replace(trip, location_shown=Disclosure.EXACT))
        keeper = desk.keepers.all()[0]
        moved = replace(keeper, latitude_deg=there.latitude, longitude_deg=there.longitude)
        found = desk.viewpoints.first(slug=viewpoint) if viewpoint else None
        desk.keepers.put(replace(moved, viewpoint_id=found.id if found else None))
    text = whole(book, ExportFormat.GEOJSON, private=False)
    return "shown" if f"{there.longitude:.4f}"[:-1] in text else "hidden"


@pytest.mark.parametrize("viewpoint", [None, "quarry-ledge"])
def test_a_picture_near_a_withheld_place_is_placed_nowhere(book: Book, viewpoint: str | None) -> None:
    assert placed(book, 18, viewpoint=viewpoint) == "hidden"
    assert placed(book, 4900, viewpoint=viewpoint) == "hidden"
    assert placed(book, 20_000, viewpoint=viewpoint) == "shown"


# What may be all that tells who was at the withheld place on a day.
TRACES = ("visits", "conditions", "keepers", "shots")


def with_one_trace(book: Book, kept: str, zone: str | None) -> None:
    """Leave one trace of the day at the withheld place, and no position of it."""
    with book.writing() as desk:
        desk.trips.put(replace(desk.trips.all()[0], zone=zone))
        hidden = desk.viewpoints.first(slug="owl-wood")
        assert hidden is not None
        for name in ("visits", "conditions", "keepers"):
            shelf = getattr(desk, name)
            for one in shelf.all(viewpoint_id=hidden.id):
                if name == "keepers":
                    shelf.put(replace(one, latitude_deg=None, longitude_deg=None))
                if name != kept:
                    shelf.put(replace(shelf.get(one.id), viewpoint_id=desk.viewpoints.all()[0].id))
        for place in desk.sites.all(slug="hollow-arch"):
            desk.sites.put(replace(place, latitude_deg=None, longitude_deg=None))
        desk.viewpoints.put(replace(hidden, latitude_deg=None, longitude_deg=None))
        if kept == "shots":
            (shot,) = desk.shots.all(viewpoint_id=hidden.id)
            desk.shots.put(replace(shot, on_date=date(2031, 10, 14)))
            (outcome,) = desk.outcomes.all(shot_id=shot.id)
            desk.outcomes.put(replace(outcome, word=OutcomeWord.MADE, replaced_by_keeper_id=None))


@pytest.mark.parametrize("kept", TRACES)
def test_one_trace_of_a_day_at_a_withheld_place_hides_its_track(book: Book, kept: str) -> None:
    with_one_trace(book, kept, "Asia/Dushanbe")
    assert whole(book, ExportFormat.GPX, private=False).count("<trkpt") == 3


def test_without_any_trace_the_track_is_shown(book: Book) -> None:
    with_one_trace(book, "nothing", "Asia/Dushanbe")
    assert whole(book, ExportFormat.GPX, private=False).count("<trkpt") == 6


def test_without_a_zone_the_days_beside_are_hidden_too(book: Book) -> None:
    with_one_trace(book, "visits", None)
    assert whole(book, ExportFormat.GPX, private=False).count("<trkpt") == 0


@pytest.mark.slow
def test_a_viewpoints_horizon_goes_to_others_with_an_exact_place_only(book: Book) -> None:
    with book.writing() as desk:
        for viewpoint in desk.viewpoints.all():
            desk.viewpoints.put(replace(viewpoint, horizon=Horizon(6.25)))
    told = {
        private: json.loads(export_trip(book, None, ExportFormat.JSON, private=private).files[0].text)
        for private in (True, False)
    }
    assert {one["slug"]: one["horizon"] for one in told[True]["viewpoints"]} == {
        "quarry-ledge": 6.25, "mill-race": 6.25, "owl-wood": 6.25,
    }  # fmt: skip
    assert {one["slug"]: one["horizon"] for one in told[False]["viewpoints"]} == {
        "quarry-ledge": 6.25, "mill-race": None,
    }  # fmt: skip
    for form in (ExportFormat.GPX, ExportFormat.KML, ExportFormat.GEOJSON):
        assert (
            whole(book, form, private=False).count("6.25")
            == whole(book, form, private=True).count("6.25") / 3
        )


def test_the_calendar_names_the_horizon_of_its_sunset(book: Book) -> None:
    level = unfolded(whole(book, ExportFormat.ICS, private=True))
    with book.writing() as desk:
        ledge = desk.viewpoints.first(slug="quarry-ledge")
        assert ledge is not None
        desk.viewpoints.put(replace(ledge, horizon=Horizon(9.0)))
    over = unfolded(whole(book, ExportFormat.ICS, private=True))
    assert "over the 9° skyline" in over
    assert re.findall(r"(\d\d:\d\d) sunset", over) < re.findall(r"(\d\d:\d\d) sunset", level)


def planted(book: Book, slugs: Sequence[str]) -> str:
    """Give the shot of the withheld place one slug after the other; return the exports that tell one."""
    told = []
    for slug in slugs:
        with book.writing() as desk:
            hidden = desk.viewpoints.first(slug="owl-wood")
            assert hidden is not None
            (shot,) = desk.shots.all(viewpoint_id=hidden.id)
            desk.shots.put(replace(shot, slug=slug))
            for lesson in desk.lessons.all()[:1]:
                hidden_lesson = replace(lesson, shot_id=shot.id, slug=f"{slug}-lesson", viewpoint_id=None)
                desk.lessons.put(replace(hidden_lesson, site_id=None, shown_to=Audience.STUDENTS))
        told += [f"{slug} in {form}" for form in ExportFormat if slug in whole(book, form, private=False)]
        assert slug in whole(book, ExportFormat.JSON, private=True)
    return ", ".join(told)


@pytest.mark.slow
def test_the_short_name_of_what_was_planned_at_a_withheld_place_tells_nobody(book: Book) -> None:
    assert planted(book, ["owlshot", "ledgeshot", "dusk-in-there", "shot-one-two"]) == ""


@pytest.mark.slow
def test_a_short_name_with_a_withheld_name_within_a_word_tells_nobody(book: Book) -> None:
    with book.writing() as desk:
        hidden = desk.viewpoints.first(slug="owl-wood")
        assert hidden is not None
        desk.viewpoints.put(replace(hidden, slug="ledge", title="Ledge"))
        shot = next(one for one in desk.shots.all() if one.viewpoint_id != hidden.id)
        desk.shots.put(replace(shot, slug="theledgeshot", viewpoint_id=None))
    for form in ExportFormat:
        assert "ledgeshot" not in whole(book, form, private=False)
    assert "theledgeshot" in whole(book, ExportFormat.JSON, private=True)


def test_short_names_that_were_replaced_are_nobody_elses_and_lead_to_the_same_shot(book: Book) -> None:
    with book.writing() as desk:
        hidden = desk.viewpoints.first(slug="owl-wood")
        assert hidden is not None
        number = [one.id for one in desk.shots.all()]
        (shot,) = desk.shots.all(viewpoint_id=hidden.id)
        other = next(one for one in desk.shots.all() if one.id != shot.id)
        taken = f"shot-{number.index(shot.id) + 1}"
        desk.shots.put(replace(other, slug=taken, on_date=date(2031, 10, 14)))
        outcome = desk.outcomes.first(shot_id=other.id)
        assert outcome is not None
        changed = replace(outcome, word=OutcomeWord.REPLACED, replaced_by_shot_id=shot.id, provenance={})
        desk.outcomes.put(replace(changed, replaced_by_keeper_id=None))
    shown = from_document(parse_json(whole(book, ExportFormat.JSON, private=False).split("\n", 1)[1], ""), "")
    slugs = {one.id: one.slug for one in shown.records["shots"]}
    assert len(set(slugs.values())) == len(slugs)
    days = whole(book, ExportFormat.MARKDOWN, private=False)
    assert f"- shot {slugs[other.id]}: replaced by {slugs[shot.id]}" in days
