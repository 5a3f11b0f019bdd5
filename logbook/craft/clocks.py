"""What a camera's clock is worth: how far it runs ahead of UTC, by evidence weighed by strength.

One surprising decision: zone and clock error are one number, the seconds by which the camera's clock is
ahead of UTC. It stays the same across daylight-saving and zone changes for as long as nobody sets the clock;
zone and correction are read off it afterwards, for whichever offset the place has. What is said of a range of
frames lies over what is known otherwise, and frames within it confirm nothing outside.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from itertools import zip_longest
from statistics import median_low
from types import MappingProxyType

from logbook.craft.clock_facts import ClockFact, EvidenceKind, Tie
from logbook.craft.minutes import length_text

QUARTER_S = 900  # s; every zone of today lies on a quarter hour (IANA time zone database)
LARGEST_ZONE_S = 14 * 3600  # s; no zone lies further from UTC (IANA time zone database)
CLOCK_ERROR_S = (
    300.0  # s; a clock further off than this from a quarter hour does not tell its zone; own convention
)
_STRENGTH = {kind: i for i, kind in enumerate(EvidenceKind)}


@dataclass(frozen=True, slots=True)
class AssumedOffset:
    """How far a body's clock is taken to be ahead of UTC, in seconds, from `since` on (its own wall time).

    None is from the beginning; it holds until the next one does.
    """

    since: datetime | None
    ahead_s: float


NOTHING_ASSUMED: Mapping[str, Sequence[AssumedOffset]] = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class SettledClock:
    """How far one body's clock is ahead of UTC from `since` to before `until` (its own wall time).

    None is from the beginning, and to the end; `ahead_s` None is unknown. `evidence` holds what was used
    first, and what agrees or not after it.
    """

    body: str
    since: datetime | None
    ahead_s: float | None
    tolerance_s: float | None
    evidence: tuple[ClockFact, ...]
    doubts: tuple[str, ...]
    until: datetime | None = None

    def holds_at(self, wall: datetime) -> bool:
        """Tell whether it is this clock that holds at the body's own (naive) wall time."""
        return _within(wall, self.since, self.until)

    @property
    def kind(self) -> EvidenceKind | None:
        """What the number rests on."""
        return self.evidence[0].kind if self.evidence else None

    @property
    def zone_offset_s(self) -> int | None:
        """The offset from UTC that the clock is set to, in seconds; None where nothing tells it.

        It is the one of the tag, unless better evidence lies near another quarter hour: the tag is only a
        setting, which nobody may have changed when the time was.
        """
        if self.ahead_s is None:
            return None
        tagged = next((f.ahead_s for f in self.evidence if f.kind is EvidenceKind.OFFSET_TAG), None)
        nearest = round(self.ahead_s / QUARTER_S) * QUARTER_S
        near = abs(nearest - self.ahead_s) <= CLOCK_ERROR_S and abs(nearest) <= LARGEST_ZONE_S
        if tagged is not None and (not near or abs(tagged - self.ahead_s) < QUARTER_S):
            return round(tagged)
        return nearest if near else None

    def correction_s(self, place_offset_s: float) -> float | None:
        """Seconds to add to the camera's own time so that it shows the wall time at that offset from UTC."""
        return None if self.ahead_s is None else place_offset_s - self.ahead_s

    def instant(self, wall: datetime) -> datetime | None:
        """The instant in UTC of a camera's own (naive) time; None where unknown or beyond the calendar."""
        if self.ahead_s is None:
            return None
        try:
            return (wall - timedelta(seconds=self.ahead_s)).replace(tzinfo=UTC)
        except OverflowError:
            return None


