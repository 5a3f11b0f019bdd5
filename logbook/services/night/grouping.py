"""A day's keepers cut into groups that are asked about together, and which of its stays are which visits.

Surprising decisions: a group holds frames of one camera, since two cameras hardly wear one filter. Times
that nobody stated tell visits to one viewpoint apart, and one that meets no stay is still the one that it
was named from: the clock of its frames may have been put right since.
"""

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime, time, timedelta, tzinfo
from itertools import count, pairwise

from logbook.craft.marks import number_text
from logbook.craft.matching import MatchKind
from logbook.craft.stays import LONGEST_PAUSE_S, ProposedVisit
from logbook.domain.account import TripAccount
from logbook.domain.day import window_on
from logbook.domain.keeper import Keeper
from logbook.domain.trip import Trip
from logbook.domain.visit import Visit
from logbook.domain.words import Provenance, Sharpness
from logbook.domain.zones import wall_at
from logbook.services.keepers.proposals import Proposals
from logbook.services.night.evening import made_id
from logbook.services.night.frames_told import label_of, settings_of
from logbook.services.night.planned import Explained, PlannedGroup, PlannedSet

MINUTE = timedelta(minutes=1)
MOST_NAMED_ALIKE = 3  # visits whose ids are made from one frame; more are not looked for


def groups_of(found: Proposals, account: TripAccount, doubts: Mapping[str, str]) -> list[PlannedGroup]:
    """Cut the day's keepers into runs of one camera that share visit, filters and shot; sets stay whole.

    `doubts` says of keepers, by id, why they can hardly have been made without a filter.
    """
    shots = {shot.id: shot.slug for shot in account.shots}
    several = len({keeper.body for keeper in found.keepers}) > 1
    return [
        replace(
            _planned_group(run, found, shots, with_body=several),
            doubts={keeper.id: doubts[keeper.id] for keeper in run if keeper.id in doubts},
        )
        for stretch in _stretches(found)
        for run in _runs(stretch, found, shots)
    ]


def _stretches(found: Proposals) -> Iterable[list[Keeper]]:
    """The keepers of each camera at each visit, in the order of their first frames."""
    visits = {key: index for index, visit in enumerate(found.visits) for key in visit.frames}
    result: dict[tuple[int | None, str | None], list[Keeper]] = {}
    for keeper in found.keepers:
        result.setdefault((visits.get(keeper.id), keeper.body), []).append(keeper)
    return result.values()


def _runs(stretch: Iterable[Keeper], found: Proposals, shots: Mapping[str, str]) -> list[list[Keeper]]:
    filters = {key: one for one in found.filters.asserted for key in one.keys}
    matches = {match.keeper: match for match in found.matches}
    sets = {key: one for one in found.sets for key in one.keys}
    asked = {one.keys[0] for one in found.filters.asked}
    runs: list[list[Keeper]] = []
    marks: list[tuple[object, ...]] = []
    for keeper in stretch:
        match = matches.get(keeper.id)
        said = keeper.filters if keeper.provenance_of("filters") is Provenance.STATED else None
        whole = sets.get(keeper.id)
        mark = (
            said,
            filters[keeper.id].keys if keeper.id in filters and said is None else None,
            _shot_said(keeper, shots),
            (match.shot, match.kind) if match else None,
        )
        goes_on = bool(runs) and mark == marks[-1] and (keeper.id not in asked or said is not None)
        if runs and (goes_on or (whole and runs[-1][-1].id in whole.keys)):
            runs[-1].append(keeper)
        else:
            runs.append([keeper])
            marks.append(mark)
    return runs


def _shot_said(keeper: Keeper, shots: Mapping[str, str]) -> str | None:
    """Return the shot that a person says a keeper serves."""
    said = keeper.provenance_of("shot_id") is Provenance.STATED
    return shots.get(keeper.shot_id or "") if said else None


def _planned_group(
    run: Sequence[Keeper], found: Proposals, shots: Mapping[str, str], *, with_body: bool
) -> PlannedGroup:
    first = run[0]
    said = first.filters if first.provenance_of("filters") is Provenance.STATED else None
    proposals = (one for one in found.filters.asserted if first.id in one.keys)
    proposal = next(proposals, None) if said is None else None
    asked = (
        next((one for one in found.filters.asked if one.keys[0] == first.id), None) if said is None else None
    )
    match = next((one for one in found.matches if one.keeper == first.id), None)
    whole = next((one for one in found.sets if first.id in one.keys), None)
    ids = {keeper.id for keeper in run}
    measured = {
        word: tuple(one.keeper.id for one in found.sharpness if one.asks is word and one.keeper.id in ids)
        for word in Sharpness
    }
    return PlannedGroup(
        keeper_ids=tuple(keeper.id for keeper in run),
        label=label_of([keeper.file for keeper in run]),
        files=tuple(keeper.file for keeper in run),
        filters_said=said,
        explanations=tuple(Explained(why.filters, round(why.stops, 1)) for why in proposal.explanations)
        if proposal
        else (),
        filters_reason=proposal.reason.partition(":")[0] if proposal else "",
        shot_said=_shot_said(first, shots),
        shot=match.shot if match else None,
        shot_kind=str(match.kind) if match else str(MatchKind.SHOT),
        shot_reason=match.reason if match else "",
        set_kind=str(whole.kind) if whole else None,
        sets=tuple(PlannedSet(str(one.kind), one.keys) for one in found.sets if ids.issuperset(one.keys)),
        settings=settings_of(run, with_body=with_body),
        body=first.body,
        soft=measured[Sharpness.SOFT],
        sharp=measured[Sharpness.SHARP],
        soft_reason=_soft_reason(found, measured[Sharpness.SOFT]),
        question=asked.question(label_of([first.file])) if asked else "",
        question_reason=asked.reason.partition(":")[0] if asked else "",
        if_filter=asked.explanations[0].filters if asked else (),
        if_light=asked.explanations[1].filters if asked else (),
    )


