"""Tracks and places on them against files, rules and computations that are not our own.

* TopoGrafix, GPX 1.1 Schema (gpx.xsd), 2004: wptType, trkType, trksegType (rules of what a reader may meet);
* the test files of the gpxpy 1.6.2 source package (T. Krajina, Apache License 2.0): points, times and
  structure of three of them, written out here without their extensions;
* numpy.interp, a piecewise linear interpolation by others;
* geopy's geodesics (C. F. F. Karney, Algorithms for geodesics, Journal of Geodesy 87, 2013, 43-55), which the
  placing under test does not use; its own rows are checked in test_geodesics.py;
* xml.etree and datetime.fromisoformat of the standard library, as a second reader of GPX.
"""

import xml.etree.ElementTree as ET
from datetime import UTC, datetime, timedelta
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from geopy.distance import geodesic
from hypothesis import given
from hypothesis import strategies as st

from logbook.craft.placing import place_all
from logbook.craft.sphere import distance_m, unit
from logbook.domain.track import Fix
from logbook.intake.tracks import read_track

SAMPLE = Path(__file__).parents[2] / "sample_trip" / "high-valley-autumn" / "track.gpx"

# gpxpy 1.6.2, test_files/track-with-less-sec-time.gpx: fractions of a second, an offset, longitude first
FRACTIONS = """<?xml version="1.0" encoding="utf-8"?>
<gpx xmlns="http://www.topografix.com/GPX/1/1" version="1.1" creator="test"><trk><type>run</type><trkseg>
<trkpt lon="9.992872" lat="57.011456"><ele>23.5536</ele><time>2015-12-11T15:43:13.000+01:00</time></trkpt>
<trkpt lon="9.992874" lat="57.01147"><ele>23.551199</ele><time>2015-12-11T15:43:13.994+01:00</time></trkpt>
</trkseg></trk></gpx>"""
# gpxpy 1.6.2, test_files/track_with_speed.gpx: no namespace, no version, elements that GPX 1.1 does not know
SPEEDS = """<gpx><author>Serial=1443</author><time>2007-03-02T10:34:03Z</time><trk><trkseg>
<trkpt lat="52.330848" lon="5.541371"><ele>48.962041</ele>
<time>2009-03-02T14:05:52Z</time><speed>1.2</speed></trkpt>
<trkpt lat="52.330951" lon="5.541344"><ele>58.166437</ele>
<time>2009-03-02T14:05:58Z</time><speed>2.2</speed></trkpt>
<trkpt lat="52.331014" lon="5.541333"><ele>53.381747</ele>
<time>2009-03-02T14:06:05Z</time><speed>3.2</speed></trkpt>
</trkseg></trk></gpx>"""
# gpxpy 1.6.2, test_files/validation_gpx11.gpx: every element of a point, an empty segment, an empty track
EVERYTHING = """<?xml version="1.0" encoding="UTF-8"?>
<gpx xmlns="http://www.topografix.com/GPX/1/1" version="1.1" creator="test"><wpt lat="12.3" lon="45.6"/>
<trk><name>example name t</name><cmt>example cmt t</cmt><link href="http://trk"><text>trk link</text></link>
<number>1</number><type>t</type><trkseg><trkpt lat="10.1" lon="-20.2"><ele>11.1</ele>
<time>2013-01-01T12:00:04</time>
<magvar>12.0</magvar><geoidheight>13.0</geoidheight><name>example name t</name><link href="http://trkpt"/>
<sym>example sym t</sym><fix>3d</fix><sat>100</sat><hdop>101.0</hdop><ageofdgpsdata>104.0</ageofdgpsdata>
<dgpsid>99</dgpsid></trkpt></trkseg><trkseg></trkseg></trk><trk></trk></gpx>"""


def written(folder: Path, text: str) -> Path:
    path = folder / "track.gpx"
    path.write_text(text, encoding="utf-8")
    return path


def test_fractions_and_offsets_are_read_exactly(tmp_path: Path) -> None:
    at = datetime(2015, 12, 11, 14, 43, 13, tzinfo=UTC)
    assert read_track(written(tmp_path, FRACTIONS)).segments == (
        (
            Fix(at, 57.011456, 9.992872, 23.5536),
            Fix(at + timedelta(milliseconds=994), 57.01147, 9.992874, 23.551199),
        ),
    )


def test_a_file_of_an_older_kind_is_read(tmp_path: Path) -> None:
    track = read_track(written(tmp_path, SPEEDS))
    assert track.doubts == ()
    assert [(p.at.isoformat(), p.latitude_deg, p.longitude_deg, p.elevation_m) for p in track.points] == [
        ("2009-03-02T14:05:52+00:00", 52.330848, 5.541371, 48.962041),
        ("2009-03-02T14:05:58+00:00", 52.330951, 5.541344, 58.166437),
        ("2009-03-02T14:06:05+00:00", 52.331014, 5.541333, 53.381747),
    ]


