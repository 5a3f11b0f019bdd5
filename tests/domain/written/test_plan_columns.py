"""Columns of a plan are known by the words of their headings."""

import pytest

from logbook.domain.fields import facts_of
from logbook.domain.shot import Shot
from logbook.domain.written.plan_columns import PLAN_COLUMNS, column_headed

NOT_PLANNED = {"id", "created", "updated", "provenance", "trip_id"}


@pytest.mark.parametrize(
    ("heading", "field"),
    [
        ("Focal (mm)", "focal_mm"),
        ("FOCAL_MM", "focal_mm"),
        ("F-Number", "f_number"),
        ("shutter  speed [s]", "exposure_s"),
        ("Iso", "iso"),
        ("\ufeffTitle", "title"),
        ("Note:", "notes"),
        ("Remark(s)", "notes"),
        ("Filter(s)", "filters"),
        ("Start time", "window_from"),
        ("Time (24h)", "window_from"),
        ("End time", "window_to"),
        ("Exposure time (s)", "exposure_s"),
        ("Shutter speed (sec)", "exposure_s"),
        ("Shutter speed(s)", "exposure_s"),
        ("ASA", "iso"),
    ],
)
def test_a_heading_is_known_in_any_case_and_with_signs_around_it(heading: str, field: str) -> None:
    column = column_headed(heading)
    assert column is not None
    assert column.field == field


def test_a_heading_that_nobody_knows_is_no_column() -> None:
    assert column_headed("driver") is None
    assert column_headed("") is None


def test_every_field_that_can_be_planned_has_its_column() -> None:
    fields = {name.removesuffix("_id") for name in facts_of(Shot)} - {"trip", "continues"} - NOT_PLANNED
    assert {column.field for column in PLAN_COLUMNS} == fields