def settle_clocks(
    bodies: Iterable[str],
    facts: Iterable[ClockFact],
    ties: Sequence[Tie] = (),
    assumed: Mapping[str, Sequence[AssumedOffset]] = NOTHING_ASSUMED,
) -> tuple[SettledClock, ...]:
    """What is known of each body's clock, in the order given; several for a body whose clock was reset.

    The strongest kind of evidence decides, by the median of its facts; a tie passes on what another body
    knows, along chains of ties too; where nothing confirms, what is `assumed` of the body is taken.
    """
    by_body: dict[str, list[ClockFact]] = {body: [] for body in bodies}
    for fact in facts:
        by_body.setdefault(fact.body, []).append(fact)
    clocks = {body: _clocks_of_body(body, known) for body, known in by_body.items()}
    _pass_on(
        {b for b, of_body in clocks.items() if any(_weak(one) for one in of_body)}, by_body, ties, clocks
    )
    _pass_on(
        {b for b, of_body in clocks.items() if any(not c.evidence for c in of_body)}, by_body, ties, clocks
    )
    result = [
        taken
        for body, of_body in clocks.items()
        for clock in of_body
        for taken in ([clock] if clock.evidence else _assumed(clock, assumed.get(body, ())))
    ]
    return tuple(_with_tie_doubts(clock, ties, clocks) for clock in result)


def clock_at(clocks: Iterable[SettledClock], body: str, wall: datetime) -> SettledClock | None:
    """The clock that holds for a body at its own (naive) wall time; None for a body nobody knows."""
    return next((clock for clock in clocks if clock.body == body and clock.holds_at(wall)), None)


def _weak(clock: SettledClock) -> bool:
    return clock.kind is None or _STRENGTH[clock.kind] > _STRENGTH[EvidenceKind.SAME_MOMENT]


def _pass_on(
    waiting: set[str],
    facts: Mapping[str, Sequence[ClockFact]],
    ties: Sequence[Tie],
    clocks: dict[str, tuple[SettledClock, ...]],
) -> None:
    """Settle waiting bodies by ties, the nearest in the chain of ties first."""
    while waiting:
        passed = {body: _tied_facts(body, ties, clocks, waiting) for body in waiting}
        settled = {body: found for body, found in passed.items() if found}
        if not settled:
            return
        for body, found in settled.items():
            clocks[body] = _clocks_of_body(body, [*facts[body], *found])
        waiting = waiting - settled.keys()


def _clocks_of_body(body: str, facts: Sequence[ClockFact]) -> tuple[SettledClock, ...]:
    """One clock for each stretch between two settings or said ranges; nothing confirms an unknown one.

    A range that is only assumed counts where nothing outside the said ones confirms.
    """
    ranged = sorted((f for f in facts if f.is_ranged), key=lambda f: f.since or datetime.min)  # noqa: DTZ901
    free = [f for f in facts if not f.is_ranged]
    said = [f for f in ranged if f.kind is not EvidenceKind.ASSUMED]

    def lies_outside(fact: ClockFact) -> bool:
        return fact.wall is None or not any(_within(fact.wall, one.since, one.until) for one in said)

    known = _set_anew(body, [f for f in free if lies_outside(f)]) or (_unknown(body),)
    clocks: list[SettledClock] = []
    begins: datetime | None = None
    for one in ranged:
        if one.since is not None:
            clocks += _cut(known, begins, one.since)
        if one in said:
            inside = [f for f in free if f.wall is None or _within(f.wall, one.since, one.until)]
            clocks += _cut(_set_anew(body, [*inside, one]), one.since, one.until)
        else:
            clocks += _cut(known if known[0].evidence else (_taken(one),), one.since, one.until)
        begins = one.until
        if begins is None:
            return tuple(clocks)
    return (*clocks, *_cut(known, begins, None))


def _set_anew(body: str, facts: Sequence[ClockFact]) -> tuple[SettledClock, ...]:
    """One clock for each stretch between two settings that the files tell of; () without evidence."""
    if not facts:
        return ()
    starts: list[datetime | None] = [None, *_settings(facts)]
    clocks = []
    for i, since in enumerate(starts):
        until = starts[i + 1] if i + 1 < len(starts) else None
        holds = [f for f in facts if f.wall is None or _within(f.wall, since, until)]
        if holds:
            clock = replace(_weighed(body, since, holds), until=until)
            said = f"the clock of {body} was reset before {since:%Y-%m-%d %H:%M}" if since else ""
            clocks.append(replace(clock, doubts=(*clock.doubts, said)) if said else clock)
    return tuple(clocks)


