"""The sample trips hold together: plan, day files, pictures and track speak of the same things.

Counts are those that the demo promises. Camera facts are read with Pillow, never with the product's reader.
"""

import json
import math
import re
import shutil
import subprocess
import sys
from collections import Counter
from collections.abc import Mapping, Sequence
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from PIL import ExifTags, Image

from logbook.craft.series import EXPOSURES
from logbook.domain.words import ConditionKind, OutcomeWord, Reason
from logbook.domain.written.entry import ConditionEntry, KeepersEntry, KitEntry, LessonEntry, ShotEntry
from logbook.domain.written.plan_tokens import ANY_TIME
from logbook.intake.dayfile import DayFile, read_day_file
from logbook.intake.planfile import open_plan, read_plan
from logbook.services.books.imports import read_document
from sample_trip import show

SAMPLE = Path(__file__).parents[1] / "sample_trip"
MAIN = "high-valley-autumn"
TRIPS = (MAIN, "slate-coast-winter", "river-forest-spring")
DARKEST_EV, BRIGHTEST_EV = -6, 17  # EV100; a moonless sky and sunlit snow (common practice, no source)


BOOK = json.loads((SAMPLE / "book.json").read_text(encoding="utf-8"))
PLANS = {trip: read_plan(open_plan(SAMPLE / trip / "plan.md"), ANY_TIME) for trip in TRIPS}
SHOTS = {trip: [shot.said for shot in plan.shots] for trip, plan in PLANS.items()}
NAMES = {row["id"]: row["slug"] for noun in ("trips", "sites", "viewpoints", "kit") for row in BOOK[noun]}
PACKED = {trip: [row for row in BOOK["packed"] if NAMES[row["trip_id"]] == trip] for trip in TRIPS}


def _trip(slug: str) -> dict[str, Any]:
    (row,) = (row for row in BOOK["trips"] if row["slug"] == slug)
    dated: dict[str, Any] = row | {name: date.fromisoformat(row[name]) for name in ("starts_on", "ends_on")}
    return dated


def _slugs(rows: Sequence[Mapping[str, Any]]) -> set[str]:
    return {row["slug"] for row in rows}


def _days(trip: str) -> list[DayFile]:
    return [read_day_file(path) for path in sorted((SAMPLE / trip / "days").glob("*.md"))]


def _entries(trip: str) -> list[Any]:
    return [entry for day in _days(trip) for section in day.sections for entry in section.entries]


def _pictures(trip: str) -> list[Path]:
    return sorted((SAMPLE / trip / "pictures").iterdir())


def _number(path: Path) -> int:
    return int(path.stem.split("_")[1])


def _exif(path: Path) -> dict[str, Any]:
    with Image.open(path) as picture:
        exif = picture.getexif()
    facts = {ExifTags.TAGS.get(tag, str(tag)): value for tag, value in exif.items()}
    facts |= {ExifTags.TAGS.get(t, str(t)): v for t, v in exif.get_ifd(ExifTags.IFD.Exif).items()}
    return facts | {ExifTags.GPSTAGS.get(t, str(t)): v for t, v in exif.get_ifd(ExifTags.IFD.GPSInfo).items()}


def _ev100(facts: dict[str, Any]) -> float:
    speed = math.log2(facts["ISOSpeedRatings"] / 100)
    return math.log2(float(facts["FNumber"]) ** 2 / float(facts["ExposureTime"])) - speed


def _keeper_numbers(entry: KeepersEntry) -> range:
    return range(int(entry.first), int(entry.last) + 1)


def _degrees(parts: tuple[Any, ...]) -> float:
    return float(parts[0]) + float(parts[1]) / 60 + float(parts[2]) / 3600


def test_the_book_is_an_export_whose_every_key_and_word_is_known() -> None:
    records = read_document(SAMPLE / "book.json").records
    assert {name for name, found in records.items() if found} == {
        "trips",
        "sites",
        "viewpoints",
        "kit",
        "packed",
    }


@pytest.mark.parametrize("trip", TRIPS)
def test_a_plan_names_its_trip_and_leaves_nothing_to_sort_out(trip: str) -> None:
    assert open_plan(SAMPLE / trip / "plan.md").trip == trip
    assert (PLANS[trip].loose, PLANS[trip].remarks) == ((), ())


