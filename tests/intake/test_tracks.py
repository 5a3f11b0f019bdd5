"""Tracks as receivers write them, as they should not, and as somebody hostile would."""

import time
import tracemalloc
from datetime import UTC, datetime, timedelta
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from logbook.domain.errors import UnreadableFileError
from logbook.domain.track import Fix
from logbook.intake import tracks
from logbook.intake.tracks import Track, read_track
from tests.examples import examples

NAMESPACE = 'xmlns="http://www.topografix.com/GPX/1/1"'
SAMPLE = Path(__file__).parents[2] / "sample_trip" / "high-valley-autumn" / "track.gpx"
NOON = datetime(2031, 10, 14, 12, 0, tzinfo=UTC)


def point(
    lat: object = 47.0, lon: object = 12.0, at: str | None = "2031-10-14T12:00:00Z", ele: object = None
) -> str:
    inner = ("" if ele is None else f"<ele>{ele}</ele>") + ("" if at is None else f"<time>{at}</time>")
    return f'<trkpt lat="{lat}" lon="{lon}">{inner}</trkpt>'


def at(minute: int, **kw: object) -> str:
    return point(at=f"2031-10-14T12:{minute:02d}:00Z", **kw)


def gpx(*segments: str, head: str = "", name: str = "") -> str:
    inner = "".join(f"<trkseg>{segment}</trkseg>" for segment in segments)
    root = f'<gpx version="1.1" creator="test" {NAMESPACE}>'
    return f'<?xml version="1.0"?>{head}{root}<trk>{name}{inner}</trk></gpx>'


def read(tmp_path: Path, content: str | bytes) -> Track:
    path = tmp_path / "walk.gpx"
    path.write_bytes(content.encode() if isinstance(content, str) else content)
    return read_track(path)


def refusal(tmp_path: Path, content: str | bytes) -> str:
    with pytest.raises(UnreadableFileError) as refused:
        read(tmp_path, content)
    message = str(refused.value)
    assert "walk.gpx" in message
    assert "\n" not in message
    return message


def test_a_track_is_read_with_times_in_utc(tmp_path: Path) -> None:
    track = read(
        tmp_path,
        gpx(at(0, ele=812.5) + point(at="2031-10-14T14:01:00.25+02:00"), name="<name>To the  ledge</name>"),
    )
    assert track == Track(
        (
            (
                Fix(NOON, 47.0, 12.0, 812.5),
                Fix(NOON + timedelta(seconds=60.25), 47.0, 12.0, None),
            ),
        ),
        "To the ledge",
    )
    assert all(p.at.tzinfo is UTC for p in track.points)


def test_segments_stay_apart_and_empty_ones_vanish(tmp_path: Path) -> None:
    track = read(tmp_path, gpx(at(10) + at(11), "", at(0)))
    assert [len(segment) for segment in track.segments] == [1, 2]
    assert [p.at.minute for p in track.points] == [0, 10, 11]
    assert track.doubts == ()


def test_segments_that_overlap_are_doubted(tmp_path: Path) -> None:
    track = read(tmp_path, gpx(at(0) + at(10), at(5) + at(15)))
    assert len(track.segments) == 2
    assert track.doubts == ("stretches that overlap the one before, perhaps from two receivers: 1",)