def _cut(
    clocks: Iterable[SettledClock], since: datetime | None, until: datetime | None
) -> list[SettledClock]:
    """What is left of clocks between two of the body's own times."""
    result = []
    for clock in clocks:
        begins = max((at for at in (clock.since, since) if at is not None), default=None)
        ends = min((at for at in (clock.until, until) if at is not None), default=None)
        if begins is None or ends is None or begins < ends:
            result.append(replace(clock, since=begins, until=ends))
    return result


def _within(wall: datetime, since: datetime | None, until: datetime | None) -> bool:
    return (since is None or wall >= since) and (until is None or wall < until)


def _settings(facts: Sequence[ClockFact]) -> list[datetime]:
    """Wall times from which on frames say another offset, by whole quarter hours, and go on saying it.

    Only what is in every frame tells this; a single frame with another satellite time is an old fix, unless
    its own offset tag says the same.
    """
    tags = {f.wall: f for f in facts if f.kind is EvidenceKind.OFFSET_TAG}
    steps: set[datetime] = set()
    for kind in (EvidenceKind.OFFSET_TAG, EvidenceKind.GPS_TIME):
        timed = sorted((f.wall, f.ahead_s) for f in facts if f.kind is kind and f.wall is not None)
        found = []
        for i in range(1, len(timed)):
            step_s = timed[i][1] - timed[i - 1][1]
            quarter = abs(step_s - round(step_s / QUARTER_S) * QUARTER_S) <= 60
            lasts = i + 1 == len(timed) or abs(timed[i + 1][1] - timed[i][1]) <= 60
            tag = tags.get(timed[i][0])
            agrees = (
                kind is EvidenceKind.GPS_TIME
                and tag is not None
                and abs(tag.ahead_s - timed[i][1]) <= tag.tolerance_s
            )
            single = kind is EvidenceKind.GPS_TIME and i + 1 == len(timed)
            if abs(step_s) >= QUARTER_S - 60 and quarter and (agrees or (lasts and not single)):
                found.append(timed[i][0])
        if kind is EvidenceKind.GPS_TIME and found:
            return found  # satellites know better than tags when the clock was set
        steps.update(found)
    if any(f.kind is EvidenceKind.GPS_TIME for f in facts):
        return []  # the tag changed and the clock did not
    return sorted(steps)


def _weighed(body: str, since: datetime | None, facts: Sequence[ClockFact]) -> SettledClock:
    ordered = sorted(facts, key=lambda f: _STRENGTH[f.kind])
    best = [f for f in ordered if f.kind is ordered[0].kind]
    if best[0].kind is EvidenceKind.STATED:
        best = best[-1:]  # the last word
    # of two in the middle the lower: an old fix makes a clock seem further ahead, and between them is none
    ahead_s = median_low(f.ahead_s for f in best)
    tolerance_s = min(f.tolerance_s for f in best)
    lead = min(best, key=lambda f: abs(f.ahead_s - ahead_s))
    doubts = []
    spread_s = max(f.ahead_s for f in best) - min(f.ahead_s for f in best)
    if spread_s > max(60.0, 2 * tolerance_s):
        which = "middle" if len(best) > 2 else "smaller"
        doubts.append(
            f"{len(best)} {lead.kind} readings differ by up to {length_text(spread_s)}; "
            f"the {which} one is used"
        )
    doubted: set[EvidenceKind] = set()
    for fact in ordered:
        off_s = fact.ahead_s - ahead_s
        if fact.kind is lead.kind or fact.kind in doubted or abs(off_s) <= fact.tolerance_s + tolerance_s:
            continue
        doubted.add(fact.kind)
        doubts.append(
            f"{fact.kind} ({fact.source}) and {lead.kind} ({lead.source}) disagree by "
            f"{length_text(abs(off_s))}; {lead.kind} is used"
        )
    rest = (f for f in ordered if f is not lead)
    return SettledClock(body, since, ahead_s, tolerance_s, (lead, *rest), tuple(doubts))


