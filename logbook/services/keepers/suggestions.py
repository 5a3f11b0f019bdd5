"""Proposals one by one, each with what it would state, and stating those that a person takes by number.

One surprising decision: a suggestion is known by exactly what it would state. If it would state anything else
by now it is another one, and to take the old one is refused.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time
from enum import StrEnum
from hashlib import blake2b
from itertools import combinations
from typing import Any

from logbook.craft.inference.proposal import FilterProposal
from logbook.craft.inference.sets import FoundKind, FrameSet
from logbook.craft.matching import MatchKind, ShotMatch
from logbook.craft.stays import ProposedVisit
from logbook.domain.account import TripAccount
from logbook.domain.acutance import Judged
from logbook.domain.belonging import spell_of
from logbook.domain.errors import ConflictError, NotFoundError
from logbook.domain.keeper import Keeper
from logbook.domain.place_clock import shown_at
from logbook.domain.trip import Trip
from logbook.domain.visit import Visit
from logbook.domain.words import JoinedKind, Provenance, Sharpness, VisitPurpose
from logbook.services.accounts import account_in
from logbook.services.clocks.history import ClockStretch
from logbook.services.clocks.proposed import ClockProposal
from logbook.services.clocks.settled import settled
from logbook.services.clocks.stating import ClockStatement, apply_clocks, state_clock
from logbook.services.keepers.proposals import Proposals, proposals_in, zone_of_stay
from logbook.services.keepers.sets import join_in
from logbook.services.kinds import SHOT, VIEWPOINT, VISIT
from logbook.services.records import edited, find, put_new, the_trip
from logbook.services.visits.room import spell_in
from logbook.services.visits.visits import settle
from logbook.store.book import Book
from logbook.store.desk import Desk
from logbook.store.remembered import remember_shown, shown_last

Proposal = ClockProposal | FrameSet | FilterProposal | ProposedVisit | ShotMatch | Judged


class Subject(StrEnum):
    """What a suggestion is about, in the order in which they are shown and stated."""

    CLOCKS = "clocks"
    SETS = "sets"
    FILTERS = "filters"
    PLACES = "places"
    SHOTS = "shots"
    SHARPNESS = "sharpness"


@dataclass(frozen=True, slots=True)
class Suggestion:
    """One thing to state: `keeper_ids` are those it is about, `states` says what exactly.

    `stack` are the filters it would state, `is_light` where it answers that only the light changed;
    `times` are a visit's first and last minute at the place, on its day `on_date`.
    """

    subject: Subject
    about: Proposal
    keeper_ids: tuple[str, ...]
    states: tuple[str | None, ...]
    stack: tuple[str, ...] = ()
    is_light: bool = False
    times: tuple[time, ...] = ()
    on_date: date | None = None

    @property
    def sign(self) -> str:
        """What it is known by: the same as long as it states the same."""
        told = repr((str(self.subject), self.keeper_ids, self.states))
        return blake2b(told.encode("utf-8", "backslashreplace"), digest_size=12).hexdigest()


@dataclass(frozen=True, slots=True)
class Suggested:
    """What is proposed of a trip, and of that what may be taken by number, the first number being 1."""

    trip: Trip
    proposals: Proposals
    suggestions: tuple[Suggestion, ...]


@dataclass(frozen=True, slots=True)
class SuggestionsTaken:
    """What was stated, by number, and sentences about what else changed."""

    suggested: Suggested
    by_number: Mapping[int, Suggestion]
    told: tuple[str, ...]


def suggest(book: Book, trip: str | None, on_date: date | None) -> Suggested:
    """Return what can be worked out and is not in the book yet; only its numbers are remembered."""
    with book.reading() as desk:
        found = _suggested(desk, the_trip(desk, trip), on_date, book.now())
    remember_shown(book.path, found.trip.id, on_date, tuple(one.sign for one in found.suggestions))
    return found


def take(book: Book, trip: str | None, numbers: Sequence[int]) -> SuggestionsTaken:
    """State what was shown last under some numbers, all of it or nothing.

    Raises NotFoundError for a number that was not shown, ConflictError where it would state something else by
    now, or two of them contradict each other.
    """
    with book.writing() as desk:
        of_trip = the_trip(desk, trip)
        again = f'"logbook keeper propose --trip {of_trip.slug}" shows them'
        shown = shown_last(book.path, of_trip.id)
        if shown is None:
            raise NotFoundError(
                f"No proposals for {of_trip.slug} have been shown on this machine yet; {again}."
            )
        on_date, signs = shown
        found = _suggested(desk, of_trip, on_date, book.now())
        now = {one.sign: one for one in found.suggestions}
        chosen: dict[int, Suggestion] = {}
        for number in numbers:
            if not 0 < number <= len(signs):
                raise NotFoundError(f"There is no {number} in the list last shown; it ends at {len(signs)}.")
            if signs[number - 1] not in now:
                gone = f"{number} has already been accepted, or has changed since it was shown"
                raise ConflictError(f"Nothing was stated: {gone}; {again} as they are now.")
            chosen[number] = now[signs[number - 1]]
        _refuse_contradictions(chosen)
        _refuse_without_clock(chosen, signs, found)
        told: list[str] = []
        for one in sorted(chosen.values(), key=lambda one: list(Subject).index(one.subject)):
            told += _STATE[one.subject](desk, book, of_trip, one)
    return SuggestionsTaken(found, chosen, tuple(told))


def _refuse_contradictions(chosen: Mapping[int, Suggestion]) -> None:
    for (first, one), (second, other) in combinations(chosen.items(), 2):
        same = one.subject is other.subject and set(one.keeper_ids) & set(other.keeper_ids)
        if same and one.states != other.states:
            raise ConflictError(
                f"Nothing was stated: {first} and {second} contradict each other; accept only one."
            )


def _refuse_without_clock(chosen: Mapping[int, Suggestion], signs: Sequence[str], found: Suggested) -> None:
    """Refuse a visit whose times follow a clock that is only proposed: its pictures would have other ones."""
    numbers = {sign: number for number, sign in enumerate(signs, 1)}
    clocks = [
        (numbers[one.sign], one.about)
        for one in found.suggestions
        if isinstance(one.about, ClockProposal) and one.sign in numbers
    ]
    for number, one in chosen.items():
        keepers = [each for each in found.proposals.keepers if one.times and each.id in one.keeper_ids]
        for clock_number, clock in clocks:
            if clock_number not in chosen and clock.holds_for(keepers):
                raise ConflictError(
                    f"Nothing was stated: the times of {number} depend on the clock of {clock.clock.body}, "
                    f"which {clock_number} corrects; accept both, or state the clock first."
                )


def _suggested(desk: Desk, trip: Trip, on_date: date | None, now: datetime) -> Suggested:
    account = account_in(desk, trip)
    found = proposals_in(desk, account, on_date, now)
    groups = (
        _clocks(found),
        _sets(found),
        _filters(found),
        _places(found, account),
        _shots(found),
        _soft(found),
    )
    return Suggested(trip, found, tuple(one for group in groups for one in group))


def _clocks(found: Proposals) -> list[Suggestion]:
    return [
        Suggestion(
            Subject.CLOCKS,
            one,
            (),
            (one.clock.body, str(one.clock.since), str(one.clock.until), str(one.offset_s)),
        )
        for one in sorted(found.clocks, key=lambda one: len(one.doubts))
        if not one.taken and one.offset_s
    ]


def _sets(found: Proposals) -> list[Suggestion]:
    return [
        Suggestion(Subject.SETS, one, one.keys, (str(one.kind),))
        for one in found.sets
        if not one.stated and one.kind is not FoundKind.PAIR
    ]


def _filters(found: Proposals) -> list[Suggestion]:
    """What is asserted, the surest first and by its likeliest stack; then both answers to each question."""
    asserted = sorted(found.filters.asserted, key=lambda one: -one.margin_nats)
    result = [_behind(one, one.explanations[0].filters) for one in asserted]
    for one in found.filters.asked:
        changed, light = one.explanations[:2]
        result += [_behind(one, changed.filters), _behind(one, light.filters, is_light=True)]
    return result


def _behind(one: FilterProposal, stack: tuple[str, ...], *, is_light: bool = False) -> Suggestion:
    return Suggestion(Subject.FILTERS, one, one.keys, stack, stack, is_light)


def _places(found: Proposals, account: TripAccount) -> list[Suggestion]:
    """Visits at known viewpoints that the book does not hold yet, those in no doubt first."""
    if account.trip.zone is None:
        return []
    new = [
        one
        for one in found.visits
        if one.spot and one.visit is None and not _is_held(one, found.keepers, account)
    ]
    return [_visit(one, found.keepers, account) for one in sorted(new, key=lambda one: bool(one.doubtful))]


def _visit(one: ProposedVisit, keepers: Sequence[Keeper], account: TripAccount) -> Suggestion:
    (on_date, arrived), (_, departed) = (
        _local(at, one, keepers, account) for at in (one.arrived, one.departed)
    )
    states = (one.spot, str(one.arrived), str(one.departed))
    return Suggestion(Subject.PLACES, one, one.frames, states, times=(arrived, departed), on_date=on_date)


def _is_held(one: ProposedVisit, keepers: Sequence[Keeper], account: TripAccount) -> bool:
    """Tell whether the book holds a visit to that viewpoint at that time; one of unknown times may be it."""
    (on_date, arrived), (_, departed) = (
        _local(at, one, keepers, account) for at in (one.arrived, one.departed)
    )
    own = spell_of("", on_date, arrived, departed, account.trip.day_ends_at)
    there = [
        spell_in(account.trip, visit)
        for visit in account.visits
        if visit.on_date == on_date and account.viewpoints[visit.viewpoint_id].slug == one.spot
    ]
    return any(
        spell.arrived is None
        or spell.departed is None
        or (own.arrived <= spell.departed and spell.arrived <= own.departed)
        for spell in there
        if own.arrived and own.departed
    )


def _shots(found: Proposals) -> list[Suggestion]:
    """Keepers of planned shots, those that fit no other nearly as well first, and no replacements."""
    stated = [one for one in found.keepers if one.provenance_of("shot_id") is Provenance.STATED]
    said = {one.id for one in stated if one.shot_id}
    own = [one for one in found.matches if one.kind is MatchKind.SHOT and one.keeper not in said]
    return [
        Suggestion(Subject.SHOTS, one, (one.keeper,), (one.shot,))
        for one in sorted(own, key=lambda one: (bool(one.rivals), one.cost))
    ]


def _soft(found: Proposals) -> list[Suggestion]:
    return [
        Suggestion(Subject.SHARPNESS, one, (one.keeper.id,), (str(one.asks),))
        for one in found.sharpness
        if one.asks is Sharpness.SOFT
    ]


def _state_clock(desk: Desk, book: Book, trip: Trip, one: Suggestion) -> list[str]:
    """State the clock itself: how wrong it is depends on the day, where the place's clocks changed."""
    assert isinstance(one.about, ClockProposal)
    clock = one.about.clock
    assert clock.ahead_s is not None
    stretch = ClockStretch(clock.since, clock.until)
    state_clock(desk, book, trip, ClockStatement(clock.body, round(clock.ahead_s), stretch))
    apply_clocks(desk, book, trip, [clock.body], stretch=stretch)
    known = settled(desk, trip, desk.keepers.all(trip_id=trip.id))
    stated = (each for each in known if (each.body, each.since) == (clock.body, clock.since))
    return [f"Doubt: {doubt}." for each in stated for doubt in each.doubts]