@pytest.mark.parametrize(
    ("bad", "doubt"),
    [
        (point(at=None), "points without a time, left out: 1"),
        (point(at="soon"), "points without a time, left out: 1"),
        (point(at="2031-13-14T12:00:00Z"), "points without a time, left out: 1"),
        (point(at="1970-01-01T00:00:05Z"), "points with an impossible time, left out: 1"),
        (point(at="0001-01-01T00:00:00+14:00"), "points with an impossible time, left out: 1"),
        (point(at="2031-10-14T12:00:00+99:99"), "points with an impossible time, left out: 1"),
        (at(1, lat=90.001), "points with impossible coordinates, left out: 1"),
        (at(1, lon=-180.5), "points with impossible coordinates, left out: 1"),
        (at(1, lat="nan"), "points with impossible coordinates, left out: 1"),
        (at(1, lon="inf"), "points with impossible coordinates, left out: 1"),
        (at(1, lat="0.0", lon="0"), "points at 0, 0 (no fix yet), left out: 1"),
        (at(1, lat="47,0"), "points without coordinates, left out: 1"),
        (at(1, lat="4" * 100), "points without coordinates, left out: 1"),
        ("<trkpt><time>2031-10-14T12:01:00Z</time></trkpt>", "points without coordinates, left out: 1"),
        (at(0, lat=48.0), "points at the same instant as the one before, left out: 1"),
    ],
)
def test_one_bad_point_is_left_out_with_a_doubt(tmp_path: Path, bad: str, doubt: str) -> None:
    track = read(tmp_path, gpx(at(0) + bad + at(2)))
    assert [p.at.minute for p in track.points] == [0, 2]
    assert track.doubts == (doubt,)


@pytest.mark.parametrize(
    ("ele", "doubt"),
    [
        ("high", "elevations that are not numbers, left out: 1"),
        ("99999", "impossible elevations, left out: 1"),
        ("nan", "impossible elevations, left out: 1"),
    ],
)
def test_a_bad_elevation_costs_only_the_elevation(tmp_path: Path, ele: str, doubt: str) -> None:
    track = read(tmp_path, gpx(at(0, ele=ele)))
    assert track.points[0].elevation_m is None
    assert track.doubts == (doubt,)


def test_an_empty_elevation_is_no_doubt(tmp_path: Path) -> None:
    assert read(tmp_path, gpx(at(0, ele=""))).doubts == ()


def test_time_order_is_put_right_with_a_doubt(tmp_path: Path) -> None:
    track = read(tmp_path, gpx(at(0) + at(2) + at(1) + at(3)))
    assert [p.at.minute for p in track.points] == [0, 1, 2, 3]
    assert track.doubts == ("jumps back in time, put in order: 1",)


def test_a_time_without_a_zone_is_utc_with_a_doubt(tmp_path: Path) -> None:
    track = read(tmp_path, gpx(point(at="2031-10-14T12:00:00")))
    assert track.points[0].at == NOON
    assert track.doubts == ("times without a zone, read as UTC as GPX requires: 1",)


def test_gpx_1_0_and_files_without_a_namespace_are_read(tmp_path: Path) -> None:
    for head in ('<gpx version="1.0" creator="t" xmlns="http://www.topografix.com/GPX/1/0">', "<gpx>"):
        assert len(read(tmp_path, f"{head}<trk><trkseg>{at(0)}</trkseg></trk></gpx>").points) == 1


def test_a_prefix_for_gpx_is_as_good_as_none(tmp_path: Path) -> None:
    text = (
        '<g:gpx xmlns:g="http://www.topografix.com/GPX/1/1"><g:trk><g:name>N</g:name><g:trkseg>'
        '<g:trkpt lat="47" lon="12"><g:time>2031-10-14T12:00:00Z</g:time><trkpt lat="1" lon="1"/></g:trkpt>'
        "</g:trkseg></g:trk></g:gpx>"
    )
    assert read(tmp_path, text) == Track(((Fix(NOON, 47.0, 12.0),),), "N")


def test_extensions_and_comments_do_not_mislead(tmp_path: Path) -> None:
    extended = (
        '<trkpt lat="47" lon="12"><!-- <ele>1</ele> --><time>2031-10-14T12:00:00Z</time>'
        '<extensions><x:p xmlns:x="urn:x"><x:time>1999-01-01T00:00:00Z</x:time>'
        "<ele>7</ele></x:p></extensions></trkpt>"
    )
    assert read(tmp_path, gpx(extended)).points == (Fix(NOON, 47.0, 12.0),)


