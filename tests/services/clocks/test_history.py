"""Statements about one clock: each takes its own range and leaves what was said of others."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from logbook.craft.clock_facts import EvidenceKind
from logbook.domain.clock import BodyClock
from logbook.domain.record import new_record
from logbook.domain.words import ClockEvidence
from logbook.services.clocks.history import ClockStretch, facts_of, in_order, say_the_same, with_statement

NOON = datetime(2031, 10, 14, 12)  # noqa: DTZ001  (a camera writes no zone)
NOW = datetime(2031, 10, 14, 18, tzinfo=UTC)
HOURS = 12


def at(hour: int | None) -> datetime | None:
    return None if hour is None else NOON + timedelta(hours=hour)


def said(ahead_s: int, since: int | None, evidence: ClockEvidence = ClockEvidence.STATED) -> BodyClock:
    base = new_record(NOW)
    return BodyClock(
        **base,
        trip_id="t",
        body="one",
        ahead_s=ahead_s,
        evidence=evidence,
        since=at(since),
        note=str(ahead_s),
    )


def state(
    records: tuple[BodyClock, ...], ahead_s: int, since: int | None, until: int | None
) -> tuple[BodyClock, ...]:
    """State a range; behind it the files are asked where nothing was said."""
    as_before = None if until is None else said(0, until, ClockEvidence.ASSUMED)
    return with_statement(records, said(ahead_s, since), at(until), as_before)


def heard(records: tuple[BodyClock, ...]) -> list[int | None]:
    """What people said of each hour, None where they said nothing."""
    facts = [one for one in facts_of(records) if one.kind is not EvidenceKind.ASSUMED]
    hours = [NOON + timedelta(hours=hour) for hour in range(-1, HOURS + 2)]
    return [
        next((int(one.ahead_s) for one in facts if ClockStretch(one.since, one.until).holds(hour)), None)
        for hour in hours
    ]


HOUR = st.none() | st.integers(0, HOURS)


@given(st.lists(st.tuples(st.integers(1, 99), HOUR, HOUR), max_size=8))
def test_each_hour_keeps_the_last_that_was_said_of_it(
    statements: list[tuple[int, int | None, int | None]],
) -> None:
    records: tuple[BodyClock, ...] = ()
    expected: list[int | None] = [None] * (HOURS + 3)
    for ahead_s, since, until in statements:
        if since is not None and until is not None and since >= until:
            continue
        records = state(records, ahead_s, since, until)
        for index, hour in enumerate(range(-1, HOURS + 2)):
            if (since is None or hour >= since) and (until is None or hour < until):
                expected[index] = ahead_s
        assert heard(records) == expected
        starts = [one.since for one in in_order(records)]
        assert len(set(starts)) == len(starts)
        assert say_the_same(state(records, ahead_s, since, until), records)  # saying it again changes nothing


def test_a_statement_of_the_whole_takes_the_place_of_all() -> None:
    records = state(state((), 60, 2, 4), 90, 6, None)
    assert [one.ahead_s for one in state(records, 7, None, None)] == [7]


def test_the_end_of_a_range_is_what_was_said_before_it_and_keeps_its_words() -> None:
    records = state((replace(said(60, None), zone="Asia/Tokyo"),), 90, 2, 4)
    assert [(one.ahead_s, one.since, one.zone) for one in records] == [
        (60, None, "Asia/Tokyo"),
        (90, at(2), None),
        (60, at(4), "Asia/Tokyo"),
    ]
    assert len({one.id for one in records}) == 3


def test_an_end_behind_which_nothing_was_said_states_nothing() -> None:
    records = state((), 90, 2, 4)
    assert [one.evidence for one in records] == [ClockEvidence.STATED, ClockEvidence.ASSUMED]
    said_so, assumed = facts_of(records)
    assert (said_so.ahead_s, said_so.since, said_so.until) == (90, at(2), at(4))
    assert (assumed.kind, assumed.since, assumed.until) == (EvidenceKind.ASSUMED, at(4), None)
    for one, other in pairwise(in_order(records)):
        assert (one.since or NOON) < (other.since or NOON)
