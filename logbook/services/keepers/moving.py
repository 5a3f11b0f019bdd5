"""Moving keepers to the trip they belong to: with their sets, put right by its zone, never taken in twice.

One surprising decision: a keeper remembers which trips it was moved out of, so that taking the same folder in
again finds it where it is; a picture that nobody moved may still serve two trips.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime
from typing import Any

from logbook.craft.clocks import SettledClock
from logbook.domain.errors import ConflictError, InUseError, WrongUseError
from logbook.domain.keeper import Keeper, in_order
from logbook.domain.names import slug_of
from logbook.domain.record import new_record
from logbook.domain.trip import Trip
from logbook.domain.words import ClockEvidence, Provenance
from logbook.domain.zones import wall_at, zone_of
from logbook.services.clocks.settled import offset_s_of, put_right, settled
from logbook.services.kinds import TRIP
from logbook.services.naming import ANY, Narrow, keepers_meant
from logbook.services.records import find, the_trip
from logbook.services.tracks import placed_by, segments_of
from logbook.store.book import Book
from logbook.store.desk import Desk

LISTED = 3  # how many pictures a refusal names


@dataclass(frozen=True, slots=True)
class ShotTie:
    """That a picture serves, or stands in for, a planned shot of the trip it leaves."""

    file: str
    shot: str


@dataclass(frozen=True, slots=True)
class KeepersMoved:
    """What moving did, or would do; `retimed` pictures were made at another time of that trip's zone.

    `renamed` are short names that were taken there, and `parted` sets of which a part stays. `evenings` are
    nightly sessions that spoke of these pictures and are asked again.
    """

    old: str
    new: str
    keepers: tuple[str, ...]
    dropped: tuple[ShotTie, ...]
    renamed: tuple[tuple[str, str], ...]
    parted: int
    retimed: int
    evenings: tuple[date, ...]
    dry_run: bool


def move_keepers(
    book: Book,
    trip: str | None,
    which: str,
    to_trip: str,
    narrow: Narrow = ANY,
    *,
    drop_shots: bool = False,
    dry_run: bool = False,
) -> KeepersMoved:
    """Move keepers of one trip to another.

    Raises SeveralKeepersError where a name could be several, InUseError where they serve shots of the trip
    they leave, unless told to let those go, and ConflictError where the other trip has one of them already.
    """
    with book.reading() if dry_run else book.writing() as desk:
        old, new = the_trip(desk, trip), find(desk, TRIP, to_trip)
        if old.id == new.id:
            raise WrongUseError(f"They already belong to {new.slug}; name another trip with --to-trip.")
        keepers = in_order(keepers_meant(desk, old, which, narrow))
        _refuse_doubles(desk, new, keepers)
        ties = _ties(desk, new, keepers)
        if ties and not (drop_shots or dry_run):
            raise InUseError(_refusal(old, ties))
        moved = _moved(desk, book, old, new, keepers)
        ids = {keeper.id for keeper in keepers}
        parted = _part_sets(desk, book, old, new, ids, dry_run=dry_run)
        evenings = _evenings(desk, old, ids)
        if not dry_run:
            for keeper in moved:
                desk.keepers.put(keeper)
            _let_go(desk, book, old, ids, evenings)
        both = list(zip(keepers, moved, strict=True))
        return KeepersMoved(
            old.slug,
            new.slug,
            tuple(keeper.file for keeper in keepers),
            ties,
            tuple((before.slug, after.slug) for before, after in both if before.slug != after.slug),
            parted,
            sum(before.place_time != after.place_time for before, after in both),
            evenings,
            dry_run,
        )


def _refuse_doubles(desk: Desk, new: Trip, keepers: Sequence[Keeper]) -> None:
    there = desk.keepers.all(trip_id=new.id, hash={keeper.hash for keeper in keepers})
    if there:
        raise ConflictError(
            f"{new.slug} already has {_listed(one.file for one in there)}, so nothing was moved; "
            f'"logbook keeper remove {there[0].slug} --trip {new.slug}" makes room.'
        )


def _ties(desk: Desk, new: Trip, keepers: Sequence[Keeper]) -> tuple[ShotTie, ...]:
    """Return which pictures serve, or stand in for, shots of another trip than the new one."""
    shots = {shot.id: shot for shot in desk.shots.all() if shot.trip_id != new.id}
    files = {keeper.id: keeper.file for keeper in keepers}
    serving = [(keeper.file, keeper.shot_id) for keeper in keepers]
    standing = [(files.get(one.replaced_by_keeper_id or ""), one.shot_id) for one in desk.outcomes.all()]
    return tuple(
        ShotTie(file, shots[shot_id].slug)
        for file, shot_id in (*serving, *standing)
        if file and shot_id in shots
    )


def _refusal(old: Trip, ties: Sequence[ShotTie]) -> str:
    told = _listed(f"{tie.file} for {tie.shot}" for tie in ties)
    return (
        f"They are linked to shots of {old.slug} ({told}), so nothing was moved; "
        "--drop-shots moves them and drops these links."
    )


def _listed(names: Iterable[str]) -> str:
    names = list(names)
    more = f" and {len(names) - LISTED} more" if len(names) > LISTED else ""
    return ", ".join(names[:LISTED]) + more


def _moved(desk: Desk, book: Book, old: Trip, new: Trip, keepers: Sequence[Keeper]) -> list[Keeper]:
    """Return the keepers as they are on the new trip."""
    clocks = settled(desk, new, [*desk.keepers.all(trip_id=new.id), *keepers])
    taken = set(desk.keepers.slugs(trip_id=new.id))
    kept_shots = {shot.id for shot in desk.shots.all(trip_id=new.id)}
    result = []
    for keeper in keepers:
        slug = slug_of(keeper.slug, taken)
        taken.add(slug)
        changes: dict[str, Any] = {"trip_id": new.id, "slug": slug, "updated": book.now()}
        left = (*keeper.left_trip_ids, old.id)
        changes["left_trip_ids"] = tuple(one for one in dict.fromkeys(left) if one != new.id)
        if keeper.shot_id is not None and keeper.shot_id not in kept_shots:
            changes["shot_id"] = None
            changes["provenance"] = {k: v for k, v in keeper.provenance.items() if k != "shot_id"}
        result.append(timed_anew(replace(keeper, **changes), new, clocks, book.now()))
    return _placed_anew(desk, new, keepers, result)


def _placed_anew(desk: Desk, new: Trip, before: Sequence[Keeper], after: Sequence[Keeper]) -> list[Keeper]:
    """Return keepers of which those made at another moment are placed by the new trip's tracks."""
    instants = {keeper.id: keeper.taken_utc for keeper in before}
    shifted = [keeper for keeper in after if keeper.taken_utc != instants[keeper.id]]
    placed = {keeper.id: keeper for keeper, _ in placed_by(shifted, segments_of(desk, new))}
    return [placed.get(keeper.id, keeper) for keeper in after]


