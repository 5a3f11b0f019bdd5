"""Planned shots are read in the words that people write."""

from collections.abc import Mapping
from datetime import date, time
from fractions import Fraction
from typing import Any

import pytest

from logbook.domain.words import Priority, Support
from logbook.domain.written.plan_cells import value_written
from logbook.domain.written.plan_columns import column_headed
from logbook.domain.written.plan_tokens import Around
from logbook.domain.written.plans import heading_written, shot_written
from logbook.domain.written.understanding import NotUnderstoodError

TRIP = Around(date(2031, 10, 10), date(2031, 10, 18))


def said(*lines: str) -> Mapping[str, Any]:
    return shot_written(lines, TRIP).said


def test_a_line_tells_title_window_settings_kit_priority_and_fallback() -> None:
    read = shot_written(
        ["Mill at low water 18:10-18:50, 24 mm f/11 2 s ISO 100, nd8 + nd8, tripod, must have; else mill-b"]
    )
    assert read.otherwise == ("mill-b",)
    assert read.said == {
        "title": "Mill at low water",
        "window_from": time(18, 10),
        "window_to": time(18, 50),
        "focal_mm": 24.0,
        "f_number": 11.0,
        "exposure_s": Fraction(2),
        "iso": 100,
        "filters": ("nd8", "nd8"),
        "support": Support.TRIPOD,
        "priority": Priority.ESSENTIAL,
    }


def test_thumbs_and_autocorrection_are_forgiven() -> None:
    read = said("Mill at low water 18:10–18:50 24mm f11 2sec Iso100 Nd8 Tripod")
    assert (read["title"], read["window_to"]) == ("Mill at low water", time(18, 50))
    assert (read["focal_mm"], read["f_number"], read["exposure_s"], read["iso"]) == (24, 11, 2, 100)
    assert (read["filters"], read["support"]) == (("nd8",), Support.TRIPOD)
    quoted = said("“Old mill” – 16mm – f/2,8 – 30” – nice to have")
    assert (quoted["title"], quoted["f_number"], quoted["exposure_s"]) == ("Old mill", 2.8, 30)
    assert quoted["priority"] is Priority.OPTIONAL


def test_filters_that_stand_apart_are_one_stack() -> None:
    assert said("Mill, pol, nd8")["filters"] == ("pol", "nd8")


def test_words_that_are_no_setting_are_kept_as_a_note() -> None:
    read = said("Dunes, 10 min walk from the car, 70-200 mm, f/8, last bus at 21:00")
    assert read["notes"] == "10 min walk from the car\n70-200 mm\nlast bus at 21:00"
    assert "exposure_s" not in read
    assert "focal_mm" not in read
    assert "window_from" not in read


@pytest.mark.parametrize(
    "quoted",
    ['"Mirror, mirror"', "“Mirror, mirror”", "„Mirror, mirror“", "«Mirror, mirror»", "‘Mirror, mirror’"],
)
@pytest.mark.parametrize("rest", [", f/8", " – f/8", " (f/8)", " f/8", " [mirror] f/8", " at 18:10, f/8"])
def test_a_title_in_quotes_holds_its_comma(quoted: str, rest: str) -> None:
    read = said(f"{quoted}{rest}")
    assert (read["title"], read["f_number"]) == ("Mirror, mirror", 8)
    assert "notes" not in read


def test_a_title_in_quotes_is_taken_as_it_stands() -> None:
    assert said('📷 "f/8 and be there", 24 mm') == {"title": "f/8 and be there", "focal_mm": 24}
    assert said('"Note: be there"') == {"title": "Note: be there"}
    assert said('"Old" mill, f/8')["title"] == '"Old" mill'
    assert said('"A" and "B", f/8')["title"] == '"A" and "B"'


@pytest.mark.parametrize("line", ['"Mirror, mirror f/8', '"A, b" and "C", f/8', "Pier “a, b” view, f/8"])
def test_quotation_marks_that_a_comma_breaks_wait(line: str) -> None:
    with pytest.raises(NotUnderstoodError, match="is not closed before the comma"):
        said(line)


@pytest.mark.parametrize(
    ("line", "struck"),
    [("~~Ferry~~, f/8", "Ferry"), ("~~Ferry, f/8~~", "Ferry, f/8"), ("Ferry, f/8, ~~tripod~~", "tripod")],
)
def test_what_is_struck_out_is_no_plan_and_waits(line: str, struck: str) -> None:
    with pytest.raises(NotUnderstoodError, match=f'"{struck}" is struck out; delete it'):
        said(line)


def test_a_wave_alone_strikes_nothing_out() -> None:
    assert said("Ferry ~ dusk, ~18:00") == {"title": "Ferry ~ dusk", "window_from": time(18)}


def test_what_stands_below_is_said_under_its_own_word() -> None:
    read = said("Mill", "technique: smooth water", "note: come early, bring boots", "note: ask the miller")
    assert read["technique"] == "smooth water"
    assert read["notes"] == "come early, bring boots\nask the miller"