def _state_set(desk: Desk, book: Book, trip: Trip, one: Suggestion) -> list[str]:
    assert isinstance(one.about, FrameSet)
    keepers = [keeper for key in one.keeper_ids if (keeper := desk.keepers.get(key))]
    join_in(desk, book, trip, keepers, JoinedKind(one.about.kind))
    return []


def _state_filters(desk: Desk, book: Book, _trip: Trip, one: Suggestion) -> list[str]:
    _note(desk, book, one, {"filters": one.stack})
    return []


def _state_visit(desk: Desk, book: Book, trip: Trip, one: Suggestion) -> list[str]:
    """Add a visit: that it was is stated, its times stay worked out, and so does what it was for."""
    assert isinstance(one.about, ProposedVisit)
    assert one.about.spot is not None
    viewpoint = find(desk, VIEWPOINT, one.about.spot)
    arrived_at, departed_at = one.times
    fields: dict[str, Any] = {
        "trip_id": trip.id,
        "viewpoint_id": viewpoint.id,
        "on_date": one.on_date,
        "arrived_at": arrived_at,
        "departed_at": departed_at,
        "purpose": VisitPurpose.SHOOTING if one.keeper_ids else None,
    }
    told = [name for name in ("arrived_at", "departed_at", "purpose") if fields[name] is not None]
    fields["provenance"] = dict.fromkeys(told, Provenance.INFERRED)
    made = put_new(desk, VISIT, book.now(), fields)
    assert isinstance(made, Visit)
    _fitted, sentences = settle(desk, trip, made, book.now())
    _note(desk, book, one, {"viewpoint_id": viewpoint.id})
    return sentences