def timed_anew(keeper: Keeper, trip: Trip, clocks: Iterable[SettledClock], now: datetime) -> Keeper:
    """Return a keeper whose time followed its trip's zone with the time of another trip's zone.

    What a person said of its zone stands; an instant that a file or a person confirms stays, and shows
    the other zone's time.
    """
    if keeper.zone is not None and keeper.provenance_of("zone") is not Provenance.ASSUMED:
        return put_right(keeper, clocks, now, trip_zone=trip.zone)
    words = {name: word for name, word in keeper.provenance.items() if name != "zone"}
    free = replace(keeper, zone=None, provenance=words)
    righted = put_right(free, clocks, now, trip_zone=trip.zone)
    if righted is not free:
        return righted
    words |= {"zone": Provenance.ASSUMED} if trip.zone is not None else {}
    if keeper.clock_evidence in (None, ClockEvidence.ASSUMED):  # the camera's own time, in whichever zone
        instant = None
        if trip.zone is not None and keeper.taken_local is not None:
            shift_s = offset_s_of(trip.zone, keeper.taken_local)
            instant = datetime.fromtimestamp(
                keeper.taken_local.replace(tzinfo=UTC).timestamp() - shift_s, UTC
            )
            words["taken_utc"] = Provenance.ASSUMED
        else:
            words.pop("taken_utc", None)
        evidence = ClockEvidence.ASSUMED if instant is not None else None
        return replace(free, zone=trip.zone, taken_utc=instant, clock_evidence=evidence, provenance=words)
    wall = keeper.camera_time
    if trip.zone is None or keeper.taken_utc is None or wall is None:
        return replace(free, zone=trip.zone, provenance=words)
    local = wall_at(keeper.taken_utc, zone_of(trip.zone))
    offset_s = round((local - wall).total_seconds())
    return replace(free, zone=trip.zone, taken_local=local, clock_offset_s=offset_s, provenance=words)


def _part_sets(desk: Desk, book: Book, old: Trip, new: Trip, ids: set[str], *, dry_run: bool) -> int:
    """Let sets follow their keepers; return how many are parted because some of theirs stay."""
    parted = 0
    for group in desk.sets.all(trip_id=old.id):
        gone = tuple(one for one in group.keeper_ids if one in ids)
        parted += 0 < len(gone) < len(group.keeper_ids)
        if not gone or dry_run:
            continue
        left = group.without(ids, book.now())
        moved = replace(group, trip_id=new.id, keeper_ids=gone, updated=book.now())
        if left is not None:
            desk.sets.put(left)
            desk.sets.add(*([replace(moved, **new_record(book.now()))] if len(gone) > 1 else []))
        elif len(gone) > 1:
            desk.sets.put(moved)
        else:
            desk.sets.remove([group.id])
    return parted


def _evenings(desk: Desk, old: Trip, ids: set[str]) -> tuple[date, ...]:
    """Return the days of the old trip whose nightly session speaks of the keepers."""
    answers = desk.night_answers.all(trip_id=old.id)
    return tuple(sorted({one.on_date for one in answers if any(of in one.answer for of in ids)}))


def _let_go(desk: Desk, book: Book, old: Trip, ids: set[str], evenings: Iterable[date]) -> None:
    """Let the old trip's shots, day files and evenings no longer speak of the keepers."""
    for outcome in desk.outcomes.all(replaced_by_keeper_id=ids):
        desk.outcomes.put(replace(outcome, replaced_by_keeper_id=None, updated=book.now()))
    lines = desk.day_lines.all(trip_id=old.id, noun="keeper", record_id=ids)
    desk.day_lines.remove(line.id for line in lines)
    for day in evenings:
        desk.night_answers.remove(desk.night_answers.ids(trip_id=old.id, on_date=day))