def _soft_reason(found: Proposals, soft: Sequence[str]) -> str:
    """Say by how much the edges of soft frames are wider than those of the sharpest of their views."""
    lost = [
        one.acutance.lost_px
        for one in found.sharpness
        if one.keeper.id in soft and one.acutance and one.acutance.lost_px is not None
    ]
    if not lost:
        return ""
    least, most = (number_text(one, 1) for one in (min(lost), max(lost)))
    span = least if least == most else f"{least} to {most}"
    return f"edges {span} px wider than those of the sharpest frame of the same view"


def id_of_stay(one: ProposedVisit, trip: Trip, on_date: date, known: Collection[str]) -> str:
    """Return the id of a visit that a stay may become: the same whenever the same stay is worked out.

    Two windows that plan one day so mean the same visit; one whose id is `known` is another.
    """
    begun = next(iter(one.frames), None) or one.arrived.isoformat()
    ids = (_id_from(trip, on_date, begun, number) for number in count())
    return next(made for made in ids if made not in known)


def _id_from(trip: Trip, on_date: date, begun: str, number: int) -> str:
    return made_id(trip.id, on_date, f"stay {begun} {number}")


def stays_of(
    visit: Visit, there: Sequence[Visit], stays: Sequence[ProposedVisit], trip: Trip, zone: tzinfo | None
) -> list[ProposedVisit]:
    """Return the stays at a viewpoint that are one visit of the book, of all its visits there that day.

    A stay belongs to the visit that it shares most time with. A visit that meets none, and whose times nobody
    stated, has the stay that it was named from. What shares time with none goes, one each and in their order,
    to such visits. Where there is a single one, it has the stay that it was named from, and those near that.
    `zone` is that of the viewpoint's clock on the day.
    """
    named = _named(there, stays, trip)
    if len(there) == 1:
        meeting = [one for one in stays if _shared_min(one, visit, trip, zone) >= 0]
        if not are_times_open(visit):
            return meeting
        return _with_near(list(named) or meeting or list(stays[:1]), stays)
    best = {one: max(there, key=lambda each: _shared_min(one, each, trip, zone)) for one in stays}
    owners = {one: each.id for one, each in best.items() if _shared_min(one, each, trip, zone) >= 0}
    met = set(owners.values())
    owners |= {one: made for one, made in named.items() if one not in owners and made not in met}
    apart = [one for one in stays if one not in owners]
    unstated = [each for each in there if each.id not in owners.values() and are_times_open(each)]
    owners |= {one: each.id for one, each in zip(apart, unstated, strict=False)}
    return [one for one in stays if owners.get(one) == visit.id]


def _named(there: Sequence[Visit], stays: Sequence[ProposedVisit], trip: Trip) -> dict[ProposedVisit, str]:
    """Return the id of the visit that was named from a stay, by stay: it was made from one of its frames."""
    ids = {visit.id for visit in there if are_times_open(visit)}
    on_date = there[0].on_date
    return {
        one: made
        for one in stays
        for frame in one.frames
        for number in range(MOST_NAMED_ALIKE)
        if (made := _id_from(trip, on_date, frame, number)) in ids
    }


def _with_near(own: Sequence[ProposedVisit], stays: Sequence[ProposedVisit]) -> list[ProposedVisit]:
    """Return stays with those that one pause of a visit at most parts from them, in order of time."""
    ordered = sorted(stays, key=lambda one: one.arrived)
    runs = [ordered[:1]]
    for before, one in pairwise(ordered):
        if (one.arrived - before.departed).total_seconds() > LONGEST_PAUSE_S:
            runs.append([])
        runs[-1].append(one)
    return [one for run in runs if any(each in own for each in run) for one in run]


def _shared_min(stay: ProposedVisit, visit: Visit, trip: Trip, zone: tzinfo | None) -> int:
    """Return the minutes that a stay shares with a visit; below zero where they do not meet."""
    arrived, departed = window_on(visit.on_date, visit.arrived_at, visit.departed_at, trip.day_ends_at)
    if arrived is None or departed is None:
        return -1
    first, last = (local_minute(at, zone) for at in (stay.arrived, stay.departed))
    return (min(last, _minute(departed)) - max(first, _minute(arrived))) // MINUTE


def are_times_open(visit: Visit) -> bool:
    """Tell whether a visit's times are unknown, or nobody stated them."""
    is_open = visit.arrived_at is None or visit.departed_at is None
    return is_open or visit.provenance_of("arrived_at") is not Provenance.STATED


def local_minute(instant: datetime, zone: tzinfo | None) -> datetime:
    """Return the minute that the place's clock shows at an instant, without a zone."""
    return _minute(wall_at(instant, zone) if zone else instant)


def _minute(moment: datetime) -> datetime:
    return moment.replace(second=0, microsecond=0, tzinfo=None)


def minutes_between(since: time, until: time) -> int:
    """Return the minutes from one clock time to the next time it is another."""
    return (until.hour * 60 + until.minute - since.hour * 60 - since.minute) % (24 * 60)