@pytest.mark.parametrize("trip", TRIPS)
def test_every_reference_leads_somewhere(trip: str) -> None:
    shots = _slugs(SHOTS[trip])
    names = _slugs(BOOK["viewpoints"]) | {viewpoint["title"] for viewpoint in BOOK["viewpoints"]}
    assert {shot["viewpoint"] for shot in SHOTS[trip]} <= names
    assert {shot["fallback_for"] for shot in SHOTS[trip] if "fallback_for" in shot} <= shots
    assert {
        section.viewpoint for day in _days(trip) for section in day.sections if section.viewpoint
    } <= names
    for entry in _entries(trip):
        if isinstance(entry, ShotEntry):
            assert entry.shot in shots
            assert entry.replaced_by is None or entry.replaced_by in shots
        if isinstance(entry, KeepersEntry):
            assert entry.shot is None or entry.shot in shots
        if isinstance(entry, KitEntry):
            assert entry.item in {NAMES[row["item_id"]] for row in PACKED[trip]}


def test_the_main_trip_is_as_rich_as_the_demo_promises() -> None:
    shots, main_viewpoints = SHOTS[MAIN], {shot["viewpoint"] for shot in SHOTS[MAIN]}
    sites = {row["site_id"] for row in BOOK["viewpoints"] if row["title"] in main_viewpoints}
    assert len(sites) >= 4
    assert len(main_viewpoints) >= 9
    assert len(shots) == 20
    assert len(_pictures(MAIN)) == 25
    assert len(BOOK["kit"]) >= 16
    assert len([entry for entry in _entries(MAIN) if isinstance(entry, LessonEntry)]) >= 8
    assert {row["packing"] for row in PACKED[MAIN]} == {"taken", "left", "considered"}
    assert all(row.get("why") for row in PACKED[MAIN])
    for key in ("client", "purpose", "brief", "summary", "next_visit", "credit", "rights"):
        assert _trip(MAIN)[key].strip()


def test_all_five_outcomes_occur_and_one_trip_day_has_a_file_each() -> None:
    said = {entry.shot: entry for entry in _entries(MAIN) if isinstance(entry, ShotEntry)}
    words = Counter(said[slug].outcome if slug in said else OutcomeWord.OPEN for slug in _slugs(SHOTS[MAIN]))
    assert set(words) == set(OutcomeWord)
    reasons = {reason for entry in said.values() for reason in entry.reasons}
    assert {Reason.RULE, Reason.LIGHT, Reason.WATER, Reason.WEATHER, Reason.CROWD, Reason.GEAR} <= reasons
    assert said["town-morning"].outcome is OutcomeWord.REPLACED
    closures = [
        e for e in _entries(MAIN) if isinstance(e, ConditionEntry) and e.kind is ConditionKind.CLOSURE
    ]
    assert len(closures) >= 3
    assert all(closure.source for closure in closures)
    trip = _trip(MAIN)
    length = (trip["ends_on"] - trip["starts_on"]).days + 1
    assert [day.on_date for day in _days(MAIN)] == [
        trip["starts_on"] + timedelta(days=n) for n in range(length)
    ]


def test_exactly_one_line_is_left_to_sort_out() -> None:
    loose = [(day.on_date, line.text) for trip in TRIPS for day in _days(trip) for line in day.loose]
    assert loose == [(date(2025, 10, 15), "- crowd: gone by ten, finally")]


@pytest.mark.parametrize("trip", TRIPS)
def test_every_picture_has_a_caption_and_every_keeper_line_a_picture(trip: str) -> None:
    numbers = [_number(path) for path in _pictures(trip)]
    captioned = [
        n for entry in _entries(trip) if isinstance(entry, KeepersEntry) for n in _keeper_numbers(entry)
    ]
    assert sorted(captioned) == sorted(numbers)
    assert len(set(numbers)) == len(numbers)
    assert all(entry.caption for entry in _entries(trip) if isinstance(entry, KeepersEntry))


@pytest.mark.parametrize("trip", TRIPS)
def test_every_day_names_its_trip_and_lies_within_it(trip: str) -> None:
    plan = _trip(trip)
    assert plan["slug"] == trip
    for day in _days(trip):
        assert (day.trip, day.zone) == (trip, plan["zone"])
        assert plan["starts_on"] <= day.on_date <= plan["ends_on"]


