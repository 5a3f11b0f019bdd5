"""A day's keepers cut into groups that are asked about together.

One surprising decision: a group holds frames of one camera, since two cameras hardly wear one filter.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from logbook.craft.marks import number_text
from logbook.craft.matching import MatchKind
from logbook.domain.account import TripAccount
from logbook.domain.keeper import Keeper
from logbook.domain.words import Provenance, Sharpness
from logbook.services.keepers.proposals import Proposals
from logbook.services.night.frames_told import label_of, settings_of
from logbook.services.night.planned import Explained, PlannedGroup, PlannedSet


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