def test_text_of_a_name_stays_text(tmp_path: Path) -> None:
    track = read(tmp_path, gpx(at(0), name="<name>a &lt;b&gt; &amp; <![CDATA[</name>]]></name>"))
    assert track.name == "a <b> & </name>"


@pytest.mark.parametrize("encoding", ["utf-8-sig", "utf-16", "iso-8859-1", "windows-1252"])
def test_other_encodings_are_read(tmp_path: Path, encoding: str) -> None:
    declared = gpx(at(0), name="<name>Übergang</name>")
    if encoding.startswith(("iso", "win")):
        declared = declared.replace('"1.0"?', f'"1.0" encoding="{encoding}"?', 1)
    assert read(tmp_path, declared.encode(encoding)).name == "Übergang"


LAUGHS = '<!DOCTYPE gpx [<!ENTITY a "ha"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;">]>'


@pytest.mark.parametrize(
    "head",
    [
        LAUGHS,
        '<!DOCTYPE gpx SYSTEM "file:///etc/passwd">',
        '<!DOCTYPE gpx [<!ENTITY x SYSTEM "file:///etc/passwd">]>',
        '<!-- - xmlns="a"-> -->\n<!DOCTYPE gpx>',
    ],
)
def test_a_document_type_is_refused(tmp_path: Path, head: str) -> None:
    message = refusal(tmp_path, gpx(at(0), head=head, name="<name>&b;</name>"))
    assert "declares a document type" in message
    assert "document type" in refusal(tmp_path, gpx(at(0), head=head).encode("utf-16"))


def test_a_document_type_inside_a_comment_is_only_text(tmp_path: Path) -> None:
    assert len(read(tmp_path, gpx(at(0), head='<!-- - xmlns="a"-> <!DOCTYPE gpx> -->')).points) == 1


@pytest.mark.parametrize(
    ("content", "words"),
    [
        ("", "not a complete XML file"),
        ("lat,lon\n47,12\n", "not a complete XML file"),
        ("<kml><Placemark/></kml>", "its root is <kml>"),
        (gpx(at(0))[:-12], "not a complete XML file"),
        (b"\xff\xd8\xff\xe0" + bytes(100), "not a complete XML file"),
        ('<?xml version="1.0" encoding="klingon"?><gpx/>', "encoding"),
        (gpx(at(0), name="<name>&b;</name>"), "not a complete XML file"),
        (gpx(), "no points with a place and a time"),
        (gpx(point(at=None)), "points without a time, left out: 1"),
        (
            "<gpx><rte><rtept lat='1' lon='2'><time>2031-10-14T12:00:00Z</time></rtept></rte></gpx>",
            "no point",
        ),
        ("<gpx>" + "<a>" * 200 + "</a>" * 200 + "</gpx>", "nested more than 64 deep"),
    ],
)
def test_what_is_no_track_is_refused_in_one_sentence(
    tmp_path: Path, content: str | bytes, words: str
) -> None:
    assert words in refusal(tmp_path, content)


