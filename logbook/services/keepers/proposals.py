"""What the program can work out about a day by itself: clocks, sets, filters, matches, visits.

One surprising decision: proposing changes nothing. Every proposal carries its reason, and only what a person
then says goes into the book.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, tzinfo
from pathlib import Path

from logbook.craft.borders import FramePlace, PlanWindow
from logbook.craft.exposure import exif_speed_value
from logbook.craft.filter_types import FilterKind
from logbook.craft.illuminance import metered_ev100, sun_illuminance
from logbook.craft.inference.frames import Frame, TriesCounted, tries_from_numbers
from logbook.craft.inference.jumps import infer_filters
from logbook.craft.inference.proposal import FilterInference
from logbook.craft.inference.sets import FoundKind, FrameSet, find_sets
from logbook.craft.matching import MatchKind, ShotMatch, match_keepers
from logbook.craft.placing import spot_within
from logbook.craft.stays import REACH_M, FrameTrace, ProposedVisit, propose_visits
from logbook.craft.track_stays import TrackStay, find_stays
from logbook.craft.traits import KeeperTraits, Orientation, ShotTraits
from logbook.domain.account import TripAccount
from logbook.domain.acutance import Judged
from logbook.domain.camera import ExposureMode
from logbook.domain.day import instants_on, span_of_day
from logbook.domain.keeper import Keeper
from logbook.domain.shot import Shot
from logbook.domain.visit import Visit
from logbook.domain.words import OutcomeWord, Provenance
from logbook.domain.zones import zone_of
from logbook.services.accounts import account_in
from logbook.services.clocks.proposed import ClockProposal, Righted, clocks_of, righted
from logbook.services.keepers.sharpness import measured_of
from logbook.services.light.frame_light import settings_ev100
from logbook.services.light.met_light import expected_lights
from logbook.services.naming import number_of
from logbook.services.places.viewpoints import Spot, spots_near
from logbook.services.plans.packing import packed_filters
from logbook.services.records import the_trip
from logbook.services.visits.claims import owners_stated, places_of
from logbook.store.book import Book
from logbook.store.desk import Desk

METERED = frozenset(ExposureMode) - {ExposureMode.MANUAL, ExposureMode.BULB}
SAID_TRAITS = ("viewpoint_id", "filters", "support")
LOWEST_SUN_DEG = 3.0  # lower, light changes faster with the view than with the place; own convention


@dataclass(frozen=True, slots=True)
class _Ground:
    """The viewpoints of the book near what is looked at; `tied` are those that a plan or a visit names."""

    spots: tuple[Spot, ...]
    tied: frozenset[str]


@dataclass(frozen=True, slots=True)
class Proposals:
    """Everything proposed for some keepers of a trip; keys are keeper ids and viewpoint and shot slugs."""

    keepers: tuple[Keeper, ...]
    clocks: tuple[ClockProposal, ...]
    sets: tuple[FrameSet, ...]
    filters: FilterInference
    matches: tuple[ShotMatch, ...]
    visits: tuple[ProposedVisit, ...]
    tries: TriesCounted
    sharpness: tuple[Judged, ...] = ()  # what measuring proposes and nobody has judged


def propose(book: Book, trip: str | None, on_date: date | None) -> Proposals:
    """Return what can be worked out about a day, or about the whole trip; nothing is stored."""
    with book.reading() as desk:
        return proposals_in(desk, account_in(desk, the_trip(desk, trip)), on_date, book.now())


def proposals_in(
    desk: Desk,
    account: TripAccount,
    on_date: date | None,
    now: datetime,
    *,
    with_clocks: bool = True,
    day: Righted | None = None,
) -> Proposals:
    """The same within a transaction; keepers are first put right by the proposed clocks."""
    day = day or righted(desk, account, on_date, now)
    keepers, sun = day.keepers, day.sun_deg
    slugs = {viewpoint.id: viewpoint.slug for viewpoint in account.viewpoints.values()}
    stays = _stays(account, on_date)
    places = [*places_of(keepers), *((stay.latitude_deg, stay.longitude_deg) for stay in stays)]
    ground = _Ground(spots_near(desk, places), _tied(account, slugs, on_date))
    expected = expected_lights(account, keepers)
    shown = desk.measures.shown_stops(one.hash for one in keepers)
    frames = tuple(
        replace(
            _frame(keeper, slugs, ground),
            sun_height_deg=sun.get(keeper.id),
            expected=expected.get(keeper.id),
            picture_stops=None if keeper.flash_fired else shown.get(keeper.hash),
        )
        for keeper in keepers
        if keeper.place_time
    )
    sets = _sets(frames, account)
    packed = [one for one in packed_filters(account) if one.kind is not FilterKind.OTHER]
    # A stack is told neutral filters first, the weakest of them first.
    packed.sort(key=lambda one: (one.kind is not FilterKind.ND, one.typical_stops or 0.0))
    shots = _shots(account, on_date)
    set_keys = {key: f"{one.kind}:{one.keys[0]}" for one in sets for key in one.keys}
    matches = match_keepers((_traits(keeper, slugs, set_keys) for keeper in keepers), shots)
    at_shots = {shot.key: shot.viewpoint for shot in shots}
    served = {one.keeper: at_shots.get(one.shot) for one in matches if one.kind is MatchKind.SHOT}
    scenes = {
        keeper.id: _scene(keeper, keeper.taken_utc, sun.get(keeper.id), served.get(keeper.id))
        for keeper in keepers
        if keeper.taken_utc is not None
    }
    return Proposals(
        keepers,
        clocks_of(desk, account, day) if with_clocks else (),
        sets,
        infer_filters(frames, packed, sets),
        matches,
        _visits(keepers, scenes, stays, slugs, ground, account),
        tries_from_numbers(frames),
        tuple(one for one in measured_of(desk, keepers).values() if one.asks),
    )


def sets_in(
    desk: Desk, account: TripAccount, on_date: date | None, now: datetime
) -> tuple[tuple[Keeper, ...], tuple[FrameSet, ...]]:
    """Return keepers in order of time and the sets in force among them, stated and found; nothing else."""
    keepers = righted(desk, account, on_date, now).keepers
    slugs = {viewpoint.id: viewpoint.slug for viewpoint in account.viewpoints.values()}
    ground = _Ground(spots_near(desk, places_of(keepers)), _tied(account, slugs, on_date))
    frames = [_frame(keeper, slugs, ground) for keeper in keepers if keeper.place_time]
    return keepers, _sets(frames, account)


def _sets(frames: Iterable[Frame], account: TripAccount) -> tuple[FrameSet, ...]:
    """Find sets as far as nobody has said of their frames whether they belong together."""
    stated = [
        FrameSet(FoundKind(one.kind), one.keeper_ids, "stated by a person", stated=True)
        for one in account.sets
    ]
    return find_sets(frames, stated, [one.keeper_ids for one in account.apart])


def sets_of(account: TripAccount) -> tuple[FrameSet, ...]:
    """Return the sets in force among a trip's keepers, stated and found, by what their files say alone."""
    return _sets(frames_of(account.keepers), account)