def _tied_facts(
    body: str, ties: Sequence[Tie], clocks: Mapping[str, Sequence[SettledClock]], waiting: set[str]
) -> list[ClockFact]:
    """What settled bodies pass on to this one."""
    found = []
    for tie in ties:
        for mine, wall, other, other_wall in (
            (tie.body, tie.wall, tie.other, tie.other_wall),
            (tie.other, tie.other_wall, tie.body, tie.wall),
        ):
            clock = clock_at(clocks.get(other, ()), other, other_wall)
            if mine != body or clock is None or clock.ahead_s is None or clock.tolerance_s is None:
                continue
            if other in waiting and _weak(clock):
                continue
            ahead_s = clock.ahead_s + (wall - other_wall).total_seconds()
            known = "as stated" if clock.kind is EvidenceKind.STATED else f"from {clock.kind}"
            source = f"{tie.source}, with the clock of {other} {known}"
            tolerance_s = clock.tolerance_s + tie.tolerance_s
            found.append(ClockFact(body, EvidenceKind.SAME_MOMENT, ahead_s, tolerance_s, source, wall))
    return found


def _with_tie_doubts(
    clock: SettledClock, ties: Sequence[Tie], clocks: Mapping[str, Sequence[SettledClock]]
) -> SettledClock:
    """Add a doubt for each moment at which two settled bodies do not show the same instant."""
    doubts = list(clock.doubts)
    for tie in ties:
        if tie.body != clock.body or clock_at(clocks[tie.body], tie.body, tie.wall) is None:
            continue
        mine = clock_at(clocks[tie.body], tie.body, tie.wall)
        other = clock_at(clocks.get(tie.other, ()), tie.other, tie.other_wall)
        if mine is None or other is None or mine.since != clock.since:
            continue
        here, there = mine.instant(tie.wall), other.instant(tie.other_wall)
        if here is None or there is None:
            continue
        apart_s = abs((here - there).total_seconds())
        if apart_s > (mine.tolerance_s or 0.0) + (other.tolerance_s or 0.0) + tie.tolerance_s:
            doubts.append(
                f"{tie.source}: the clocks of {tie.body} and {tie.other} are {length_text(apart_s)} apart "
                "at the same moment"
            )
    return replace(clock, doubts=tuple(doubts))


def _unknown(body: str) -> SettledClock:
    return SettledClock(body, None, None, None, (), (f"nothing shows which time zone {body} was set to",))


def _taken(fact: ClockFact) -> SettledClock:
    doubt = f"nothing confirms the clock of {fact.body} there; it is assumed to run {fact.source}"
    return SettledClock(fact.body, None, fact.ahead_s, fact.tolerance_s, (fact,), (doubt,))


def _assumed(clock: SettledClock, assumed: Sequence[AssumedOffset]) -> list[SettledClock]:
    """What is assumed of a clock that nothing confirms: one for each stretch with an offset of its own."""
    doubt = f"nothing confirms the clock of {clock.body}; the place's zone is assumed"
    clocks: list[SettledClock] = []
    for one, following in zip_longest(assumed, assumed[1:]):
        fact = ClockFact(clock.body, EvidenceKind.ASSUMED, one.ahead_s, CLOCK_ERROR_S, "the trip's zone")
        taken = replace(
            clock, ahead_s=one.ahead_s, tolerance_s=CLOCK_ERROR_S, evidence=(fact,), doubts=(doubt,)
        )
        clocks += _cut([taken], one.since, following.since if following else None)
    return clocks or [clock]
