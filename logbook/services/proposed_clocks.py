"""What the program can work out about the clocks of a trip's cameras, and keepers put right by it.

One surprising decision: a clock is judged by the light its own frames were made in: bright settings under a
sun below the horizon are a doubt about the clock, whatever vouches for it.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from logbook.craft.clock_light import impossible_light
from logbook.craft.clocks import SettledClock
from logbook.craft.errors import CraftValueError
from logbook.craft.exposure import ev100
from logbook.craft.filters import Filter, parse_filter, stack_stops
from logbook.domain.account import TripAccount
from logbook.domain.keeper import Keeper
from logbook.domain.position import Position, distance_m
from logbook.domain.trip import Trip
from logbook.services.accounts import account_in, day_of
from logbook.services.keepers import in_order
from logbook.services.records import the_trip
from logbook.services.setting_clocks import body_named
from logbook.services.settled_clocks import body_of, put_right, settled, wall_of
from logbook.services.tracks import placed_by
from logbook.store.book import Book
from logbook.store.desk import Desk

SAME_SUN_M = 50_000.0  # m; the sun's height differs by no more than the arc between two places, here 0.45 deg


@dataclass(frozen=True, slots=True)
class ClockProposal:
    """A body's clock: seconds to add to its own time to get the place's, and what vouches for it.

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
        own = (keeper for keeper in keepers if body_of(keeper) == self.clock.body)
        return any(self.clock.holds_at(wall) for keeper in own if (wall := wall_of(keeper)) is not None)


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
    keepers, clocks, _sun = righted(desk, account, on_date, now)
    return keepers, clocks


def righted(
    desk: Desk, account: TripAccount, on_date: date | None, now: datetime
) -> tuple[tuple[Keeper, ...], tuple[ClockProposal, ...], dict[str, float]]:
    """Return the keepers of a day put right, the clocks, and the sun's height in degrees by keeper id."""
    trip = account.trip
    clocks = settled(desk, trip, account.keepers)
    put = [put_right(keeper, clocks, now, trip_zone=trip.zone) for keeper in account.keepers]
    put = in_order(keeper for keeper, _placed in placed_by(put, account.tracks))
    keepers = tuple(keeper for keeper in put if on_date is None or day_of(keeper, trip) == on_date)
    sun = _sun_heights(account, keepers)
    booked = {keeper.id: keeper.clock_offset_s for keeper in account.keepers}
    return keepers, tuple(_clock_proposal(clock, trip, keepers, put, sun, booked) for clock in clocks), sun


def settings_ev100(keeper: Keeper) -> float | None:
    """Return the exposure value of the settings at ISO 100; None where they are unknown or flash lit it."""
    if keeper.f_number is None or keeper.exposure_s is None or keeper.iso is None or keeper.flash_fired:
        return None
    try:
        return ev100(keeper.f_number, keeper.exposure_s, keeper.iso)
    except CraftValueError:
        return None


def _sun_heights(account: TripAccount, keepers: Sequence[Keeper]) -> dict[str, float]:
    """Return the sun's height at each keeper's instant where a place is known, by few looks at the sky.

    A keeper without a place is taken for one at its viewpoint's site, or at any of the trip's where all lie
    under the same sun; that of one of several might be the sun of another continent.
    """
    from logbook.sky.observer import Observer
    from logbook.sky.position import sun_positions

    shared = _shared_position(account)
    groups: dict[tuple[float, float], list[Keeper]] = {}
    for keeper in keepers:
        viewpoint = account.viewpoints.get(keeper.viewpoint_id or "")
        position = viewpoint.position if viewpoint else None
        if position is None and keeper.latitude_deg is None:
            site = account.sites.get(viewpoint.site_id) if viewpoint else None
            position = site.position if site else shared
        latitude_deg = position.latitude_deg if position else keeper.latitude_deg
        longitude_deg = position.longitude_deg if position else keeper.longitude_deg
        if latitude_deg is None or longitude_deg is None:
            continue
        if keeper.taken_utc is not None:
            groups.setdefault((round(latitude_deg, 1), round(longitude_deg, 1)), []).append(keeper)
    heights: dict[str, float] = {}
    for (latitude_deg, longitude_deg), group in groups.items():
        instants = [keeper.taken_utc for keeper in group if keeper.taken_utc]
        try:
            seen = sun_positions(Observer(latitude_deg, longitude_deg), instants)
        except ValueError:  # an instant outside the ephemeris, which a wrong clock can give
            continue
        heights.update({k.id: p.altitude_deg for k, p in zip(group, seen, strict=True)})
    return heights


def _shared_position(account: TripAccount) -> Position | None:
    """Return where the sun stands as it does at every site of the trip; None where they lie too far apart."""
    positions = [site.position for site in account.sites.values() if site.position]
    near = all(distance_m(positions[0], other) <= SAME_SUN_M for other in positions[1:])
    return positions[0] if positions and near else None


def _clock_proposal(
    clock: SettledClock,
    trip: Trip,
    keepers: Sequence[Keeper],
    all_keepers: Sequence[Keeper],
    sun: Mapping[str, float],
    booked: Mapping[str, int],
) -> ClockProposal:
    """Say what to add on the days looked at; a body not used on them is judged by its other days."""
    holds = [
        keeper
        for keeper in all_keepers
        if body_of(keeper) == clock.body and (wall := wall_of(keeper)) is not None and clock.holds_at(wall)
    ]
    seen = {keeper.id for keeper in keepers}
    own = [keeper for keeper in holds if keeper.id in seen] or holds
    doubts = list(clock.doubts)
    for keeper in own:
        light = settings_ev100(keeper)
        if light is None or keeper.id not in sun:
            continue
        stops = stack_stops(_known(keeper)).typical_stops or 0.0
        flag = impossible_light(light + stops, sun[keeper.id])
        if flag is not None:
            doubts.append(f"{keeper.file}: {flag.reason}")
            break
    first = own[0] if own else None
    known = first is not None and first.taken_utc is not None
    offset_s = first.clock_offset_s if first is not None and known else None
    zone = (first.zone if first else None) or trip.zone
    if zone is None and clock.zone_offset_s is None:
        offset_s = None
    taken = all(booked[keeper.id] == keeper.clock_offset_s for keeper in holds)
    files = tuple(keeper.file for keeper in holds)
    return ClockProposal(clock, zone, offset_s, tuple(doubts), files, taken)


def _known(keeper: Keeper) -> tuple[Filter, ...]:
    try:
        return tuple(parse_filter(name) for name in keeper.filters or ())
    except CraftValueError:
        return ()