def frames_of(keepers: Iterable[Keeper]) -> tuple[Frame, ...]:
    """Return keepers as the inference sees them, by what their files say alone."""
    return tuple(_frame(keeper, {}, _Ground((), frozenset())) for keeper in keepers if keeper.place_time)


def _viewpoint_of(keeper: Keeper, slugs: Mapping[str, str], ground: _Ground) -> str | None:
    """Return the slug of the stated viewpoint, else of the nearest one within reach of the keeper's place."""
    if keeper.viewpoint_id:
        return slugs.get(keeper.viewpoint_id)
    if keeper.latitude_deg is None or keeper.longitude_deg is None:
        return None
    near = spot_within(keeper.latitude_deg, keeper.longitude_deg, ground.spots, REACH_M, ground.tied)
    return near.key if near else None


def _frame(keeper: Keeper, slugs: Mapping[str, str], ground: _Ground) -> Frame:
    at = None if keeper.is_by_camera else keeper.taken_utc  # no clock of two cameras is mixed with UTC
    at = at or (keeper.place_time or datetime.min).replace(tzinfo=UTC)  # noqa: DTZ901
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
        viewpoint=_viewpoint_of(keeper, slugs, ground),
        body=keeper.camera,
        file_number=number,
        stem=stem.rstrip("0123456789") if number is not None else stem,
        suffix=Path(keeper.file).suffix.lower(),
        known_filters=keeper.filters if stated else None,
        reading_ev100=_reading_ev100(keeper),
        by_bulb=keeper.exposure_mode is ExposureMode.BULB,
    )


def _reading_ev100(keeper: Keeper) -> float | None:
    """Return what the camera wrote down as metered: the standard's brightness, else its maker's figure."""
    if keeper.flash_fired:
        return None
    if keeper.brightness_ev is not None:
        return keeper.brightness_ev + exif_speed_value(100)
    return keeper.metered_ev100


