"""What the program can work out about a day by itself: clocks, sets, filters, matches, visits.

One surprising decision: proposing changes nothing. Every proposal carries its reason, and only what a person
then says goes into the book.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from functools import partial
from pathlib import Path
from zoneinfo import ZoneInfo

from logbook.craft.clock_light import impossible_light
from logbook.craft.clocks import BodyClock, clock_at
from logbook.craft.errors import CraftValueError
from logbook.craft.exposure import ev100
from logbook.craft.filters import Filter, parse_filter, stack_stops
from logbook.craft.inference.frames import Frame
from logbook.craft.inference.jumps import FilterInference, infer_filters
from logbook.craft.inference.sets import FrameSet, find_sets
from logbook.craft.inference.tries import Tries, tries_from_numbers
from logbook.craft.matching import Match, match_keepers
from logbook.craft.placing import nearest_spot
from logbook.craft.stays import REACH_M, FrameTrace, ProposedVisit, find_stays, propose_visits
from logbook.craft.traits import KeeperTraits, Orientation, ShotTraits
from logbook.domain.account import TripAccount
from logbook.domain.camera import ExposureMode
from logbook.domain.keeper import Keeper
from logbook.domain.shot import Shot
from logbook.domain.trip import Trip
from logbook.domain.viewpoint import Viewpoint
from logbook.domain.words import OutcomeWord, Packing, Provenance
from logbook.services.accounts import account_in, day_of
from logbook.services.body_clocks import body_of, put_right, settled, wall_of
from logbook.services.keepers import in_order, number_of
from logbook.services.records import the_trip
from logbook.services.tracks import Fix, placed_by, segments_of
from logbook.store.book import Book
from logbook.store.desk import Desk

METERED = frozenset(ExposureMode) - {ExposureMode.MANUAL, ExposureMode.BULB}
SAID_TRAITS = ("viewpoint_id", "filters", "support")
UPRIGHT = (5, 6, 7, 8)  # Exif orientations that swap width and height (CIPA DC-008, Orientation)


@dataclass(frozen=True, slots=True)
class ClockProposal:
    """A body's clock: seconds to add to its own time to get the place's, and what vouches for it."""

    clock: BodyClock
    zone: str | None
    offset_s: int | None
    doubts: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Spot:
    """A viewpoint with a position."""

    key: str
    latitude_deg: float
    longitude_deg: float


@dataclass(frozen=True, slots=True)
class Proposals:
    """Everything proposed for some keepers of a trip; keys are keeper ids and viewpoint and shot slugs."""

    keepers: tuple[Keeper, ...]
    clocks: tuple[ClockProposal, ...]
    sets: tuple[FrameSet, ...]
    filters: FilterInference
    matches: tuple[Match, ...]
    visits: tuple[ProposedVisit, ...]
    tries: Tries


def propose(book: Book, trip: str | None, on_date: date | None) -> Proposals:
    """Return what can be worked out about a day, or about the whole trip; nothing is stored."""
    with book.reading() as desk:
        return proposals_in(desk, account_in(desk, the_trip(desk, trip)), on_date, book.now())


def proposals_in(desk: Desk, account: TripAccount, on_date: date | None, now: datetime) -> Proposals:
    """The same within a transaction; keepers are first put right by the proposed clocks."""
    segments = segments_of(desk, account.trip)
    keepers, clocks, sun = _righted(desk, account, on_date, now, segments)
    slugs = {viewpoint.id: viewpoint.slug for viewpoint in account.viewpoints.values()}
    spots = _spots(account.viewpoints.values())
    frames = tuple(
        _frame(keeper, slugs, spots, sun.get(keeper.id)) for keeper in keepers if keeper.place_time
    )
    sets = find_sets(frames)
    packed = packed_filters(account)
    shots = _shots(account, on_date)
    set_keys = {key: f"{one.kind}:{one.keys[0]}" for one in sets for key in one.keys}
    return Proposals(
        keepers,
        clocks,
        sets,
        infer_filters(frames, packed, sets),
        match_keepers((_traits(keeper, slugs, set_keys) for keeper in keepers), shots),
        _visits(keepers, slugs, spots, segments, on_date, account),
        tries_from_numbers(frames),
    )


def clocks_in(
    desk: Desk, account: TripAccount, on_date: date | None, now: datetime
) -> tuple[tuple[Keeper, ...], tuple[ClockProposal, ...]]:
    """Return the keepers of a day put right by the proposed clocks, and these; nothing else is worked out."""
    keepers, clocks, _sun = _righted(desk, account, on_date, now, segments_of(desk, account.trip))
    return keepers, clocks


def _righted(
    desk: Desk, account: TripAccount, on_date: date | None, now: datetime, segments: Sequence[Sequence[Fix]]
) -> tuple[tuple[Keeper, ...], tuple[ClockProposal, ...], dict[str, float]]:
    trip = account.trip
    clocks = settled(desk, trip, account.keepers)
    righted = [put_right(keeper, clocks, now, trip_zone=trip.zone) for keeper in account.keepers]
    righted = [keeper for keeper, _placed in placed_by(righted, segments)]
    keepers = tuple(in_order(k for k in righted if on_date is None or day_of(k, trip) == on_date))
    sun = _sun_heights(account, keepers)
    return keepers, tuple(_clock_proposal(clock, trip, keepers, righted, sun) for clock in clocks), sun


def frames_of(keepers: Iterable[Keeper]) -> tuple[Frame, ...]:
    """Return keepers as the inference sees them, by what their files say alone."""
    return tuple(_frame(keeper, {}, (), None) for keeper in keepers if keeper.place_time)


def packed_filters(account: TripAccount) -> tuple[Filter, ...]:
    """Return the filters that were taken on a trip; a name the craft does not know is left out."""
    result = []
    for packed in account.packed:
        item = account.kit.get(packed.item_id)
        if packed.packing is Packing.TAKEN and item and item.filter_name:
            try:
                result.append(parse_filter(item.filter_name))
            except CraftValueError:
                continue
    return tuple(result)


def settings_ev100(keeper: Keeper) -> float | None:
    """Return the exposure value of the settings at ISO 100; None where they are unknown or flash lit it."""
    if keeper.f_number is None or keeper.exposure_s is None or keeper.iso is None or keeper.flash_fired:
        return None
    try:
        return ev100(keeper.f_number, keeper.exposure_s, keeper.iso)
    except CraftValueError:
        return None


def viewpoint_of(keeper: Keeper, slugs: Mapping[str, str], spots: Sequence[Spot]) -> str | None:
    """Return the slug of the stated viewpoint, else of the nearest one within reach of the keeper's place."""
    if keeper.viewpoint_id:
        return slugs.get(keeper.viewpoint_id)
    if keeper.latitude_deg is None or keeper.longitude_deg is None:
        return None
    near = nearest_spot(keeper.latitude_deg, keeper.longitude_deg, spots)
    return near.key if near and near.distance_m <= REACH_M else None