def test_a_point_with_every_element_is_read_and_its_time_is_utc(tmp_path: Path) -> None:
    """GPX 1.1, wptType: date and time are in UTC, not local time."""
    track = read_track(written(tmp_path, EVERYTHING))
    assert track.name == "example name t"
    assert track.points == (Fix(datetime(2013, 1, 1, 12, 0, 4, tzinfo=UTC), 10.1, -20.2, 11.1),)


@pytest.mark.parametrize(
    ("lat", "lon", "kept"),
    [("90", "0", True), ("-90", "-180", True), ("90.0000001", "0", False), ("0", "-180.0000001", False)],
)
def test_the_limits_of_latitude_and_longitude_are_the_schemas(
    tmp_path: Path, lat: str, lon: str, kept: bool
) -> None:
    """GPX 1.1: -90 <= latitude <= 90, -180 <= longitude < 180; exactly 180 is read all the same."""
    extra = f'<trkpt lat="{lat}" lon="{lon}"><time>2009-03-02T15:00:00Z</time></trkpt></trkseg>'
    track = read_track(written(tmp_path, SPEEDS.replace("</trkseg>", extra)))
    assert len(track.points) == 3 + kept


def test_the_sample_track_reads_as_the_standard_library_reads_it() -> None:
    space = "{http://www.topografix.com/GPX/1/1}"
    expected = [
        Fix(
            datetime.fromisoformat(point.findtext(f"{space}time", "")),
            float(point.attrib["lat"]),
            float(point.attrib["lon"]),
            float(point.findtext(f"{space}ele", "")),
        )
        for point in ET.parse(SAMPLE).iter(f"{space}trkpt")
    ]
    assert list(read_track(SAMPLE).points) == expected


def test_places_on_the_sample_track_are_those_of_numpy() -> None:
    """Tolerance 1e-7 degrees (1 cm) and 1 mm of height; its legs are some 100 m long."""
    track = read_track(SAMPLE)
    start, end = track.points[0].at, track.points[-1].at
    step = (end - start) / 2000
    instants = [start + step * i for i in range(2001)]
    seconds = np.array([(p.at - start).total_seconds() for p in track.points])
    asked = np.array([(at - start).total_seconds() for at in instants])
    columns = [
        np.interp(asked, seconds, np.array(values))
        for values in (
            [p.latitude_deg for p in track.points],
            [p.longitude_deg for p in track.points],
            [p.elevation_m for p in track.points],
        )
    ]
    compared = 0
    for placed, latitude_deg, longitude_deg, elevation_m in zip(
        place_all(instants, track.segments), *columns, strict=True
    ):
        if placed is not None:
            compared += 1
            assert placed.latitude_deg == pytest.approx(latitude_deg, abs=1e-7)
            assert placed.longitude_deg == pytest.approx(longitude_deg, abs=1e-7)
            assert placed.elevation_m == pytest.approx(elevation_m, abs=1e-3)
    assert compared > 1900


LATITUDES, LONGITUDES = st.floats(-90, 90), st.floats(-180, 180)


@given(LATITUDES, LONGITUDES, st.floats(0, 360), st.floats(0, 10_000), st.floats(0, 1))
def test_a_place_between_lies_on_the_geodesic(
    latitude_deg: float, longitude_deg: float, azimuth_deg: float, length_m: float, part: float
) -> None:
    """Tolerance: 3 cm for a leg of 10 km, falling with its square, and 10 µm; poles and date line too."""
    start = (latitude_deg, longitude_deg)
    line = geodesic(meters=length_m).destination(start, azimuth_deg)
    true = geodesic(meters=length_m * part).destination(start, azimuth_deg)
    at = datetime(2031, 10, 14, tzinfo=UTC)
    ends = (
        Fix(at, latitude_deg, longitude_deg),
        Fix(at + timedelta(seconds=200), line.latitude, line.longitude),
    )
    placed = place_all((at + timedelta(seconds=200 * part),), [ends])[0]
    assert placed is not None
    off_m = geodesic((placed.latitude_deg, placed.longitude_deg), (true.latitude, true.longitude)).meters
    assert off_m <= 0.03 * (length_m / 10_000) ** 2 + 1e-5


@given(LATITUDES, LONGITUDES, LATITUDES, LONGITUDES)
def test_a_distance_is_within_six_per_mille_of_the_geodesic(a: float, b: float, c: float, d: float) -> None:
    """0.6 %: what a sphere of the mean radius can do on WGS84."""
    geodesic_m = geodesic((a, b), (c, d)).meters
    assert distance_m(unit(a, b), unit(c, d)) == pytest.approx(geodesic_m, rel=0.006, abs=1e-6)


def test_the_speed_on_the_sample_track_is_that_of_the_geodesics() -> None:
    """Tolerance 0.6 %, as for distances."""
    points = read_track(SAMPLE).points
    for start, end in list(pairwise(points))[::25]:
        placed = place_all((start.at + (end.at - start.at) / 2,), [points])[0]
        assert placed is not None
        ends = ((one.latitude_deg, one.longitude_deg) for one in (start, end))
        true_m = geodesic(*ends).meters
        assert placed.speed_m_s == pytest.approx(true_m / (end.at - start.at).total_seconds(), rel=0.006)
        assert placed.gap_s == (end.at - start.at).total_seconds()
