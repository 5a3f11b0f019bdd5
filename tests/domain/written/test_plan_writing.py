"""What is written of a plan reads back as it."""

from typing import Any

import pytest
from hypothesis import example, given

from logbook.domain.words import Priority, Support
from logbook.domain.written.plan_cells import value_written
from logbook.domain.written.plan_columns import PLAN_COLUMNS
from logbook.domain.written.plan_writing import written_lines, written_value
from logbook.domain.written.plans import shot_written
from tests.domain.written.planned import plans


@pytest.mark.slow
@given(plans())
@example({"title": "must have", "support": Support.OTHER})
@example({"title": "Mill, 24 mm else none"})
@example({"title": "Mill ISO 1600/3200", "focal_mm": 1.234})
@example({"title": '~~"Mill, open~~'})
def test_the_lines_of_a_shot_say_what_is_known_of_it(fields: dict[str, Any]) -> None:
    lines, left_out = written_lines(fields)
    read = shot_written([lines[0], *lines[1:]])
    usual = {name for name, value in fields.items() if value is Priority.WANTED}  # which goes without saying
    assert left_out == ()
    assert read.otherwise == ()
    assert dict(read.said) == {name: value for name, value in fields.items() if name not in usual}


@pytest.mark.slow
@given(plans())
@example({"title": "Mill 18h", "focal_mm": 1.234})
def test_the_cells_of_a_shot_say_what_is_known_of_it(fields: dict[str, Any]) -> None:
    for column in PLAN_COLUMNS:
        value = fields.get(column.field)
        if value is not None:
            assert value_written(column, written_value(column, value)) == value


def test_a_plain_shot_is_written_as_people_write_one() -> None:
    fields = {"title": "Mill", "slug": "mill", "focal_mm": 24.0, "filters": (), "support": Support.TRIPOD}
    assert written_lines(fields) == (["Mill [mill], 24 mm, no filter, tripod"], ())


def test_what_no_line_can_say_is_named_and_left_out() -> None:
    lines, left_out = written_lines({"title": "Mill", "notes": "ends in a space ", "iso": 100})
    assert (lines, left_out) == (["Mill, ISO 100"], ("notes",))