def _state_shot(desk: Desk, book: Book, trip: Trip, one: Suggestion) -> list[str]:
    assert isinstance(one.about, ShotMatch)
    _note(desk, book, one, {"shot_id": find(desk, SHOT, one.about.shot, trip_id=trip.id).id})
    return []


def _state_sharpness(desk: Desk, book: Book, _trip: Trip, one: Suggestion) -> list[str]:
    assert isinstance(one.about, Judged)
    _note(desk, book, one, {"sharpness": one.about.asks})
    return []


_STATE: Mapping[Subject, Callable[[Desk, Book, Trip, Suggestion], list[str]]] = {
    Subject.CLOCKS: _state_clock,
    Subject.SETS: _state_set,
    Subject.FILTERS: _state_filters,
    Subject.PLACES: _state_visit,
    Subject.SHOTS: _state_shot,
    Subject.SHARPNESS: _state_sharpness,
}


def _note(desk: Desk, book: Book, one: Suggestion, changes: Mapping[str, object]) -> None:
    """State something of the keepers of a suggestion."""
    for key in one.keeper_ids:
        keeper = desk.keepers.get(key)
        assert keeper is not None
        after = edited(keeper, book.now(), changes)
        if after is not keeper:
            desk.keepers.put(after)


def _local(
    moment: datetime, one: ProposedVisit, keepers: Iterable[Keeper], account: TripAccount
) -> tuple[date, time]:
    """Return the photographer's day and the minute of an instant, by the clock at a stay."""
    on_date, local = shown_at(
        moment, lambda day: zone_of_stay(one, keepers, account, day) or UTC, account.trip.day_ends_at
    )
    return on_date, local.time().replace(second=0, microsecond=0)
