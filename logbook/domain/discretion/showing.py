"""The one place where it is decided what an audience may see of a trip.

One surprising decision: references to a withheld place are kept, but lead to a place that is made up for this
account, so that two visits to one withheld place still belong together and nothing leads back to the book.
"""

from collections.abc import Collection, Container, Iterator, Mapping
from dataclasses import dataclass, field, fields, replace
from datetime import date, datetime, timedelta
from hashlib import sha256
from typing import Any

from logbook.craft.errors import CraftValueError
from logbook.craft.feasible import Feasibility, Verdict
from logbook.craft.filter_types import FilterKind
from logbook.craft.filters import parse_filter
from logbook.domain.account import TripAccount
from logbook.domain.belonging import decided, visits_by_keeper
from logbook.domain.condition import Condition
from logbook.domain.condition_kinds import KINDS
from logbook.domain.day import day_of
from logbook.domain.discretion.audience import NAME_STRUCK, Discretion
from logbook.domain.discretion.blurred import Blur, struck_from, with_plain_slugs
from logbook.domain.discretion.exactness import (
    is_exact,
    shown_tracks,
    viewpoints_towards_secrets,
    without_sight_lines,
)
from logbook.domain.keeper import Keeper
from logbook.domain.kit import KitItem, PackedItem
from logbook.domain.lesson import Lesson
from logbook.domain.measures import CELL_DEG
from logbook.domain.place_clock import PlaceClock
from logbook.domain.position import rounded_to_area
from logbook.domain.record import cut, known
from logbook.domain.shot import Shot
from logbook.domain.shown import Shown, Withheld
from logbook.domain.site import Site
from logbook.domain.viewpoint import Viewpoint
from logbook.domain.words import Audience, Disclosure, KitKind, Packing
from logbook.domain.zones import offset_name, offset_on

_PICTURE = "picture"  # what a picture is called instead of by its file


def account_for(
    account: TripAccount,
    audience: Audience,
    *,
    feasibility: Mapping[str, Feasibility] | None = None,
    left_out: Collection[str] = (),
) -> Shown:
    """Return what an audience may see of a trip, and what was struck from its texts; ids stay as they are.

    `feasibility` is by shot id; `left_out` are ids of keepers that are not shown. From these, and from those
    hidden from the audience, it is still learnt what others may not know.
    """
    judged = {one.id: feasibility[one.id] for one in account.shots if feasibility and one.id in feasibility}
    if audience is Audience.ARCHIVE:
        held = {one.name: getattr(account, one.name) for one in fields(TripAccount)}
        held["keepers"] = pictures_for(account, audience, left_out)
        return Shown(**held, feasibility=judged)
    return _Made(Discretion(account, audience)).shown(judged, left_out)


@dataclass(frozen=True, slots=True)
class _Places:
    """The places of an account that an audience sees, and made-up ones for those that it does not."""

    say: Discretion
    withheld: dict[str, Withheld] = field(default_factory=dict)
    _made_up: dict[str, str] = field(default_factory=dict)  # by the book's ids

    def viewpoint(self, viewpoint_id: str | None) -> str | None:
        """Return the id by which a viewpoint is referred to; None where none is."""
        if not viewpoint_id or self.say.viewpoint(viewpoint_id):
            return viewpoint_id
        viewpoint = self.say.account.viewpoints.get(viewpoint_id)
        site_id = viewpoint.site_id if viewpoint and not self.say.site(viewpoint.site_id) else None
        return self._made(viewpoint_id, self.site(site_id))

    def site(self, site_id: str | None) -> str | None:
        """Return the id by which a site is referred to; None where none is."""
        return site_id if not site_id or self.say.site(site_id) else self._made(site_id, None)

    def _made(self, book_id: str, site_id: str | None) -> str:
        made = self._made_up.setdefault(book_id, f"withheld-{len(self._made_up) + 1}")
        self.withheld.setdefault(made, Withheld(made, site_id))
        return made


