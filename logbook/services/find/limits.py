"""Limits of a question: options that decide, whatever the words say.

One surprising decision: a limit is a fact of the index like any other, so that a narrow question is fast.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from logbook.domain.words import ConditionKind, OutcomeWord, SubjectKind, Support
from logbook.services.find.choices import Has, In
from logbook.services.kinds import SITE, TRIP
from logbook.services.records import find as named
from logbook.store.desk import Desk
from logbook.store.text_index import about
from logbook.store.text_index.asking import Days
from logbook.store.text_index.clauses import WantedFact

# Notes are what was written freely: journals, lessons, conditions, visits and lines still to sort out.
_NOUNS: dict[In, tuple[str, ...]] = {
    In.NOTES: ("day", "visit", "lesson", "condition", "loose_line"),
    In.KIT: ("kit",),
}


@dataclass(frozen=True, slots=True)
class Limits:
    """What an answer is limited to; None and () limit nothing."""

    trip: str | None = None
    site: str | None = None
    kind: SubjectKind | None = None
    since: date | None = None
    until: date | None = None
    levels: Mapping[ConditionKind, str] = field(default_factory=dict)
    support: Support | None = None
    outcome: OutcomeWord | None = None
    has: tuple[Has, ...] = ()
    within: tuple[In, ...] = ()

    @property
    def days(self) -> Days:
        """The days between which records lie."""
        return Days(*(None if day is None else day.isoformat() for day in (self.since, self.until)))

    @property
    def says(self) -> tuple[str, ...]:
        """The limits in words."""
        named: dict[str, object] = {
            "trip": self.trip,
            "site": self.site,
            "site kind": self.kind,
            "since": self.since,
            "until": self.until,
            **{str(kind): level for kind, level in self.levels.items()},
            "support": self.support,
            "outcome": self.outcome,
        }
        return (
            *(f"{name} {value}" for name, value in named.items() if value is not None),
            *(f"has {thing}" for thing in self.has),
            *([f"in {', '.join(self.within)}"] if self.within else []),
        )


def facts_of(desk: Desk, limits: Limits) -> list[WantedFact]:
    """Return limits as facts; raises NotFoundError for a trip or site that is not in the book."""
    found = []
    if limits.trip is not None:
        found.append(WantedFact(about.TRIP, (named(desk, TRIP, limits.trip).id,)))
    if limits.site is not None:
        found.append(WantedFact(about.SITE, (named(desk, SITE, limits.site).id,)))
    for kind, word in (
        (about.SUBJECT, limits.kind),
        *((about.LEVELS[kind], level) for kind, level in limits.levels.items()),
        (about.SUPPORT, limits.support),
        (about.OUTCOME, limits.outcome),
    ):
        if word is not None:
            found.append(WantedFact(kind, (str(word),)))
    for thing in limits.has:
        if thing is Has.TRACK:
            tracked = {track.trip_id for track in desk.tracks.all()}
            found.append(WantedFact(about.TRIP, tuple(sorted(tracked))))
        else:
            found.append(WantedFact(about.HAS, (thing.value,)))
    if limits.within:
        nouns = [noun for place in limits.within for noun in _NOUNS.get(place, (place.value[:-1],))]
        found.append(WantedFact(about.NOUN, tuple(dict.fromkeys(nouns))))
    return found