def _portrait(keeper: Keeper) -> bool | None:
    size = keeper.upright_px
    return None if size is None or size[0] == size[1] else size[1] > size[0]


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
        bearing_deg=keeper.bearing_deg,
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
        opens, closes = _window(shot, account)
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


def zone_of_stay(
    one: ProposedVisit, keepers: Iterable[Keeper], account: TripAccount, day: date | None
) -> tzinfo | None:
    """Return the zone of the clock at a stay; its pictures' where the trip has not met its viewpoint."""
    spot = next((each.id for each in account.viewpoints.values() if each.slug == one.spot), None)
    own = next((each.zone for each in keepers if each.zone is not None and each.id in one.frames), None)
    return zone_of(own) if spot is None and own is not None else account.zone_on(day, spot)


def _window(shot: Shot, account: TripAccount) -> tuple[datetime | None, datetime | None]:
    """A shot's window (UTC); where no begin or end was planned, its day's."""
    clock = account.zone_on(shot.on_date, shot.viewpoint_id)
    if shot.on_date is None or clock is None:
        return None, None
    day_ends_at = account.trip.day_ends_at
    begins, ends = span_of_day(shot.on_date, clock, day_ends_at)
    opens, closes = instants_on(shot.on_date, shot.window_from, shot.window_to, day_ends_at, clock)
    return opens or begins, closes or ends


def _tied(account: TripAccount, slugs: Mapping[str, str], on_date: date | None) -> frozenset[str]:
    """The viewpoints that plans and visits of a day, or of the whole trip, name: they break near ties."""
    named: list[Shot | Visit] = [*account.shots, *account.visits]
    ids = [one.viewpoint_id for one in named if on_date is None or one.on_date in (None, on_date)]
    return frozenset(slugs[one] for one in ids if one is not None and one in slugs)


def _stays(account: TripAccount, on_date: date | None) -> tuple[TrackStay, ...]:
    stays = find_stays(account.tracks)
    if on_date is not None and (clock := account.zone_on(on_date)) is not None:
        opens, closes = span_of_day(on_date, clock, account.trip.day_ends_at)
        stays = tuple(stay for stay in stays if opens <= stay.arrived < closes)
    return stays


def _visits(
    keepers: Sequence[Keeper],
    scenes: Mapping[str, FramePlace],
    stays: Sequence[TrackStay],
    slugs: Mapping[str, str],
    ground: _Ground,
    account: TripAccount,
) -> tuple[ProposedVisit, ...]:
    owners = owners_stated(keepers, account.visits, account.trip, slugs, ground.spots)
    places = {visit.id: slugs[visit.viewpoint_id] for visit in account.visits}
    traces = [
        FrameTrace(
            key=keeper.id,
            at=keeper.taken_utc,
            spot=places.get(owners.get(keeper.id, "")) or slugs.get(keeper.viewpoint_id or ""),
            latitude_deg=keeper.latitude_deg,
            longitude_deg=keeper.longitude_deg,
            visit=owners.get(keeper.id),
            scene=scenes.get(keeper.id),
        )
        for keeper in keepers
        if keeper.taken_utc is not None
    ]
    return propose_visits(
        traces, stays, ground.spots, windows=_windows(account, slugs), preferred=ground.tied
    )


def _scene(keeper: Keeper, at: datetime, sun_deg: float | None, planned: str | None) -> FramePlace:
    """What a frame tells of its place besides a position; its light is what the sun's height leaves of it."""
    level = settings_ev100(keeper)
    open_ev100 = metered_ev100(sun_illuminance(sun_deg or 0.0).ground_lx)
    is_day = level is not None and sun_deg is not None and sun_deg >= LOWEST_SUN_DEG
    return FramePlace(
        at=at,
        focal_mm=keeper.focal_35mm or keeper.focal_mm,
        light_ev=(level or 0.0) - open_ev100 if is_day else None,
        direction_deg=keeper.direction_deg,
        planned=planned,
    )


def _windows(account: TripAccount, slugs: Mapping[str, str]) -> list[PlanWindow]:
    """When the plans name a place: only windows whose begin and end were planned."""
    result = []
    for shot in account.shots:
        place = slugs.get(shot.viewpoint_id or "")
        if place and shot.window_from and shot.window_to:
            opens, closes = _window(shot, account)
            if opens and closes:
                result.append(PlanWindow(place, opens, closes))
    return result
