"""Which pictures of a trip are shown large, which of a set stands for it, and in what order.

One surprising decision: a picture is chosen for how it differs from those already chosen as much as for its
rating. Three good frames of one view say less than one of each of three.
"""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

from logbook.craft.inference.sets import FoundKind, FrameSet
from logbook.domain.account import TripAccount
from logbook.domain.keeper import Keeper
from logbook.domain.words import OutcomeWord, Priority, Sharpness, VisitPurpose

MOST_LARGE = 10  # pictures that are shown large where nobody chose
FEWEST_FOR_CHOICE = 3  # below this every picture is shown large
SMALL_PX = 640  # long side of a picture below which nothing is gained by showing it large
OPENING_SHAPES = (1.2, 2.4)  # width to height of a picture that fills an opening
KNOWN_SHAPES = (0.4, 2.4)  # of one that stands well among others; a longer one has a row of its own
WEIGHT = {"rated": 2.0, "shot made": 2.0, "essential": 2.0, "captioned": 3.0, "shape": 0.5}
SAME_SHOT, SAME_VIEW, SAME_PLACE = 4.0, 2.5, 1.0  # what a picture loses for each chosen one that it resembles


@dataclass(frozen=True, slots=True)
class Plate:
    """One picture to show, and the ids of the frames that it stands for: its own, or those of its set."""

    keeper: Keeper
    frames: tuple[str, ...]

    @property
    def of(self) -> int:
        """How many frames it stands for."""
        return len(self.frames)


@dataclass(frozen=True, slots=True)
class Chosen:
    """The pictures of a trip as they are shown: one opens, some are large, the rest follow by time."""

    opening: Plate | None
    large: tuple[Plate, ...]
    rest: tuple[Plate, ...]

    @property
    def plates(self) -> tuple[Plate, ...]:
        """All of them, the opening first."""
        return (*((self.opening,) if self.opening else ()), *self.large, *self.rest)


def choose(
    account: TripAccount,
    keepers: Sequence[Keeper],
    shapes: Mapping[str, float],
    opening_id: str | None = None,
    arranged: Sequence[str] = (),
    sets: Sequence[FrameSet] = (),
    small: Collection[str] = (),
) -> Chosen:
    """Return which pictures open, stand large and follow.

    `keepers` are in order of time; `shapes` are width to height by the ids of those whose picture is there;
    the others follow with the rest.
    `opening_id` is the opening that the photographer chose, `arranged` the ids that they put in order: these
    come first and are large, as many as they are. `sets` are those in force, stated or found, by the ids;
    `small` are the ids of those with too few pixels to be large unless somebody asks for them.
    """
    everything = _folded(keepers, shapes, {opening_id, *arranged}, sets)
    plates = [one for one in everything if one.keeper.id in shapes]
    by_id = {plate.keeper.id: plate for plate in plates}
    merits = {plate.keeper.id: _merit(account, plate.keeper, shapes[plate.keeper.id]) for plate in plates}
    named = [by_id[one] for one in arranged if one in by_id]
    opening = by_id.get(opening_id or "") or _opening(named or plates, merits, shapes, account, small)
    if named:
        large = [plate for plate in named if plate != opening]
    else:
        large = _unlike(
            account,
            [one for one in plates if one != opening],
            merits,
            opening,
            small,
        )
    shown = {plate.keeper.id for plate in (*large, *((opening,) if opening else ()))}
    return Chosen(opening, tuple(large), tuple(one for one in everything if one.keeper.id not in shown))


def opening_of(account: TripAccount, keepers: Sequence[Keeper], shapes: Mapping[str, float]) -> Keeper | None:
    """Return the picture that opens a trip where nobody chose one; None where none has a shape.

    Of the account only shots, outcomes and visits are asked.
    """
    plates = [Plate(one, (one.id,)) for one in keepers if one.id in shapes]
    merits = {one.keeper.id: _merit(account, one.keeper, shapes[one.keeper.id]) for one in plates}
    found = _opening(plates, merits, shapes, account, ())
    return found.keeper if found else None


def _folded(
    keepers: Sequence[Keeper],
    shapes: Mapping[str, float],
    asked: set[str | None],
    sets: Sequence[FrameSet],
) -> list[Plate]:
    """Return a plate for each picture, and one for each set: the frame asked for, or that serves best."""
    there = {one.id: one for one in keepers}
    stands_for: dict[str, tuple[str, ...]] = {}
    hidden: set[str] = set()
    for group in sets:
        members = [there[one] for one in group.keys if one in shapes and one in there and one not in hidden]
        if len(members) < 2:
            continue
        best = next((one for one in members if one.id in asked), None) or _of_set(group, members)
        stands_for[best.id] = tuple(one.id for one in members)
        hidden |= {one.id for one in members if one is not best and one.id not in asked}
    return [Plate(one, stands_for.get(one.id, (one.id,))) for one in there.values() if one.id not in hidden]