def test_a_file_too_large_is_refused_before_it_is_read_whole(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(tracks, "LARGEST_BYTES", 1000)
    assert "larger than" in refusal(tmp_path, gpx(at(0) * 50))


@pytest.mark.parametrize("name", ["missing.gpx", "."])
def test_a_path_that_cannot_be_opened_is_refused(tmp_path: Path, name: str) -> None:
    with pytest.raises(UnreadableFileError, match="check its name and permissions"):
        read_track(tmp_path / name)


@pytest.mark.parametrize(
    "junk",
    [
        " xmlns" * 200_000,
        "".join(f'<e xmlns:p{i}="urn:{i}"/>' for i in range(50_000)),
        "<a>" * 50 + "x" * 1_000_000 + "</a>" * 50,
        "&lt;" * 300_000,
        "<name> xmlns xmlns</name></trk><trk>" * 50_000,
        '<trkseg><trkpt lat="1" lon="1">' + "<time> xmlns</time>" * 100_000 + "</trkpt></trkseg>",
        '<trkseg><trkpt lat="1" lon="1"><ele>' + "9" * 1_000_000 + "</ele></trkpt></trkseg>",
    ],
    ids=[
        "namespaces in text",
        "many namespaces",
        "long text",
        "escapes",
        "many names",
        "many times",
        "long number",
    ],
)
def test_hostile_bulk_costs_no_more_than_its_size(tmp_path: Path, junk: str) -> None:
    text = gpx(at(0)).replace("</gpx>", f"<trk>{junk}</trk></gpx>")
    begun = time.process_time()
    assert len(read(tmp_path, text).points) == 1
    assert time.process_time() - begun < 5  # far below a second here; quadratic growth would take minutes


@pytest.mark.slow
def test_a_long_track_is_read_piece_by_piece_and_no_point_is_lost(tmp_path: Path) -> None:
    """A whole tree of it took 1.7 kB a point; what is kept of a point takes 0.2."""
    seconds = 10_500
    points = "".join(
        point(lat=f"{47 + n * 1e-6:.6f}", at=f"2031-10-14T{12 + n // 3600}:{n // 60 % 60:02}:{n % 60:02}Z")
        for n in range(seconds)
    )
    text = gpx(points[: points.index("</trkpt>") + 8], points[points.index("</trkpt>") + 8 :])
    read(tmp_path, gpx(at(0)))  # what is loaded once
    tracemalloc.start()
    track = read(tmp_path, text)
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert [len(segment) for segment in track.segments] == [1, seconds - 1]
    assert [one.at for one in track.points] == [NOON + timedelta(seconds=n) for n in range(seconds)]
    assert peak < 8 * 2**20


def test_doubts_are_counted_over_all_pieces(tmp_path: Path) -> None:
    track = read(tmp_path, gpx(*("".join(at(n % 60, lat=91) for n in range(1500)) + at(n) for n in range(2))))
    assert track.doubts == ("points with impossible coordinates, left out: 3000",)


def test_the_sample_track_is_read_without_doubts() -> None:
    track = read_track(SAMPLE)
    assert track.doubts == ()
    assert track.name
    assert len(track.points) > 500


GOOD = gpx(
    *("".join(at(m, ele=800 + m) for m in range(5 * s, 5 * s + 5)) for s in range(3)), name="<name>x</name>"
).encode()
PIECES = st.sampled_from(
    [
        b"<",
        b">",
        b'"',
        b"&",
        b"]]>",
        b"<!--",
        b"<!DOCTYPE x>",
        b"</trkseg>",
        b"<trkseg>",
        b"nan",
        b"-",
        b"\x00",
        b"\xff",
        b"1e999",
        b"xmlns=''",
        b'<trkpt lat="1" lon="1">',
        b"<time>",
        b"Z",
        b"+99:99",
        b"0",
        b"\xc3\xa9",
        b"&#0;",
        b"9999",
    ]
)
CHANGES = st.lists(
    st.tuples(st.integers(0, len(GOOD)), st.integers(0, 12), PIECES | st.binary(max_size=6)), max_size=8
)


@settings(max_examples=examples(2), suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(CHANGES)
def test_a_damaged_file_is_read_or_refused_and_nothing_else(
    tmp_path: Path, changes: list[tuple[int, int, bytes]]
) -> None:
    content = GOOD
    for place, gone, piece in changes:
        content = content[:place] + piece + content[place + gone :]
    try:
        track = read(tmp_path, content)
    except UnreadableFileError:
        return
    for segment in track.segments:
        assert all(a.at < b.at for a, b in pairwise(segment))
        assert all(-90 <= p.latitude_deg <= 90 and -180 <= p.longitude_deg <= 180 for p in segment)


@settings(deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.binary(max_size=200) | st.text(max_size=200).map(str.encode))
def test_any_bytes_are_read_or_refused(tmp_path: Path, content: bytes) -> None:
    refusal(tmp_path, content)
