"""What the program can work out about the clocks of a trip's cameras, and keepers put right by it.

One surprising decision: a clock is judged by the light its own frames were made in: bright settings under a
sun below the horizon are a doubt about the clock, whatever confirms it.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime

from logbook.craft.clock_light import suggest_shifts
from logbook.craft.clocks import SettledClock
from logbook.domain.account import TripAccount
from logbook.domain.keeper import Keeper, in_order
from logbook.domain.words import ClockEvidence, Provenance
from logbook.domain.zones import TimeDoubt, wall_at, zone_of, zone_words
from logbook.services.accounts import account_in, day_of
from logbook.services.clocks.doubts import time_doubts
from logbook.services.clocks.setting import body_named
from logbook.services.clocks.settled import put_right, settled
from logbook.services.light.frame_light import light_flags, lit_frames, sun_heights
from logbook.services.light.stands import Stands, stands_of
from logbook.services.records import the_trip
from logbook.services.tracks import placed_by
from logbook.store.book import Book
from logbook.store.desk import Desk
from logbook.store.following import at_its_clock, clock_of

MOST_TRIED = 200  # frames of a body that corrections are tried on; more say nothing new (own convention)


@dataclass(frozen=True, slots=True)
class ClockProposal:
    """A body's clock: seconds to add to its own time to get the place's, and the evidence for it.

    `keepers` are the files of all its frames on the trip that it holds for, in order of time.
    """

    clock: SettledClock
    zone: str | None
    offset_s: int | None
    doubts: tuple[str, ...]
    keepers: tuple[str, ...] = ()
    taken: bool = True  # whether its frames are put right by it in the book

    @property
    def frames(self) -> str:
        """The frames it holds for, as words; empty where it holds for all of the body."""
        if self.clock.since is None and self.clock.until is None:
            return ""
        return span(self.keepers)

    def holds_for(self, keepers: Iterable[Keeper]) -> bool:
        """Tell whether it holds for any of some keepers."""
        own = (keeper for keeper in keepers if keeper.camera == self.clock.body)
        return any(self.clock.holds_at(wall) for keeper in own if (wall := keeper.camera_time) is not None)


def span(files: Sequence[str]) -> str:
    """Return the frames from first to last as words."""
    if not files:
        return "no frame yet"
    return files[0] if len(files) == 1 else f"{files[0]} to {files[-1]}"


def list_clocks(book: Book, trip: str | None, body: str | None) -> tuple[ClockProposal, ...]:
    """Return what is stated or known of each body's clock on a trip, or of one body's; nothing is stored."""
    with book.reading() as desk:
        account = account_in(desk, the_trip(desk, trip))
        wanted = body_named(body, list(account.keepers)) if body else None
        _keepers, clocks = clocks_in(desk, account, None, book.now())
        return tuple(one for one in clocks if wanted in (None, one.clock.body))


def clocks_in(
    desk: Desk, account: TripAccount, on_date: date | None, now: datetime
) -> tuple[tuple[Keeper, ...], tuple[ClockProposal, ...]]:
    """Return the keepers of a day put right by the proposed clocks, and these; nothing else is worked out."""
    found = righted(desk, account, on_date, now)
    return found.keepers, clocks_of(desk, account, found)


@dataclass(frozen=True, slots=True)
class Righted:
    """The keepers of a day put right by what is known of their clocks, all of the trip, and where they stood.

    `sun_deg` is the sun's height in degrees by keeper id.
    """

    keepers: tuple[Keeper, ...]
    of_trip: tuple[Keeper, ...]
    clocks: tuple[SettledClock, ...]
    stands: Stands
    sun_deg: Mapping[str, float]


def righted(desk: Desk, account: TripAccount, on_date: date | None, now: datetime) -> Righted:
    """Return the keepers of a day put right; what there is to doubt of the clocks is for `clocks_of`."""
    trip = account.trip
    clocks = settled(desk, trip, account.keepers)
    put = [put_right(keeper, clocks, now, trip_zone=trip.zone) for keeper in account.keepers]
    put = in_order(at_its_clock(keeper, account) for keeper, _placed in placed_by(put, account.tracks))
    keepers = tuple(keeper for keeper in put if on_date is None or day_of(keeper, trip) == on_date)
    stands = stands_of(account, put)
    return Righted(keepers, tuple(put), clocks, stands, sun_heights(stands, keepers))


def clocks_of(desk: Desk, account: TripAccount, day: Righted) -> tuple[ClockProposal, ...]:
    """Return what is proposed of each clock, with its doubts: corrections are tried on its frames' light."""
    booked = {keeper.id: keeper.clock_offset_s for keeper in account.keepers}
    open_times = time_doubts(desk, day.keepers)
    found = (_clock_proposal(one, account, day, booked) for one in day.clocks)
    return tuple(
        replace(one, doubts=(*one.doubts, *_open_times(one, day.keepers, open_times))) for one in found
    )


