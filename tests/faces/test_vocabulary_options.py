"""Options that take a word of a vocabulary read it as a day file does, and say what was understood."""

import re

import pytest

from logbook.domain.words import ConditionKind, Priority, Reason, SubjectKind, TripodRule
from logbook.faces.vocabulary_options import vocabulary_of
from tests.faces.conftest import Run


@pytest.mark.parametrize(
    ("annotation", "vocabulary"),
    [
        (Priority, Priority),
        (Priority | None, Priority),
        (list[SubjectKind] | None, SubjectKind),
        (str | None, None),
        (bool, None),
        (Priority | Reason, None),
    ],
)
def test_a_vocabulary_is_found_in_what_a_parameter_may_be(annotation: object, vocabulary: object) -> None:
    assert vocabulary_of(annotation) is vocabulary


def test_what_people_write_is_read_and_said(stocked: Run) -> None:
    added = stocked("site", "add", "Mill", "--kind", "village", "--kind", "bridge", "--json")
    assert added.data["kinds"] == [SubjectKind.TOWN, SubjectKind.BRIDGE]
    assert '"village" is read as town.' in added.err
    assert "bridge" not in added.err
    shown = stocked("viewpoint", "add", "Weir", "--site", "mill", "--tripod", "Not allowed", "--json")
    assert (shown.data["tripod_rule"], shown.status) == (TripodRule.FORBIDDEN, 0)


def test_what_means_nothing_is_refused_with_the_words(stocked: Run) -> None:
    refused = stocked("viewpoint", "add", "Weir", "--site", "nowhere", "--tripod", "no")
    assert refused.status == 2
    assert refused.err.startswith(
        'logbook: "no" is not a choice for --tripod; it can be allowed, awkward, forbidden, unknown; see '
    )


def test_an_argument_reads_them_too_and_its_help_lists_them(stocked: Run) -> None:
    listed = stocked("condition", "add", "--help").out
    for word in ConditionKind:
        assert word in listed
    refused = stocked("condition", "add", "moonrise")
    assert refused.status == 2
    assert '"moonrise" is not a choice for KIND; it can be crowd, ' in refused.err


def test_what_was_seen_can_stand_behind_its_kind(stocked: Run) -> None:
    where = ("--viewpoint", "quarry-ledge", "--on", "2031-10-14", "--json")
    crowd = stocked("condition", "add", "crowd", "dozens", *where)
    assert (crowd.data["level"], crowd.status) == ("dozens", 0)
    closure = stocked("condition", "add", "closure", "north rim road, rockfall", *where)
    assert (closure.data["level"], closure.data["note"]) == (None, "north rim road, rockfall")
    twice = stocked("condition", "add", "crowd", "dozens", "--level", "few", *where)
    assert (twice.status, "given twice" in twice.err) == (2, True)


def test_days_are_counted_from_today_and_said(stocked: Run) -> None:
    planned = stocked("shot", "add", "Later", "--viewpoint", "quarry-ledge", "--on", "tomorrow")
    said = re.match(r'"tomorrow" is read as ([0-9-]{10})\.', planned.err)
    assert said is not None
    assert [one["planned"]["on_date"] for one in stocked("shot", "list", "--on", said[1], "--json").data] == [
        said[1]
    ]
    refused = stocked("shot", "add", "Some day", "--viewpoint", "quarry-ledge", "--on", "4 March")
    assert (refused.status, "needs a year" in refused.err) == (2, True)
