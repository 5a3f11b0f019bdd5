"""Cutting and joining the stays of an evening, in its plan and among the visits that the book has already.

One surprising decision: what has been answered about a stay stays with its earlier part; only its times and
tries, which the cut changes, are asked about again.
"""

from collections.abc import Sequence
from dataclasses import replace

from logbook.domain.errors import WrongUseError
from logbook.domain.written.moments import clock_text
from logbook.services.accounts import account_in
from logbook.services.clocks.zones import in_its_zone
from logbook.services.night.cutting import Correction, Cut, DayStays, Join, correction_of_stays
from logbook.services.night.evening import Evening
from logbook.services.night.planned import NightPlan
from logbook.services.visits.cuts import join, split


def corrections_of(text: str) -> tuple[Cut | Join, ...]:
    """Return what the lines of an answer put right about stays; nothing where one is about something else."""
    said = [correction_of_stays(line) for line in text.splitlines()]
    return tuple(one for one in said if one is not None) if None not in said else ()


def corrected(evening: Evening, plan: NightPlan, said: Sequence[Correction]) -> NightPlan:
    """Return the plan with stays cut and joined; visits that the book has are cut and joined with them."""
    account = in_its_zone(evening.desk, account_in(evening.desk, evening.trip))
    keepers = {keeper.id: keeper for keeper in account.keepers}
    for one in said:
        stays = DayStays(plan, account, keepers, evening.on_date)
        meant = stays.meant(one)
        plan = _cut(evening, stays, meant) if isinstance(meant, Cut) else _joined(evening, stays, meant)
    return plan


def _cut(evening: Evening, stays: DayStays, said: Cut) -> NightPlan:
    plan = stays.cut(said)
    visit = evening.desk.visits.get(plan.visits[said.number - 1].id)
    if visit is None:
        return plan
    if not stays.is_told_by_minute(said):
        raise WrongUseError(
            f"{visit.slug} is in the book, which tells stays apart by the minute; pictures on both sides of "
            f"this cut were taken at {clock_text(said.at)}, so they remain one stay."
        )
    _, later = split(evening.desk, visit, said.at, evening.now, may_end_there=said.late is not None)
    there = evening.desk.viewpoints.get(visit.viewpoint_id)
    assert there is not None
    known = {visit.id, later.id}
    parted = stays.cut(said, later.id)
    visits = (replace(one, viewpoint=there.slug) if one.id in known else one for one in parted.visits)
    return replace(parted, visits=tuple(visits))


def _joined(evening: Evening, stays: DayStays, said: Join) -> NightPlan:
    plan = stays.join(said)
    both = stays.plan.visits[said.number - 1 : said.number + 1]
    known = [visit for one in both if (visit := evening.desk.visits.get(one.id))]
    if len(known) == 2:
        return stays.join(said, join(evening.desk, known[0], known[1], evening.now).id)
    return stays.join(said, known[0].id) if known else plan