def _clock_proposal(
    clock: SettledClock, account: TripAccount, day: Righted, booked: Mapping[str, int]
) -> ClockProposal:
    """Say what to add on the days looked at; a body not used on them is judged by its other days."""
    holds = [
        keeper
        for keeper in day.of_trip
        if keeper.camera == clock.body and (wall := keeper.camera_time) is not None and clock.holds_at(wall)
    ]
    seen = {keeper.id for keeper in day.keepers}
    own = [keeper for keeper in holds if keeper.id in seen] or holds
    doubts = (*clock.doubts, *_zone_doubts(own, account), *_light_doubts(own, day.stands))
    first = own[0] if own else None
    known = first is not None and first.taken_utc is not None
    offset_s = first.clock_offset_s if first is not None and known else None
    zone = (first.zone if first else None) or account.trip.zone
    if zone is None and clock.zone_offset_s is None:
        offset_s = None
    taken = all(booked[keeper.id] == keeper.clock_offset_s for keeper in holds)
    files = tuple(keeper.file for keeper in holds)
    return ClockProposal(clock, zone, offset_s, doubts, files, taken)


def _open_times(
    clock: ClockProposal, keepers: Sequence[Keeper], open_times: Mapping[str, TimeDoubt]
) -> Iterator[str]:
    """Say of the first frame whose time came twice or never what is open, and how many more there are."""
    own = [one for one in keepers if one.id in open_times and clock.holds_for((one,))]
    if own:
        more = f"; the same goes for {len(own) - 1} more" if len(own) > 1 else ""
        yield f"{own[0].file}: {open_times[own[0].id].reason}{more}"


def _zone_doubts(keepers: Sequence[Keeper], account: TripAccount) -> Iterator[str]:
    """Say of the first frame made where clocks show another time than its camera is taken to show."""
    away = [(keeper, there) for keeper in keepers if (there := _place_elsewhere(keeper, account)) is not None]
    if away:
        keeper, zone = away[0]
        more = f", and so {'was' if len(away) == 2 else 'were'} {len(away) - 1} more" if len(away) > 1 else ""
        yield (
            f"{keeper.file} was made in another zone, {zone_words(zone)}{more}; the camera is taken to show "
            f"{zone_words(keeper.zone or '')} time, as nobody said whether it was set there"
        )


def _place_elsewhere(keeper: Keeper, account: TripAccount) -> str | None:
    """The zone where a frame was made, if the clocks there differ from an assumed camera's."""
    at, assumed = keeper.taken_utc, keeper.zone
    if at is None or assumed is None or keeper.clock_evidence is not ClockEvidence.ASSUMED:
        return None
    if keeper.provenance_of("zone") is Provenance.STATED:
        return None
    clock = clock_of(keeper, account)
    same = clock is None or wall_at(at, zone_of(clock.zone)) == wall_at(at, zone_of(assumed))
    return None if clock is None or same else clock.zone


def _light_doubts(keepers: Sequence[Keeper], stands: Stands) -> Iterator[str]:
    """Say of the first frame whose light cannot be why, and which mistake of the clock would explain it."""
    flags = light_flags(stands, keepers)
    first = next((keeper for keeper in keepers if keeper.id in flags), None)
    if first is None:
        return
    yield f"{first.file}: {flags[first.id].reason}"
    frames, altitudes = lit_frames(stands, keepers[:MOST_TRIED])
    for shift in suggest_shifts(frames, altitudes, most=1):
        fits = shift.flagged_before - shift.flagged_after
        yield f"{fits} of {shift.flagged_before} such pictures would fit if {shift.words}"