def _of_set(group: FrameSet, members: Sequence[Keeper]) -> Keeper:
    """Return the frame that stands for a set: captioned, best rated, else its middle or first."""
    middle = 0 if group.kind in (FoundKind.BURST, FoundKind.PAIR) else len(members) // 2
    at = {one.id: number for number, one in enumerate(members)}
    return max(members, key=lambda one: (bool(one.caption), one.rating or 0, -abs(at[one.id] - middle)))


def _merit(account: TripAccount, keeper: Keeper, shape: float) -> float:
    """How much speaks for showing a picture large, in no unit: only the order counts."""
    shot = next((one for one in account.shots if one.id == keeper.shot_id), None)
    outcome = account.outcomes.get(shot.id) if shot else None
    made = (
        outcome is not None and outcome.is_stated and outcome.word in (OutcomeWord.MADE, OutcomeWord.PARTLY)
    )
    return (
        WEIGHT["rated"] * (keeper.rating or 0)
        + WEIGHT["shot made"] * made
        + WEIGHT["essential"] * (made and shot is not None and shot.priority is Priority.ESSENTIAL)
        + WEIGHT["captioned"] * bool(keeper.caption)
        + WEIGHT["shape"] * (KNOWN_SHAPES[0] <= shape <= KNOWN_SHAPES[1])
    )


def _is_stray(keeper: Keeper) -> bool:
    """Whether nothing speaks for a picture: no word, no shot, no stars."""
    return not keeper.caption and not keeper.shot_id and not keeper.rating


def _may_be_large(account: TripAccount, keeper: Keeper) -> bool:
    """Never a frame of a scouting, or one judged soft or rejected."""
    visits = {one.id: one for one in account.visits}
    scouted = {
        one.viewpoint_id
        for one in visits.values()
        if one.purpose is VisitPurpose.SCOUTING and one.viewpoint_id is not None
    }
    shot_at = {one.viewpoint_id for one in visits.values() if one.purpose is not VisitPurpose.SCOUTING}
    only_scouted = keeper.viewpoint_id in scouted - shot_at
    return not (only_scouted or keeper.sharpness is Sharpness.SOFT or (keeper.rating or 0) < 0)


def _opening(
    plates: Sequence[Plate],
    merits: Mapping[str, float],
    shapes: Mapping[str, float],
    account: TripAccount,
    small: Collection[str],
) -> Plate | None:
    """Return the picture that opens: one of a shape that fills the width, if any is."""

    def rank(plate: Plate) -> tuple[bool, bool, bool, float]:
        known = not _is_stray(plate.keeper) and _may_be_large(account, plate.keeper)
        lies = OPENING_SHAPES[0] <= shapes[plate.keeper.id] <= OPENING_SHAPES[1]
        is_small = plate.keeper.id in small
        return not is_small, known, lies, merits[plate.keeper.id]

    return max(plates, key=rank, default=None)


def _unlike(
    account: TripAccount,
    plates: Sequence[Plate],
    merits: Mapping[str, float],
    opening: Plate | None,
    small: Collection[str],
) -> list[Plate]:
    """Return the pictures to show large, each the best that differs from those before it, by time.

    A stray is one only among pictures that somebody said something about; of a trip without a word those
    that are far apart in its order are chosen.
    """
    at = {plate.keeper.id: number for number, plate in enumerate(plates)}
    wordless = all(_is_stray(one.keeper) for one in (*plates, *((opening,) if opening else ())))
    left = [
        one
        for one in plates
        if one.keeper.id not in small
        and _may_be_large(account, one.keeper)
        and (wordless or not _is_stray(one.keeper))
    ]
    most = len(left) if len(plates) <= FEWEST_FOR_CHOICE else MOST_LARGE
    chosen: list[Plate] = []
    before = [opening] if opening else []

    def rank(one: Plate) -> tuple[float, int]:
        like = sum(_like(account, one, other) for other in before)
        away = min((abs(at[one.keeper.id] - at[other.keeper.id]) for other in chosen), default=0)
        return merits[one.keeper.id] - like, away

    while left and len(chosen) < most:
        best = max(left, key=rank)
        left.remove(best)
        chosen.append(best)
        before.append(best)
    return sorted(chosen, key=lambda one: at[one.keeper.id])


def _like(account: TripAccount, one: Plate, other: Plate) -> float:
    """How much one picture repeats another."""
    if one.keeper.shot_id and one.keeper.shot_id == other.keeper.shot_id:
        return SAME_SHOT
    if one.keeper.viewpoint_id is None or other.keeper.viewpoint_id is None:
        return 0.0
    if one.keeper.viewpoint_id == other.keeper.viewpoint_id:
        return SAME_VIEW
    here, there = account.site_of(one.keeper.viewpoint_id), account.site_of(other.keeper.viewpoint_id)
    return SAME_PLACE if here and there and here.id == there.id else 0.0
