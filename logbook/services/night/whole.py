"""A whole evening at once: its stays with their pictures, its plans, and every question where it belongs.

One surprising decision: it is made of the questions that the terminal asks one by one, so that both faces of
an evening say the same and write the same; only the order is the reader's own.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, time

from logbook.domain.keeper import Keeper, in_order
from logbook.domain.shot import Shot
from logbook.domain.words import ConditionKind, Packing, Provenance
from logbook.services.accounts import day_of
from logbook.services.night.card_choices import (
    barriers_of,
    filter_choices,
    offered_outcome,
    place_choices,
    ready_kinds,
    ready_levels,
)
from logbook.services.night.cards import (
    EveningItem,
    FrameCard,
    GroupCard,
    ItemSeal,
    PlanCard,
    StayCard,
    WholeEvening,
    frames_of,
    seal_of,
)
from logbook.services.night.clocks import clock_lines, is_doubtful, untaken
from logbook.services.night.cutting import cuts_in
from logbook.services.night.frame_questions import key_of_group
from logbook.services.night.planned import NightPlan, PlannedGroup, PlannedVisit
from logbook.services.night.questions import UNSURE, Asks, Question
from logbook.services.night.selecting import bare_ids, hardly_bare
from logbook.services.night.session import Night, SessionStand
from logbook.services.night.standing import StandingValue, standing
from logbook.services.night.visits import crowds_at_times
from logbook.store.desk import Desk

AT_FIRST = frozenset((Asks.ZONE, Asks.CLOCK))  # what is asked before a day can be planned
OF_A_PLAN = frozenset((Asks.OUTCOME, Asks.WHY))
OF_THE_DAY = frozenset((Asks.CHANGES, Asks.STAY, Asks.KEEP, Asks.CHANGE, Asks.JOURNAL, Asks.SHOWN))


def whole_evening(night: Night) -> WholeEvening:
    """Return the whole evening; nothing is kept by looking."""
    with night.book.reading() as desk:
        return evening_in(desk, night)


def evening_in(desk: Desk, night: Night) -> WholeEvening:
    """Return the same within a transaction that is open."""
    return _EveningTable(desk, night.on_date, night.stand(desk)).evening()


def item_at(desk: Desk, stand: SessionStand, question: Question) -> EveningItem:
    """Return what stands at a question, within a transaction."""
    found = standing(desk, stand.trip.id, question)
    answered = stand.answers.get(question.key)
    text = answered.text.removesuffix(UNSURE) if answered else ""
    if found is not None:
        is_open = answered is None and found.word is not Provenance.STATED
        return EveningItem(question, found.text, found.word, is_open, False, text)
    if answered is None:
        return EveningItem(question, "", None, True, False)
    return EveningItem(question, text, answered.word if text else None, False, answered.word is None, text)


def seal_at(desk: Desk, stand: SessionStand, key: str) -> ItemSeal | None:
    """Return the seal of what stands at a question, None where it is asked no more."""
    question = next((one for one in stand.questions if one.key == key), None)
    return seal_of(item_at(desk, stand, question), stand.plan) if question else None


@dataclass(frozen=True, slots=True)
class _EveningTable:
    """What the cards of a day are laid out from."""

    desk: Desk
    on_date: date
    stand: SessionStand

    def evening(self) -> WholeEvening:
        keepers = [one for one in self._keepers() if day_of(one, self.stand.trip) == self.on_date]
        # After the keepers, which are held by now and need not be read one by one.
        items = [item_at(self.desk, self.stand, one) for one in self.stand.questions]
        open_clocks = [one.question for one in items if one.question.asks is Asks.CLOCK and one.is_open]
        plan = self.stand.plan
        if plan is None:
            return WholeEvening(self.stand.trip, self.on_date, _opening(items), (), (), (), None)
        stays = self._stays(plan, items)
        placed = {one.shot.id for stay in stays for one in stay.plans}
        return WholeEvening(
            self.stand.trip,
            self.on_date,
            _opening(items),
            stays,
            tuple(one for one in self._plans(plan, items) if one.shot.id not in placed),
            tuple(one for one in items if one.question.asks in OF_THE_DAY),
            plan,
            clock_lines(open_clocks, keepers, self.on_date),
            untaken(open_clocks, keepers),
            bare_ids(keepers, plan),
            hardly_bare(keepers, plan),
        )

    def _keepers(self) -> Iterable[Keeper]:
        return self.desk.keepers.held(trip_id=self.stand.trip.id)

    def _stays(self, plan: NightPlan, items: list[EveningItem]) -> tuple[StayCard, ...]:
        packed = self._packed()
        plans = self._plans(plan, items)
        cards: list[StayCard] = []
        for number, visit in enumerate(plan.visits, 1):
            own = _about(items, visit.key)
            named = next((one.shown for one in own if one.question.asks is Asks.VIEWPOINT), "")
            place = named or visit.viewpoint or ""
            taken = {one.shot.id for card in cards for one in card.plans}
            there = self.desk.viewpoints.first(slug=place) if place else None
            seen = next((one.value for one in own if one.question.asks is Asks.CONDITIONS), "")
            meant = [one.shot for one in plans if there and one.shot.viewpoint_id == there.id]
            groups = tuple(self._group(items, one, packed, plans, meant) for one in visit.groups)
            near = [keeper for group in groups for keeper in group.keepers]
            cards.append(
                StayCard(
                    number,
                    visit,
                    place,
                    own,
                    groups,
                    tuple(
                        one
                        for one in plans
                        if there and one.shot.viewpoint_id == there.id and one.shot.id not in taken
                    ),
                    self._places(visit, near, cards, plans),
                    tuple((kind, ready_levels(kind, seen)) for kind in ready_kinds((ConditionKind.CROWD,))),
                    filter_choices(None, packed, meant),
                    cuts_in(
                        (one.keepers for one in frames_of(groups)),
                        is_by_minute=self.desk.visits.get(visit.id) is not None,
                    ),
                    is_crowd_timed=bool(
                        crowds_at_times(self.desk, self.stand.trip.id, self.on_date, visit.id)
                    ),
                )
            )
        if plan.others:
            groups = tuple(self._group(items, one, packed, plans, ()) for one in plan.others)
            filters = filter_choices(None, packed, ())
            cards.append(StayCard(len(cards) + 1, None, "", (), groups, filters=filters))
        return tuple(cards)

    def _places(
        self,
        visit: PlannedVisit,
        near: Sequence[Keeper],
        before: Sequence[StayCard],
        plans: Sequence[PlanCard],
    ) -> tuple[str, ...]:
        viewpoints = self.desk.viewpoints.held()
        here = next((at for one in near if (at := one.position)), None)
        if here is None and before:
            here = next((one.position for one in viewpoints if one.slug == before[-1].place), None)
        planned = {one.shot.viewpoint_id for one in plans if one.shot.viewpoint_id}
        return place_choices(viewpoints, visit.viewpoint or visit.guess, planned, here)

    def _packed(self) -> tuple[str, ...]:
        """The filters that were taken on the trip, by name."""
        taken = self.desk.packed.all(trip_id=self.stand.trip.id, packing=Packing.TAKEN)
        items = map(self.desk.kit.get, (one.item_id for one in taken))
        return tuple(one.filter_name for one in items if one and one.filter_name)

    def _group(
        self,
        items: Iterable[EveningItem],
        group: PlannedGroup,
        packed: Sequence[str],
        plans: Sequence[PlanCard],
        meant: Sequence[Shot],
    ) -> GroupCard:
        """`meant` are the shots that were planned for the place."""
        keepers = tuple(in_order(filter(None, map(self.desk.keepers.get, group.keeper_ids))))
        own = _about(items, key_of_group(group))
        served = [one.shot for one in plans if one.shot.slug == (group.shot_said or group.shot)]
        filters = filter_choices(group, packed, (*served, *meant))
        return GroupCard(keepers, own, tuple(_frames(group, keepers)), filters)

    def _plans(self, plan: NightPlan, items: list[EveningItem]) -> list[PlanCard]:
        serving: dict[str, list[Keeper]] = {}
        for keeper in self._keepers():
            if keeper.shot_id is not None:
                serving.setdefault(keeper.shot_id, []).append(keeper)
        barriers = barriers_of(self.desk, self.stand.trip.id, self.on_date)
        cards = []
        of_trip = {one.slug: one for one in self.desk.shots.all(trip_id=self.stand.trip.id)}
        asked = [one.question.about for one in items if one.question.asks is Asks.OUTCOME]
        shots = [one for one in of_trip.values() if one.slug in asked or one.on_date == self.on_date]
        outcomes = self.desk.outcomes.all(shot_id={one.id for one in shots})
        replaced = {one.shot_id: one.replaced_by_keeper_id for one in outcomes}
        for number, shot in enumerate(sorted(shots, key=_begin), 1):
            there = self.desk.viewpoints.get(shot.viewpoint_id or "")
            own = tuple(
                one for one in items if one.question.asks in OF_A_PLAN and one.question.about == shot.slug
            )
            offered = offered_outcome(shot, barriers, there.site_id if there else None)
            served = tuple(serving.get(shot.id, ()))
            said = None if own else self._became(shot)
            planned = plan.planned.get(shot.slug, "")
            instead = self.desk.keepers.get(replaced.get(shot.id) or "")
            cards.append(PlanCard(shot, planned, served, own, number, offered, said, instead))
        return cards

    def _became(self, shot: Shot) -> StandingValue | None:
        """What became of a shot that is not asked about any more."""
        asked = Question("", Asks.OUTCOME, "", "", about=shot.slug)
        return standing(self.desk, self.stand.trip.id, asked)


def _opening(items: Iterable[EveningItem]) -> tuple[EveningItem, ...]:
    """The zone, and clocks that are worth a look: nobody stated them, and something is doubtful."""
    return tuple(
        one
        for one in items
        if one.question.asks in AT_FIRST
        and one.is_open
        and (one.question.asks is Asks.ZONE or is_doubtful(one.question))
    )


def _frames(group: PlannedGroup, keepers: Sequence[Keeper]) -> Iterator[FrameCard]:
    """Yield pictures in their order; a set once, where its first one stands."""
    sets = {one: each for each in group.sets for one in each.keeper_ids}
    for keeper in keepers:
        whole = sets.get(keeper.id)
        own = [one for one in keepers if whole and one.id in whole.keeper_ids]
        if whole is None or len(own) < 2:
            yield FrameCard(None, (keeper,))
        elif own[0] is keeper:
            yield FrameCard(whole.kind, tuple(own))


def _about(items: Iterable[EveningItem], stem: str) -> tuple[EveningItem, ...]:
    return tuple(one for one in items if one.question.key.rpartition(".")[0] == stem)


def _begin(shot: Shot) -> tuple[bool, time, str]:
    """What plans of a day are put in order by."""
    return shot.window_from is None, shot.window_from or time(), shot.slug
