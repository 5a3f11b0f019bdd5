"""Plans as sheets of office programs."""

from datetime import date, time
from fractions import Fraction

import pytest

from logbook.domain.errors import UnreadableFileError
from logbook.domain.words import Support
from logbook.domain.written.plan_tokens import ANY_TIME
from logbook.intake.planfile.model import PlanFile
from logbook.intake.planfile.sheets import is_sheet, plan_in_sheet


def read(*rows: str) -> PlanFile:
    return plan_in_sheet("\r\n".join(rows), ANY_TIME)


def test_a_european_sheet_has_semicolons_and_decimal_commas() -> None:
    (shot,) = read(
        "Title;Viewpoint;Date;From;To;Focal mm;F-number;Shutter speed;ISO;Filters;Support;Priority;Note",
        "Mill;quarry-ledge;14.10.2031;18:10;18:50;23,5;2,8;0,5;1.600;nd8 + pol;tripod;must have;Ask; first",
    ).shots
    assert shot.said["on_date"] == date(2031, 10, 14)
    assert (shot.said["window_from"], shot.said["focal_mm"]) == (time(18, 10), 23.5)
    assert (shot.said["f_number"], shot.said["exposure_s"], shot.said["iso"]) == (2.8, Fraction(1, 2), 1600)
    assert (shot.said["filters"], shot.said["support"]) == (("nd8", "pol"), Support.TRIPOD)


def test_a_cell_may_hold_a_span_about_a_slash_and_a_time_that_is_about_right() -> None:
    exact, about = read("title;from;to", "Mill;18:10/18:50;", "Bridge;~18:10;18:50ish").shots
    for shot in (exact, about):
        assert (shot.said["window_from"], shot.said["window_to"]) == (time(18, 10), time(18, 50))
    assert exact.told == ""
    assert about.told == '"~18:10" is kept as 18:10. "18:50ish" is kept as 18:50.'


@pytest.mark.parametrize("sign", [";", ",", "\t"])
def test_any_sign_may_part_the_cells_and_columns_stand_in_any_order(sign: str) -> None:
    (shot,) = read(sign.join(("ISO", "title", "f-number")), sign.join(("100", "Mill", '"2,8"'))).shots
    assert shot.said == {"title": "Mill", "f_number": 2.8, "iso": 100}


def test_unknown_columns_are_said_and_kept_as_notes() -> None:
    plan = read("title;driver;note", "Mill;Anna;early", "Bridge;;")
    assert plan.remarks == ('A plan has no column "driver"; its contents are kept in the note.',)
    assert [one.said.get("notes") for one in plan.shots] == ["early\ndriver: Anna", None]


def test_quoted_cells_may_hold_breaks_and_signs_and_lines_are_counted() -> None:
    plan = read("title;note", '"Mill; low";"first\nsecond ""now"""', "Bridge;x")
    assert plan.shots[0].said == {"title": "Mill; low", "notes": 'first\nsecond "now"'}
    assert [one.line for one in plan.shots] == [2, 4]


def test_a_quote_that_is_never_closed_costs_its_own_line_alone() -> None:
    plan = read("title;note", 'Mill;"early', "Bridge;x", 'Tower;5" pipe')
    assert [one.said["title"] for one in plan.shots] == ["Bridge", "Tower"]
    assert [(one.line, one.why) for one in plan.loose] == [(2, "a quotation mark in it is not closed")]


def test_a_date_that_could_be_two_is_left_to_sort_out_and_a_plain_one_is_read() -> None:
    plan = read("title,date", "Mill,10/14/2031", "Bridge,10/11/2031", "Tower,14.10.2031")
    assert [one.said["on_date"] for one in plan.shots] == [date(2031, 10, 14)] * 2
    assert [(one.line, one.text) for one in plan.loose] == [(3, "Bridge,10/11/2031")]
    assert "2031-11-10 or 2031-10-11" in plan.loose[0].why


def test_remarks_viewpoints_alone_and_empty_rows_are_no_shots() -> None:
    plan = read("title;viewpoint;iso", "# for example;x;100", ";quarry-ledge;", ";;", ";;100")
    assert plan.shots == ()
    assert [(one.line, one.why.partition(";")[0]) for one in plan.loose] == [(5, "the row has no title")]


def test_what_was_marked_as_text_against_formulas_is_read_without_the_mark() -> None:
    (shot, other) = read("title;note", "'=Mill;'-quoted'", "'# 7;").shots
    assert shot.said == {"title": "=Mill", "notes": "-quoted'"}
    assert other.said == {"title": "# 7"}
    (kept,) = read("title;note", 'Mill;"said \'\n= so"').shots
    assert kept.said["notes"] == "said '\n= so"


def test_a_title_above_the_headings_and_a_line_for_the_program_are_passed_over() -> None:
    (shot,) = read("sep=;", "Plan of the valley;;", ";;", "title;iso", "Mill;100").shots
    assert shot.said == {"title": "Mill", "iso": 100}


def test_a_viewpoint_beside_its_site_is_named_with_it() -> None:
    (shot,) = read("title;viewpoint;site", "Mill;New ledge;quarry").shots
    assert shot.said["viewpoint"] == "New ledge at quarry"


def test_a_sheet_without_headings_is_refused_with_what_they_are() -> None:
    with pytest.raises(
        UnreadableFileError, match=r"in its first row: title, viewpoint, date, from, to, focal mm"
    ):
        read("Mill;100", "Bridge;200")


def test_a_sheet_is_known_by_its_headings() -> None:
    assert is_sheet("\n Title;ISO\n")
    assert is_sheet("sep=,\ntitle,note\n")
    assert not is_sheet("- Mill, f/8\n")


def test_a_beginning_may_bring_its_end_unless_another_cell_says_otherwise() -> None:
    plan = read("title;time;to", "Mill;17:20 - 18:00;", "Weir;17:20-18:00;18:00", "Quay;17:20-18:00;18:30")
    assert [(one.said["window_from"], one.said["window_to"]) for one in plan.shots] == [
        (time(17, 20), time(18))
    ] * 2
    assert [one.line for one in plan.loose] == [4]