def _frame(keeper: Keeper, slugs: Mapping[str, str], spots: Sequence[Spot], sun_deg: float | None) -> Frame:
    at = keeper.taken_utc or (keeper.place_time or datetime.min).replace(tzinfo=UTC)  # noqa: DTZ901
    stated = keeper.provenance_of("filters") is Provenance.STATED
    stem = Path(keeper.file).stem
    number = number_of(keeper.file)
    portrait = _portrait(keeper)
    return Frame(
        key=keeper.id,
        at_s=at.timestamp(),
        ev100=settings_ev100(keeper),
        aperture=keeper.f_number,
        exposure_s=float(keeper.exposure_s) if keeper.exposure_s is not None else None,
        iso=keeper.iso,
        bias_stops=keeper.bias_stops,
        metered=keeper.exposure_mode in METERED if keeper.exposure_mode else None,
        focal_mm=keeper.focal_35mm or keeper.focal_mm,
        portrait=portrait,
        direction_deg=keeper.direction_deg,
        auto_bracket=keeper.auto_bracket,
        viewpoint=viewpoint_of(keeper, slugs, spots),
        body=body_of(keeper),
        file_number=number,
        stem=stem.rstrip("0123456789") if number is not None else stem,
        suffix=Path(keeper.file).suffix.lower(),
        known_filters=keeper.filters if stated else None,
        sun_height_deg=sun_deg,
    )


def _portrait(keeper: Keeper) -> bool | None:
    if not keeper.width_px or not keeper.height_px or keeper.width_px == keeper.height_px:
        return None
    return (keeper.height_px > keeper.width_px) != (keeper.orientation in UPRIGHT)


def _traits(keeper: Keeper, slugs: Mapping[str, str], set_keys: Mapping[str, str]) -> KeeperTraits:
    """Return what speaks for a match: the camera and what people said, never what was proposed before."""
    portrait = _portrait(keeper)
    said = {name for name in SAID_TRAITS if keeper.provenance_of(name) is Provenance.STATED}
    return KeeperTraits(
        key=keeper.id,
        viewpoint=slugs.get(keeper.viewpoint_id or "") if "viewpoint_id" in said else None,
        latitude_deg=keeper.latitude_deg,
        longitude_deg=keeper.longitude_deg,
        at=keeper.taken_utc,
        bearing_deg=None if keeper.direction_is_magnetic else keeper.direction_deg,
        focal_mm=keeper.focal_35mm or keeper.focal_mm,
        orientation=None if portrait is None else Orientation.PORTRAIT if portrait else Orientation.LANDSCAPE,
        exposure_s=float(keeper.exposure_s) if keeper.exposure_s is not None else None,
        filters=keeper.filters if "filters" in said else None,
        support=keeper.support if "support" in said else None,
        set_key=set_keys.get(keeper.id),
    )