@pytest.mark.parametrize(
    "path", [path for trip in TRIPS for path in _pictures(trip)], ids=lambda path: path.stem
)
def test_a_picture_is_small_and_its_settings_are_those_of_a_real_scene(path: Path) -> None:
    facts = _exif(path)
    assert 80_000 <= path.stat().st_size <= 220_000
    with Image.open(path) as picture:
        assert picture.size in {(1800, 1200), (1200, 1800), (1600, 1200)}
    for tag in ("Make", "Model", "LensModel", "DateTimeOriginal", "SubsecTimeOriginal", "ExposureBiasValue"):
        assert tag in facts
    for tag in ("ExposureProgram", "ExposureMode", "MeteringMode", "Flash", "FocalLength", "Orientation"):
        assert tag in facts
    assert facts["FocalLengthIn35mmFilm"] >= float(facts["FocalLength"])
    assert DARKEST_EV <= _ev100(facts) <= BRIGHTEST_EV


def test_a_stated_filter_brings_the_pair_on_the_gravel_bar_to_the_same_scene_light() -> None:
    rough, smooth = (_ev100(_exif(SAMPLE / MAIN / "pictures" / f"TRN_{n}.JPG")) for n in ("0412", "0415"))
    assert smooth + math.log2(128) == pytest.approx(rough, abs=1 / 3)


def test_the_last_day_has_a_bracket_and_a_jump_of_ten_stops() -> None:
    facts = {n: _exif(SAMPLE / MAIN / "pictures" / f"TRN_0{n}.JPG") for n in (472, 473, 474, 478, 479, 484)}
    bracket = [facts[n] for n in (472, 473, 474)]
    assert [float(f["ExposureBiasValue"]) for f in bracket] == [-2, 0, 2]
    assert {f["ExposureMode"] for f in bracket} == {2}
    assert len({(float(f["FNumber"]), float(f["FocalLength"]), f["ISOSpeedRatings"]) for f in bracket}) == 1
    assert _ev100(facts[478]) - _ev100(facts[479]) == pytest.approx(10, abs=1 / 3)
    assert _ev100(facts[484]) < 5
    assert {f["DateTimeOriginal"][:10] for f in facts.values()} == {"2025:10:18"}


def test_one_body_writes_its_offset_and_the_other_runs_seven_minutes_slow() -> None:
    facts = [_exif(path) for path in _pictures(MAIN)]
    by_body = {model: [f for f in facts if f["Model"] == model] for model in {f["Model"] for f in facts}}
    assert set(by_body) == {item["body"] for item in BOOK["kit"] if item["kind"] == "camera"}
    assert {f.get("OffsetTimeOriginal") for f in by_body["Pellick Wren"]} == {"+05:00"}
    assert all("OffsetTimeOriginal" not in f for f in by_body["Halvern Thistle"])
    for model, behind in (("Halvern Thistle", timedelta(minutes=7)), ("Pellick Wren", timedelta(0))):
        placed = [f for f in by_body[model] if "GPSTimeStamp" in f]
        assert placed
        for f in placed:
            hour, minute, second = (int(part) for part in f["GPSTimeStamp"])
            day = datetime.strptime(f["GPSDateStamp"], "%Y:%m:%d")  # noqa: DTZ007
            true = day + timedelta(hours=hour + 5, minutes=minute, seconds=second)
            shown = datetime.strptime(f["DateTimeOriginal"], "%Y:%m:%d %H:%M:%S")  # noqa: DTZ007
            assert true - shown == behind


def test_some_pictures_know_where_they_are_and_lie_at_a_viewpoint() -> None:
    placed = [f for f in map(_exif, _pictures(MAIN)) if "GPSLatitude" in f]
    assert len(placed) >= 4
    for f in placed:
        here = (_degrees(f["GPSLatitude"]), _degrees(f["GPSLongitude"]))
        gaps = [math.dist(here, (row["latitude_deg"], row["longitude_deg"])) for row in BOOK["viewpoints"]]
        assert min(gaps) < 0.0002  # degrees; twenty metres
        assert f["GPSImgDirectionRef"] == "T"
        assert f["GPSAltitude"] > 3000


