"""What was stated of one body's clock, as records in order, and how a new statement takes its place there.

One surprising decision: a record holds until the next one begins, so the end of a range is a record too.
Where nothing was stated after a range, that record says by its evidence that the files are asked again, and
what held before is only assumed where they tell nothing.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from itertools import zip_longest

from logbook.craft.clock_facts import ClockFact, EvidenceKind
from logbook.craft.clocks import CLOCK_ERROR_S
from logbook.domain.clock import BodyClock
from logbook.domain.record import new_record

SAID = (EvidenceKind.STATED, EvidenceKind.PHOTOGRAPHED_CLOCK, EvidenceKind.SAME_MOMENT)  # by a person


@dataclass(frozen=True, slots=True)
class ClockStretch:
    """A range of a body's own (naive) time, from `since` to before `until`; None is open."""

    since: datetime | None = None
    until: datetime | None = None

    def holds(self, wall: datetime) -> bool:
        """Tell whether a time lies within."""
        return (self.since is None or wall >= self.since) and (self.until is None or wall < self.until)


WHOLE = ClockStretch()


def in_order(records: Iterable[BodyClock]) -> list[BodyClock]:
    """Return the records of one body in the order in which they begin to hold."""
    return sorted(records, key=lambda one: (one.since is not None, one.since or one.created))


def in_force(records: Iterable[BodyClock], wall: datetime) -> BodyClock | None:
    """Return the record of one body that holds at its own (naive) time; None where nobody said anything."""
    begun = [one for one in in_order(records) if one.since is None or one.since <= wall]
    return begun[-1] if begun and EvidenceKind(begun[-1].evidence) in SAID else None


def facts_of(records: Iterable[BodyClock]) -> list[ClockFact]:
    """Return what people said of one body's clock, and what is assumed behind it, each with its range."""
    ordered = in_order(records)
    ends = [one.since for one in ordered[1:]]
    return [_fact(one, end) for one, end in zip_longest(ordered, ends)]


def _fact(record: BodyClock, end: datetime | None) -> ClockFact:
    kind = EvidenceKind(record.evidence)
    if kind not in SAID:
        kind, tolerance_s = EvidenceKind.ASSUMED, CLOCK_ERROR_S
    else:
        tolerance_s = 0.0
    source = record.note or "stated"
    return ClockFact(record.body, kind, record.ahead_s, tolerance_s, source, None, record.since, end)


def with_statement(
    records: Sequence[BodyClock], said: BodyClock, until: datetime | None, after: BodyClock | None
) -> tuple[BodyClock, ...]:
    """Return the records of one body once `said` holds from its `since` to before `until`.

    What was said of other ranges stays. `after` is the record that holds from `until` on where none was made
    for it; a statement of the whole takes the place of all.
    """
    ordered = in_order(records)
    before = [one for one in ordered if said.since is not None and _begins_before(one, said.since)]
    if until is None:
        return (*before, said)
    behind = [one for one in ordered if not _begins_before(one, until)]
    if not behind or behind[0].since != until:
        cut = [one for one in ordered if _begins_before(one, until)]
        resumed = replace(cut[-1], **new_record(said.created), since=until) if cut else after
        behind = [resumed, *behind] if resumed is not None else behind
    return (*before, said, *behind)


def say_the_same(one: Sequence[BodyClock], other: Sequence[BodyClock]) -> bool:
    """Tell whether two lists of records say the same, whenever it was said."""
    return [_said(record) for record in in_order(one)] == [_said(record) for record in in_order(other)]


def _begins_before(record: BodyClock, at: datetime) -> bool:
    return record.since is None or record.since < at


def _said(record: BodyClock) -> BodyClock:
    return replace(record, id="", created=datetime.min, updated=datetime.min)  # noqa: DTZ901
