"""Records are counted in plain words, and few names are told."""

import dataclasses
import re

import pytest

from logbook.domain.condition import Condition
from logbook.domain.keeper import Keeper
from logbook.domain.kit import KitItem
from logbook.domain.lesson import Lesson
from logbook.domain.record import Record
from logbook.domain.said import counted, counted_names, field_words, unit_of
from logbook.domain.shot import Shot
from logbook.domain.site import Site
from logbook.domain.trip import Trip
from logbook.domain.viewpoint import Viewpoint
from logbook.domain.visit import Visit


def test_many_records_are_counted_by_noun_the_most_first() -> None:
    many = [("condition", f"crowd-{number}") for number in range(60)]
    told = counted_names([("night_answer", "")] * 46 + many + [("packed", "")])
    assert told == "60 conditions, 46 answers from the evening session, 1 packing decision"


def test_few_records_are_named() -> None:
    assert counted_names([("shot", "silk"), ("visit", "a"), ("visit", "b")]) == "2 visits (a, b), shot silk"
    assert counted_names([("outcome", "")]) == "1 outcome"


def test_no_table_or_column_is_called_by_its_name_in_the_database() -> None:
    assert counted("body_clock", 2) == "2 camera clocks"
    assert [field_words(name) for name in ("size_bytes", "elevation_m", "next_visit", "shot_id")] == [
        "file size",
        "elevation",
        "next visit",
        "shot",
    ]


@pytest.mark.parametrize("noun", [Trip, Site, Viewpoint, Shot, Visit, Condition, Lesson, KitItem, Keeper])
def test_no_label_is_a_fields_own_name_with_its_unit(noun: type[Record]) -> None:
    labels = {one.name: field_words(one.name) for one in dataclasses.fields(noun)}
    assert not [label for label in labels.values() if re.search(r"_|\b(?:deg|px|utc|min|ev)\b|\bmm$", label)]
    assert len(set(labels.values())) == len(labels)


def test_a_number_keeps_its_unit_where_the_label_drops_it() -> None:
    names = ("focal_mm", "facing_deg", "size_bytes", "walk_min", "iso", "shot_id")
    assert [unit_of(name) for name in names] == [" mm", "°", " bytes", " min", "", ""]
