"""What to pack so that the plans of a trip come off: the fewest owned filters and supports that do it.

One surprising decision: a plan that states its filters needs these pieces and no others, however well another
stack would do; only where the filters are unknown are the owned ones tried.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import combinations

from logbook.craft.feasible import Feasibility, Verdict
from logbook.craft.reach import STACK_MAX
from logbook.craft.smallest_set import Way, smallest_set
from logbook.domain.account import TripAccount
from logbook.domain.kit import KitItem, PackedItem
from logbook.domain.record import new_record
from logbook.domain.shot import Shot
from logbook.domain.words import KitKind, Packing, Support
from logbook.domain.written.filters import names_now
from logbook.services.plans.feasibility import judge

TRIED = 10  # filters of which stacks are tried for plans that name none
AS_GOOD = (Verdict.FEASIBLE, Verdict.SUN_IN_FRAME, Verdict.DOUBTFUL, Verdict.UNKNOWN)
SURE = (Verdict.FEASIBLE, Verdict.SUN_IN_FRAME)
HELD_BY = (Support.TRIPOD, Support.MONOPOD)


@dataclass(frozen=True, slots=True)
class PlanPacked:
    """A plan with the best that the owned kit makes of it; `missing` are things that nobody owns.

    `instead` are owned filters with which a plan comes off that does not with those it states: none of them
    where it comes off without any, and None where nothing is known to help.
    """

    shot: Shot
    feasibility: Feasibility
    ways: tuple[Way, ...]  # sets of ids of pieces, each of which is enough
    missing: tuple[str, ...] = ()
    instead: tuple[KitItem, ...] | None = None

    @property
    def is_reached(self) -> bool:
        """Whether it comes off as planned, perhaps with a doubt, with owned things."""
        return not self.missing and self.feasibility.verdict in AS_GOOD


@dataclass(frozen=True, slots=True)
class Outfit:
    """The pieces to pack, and what becomes of each plan with them."""

    pieces: tuple[KitItem, ...]
    plans: tuple[PlanPacked, ...]

    @property
    def not_as_planned(self) -> tuple[PlanPacked, ...]:
        """The plans that do not come off with what they state and what is owned."""
        return tuple(plan for plan in self.plans if not plan.is_reached)


def outfit_for(account: TripAccount, shots: Sequence[Shot], owned: Sequence[KitItem]) -> Outfit:
    """Return the smallest set of owned filters and supports with which the most of some plans come off."""
    bag = _Bag(account, {item.id: item for item in owned})
    plans = tuple(bag.planned(shot) for shot in shots)
    pieces = smallest_set([plan.ways for plan in plans if plan.is_reached])
    return Outfit(tuple(sorted((bag.owned[one] for one in pieces), key=lambda item: item.slug)), plans)


@dataclass(frozen=True, slots=True)
class _Bag:
    account: TripAccount
    owned: Mapping[str, KitItem]

    def planned(self, shot: Shot) -> PlanPacked:
        """Find the fewest pieces that make the best of one plan."""
        held, no_support = self._support(shot)
        if shot.filters is not None:
            glass, no_filter = self._stated(shot.filters)
            way = held | glass
            plan = PlanPacked(shot, self._judged(shot, way), (way,), (*no_filter, *no_support))
            return plan if plan.is_reached else replace(plan, instead=self._instead(shot))
        best: list[tuple[int, Feasibility, Way]] = []
        for stack in self._stacks():
            judged = self._judged(shot, held | stack)
            rank = AS_GOOD.index(judged.verdict) if judged.verdict in AS_GOOD else len(AS_GOOD)
            best.append((rank, judged, held | stack))
            if rank == 0 and not stack:
                break  # it needs nothing
        least = min(rank for rank, _, _ in best)
        found = [(judged, way) for rank, judged, way in best if rank == least]
        return PlanPacked(shot, found[0][0], tuple(way for _, way in found), no_support)

    def _instead(self, shot: Shot) -> tuple[KitItem, ...] | None:
        """The fewest owned filters with which a plan comes off at its settings, whatever it states."""
        held, no_support = self._support(shot)
        for stack in () if no_support else self._stacks():
            pieces = tuple(sorted((self.owned[one] for one in stack), key=lambda item: item.slug))
            fitted = replace(shot, filters=tuple(_name(one) for one in pieces))
            if self._judged(fitted, held | stack).verdict in SURE:
                return pieces
        return None

    def _support(self, shot: Shot) -> tuple[Way, tuple[str, ...]]:
        """The support that a plan names, the first owned of its name; and its word where none is owned."""
        if shot.support not in HELD_BY:
            return frozenset(), ()
        named = [
            item
            for item in self.owned.values()
            if item.kind is KitKind.SUPPORT and str(shot.support) in f"{item.slug} {item.title}".lower()
        ]
        first = min(named, key=lambda item: item.slug, default=None)
        return (frozenset(), (str(shot.support),)) if first is None else (frozenset((first.id,)), ())

    def _stated(self, filters: Sequence[str]) -> tuple[Way, tuple[str, ...]]:
        """The pieces of stated filters, and the names of those that are not owned, or not often enough."""
        taken: set[str] = set()
        missing = []
        for name in names_now(filters) or ():
            piece = next(
                (one.id for one in self._filters() if _name(one) == name and one.id not in taken), None
            )
            if piece is None:
                missing.append(name)
            else:
                taken.add(piece)
        return frozenset(taken), tuple(missing)

    def _filters(self) -> list[KitItem]:
        glass = (item for item in self.owned.values() if item.kind is KitKind.FILTER)
        return sorted(glass, key=lambda item: item.slug)

    def _stacks(self) -> Iterator[Way]:
        """Stacks of owned filters, the smallest first."""
        ids = [item.id for item in self._filters()][:TRIED]
        for size in range(STACK_MAX + 1):
            yield from map(frozenset, combinations(ids, size))

    def _judged(self, shot: Shot, way: Way) -> Feasibility:
        """What a plan comes to with cameras and lenses as they are, and these filters and supports alone."""
        kept = [one.item_id for one in self.account.packed if one.packing is Packing.TAKEN]
        bodies = [one for one in kept if self._is_no_glass(one)] or [
            item.id for item in self.owned.values() if item.kind in (KitKind.CAMERA, KitKind.LENS)
        ]
        base = new_record(shot.created)
        packed = tuple(
            PackedItem(**{**base, "id": one}, trip_id=shot.trip_id, item_id=one, packing=Packing.TAKEN)
            for one in (*bodies, *sorted(way))
        )
        return judge(replace(self.account, packed=packed, kit={**self.account.kit, **self.owned}), shot)

    def _is_no_glass(self, item_id: str) -> bool:
        item = self.account.kit.get(item_id)
        return item is not None and item.kind in (KitKind.CAMERA, KitKind.LENS)


def _name(item: KitItem) -> str:
    return (names_now((item.filter_name or item.title,)) or ("",))[0]