def _shots(account: TripAccount, on_date: date | None) -> list[ShotTraits]:
    slugs = {viewpoint.id: viewpoint for viewpoint in account.viewpoints.values()}
    result = []
    for shot in account.shots:
        outcome = account.outcomes.get(shot.id)
        dropped = outcome is not None and outcome.word in (OutcomeWord.MISSED, OutcomeWord.REPLACED)
        if dropped or (on_date is not None and shot.on_date not in (None, on_date)):
            continue
        viewpoint = slugs.get(shot.viewpoint_id or "")
        opens, closes = _window(shot, account.trip.zone, account.trip.day_ends_at)
        result.append(
            ShotTraits(
                key=shot.slug,
                viewpoint=viewpoint.slug if viewpoint else None,
                latitude_deg=viewpoint.latitude_deg if viewpoint else None,
                longitude_deg=viewpoint.longitude_deg if viewpoint else None,
                opens=opens,
                closes=closes,
                bearing_deg=viewpoint.facing_deg if viewpoint else None,
                focal_mm=shot.focal_mm,
                exposure_s=float(shot.exposure_s) if shot.exposure_s is not None else None,
                filters=shot.filters,
                support=shot.support,
            )
        )
    return result


def _window(shot: Shot, zone: str | None, day_ends_at: time) -> tuple[datetime | None, datetime | None]:
    if shot.on_date is None or zone is None:
        return None, None
    at = partial(datetime.combine, tzinfo=ZoneInfo(zone))
    begins, ends = shot.window_from or day_ends_at, shot.window_to or day_ends_at
    opens, closes = at(shot.on_date, begins), at(shot.on_date, ends)
    if closes <= opens:
        closes = at(shot.on_date + timedelta(days=1), ends)
    return opens, closes


def _spots(viewpoints: Iterable[Viewpoint]) -> list[Spot]:
    return [Spot(one.slug, at.latitude_deg, at.longitude_deg) for one in viewpoints if (at := one.position)]


def _visits(
    keepers: Sequence[Keeper],
    slugs: Mapping[str, str],
    spots: Sequence[Spot],
    segments: list[list[Fix]],
    on_date: date | None,
    account: TripAccount,
) -> tuple[ProposedVisit, ...]:
    traces = [
        FrameTrace(
            key=keeper.id,
            at=keeper.taken_utc,
            spot=slugs.get(keeper.viewpoint_id or ""),
            latitude_deg=keeper.latitude_deg,
            longitude_deg=keeper.longitude_deg,
        )
        for keeper in keepers
        if keeper.taken_utc is not None
    ]
    stays = find_stays(segments)
    if on_date is not None and account.trip.zone:
        opens = datetime.combine(on_date, account.trip.day_ends_at, ZoneInfo(account.trip.zone))
        closes = opens + timedelta(days=1)
        stays = tuple(stay for stay in stays if opens <= stay.arrived < closes)
    return propose_visits(traces, stays, spots)


def _sun_heights(account: TripAccount, keepers: Sequence[Keeper]) -> dict[str, float]:
    """Return the sun's height at each keeper's instant where a place is known, by few looks at the sky."""
    from logbook.sky.observer import Observer
    from logbook.sky.position import sun_positions

    groups: dict[tuple[float, float], list[Keeper]] = {}
    for keeper in keepers:
        viewpoint = account.viewpoints.get(keeper.viewpoint_id or "")
        position = viewpoint.position if viewpoint else None
        latitude_deg = position.latitude_deg if position else keeper.latitude_deg
        longitude_deg = position.longitude_deg if position else keeper.longitude_deg
        if latitude_deg is None or longitude_deg is None:
            site = next((s for s in account.sites.values() if s.position), None)
            if site is None or site.latitude_deg is None or site.longitude_deg is None:
                continue
            latitude_deg, longitude_deg = site.latitude_deg, site.longitude_deg
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


def _clock_proposal(
    clock: BodyClock,
    trip: Trip,
    keepers: Sequence[Keeper],
    all_keepers: Sequence[Keeper],
    sun: Mapping[str, float],
) -> ClockProposal:
    """Say what to add on the days looked at; a body not used on them is judged by its other days."""
    holds = [
        keeper
        for keeper in all_keepers
        if body_of(keeper) == clock.body
        and (wall := wall_of(keeper)) is not None
        and clock_at([clock], clock.body, wall) is not None
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
    return ClockProposal(clock, (first.zone if first else None) or trip.zone, offset_s, tuple(doubts))


def _known(keeper: Keeper) -> tuple[Filter, ...]:
    try:
        return tuple(parse_filter(name) for name in keeper.filters or ())
    except CraftValueError:
        return ()
