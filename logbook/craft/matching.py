"""Which keepers answer which planned shots: proposals by minimum cost, never more than proposals.

One surprising decision: a keeper made elsewhere can only ever replace a shot. Who was at another viewpoint
did not make the planned picture, however alike it looks.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from math import inf

from logbook.craft.traits import KeeperTrait, KeeperTraits, ShotTraits, Voice, voices

LEAST_SCORE = 3.0  # what must speak for a match: the place and one thing more, or several without it
LEAST_REPLACEMENT = 2.5  # the same without the place, which speaks against
COVERED = 0.5  # what it is worth that a shot has a keeper at all: it settles near ties, not clear cases
NEAR_TIE = 0.5  # a shot that fits a keeper this nearly as well is named beside the proposed one


class MatchKind(StrEnum):
    """Whether a keeper is the planned picture or one made in its place."""

    SHOT = "shot"
    REPLACEMENT = "replacement"


@dataclass(frozen=True, slots=True)
class ShotMatch:
    """A proposal: this keeper for that shot, why in one line, and other shots that fit nearly as well."""

    keeper: str
    shot: str
    kind: MatchKind
    cost: float
    reason: str
    rivals: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class _Fit:
    score: float
    voices: tuple[Voice, ...]


def match_keepers(keepers: Iterable[KeeperTraits], shots: Sequence[ShotTraits]) -> tuple[ShotMatch, ...]:
    """Proposals in the order of the keepers; keepers that fit no shot well enough have none.

    The assignment of least total cost, where cost is minus the score of each pair, minus `COVERED` for each
    shot that gets a keeper. Many keepers may serve one shot; those of one set go together. A shot without a
    keeper of its own may get replacements from elsewhere.
    """
    units = _units(keepers)
    own = [{s: fit for s, shot in enumerate(shots) if (fit := _own_fit(unit, shot))} for unit in units]
    chosen = _assigned([{s: fit.score for s, fit in fits.items()} for fits in own])
    covered = set(chosen.values())
    other: list[dict[int, _Fit]] = [{} for _ in units]
    for u, unit in enumerate(units):
        if u not in chosen:
            left = ((s, shot) for s, shot in enumerate(shots) if s not in covered)
            other[u] = {s: fit for s, shot in left if (fit := _replacing_fit(unit, shot))}
    replacing = _assigned([{s: fit.score for s, fit in fits.items()} for fits in other])
    matches: list[ShotMatch] = []
    for u, unit in enumerate(units):
        for picked, fits, kind in ((chosen, own, MatchKind.SHOT), (replacing, other, MatchKind.REPLACEMENT)):
            if u in picked:
                matches.extend(_matches(unit, picked[u], fits[u], kind, shots))
    return tuple(matches)


def _units(keepers: Iterable[KeeperTraits]) -> list[list[KeeperTraits]]:
    """Sets, and keepers on their own, in the order of their first keeper."""
    units: dict[tuple[str, str], list[KeeperTraits]] = {}
    for keeper in keepers:
        name = ("keeper", keeper.key) if keeper.set_key is None else ("set", keeper.set_key)
        units.setdefault(name, []).append(keeper)
    return list(units.values())


def _own_fit(unit: Sequence[KeeperTraits], shot: ShotTraits) -> _Fit | None:
    said = _said(unit, shot)
    score = sum(voice.score for voice in said)
    if any(voice.elsewhere for voice in said) or score < LEAST_SCORE:
        return None
    return _Fit(score, said)


def _replacing_fit(unit: Sequence[KeeperTraits], shot: ShotTraits) -> _Fit | None:
    """Made elsewhere, near the planned time, and alike; a bearing from another place says nothing."""
    said = tuple(voice for voice in _said(unit, shot) if voice.trait is not KeeperTrait.BEARING)
    alike = sum(voice.score for voice in said if voice.trait is not KeeperTrait.PLACE)
    in_time = any(voice.trait is KeeperTrait.TIME and voice.score > 0 for voice in said)
    if not any(voice.elsewhere for voice in said) or not in_time or alike < LEAST_REPLACEMENT:
        return None
    return _Fit(alike, said)


def _said(unit: Sequence[KeeperTraits], shot: ShotTraits) -> tuple[Voice, ...]:
    """For each trait what the best-fitting member says: a bracket holds one frame exposed as planned.

    Where one member was made elsewhere, the set was.
    """
    best: dict[KeeperTrait, Voice] = {}
    for keeper in unit:
        for voice in voices(keeper, shot):
            before = best.get(voice.trait)
            if before is None or voice.elsewhere or (voice.score > before.score and not before.elsewhere):
                best[voice.trait] = voice
    return tuple(best[trait] for trait in KeeperTrait if trait in best)


def _matches(
    unit: Sequence[KeeperTraits], s: int, fits: dict[int, _Fit], kind: MatchKind, shots: Sequence[ShotTraits]
) -> Iterable[ShotMatch]:
    fit = fits[s]
    rivals = tuple(
        shots[r].key for r, other in fits.items() if r != s and fit.score - other.score <= NEAR_TIE
    )
    reason = _reason(fit.voices, kind)
    if len(unit) > 1:
        reason += f"; a set of {len(unit)}"
    if rivals:
        reason += f"; {rivals[0]} fits nearly as well"
    for keeper in unit:
        yield ShotMatch(keeper.key, shots[s].key, kind, -fit.score, reason, rivals)


def _reason(said: Sequence[Voice], kind: MatchKind) -> str:
    """One line: what speaks for it, then what speaks against it."""
    speak_for = [voice.words for voice in said if voice.score > 0]
    against = [voice.words for voice in said if voice.score <= 0 and not voice.elsewhere]
    if kind is MatchKind.REPLACEMENT:
        speak_for = [f"made {voice.words} instead" for voice in said if voice.elsewhere] + speak_for
    return ", ".join(speak_for) + (f"; but {', '.join(against)}" if against else "")


def _assigned(scores: Sequence[dict[int, float]]) -> dict[int, int]:
    """The shot of each unit that has one, for the greatest sum of scores and of `COVERED` per shot in use.

    Without the last term each unit takes its best shot. With it, at most one unit per shot gives up a little
    so that the shot is not left empty: which ones is an assignment problem between shots and units.
    """
    best = {u: max(fits, key=lambda s: fits[s]) for u, fits in enumerate(scores) if fits}
    gains: dict[int, dict[int, float]] = {}  # shot -> unit -> what it brings that this unit serves this shot
    for u, first in best.items():
        for s, score in scores[u].items():
            gain = COVERED - (scores[u][first] - score)
            if gain > 0:
                gains.setdefault(s, {})[u] = gain
    rows = sorted(gains)
    for s in rows:  # a shot never needs more candidates than there are shots
        gains[s] = dict(sorted(gains[s].items(), key=lambda item: -item[1])[: len(rows)])
    columns = sorted({u for of_shot in gains.values() for u in of_shot})
    costs = [[-gains[s].get(u, 0.0) for u in columns] + [0.0] * len(rows) for s in rows]
    for row, column in enumerate(least_cost(costs)):
        if column < len(columns) and columns[column] in gains[rows[row]]:
            best[columns[column]] = rows[row]
    return best


def least_cost(costs: Sequence[Sequence[float]]) -> tuple[int, ...]:
    """For each row its column, so that the sum of costs is least and no column serves twice.

    There must be at least as many columns as rows, and whole rows.

    Shortest augmenting paths with potentials (Kuhn, Naval Research Logistics Quarterly 2, 1955, 83-97, in the
    form of Jonker and Volgenant, Computing 38, 1987, 325-340).
    """
    if not costs:
        return ()
    width = len(costs[0])
    row_price, column_price = [0.0] * (len(costs) + 1), [0.0] * (width + 1)
    row_of = [0] * (width + 1)  # for each column its row, counted from 1; 0 is free
    for row in range(1, len(costs) + 1):
        row_of[0], column = row, 0
        least, came_from, done = [inf] * (width + 1), [0] * (width + 1), [False] * (width + 1)
        while row_of[column]:
            done[column] = True
            here, step, following = row_of[column], inf, 0
            for c in range(1, width + 1):
                if done[c]:
                    continue
                cost = costs[here - 1][c - 1] - row_price[here] - column_price[c]
                if cost < least[c]:
                    least[c], came_from[c] = cost, column
                if least[c] < step:
                    step, following = least[c], c
            for c in range(width + 1):
                if done[c]:
                    row_price[row_of[c]] += step
                    column_price[c] -= step
                else:
                    least[c] -= step
            column = following
        while column:
            before = came_from[column]
            row_of[column], column = row_of[before], before
    found = [0] * len(costs)
    for c in range(1, width + 1):
        if row_of[c]:
            found[row_of[c] - 1] = c - 1
    return tuple(found)