def test_one_picture_is_stored_sideways_and_some_carry_what_must_not_leak() -> None:
    facts = {path.stem: _exif(path) for path in _pictures(MAIN)}
    assert [name for name, f in facts.items() if f["Orientation"] == 6] == ["TRN_0443"]
    assert {"TRN_0424", "TRN_0451"} <= {name for name, f in facts.items() if "CameraOwnerName" in f}
    assert all("BodySerialNumber" in f for f in facts.values() if "CameraOwnerName" in f)


def test_one_site_is_withheld_and_nothing_outside_its_own_section_names_it() -> None:
    withheld = [site for site in BOOK["sites"] if site.get("location_shown") == "withheld"]
    assert len(withheld) == 1
    names = [withheld[0]["title"]] + [
        v["title"] for v in BOOK["viewpoints"] if v["site_id"] == withheld[0]["id"]
    ]
    assert [v["slug"] for v in BOOK["viewpoints"] if v.get("location_shown") == "exact"] == ["upper-terrace"]
    for path in sorted((SAMPLE / MAIN / "days").glob("*.md")):
        body = [line for line in path.read_text(encoding="utf-8").splitlines() if not line.startswith("## ")]
        assert not any(name.lower() in line.lower() for name in names for line in body)
    planned = [value for shot in SHOTS[MAIN] for field, value in shot.items() if field != "viewpoint"]
    assert not any(name.lower() in str(planned).lower() for name in names)
    assert not any(name.lower() in str(_trip(MAIN)).lower() for name in names)


def test_times_are_exact_rationals_that_a_dial_shows() -> None:
    times = [shot["exposure_s"] for shots in SHOTS.values() for shot in shots if "exposure_s" in shot]
    assert len(times) > 20
    assert all(time in EXPOSURES or time == 1800 for time in times)


def test_the_track_is_a_gpx_file_that_stays_at_the_day_s_viewpoints() -> None:
    gpxpy = pytest.importorskip("gpxpy")
    gpx = gpxpy.parse((SAMPLE / MAIN / "track.gpx").read_text(encoding="utf-8"))
    points = [point for track in gpx.tracks for segment in track.segments for point in segment.points]
    assert gpx.version == "1.1"
    assert len(points) > 500
    times = [point.time for point in points]
    assert times == sorted(times)
    assert times[0] >= datetime(2025, 10, 15, 19, tzinfo=UTC)  # 00:00 local
    assert times[-1] < datetime(2025, 10, 16, 19, tzinfo=UTC)
    for slug in ("upper-terrace", "mere-hide", "dune-shoulder", "dune-foot"):
        here = next(row for row in BOOK["viewpoints"] if row["slug"] == slug)
        near = [
            point.time
            for point in points
            if math.dist((point.latitude, point.longitude), (here["latitude_deg"], here["longitude_deg"]))
            < 0.0003
        ]
        assert max(near) - min(near) > timedelta(minutes=30)


@pytest.mark.slow
def test_the_readme_shows_pictures_that_are_there_and_can_be_taken_again(demo: Path, tmp_path: Path) -> None:
    readme = (SAMPLE.parent / "README.md").read_text(encoding="utf-8")
    shown = {Path(name).name for name in re.findall(r"!\[[^]]+\]\((sample_trip/pages/[^)]+)\)", readme)}
    there = {path.name: path for path in (SAMPLE / "pages").iterdir()}
    assert shown == set(there)
    assert all(path.stat().st_size < 150_000 for path in there.values())
    if show.CHROMIUM is None:
        pytest.skip("Chromium is not installed")
    for taken in show.show(Path(shutil.copytree(demo, tmp_path / "demo")), tmp_path):
        with Image.open(taken) as now, Image.open(there.pop(taken.name)) as then:
            assert now.width == then.width
    assert not there, "every picture can be taken again"


@pytest.mark.slow
def test_no_plan_that_came_off_is_said_to_be_out_of_reach(demo_book: Path) -> None:
    """The students' page shows verdict and result side by side; pictures of the place bear witness too."""
    listed = subprocess.run(
        [sys.executable, "-m", "logbook", "shot", "list", "--book", str(demo_book), "--json"],
        capture_output=True,
        text=True,
        check=True,
    )
    shots = json.loads(listed.stdout)
    made = [one for one in shots if one["outcome"] == "made"]
    assert len(made) >= 8
    assert not [one["slug"] for one in made if one["feasibility"]["verdict"] in ("too bright", "too dark")]
    assert any((one["feasibility"]["met"] or {}).get("keepers") for one in made)