@pytest.mark.parametrize(
    ("line", "why"),
    [
        ("Crowd on the steps, f/8 for depth", "mixes settings"),
        ("Mill, f/8, f/11", "two values for f-number"),
        ("Mill, 10/11/2031", "2031-11-10 or 2031-10-11"),
        ("Mill, Thursday 14 October 2031", "2031-10-14 is a Tuesday, but"),
        ("Mill, Mon 14 Oct", "2031-10-14 is a Tuesday, but"),
        ("Mill, 14/14/2031", "not a date in the calendar"),
        ("18:10-18:50, 24 mm", "no title"),
        ("Mill, support: chair", "not a support"),
        ("Mill\x07", "control character"),
        ("Mill, iso 99999999", "iso"),
    ],
)
def test_what_is_not_understood_says_why(line: str, why: str) -> None:
    with pytest.raises(NotUnderstoodError, match=f"(?i){why}"):
        said(line)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("2031-10-14", {"on_date": date(2031, 10, 14)}),
        ("Tue 14 Oct", {"on_date": date(2031, 10, 14)}),
        ("10/14/2031", {"on_date": date(2031, 10, 14)}),
        ("Quarry ledge", {"viewpoint": "Quarry ledge"}),
        ("Day 2 – Quarry ledge", {"on_date": date(2031, 10, 11), "viewpoint": "Quarry ledge"}),
        ("viewpoint: Day 2", {"viewpoint": "Day 2"}),
        ("Any day", {"on_date": None}),
        ("Anywhere", {"viewpoint": None}),
        (
            "Quarry ledge 17:20-18:45",
            {"viewpoint": "Quarry ledge", "window_from": time(17, 20), "window_to": time(18, 45)},
        ),
    ],
)
def test_a_heading_is_a_day_a_viewpoint_or_both(text: str, told: Mapping[str, Any]) -> None:
    assert heading_written(text, TRIP) == told


def test_a_day_without_a_year_needs_the_dates_of_the_trip() -> None:
    with pytest.raises(NotUnderstoodError, match="no year"):
        heading_written("14 Oct", Around())
    with pytest.raises(NotUnderstoodError, match="first day of the trip"):
        heading_written("Day 2", Around())


@pytest.mark.parametrize(
    ("heading", "cell", "value"),
    [
        ("f-number", "2,8", 2.8),
        ("f-number", "f/11", 11.0),
        ("shutter speed", "0,5", Fraction(1, 2)),
        ("shutter speed", "1/30", Fraction(1, 30)),
        ("ISO", "1.600", 1600),
        ("ISO", "1 600", 1600),
        ("ISO", "100,0", 100),
        ("focal mm", "23,5", 23.5),
        ("focal mm", "1.200", 1200.0),
        ("focal mm", "1,200", 1200.0),
        ("focal mm", "1 200 mm", 1200.0),
        ("focal mm", "4.25 mm", 4.25),
        ("focal mm", "8.800", 8.8),
        ("shutter speed", ".5", Fraction(1, 2)),
        ("shutter speed", "1/2.5", Fraction(2, 5)),
        ("to", "6.30pm", time(18, 30)),
        ("date", "14.10.2031 00:00:00", date(2031, 10, 14)),
        ("from", "18:10:00", time(18, 10)),
        ("to", "6:50:00 PM", time(18, 50)),
        ("filters", "none", ()),
        ("filters", "unknown", None),
        ("support", "", None),
        ("priority", "Must have", Priority.ESSENTIAL),
    ],
)
def test_a_cell_is_read_as_office_programs_of_any_country_write_it(
    heading: str, cell: str, value: object
) -> None:
    column = column_headed(heading)
    assert column is not None
    assert value_written(column, cell) == value


def test_a_shutter_speed_that_a_spreadsheet_made_a_date_of_is_known_as_such() -> None:
    column = column_headed("shutter speed")
    assert column is not None
    for cell in ("30. Jän", "Jan 30", "30-Jan"):
        with pytest.raises(NotUnderstoodError, match="spreadsheet"):
            value_written(column, cell)


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("Pier lamps ~17:20, f/8", '"~17:20" is kept as 17:20.'),
        ("Pier lamps 17:20ish, about 20 people, f/8", '"17:20ish" is kept as 17:20.'),
        ("Pier lamps 17:20, about 20 people, f/8", ""),
    ],
)
def test_a_time_that_is_about_right_is_planned_and_said_so(line: str, told: str) -> None:
    read = shot_written([line])
    assert (read.said["window_from"], read.told) == (time(17, 20), told)


@pytest.mark.parametrize(
    "line",
    [
        *(
            "Ben's shot at the weir was 1/4 s",
            "Gate arch before it closes at 18:00, f/8",
            "Gate arch 2.8 50mm",
        ),
        *("Gate arch tmrw 17:20 f/8", "Gate arch tomorrow f/8", "Ferry 17:20/17:50/18:20, f/9"),
    ],
)
def test_what_is_somebody_elses_or_of_another_thing_is_no_plan(line: str) -> None:
    with pytest.raises(NotUnderstoodError):
        shot_written([line])


@pytest.mark.parametrize(
    "title", ["Fort 1914-1918", "Ridge 1200-1300 m", "Summit 2140 m", "Bunker 1938-1944"]
)
def test_years_and_heights_are_words_of_a_title(title: str) -> None:
    assert shot_written([f"{title}, 24mm"]).said == {"title": title, "focal_mm": 24.0}


@pytest.mark.parametrize("title", ["Parade starts", "Ferry leaves", "Milky way tonight"])
def test_when_a_subject_begins_is_when_it_is_planned(title: str) -> None:
    assert shot_written([f"{title} 17:20, f/8"]).said == {
        "title": title,
        "window_from": time(17, 20),
        "f_number": 8.0,
    }