class _Made:
    """What becomes of the records of one account."""

    def __init__(self, say: Discretion) -> None:
        self.say = say
        self.blur = Blur(say)
        self.places = _Places(say)
        self.account = without_sight_lines(say)
        self.telling = viewpoints_towards_secrets(say)

    def shown(self, judged: Mapping[str, Feasibility], left_out: Collection[str]) -> Shown:
        """Return the account that the audience may see."""
        account, say, blur = self.account, self.say, self.blur
        keepers = pictures_for(account, say.audience, left_out)
        keeper_ids, shot_ids = {one.id for one in keepers}, {one.id for one in account.shots}
        sites = [(slug, one) for slug, one in with_plain_slugs(account.sites.values(), "site")]
        stands = [(slug, one) for slug, one in with_plain_slugs(account.viewpoints.values(), "viewpoint")]
        bore_on = decided(account, visits_by_keeper(keepers, account.visits, account.trip.day_ends_at))
        made = Shown(
            trip=blur.record(account.trip, "trip"),
            sites={one.id: self._site(one, slug) for slug, one in sites if say.site(one.id)},
            viewpoints={one.id: self._viewpoint(one, slug) for slug, one in stands if say.viewpoint(one.id)},
            shots=tuple(
                cut(self._shot(one, slug), "fallback_for_id", shot_ids)
                for slug, one in with_plain_slugs(account.shots, "shot")
            ),
            outcomes={
                key: cut(
                    cut(blur.record(one), "replaced_by_shot_id", shot_ids),
                    "replaced_by_keeper_id",
                    keeper_ids,
                )
                for key, one in account.outcomes.items()
            },
            visits=tuple(
                blur.record(
                    one,
                    slug,
                    is_of_hidden=say.hides(one.viewpoint_id),
                    viewpoint_id=self.places.viewpoint(one.viewpoint_id),
                )
                for slug, one in with_plain_slugs(account.visits, "visit")
            ),
            conditions=tuple(
                self._condition(one, slug)
                for slug, one in with_plain_slugs(account.conditions, "condition")
                if self._matters(one, bore_on)
            ),
            lessons=tuple(
                cut(self._lesson(one, slug), "shot_id", shot_ids)
                for slug, one in with_plain_slugs(account.lessons, "lesson")
                if one.shown_to is say.audience
            ),
            days=tuple(blur.record(one) for one in account.days),
            keepers=tuple(
                cut(self._keeper(one, number), "shot_id", shot_ids)
                for number, one in enumerate(keepers, start=1)
            ),
            sets=tuple(blur.record(one) for one in account.sets),
            apart=tuple(blur.record(one) for one in account.apart),
            kit={one.id: one for one in self._kit()},
            packed=tuple(self._packed()),
            tracks=shown_tracks(say),
            last_day=account.last_day,
            withheld=self.places.withheld,
            areas=frozenset(one.id for one in account.places if say.shown(one) is Disclosure.AREA),
            feasibility=dict(self._judged(judged)),
            audience=say.audience,
            clocks=dict(self._clocks()),
        )
        return replace(made, struck=struck_from(say))

    def _clocks(self) -> Iterator[tuple[tuple[str, date | None], PlaceClock]]:
        """Whose clock counts wherever and whenever anything was planned, done or seen."""
        account, places = self.account, self.places
        met: list[tuple[date | None, str | None, str | None]] = [
            *((one.on_date, one.viewpoint_id, None) for one in account.visits),
            *((one.on_date, one.viewpoint_id, None) for one in account.shots),
            *((one.on_date, one.viewpoint_id, one.site_id) for one in account.conditions),
            *(
                (day_of(one.place_time, account.trip.day_ends_at), one.viewpoint_id, None)
                for one in account.keepers
                if one.place_time
            ),
        ]
        for day, viewpoint_id, site_id in dict.fromkeys(met):
            clock = account.clock_on(day, viewpoint_id, site_id)
            shown_as = places.viewpoint(viewpoint_id) or places.site(site_id)
            if clock is None or shown_as is None:
                continue
            if self.say.hides(viewpoint_id, site_id):
                clock = replace(clock, zone=offset_on(clock.zone, day))
            yield (shown_as, day), clock

    def _site(self, site: Site, plain_slug: str) -> Site:
        return known(self.blur.record(site, plain_slug), self._where(site))

    def _viewpoint(self, viewpoint: Viewpoint, plain_slug: str) -> Viewpoint:
        where = self._where(viewpoint)
        if self.say.shown(viewpoint) is not Disclosure.EXACT:
            where["horizon"] = None  # like a height, it would tell the slopes of an area apart
        return known(self.blur.record(viewpoint, plain_slug), where)

    def _where(self, place: Site | Viewpoint) -> dict[str, Any]:
        """Return what changes of a place that may be shown: an area has no exact position, height or way."""
        if self.say.shown(place) is Disclosure.EXACT:
            return {}
        hushed: dict[str, Any] = {"elevation_m": None, "access": None}
        if isinstance(place, Site):
            hushed["walk_min"] = None  # minutes from a road are a way too
        if not place.position:
            return hushed
        position = rounded_to_area(place.position, CELL_DEG)
        return hushed | {"latitude_deg": position.latitude_deg, "longitude_deg": position.longitude_deg}

    def _shot(self, shot: Shot, plain_slug: str) -> Shot:
        return self.blur.record(
            shot,
            plain_slug,
            is_of_hidden=self.say.hides(shot.viewpoint_id),
            viewpoint_id=self.places.viewpoint(shot.viewpoint_id),
        )

    def _matters(self, condition: Condition, bore_on: Container[str]) -> bool:
        """Whether an observation is told: to a client a closure, and what decided about a shot."""
        is_client = self.say.audience is Audience.CLIENT
        return not is_client or KINDS[condition.kind].is_barrier or condition.id in bore_on

    def _condition(self, condition: Condition, plain_slug: str) -> Condition:
        """Return an observation; of one at a withheld place only its kind, level and time."""
        refers: dict[str, Any] = {
            "viewpoint_id": self.places.viewpoint(condition.viewpoint_id),
            "site_id": self.places.site(condition.site_id),
        }
        if not self.say.hides(condition.viewpoint_id, condition.site_id):
            return self.blur.record(condition, plain_slug, **refers)
        hushed: dict[str, Any] = {"note": condition.note and NAME_STRUCK, "direction": None, "source": None}
        return self.blur.record(condition, plain_slug, is_of_hidden=True, **refers, **hushed)

    def _lesson(self, lesson: Lesson, plain_slug: str) -> Lesson:
        """Return a lesson; a client learns of a withheld place not even that advice is about one."""
        say = self.say
        shot = next((one for one in self.account.shots if one.id == lesson.shot_id), None)
        is_hidden = say.hides(lesson.viewpoint_id, lesson.site_id)
        of_hidden_shot = shot is not None and say.hides(shot.viewpoint_id)
        refers: dict[str, Any] = {
            "viewpoint_id": self.places.viewpoint(lesson.viewpoint_id),
            "site_id": self.places.site(lesson.site_id),
        }
        if is_hidden and say.audience is Audience.CLIENT:
            refers = dict.fromkeys(refers)
        return self.blur.record(
            lesson,
            plain_slug,
            is_of_hidden=is_hidden or say.hides(None, lesson.site_id) or of_hidden_shot,
            **refers,
        )

    def _keeper(self, keeper: Keeper, number: int) -> Keeper:
        """Return a picture without its file, and without its place unless that may be shown exactly."""
        name = f"{_PICTURE}-{number}"
        blurred: dict[str, Any] = {
            "slug": name,
            "file": name,
            "path": "",
            "hash": sha256(keeper.id.encode()).hexdigest(),  # of nothing that could be found again
            "size_bytes": 0,
            "viewpoint_id": self.places.viewpoint(keeper.viewpoint_id),
        }
        if keeper.zone != self.account.trip.zone and self.say.hides(keeper.viewpoint_id):
            blurred["zone"] = _offset_of(keeper)  # a zone's name would tell the region
        if not is_exact(self.say, keeper):
            blurred |= {"latitude_deg": None, "longitude_deg": None, "altitude_m": None}
            if not self.say.viewpoint(keeper.viewpoint_id):
                blurred |= {"direction_deg": None, "direction_is_magnetic": None}
        return self.blur.record(keeper, **blurred)

    def _kit(self) -> Iterator[KitItem]:
        """What angles of view and exercises need of the kit: its cameras' formats, its filters' strengths."""
        for number, item in enumerate(self.account.kit.values(), start=1):
            name = f"{item.kind}-{number}"
            strength = _strength(item) if item.kind is KitKind.FILTER else ""
            if item.kind is KitKind.CAMERA or (strength and self.say.audience is Audience.STUDENTS):
                yield self.blur.record(item, slug=name, title=name, filter_name=strength or None)

    def _packed(self) -> Iterator[PackedItem]:
        for one in self.account.packed:
            if one.packing is Packing.TAKEN:
                yield self.blur.record(one)

    def _judged(self, judged: Mapping[str, Feasibility]) -> Iterator[tuple[str, Feasibility]]:
        """Whether plans would work; when the sun stands in a frame tells where the frame looks."""
        if self.say.audience is Audience.CLIENT:
            return
        for shot in self.account.shots:
            one = judged.get(shot.id)
            if one is None or shot.viewpoint_id in self.telling:
                continue
            if not self.say.hides(shot.viewpoint_id):
                yield shot.id, Feasibility(one.verdict, one.off_stops, self.blur.text(one.reason), "")
            elif one.verdict is not Verdict.SUN_IN_FRAME:
                yield shot.id, Feasibility(one.verdict, None, "", "")


def pictures_for(
    account: TripAccount, audience: Audience, left_out: Collection[str] = ()
) -> tuple[Keeper, ...]:
    """Return the keepers that are shown; those of one time by their short names, which others do not see."""
    first: dict[datetime | None, int] = {}
    for at, one in enumerate(account.keepers):
        first.setdefault(one.place_time, at)
    shown = (one for one in account.keepers if one.id not in left_out and audience not in one.hidden_from)
    return tuple(sorted(shown, key=lambda one: (first[one.place_time], one.slug)))


def _offset_of(keeper: Keeper) -> str | None:
    """How far the clock at a picture's place was off UTC, as a zone."""
    if keeper.place_time is None or keeper.taken_utc is None or keeper.zone is None:
        return None
    ahead = keeper.place_time - keeper.taken_utc.replace(tzinfo=None)
    return offset_name(round(ahead / timedelta(minutes=1)))


def _strength(item: KitItem) -> str:
    """A neutral filter by its strength, in no words of a person."""
    try:
        one = parse_filter(item.filter_name or item.title)
    except CraftValueError:
        return ""
    return one.name if one.kind is FilterKind.ND else ""
