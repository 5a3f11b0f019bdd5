"""What a camera's clock is worth: evidence for how far it runs ahead of UTC, weighed by strength.

One surprising decision: zone and clock error are one number, the seconds by which the camera's clock is
ahead of UTC. It stays the same across daylight-saving and zone changes for as long as nobody sets the clock;
zone and correction are read off it afterwards, for whichever offset the place has.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from enum import StrEnum
from statistics import median

QUARTER_S = 900  # s; every zone of today lies on a quarter hour (IANA time zone database)
LARGEST_ZONE_S = 14 * 3600  # s; no zone lies further from UTC (IANA time zone database)
CLOCK_ERROR_S = (
    300.0  # s; a clock further off than this from a quarter hour does not tell its zone; own convention
)
TAG_TOLERANCE_S = (
    300.0  # s; an offset tag vouches for the zone, not for how right the clock is; own convention
)
GPS_TOLERANCE_S = 10.0  # s; how old a satellite time in a file may be; own convention
SHOWN_TOLERANCE_S = 60.0  # s; a clock face read to the minute
TIE_TOLERANCE_S = 5.0  # s; two bodies fired by hand at the same moment; own convention
_HALF_DAY_S = 43_200.0


class EvidenceKind(StrEnum):
    """What vouches for a clock; strongest first."""

    STATED = "stated"
    GPS_TIME = "gps time"
    PHOTOGRAPHED_CLOCK = "photographed clock"
    SAME_MOMENT = "same moment"
    OFFSET_TAG = "offset tag"
    ASSUMED = "assumed"


_STRENGTH = {kind: i for i, kind in enumerate(EvidenceKind)}


@dataclass(frozen=True, slots=True)
class ClockFact:
    """One piece of evidence: how far a body's clock is ahead of UTC, in seconds, and how exactly.

    `wall` is the camera's own time (naive) of the frame it rests on, None where it rests on no frame;
    `source` names the file or the other body.
    """

    body: str
    kind: EvidenceKind
    ahead_s: float
    tolerance_s: float
    source: str
    wall: datetime | None = None


@dataclass(frozen=True, slots=True)
class Tie:
    """Two bodies at the same moment: each one's own wall time (naive) in a frame of it."""

    body: str
    wall: datetime
    other: str
    other_wall: datetime
    source: str
    tolerance_s: float = TIE_TOLERANCE_S


@dataclass(frozen=True, slots=True)
class BodyClock:
    """How far one body's clock is ahead of UTC from `since` on (its own wall time; None: from the beginning).

    `ahead_s` None is unknown. `evidence` holds what was used first, and what agrees or not after it.
    """

    body: str
    since: datetime | None
    ahead_s: float | None
    tolerance_s: float | None
    evidence: tuple[ClockFact, ...]
    doubts: tuple[str, ...]

    @property
    def kind(self) -> EvidenceKind | None:
        """What the number rests on."""
        return self.evidence[0].kind if self.evidence else None

    @property
    def zone_offset_s(self) -> int | None:
        """The offset from UTC that the clock is set to, in seconds; None where no quarter hour is near."""
        if self.ahead_s is None:
            return None
        tagged = next((f.ahead_s for f in self.evidence if f.kind is EvidenceKind.OFFSET_TAG), None)
        nearest = round(self.ahead_s / QUARTER_S) * QUARTER_S
        if tagged is not None and abs(tagged - self.ahead_s) < QUARTER_S:
            return round(tagged)
        near = abs(nearest - self.ahead_s) <= CLOCK_ERROR_S and abs(nearest) <= LARGEST_ZONE_S
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


def from_offset_tag(body: str, wall: datetime, offset_min: int, source: str) -> ClockFact:
    """The file says at which offset from UTC (minutes) its wall time is; not that the clock is right."""
    return ClockFact(body, EvidenceKind.OFFSET_TAG, offset_min * 60.0, TAG_TOLERANCE_S, source, wall)


def from_gps_time(body: str, wall: datetime, gps_utc: datetime, source: str) -> ClockFact:
    """The file holds the satellites' time (aware) beside the camera's own (naive)."""
    ahead_s = (wall.replace(tzinfo=UTC) - gps_utc).total_seconds()
    return ClockFact(body, EvidenceKind.GPS_TIME, ahead_s, GPS_TOLERANCE_S, source, wall)


def from_shown_clock(
    body: str,
    wall: datetime,
    shown: datetime,
    shown_offset_s: float,
    source: str,
    *,
    twelve_hours: bool = False,
) -> ClockFact:
    """The picture shows a clock: its time `shown` (naive), and the offset from UTC it keeps, in seconds.

    A face of twelve hours (or a time read without its date) is taken for the half day nearest to the camera.
    """
    ahead_s = (wall - shown).total_seconds() + shown_offset_s
    if twelve_hours:
        off_s = (wall - shown).total_seconds()
        ahead_s -= round(off_s / _HALF_DAY_S) * _HALF_DAY_S
    return ClockFact(body, EvidenceKind.PHOTOGRAPHED_CLOCK, ahead_s, SHOWN_TOLERANCE_S, source, wall)


def stated(body: str, ahead_s: float, source: str = "stated") -> ClockFact:
    """A person says how far the clock is ahead of UTC: the zone it was set to, plus what it runs fast."""
    return ClockFact(body, EvidenceKind.STATED, ahead_s, 0.0, source)


def settle_clocks(
    bodies: Iterable[str],
    facts: Iterable[ClockFact],
    ties: Sequence[Tie] = (),
    assumed_offset_s: float | None = None,
) -> tuple[BodyClock, ...]:
    """What is known of each body's clock, in the order given; several for a body whose clock was set anew.

    The strongest kind of evidence decides, by the median of its facts; a tie passes on what another body
    knows, along chains of ties too; where nothing vouches, `assumed_offset_s` is assumed.
    """
    by_body: dict[str, list[ClockFact]] = {body: [] for body in bodies}
    for fact in facts:
        by_body.setdefault(fact.body, []).append(fact)
    clocks = {body: _clocks_of_body(body, known) for body, known in by_body.items()}
    _pass_on({body for body, of_body in clocks.items() if _weak(of_body)}, by_body, ties, clocks)
    _pass_on({body for body, of_body in clocks.items() if not of_body}, by_body, ties, clocks)
    result = [clock for body in clocks for clock in clocks[body] or (_assumed(body, assumed_offset_s),)]
    return tuple(_with_tie_doubts(clock, ties, clocks) for clock in result)


def clock_at(clocks: Iterable[BodyClock], body: str, wall: datetime) -> BodyClock | None:
    """The clock that holds for a body at its own (naive) wall time; None for a body nobody knows."""
    return next(
        (
            clock
            for clock in sorted(clocks, key=lambda c: c.since or datetime.min, reverse=True)  # noqa: DTZ901
            if clock.body == body and (clock.since is None or clock.since <= wall)
        ),
        None,
    )


def _weak(clocks: Sequence[BodyClock]) -> bool:
    return not clocks or any(
        _STRENGTH[c.evidence[0].kind] > _STRENGTH[EvidenceKind.SAME_MOMENT] for c in clocks
    )


def _pass_on(
    waiting: set[str],
    facts: Mapping[str, Sequence[ClockFact]],
    ties: Sequence[Tie],
    clocks: dict[str, tuple[BodyClock, ...]],
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


def _clocks_of_body(body: str, facts: Sequence[ClockFact]) -> tuple[BodyClock, ...]:
    """One clock for each stretch between two settings; () without evidence."""
    if not facts:
        return ()
    starts: list[datetime | None] = [None, *_settings(facts)]
    clocks = []
    for i, since in enumerate(starts):
        until = starts[i + 1] if i + 1 < len(starts) else None
        holds = [f for f in facts if _holds(f, since, until)]
        if holds:
            clock = _weighed(body, since, holds)
            said = f"the clock of {body} was set anew before {since:%Y-%m-%d %H:%M}" if since else ""
            clocks.append(replace(clock, doubts=(*clock.doubts, said)) if said else clock)
    return tuple(clocks)


def _holds(fact: ClockFact, since: datetime | None, until: datetime | None) -> bool:
    if fact.wall is None:
        return True
    return (since is None or fact.wall >= since) and (until is None or fact.wall < until)


def _settings(facts: Sequence[ClockFact]) -> list[datetime]:
    """Wall times from which on frames say another offset, by whole quarter hours, and go on saying it.

    Only what is in every frame tells this; a single frame with another satellite time is an old fix.
    """
    steps: set[datetime] = set()
    for kind in (EvidenceKind.OFFSET_TAG, EvidenceKind.GPS_TIME):
        timed = sorted((f.wall, f.ahead_s) for f in facts if f.kind is kind and f.wall is not None)
        found = []
        for i in range(1, len(timed)):
            step_s = timed[i][1] - timed[i - 1][1]
            quarter = abs(step_s - round(step_s / QUARTER_S) * QUARTER_S) <= 60
            lasts = i + 1 == len(timed) or abs(timed[i + 1][1] - timed[i][1]) <= 60
            single = kind is EvidenceKind.GPS_TIME and i + 1 == len(timed)
            if abs(step_s) >= QUARTER_S - 60 and quarter and lasts and not single:
                found.append(timed[i][0])
        if kind is EvidenceKind.GPS_TIME and found:
            return found  # satellites know better than tags when the clock was set
        steps.update(found)
    if any(f.kind is EvidenceKind.GPS_TIME for f in facts):
        return []  # the tag changed and the clock did not
    return sorted(steps)


def _weighed(body: str, since: datetime | None, facts: Sequence[ClockFact]) -> BodyClock:
    ordered = sorted(facts, key=lambda f: _STRENGTH[f.kind])
    best = [f for f in ordered if f.kind is ordered[0].kind]
    if best[0].kind is EvidenceKind.STATED:
        best = best[-1:]  # the last word
    ahead_s = median(f.ahead_s for f in best)
    tolerance_s = min(f.tolerance_s for f in best)
    lead = min(best, key=lambda f: abs(f.ahead_s - ahead_s))
    doubts = []
    spread_s = max(f.ahead_s for f in best) - min(f.ahead_s for f in best)
    if spread_s > max(60.0, 2 * tolerance_s):
        doubts.append(
            f"{len(best)} times by {lead.kind} differ by up to {_span(spread_s)}; the middle one is used"
        )
    doubted: set[EvidenceKind] = set()
    for fact in ordered:
        off_s = fact.ahead_s - ahead_s
        if fact.kind is lead.kind or fact.kind in doubted or abs(off_s) <= fact.tolerance_s + tolerance_s:
            continue
        doubted.add(fact.kind)
        doubts.append(
            f"{fact.kind} ({fact.source}) and {lead.kind} ({lead.source}) disagree by {_span(abs(off_s))}; "
            f"{lead.kind} is used"
        )
    rest = (f for f in ordered if f is not lead)
    return BodyClock(body, since, ahead_s, tolerance_s, (lead, *rest), tuple(doubts))


def _tied_facts(
    body: str, ties: Sequence[Tie], clocks: Mapping[str, Sequence[BodyClock]], waiting: set[str]
) -> list[ClockFact]:
    """What settled bodies pass on to this one."""
    found = []
    for tie in ties:
        for mine, wall, other, other_wall in (
            (tie.body, tie.wall, tie.other, tie.other_wall),
            (tie.other, tie.other_wall, tie.body, tie.wall),
        ):
            if mine != body or other in waiting:
                continue
            clock = clock_at(clocks.get(other, ()), other, other_wall)
            if clock is None or clock.ahead_s is None or clock.tolerance_s is None:
                continue
            ahead_s = clock.ahead_s + (wall - other_wall).total_seconds()
            source = f"{tie.source}, with {other} by {clock.kind}"
            tolerance_s = clock.tolerance_s + tie.tolerance_s
            found.append(ClockFact(body, EvidenceKind.SAME_MOMENT, ahead_s, tolerance_s, source, wall))
    return found


def _with_tie_doubts(
    clock: BodyClock, ties: Sequence[Tie], clocks: Mapping[str, Sequence[BodyClock]]
) -> BodyClock:
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
                f"{tie.source}: {tie.body} and {tie.other} are {_span(apart_s)} apart at the same moment"
            )
    return replace(clock, doubts=tuple(doubts))


def _assumed(body: str, offset_s: float | None) -> BodyClock:
    if offset_s is None:
        return BodyClock(body, None, None, None, (), (f"nothing tells the zone of {body}",))
    fact = ClockFact(body, EvidenceKind.ASSUMED, offset_s, CLOCK_ERROR_S, "the trip's zone")
    doubt = f"nothing vouches for the clock of {body}; the place's zone is assumed"
    return BodyClock(body, None, offset_s, CLOCK_ERROR_S, (fact,), (doubt,))


def _span(seconds: float) -> str:
    """A length of time as people say it: "7 min 5 s", "9 h"."""
    whole = round(seconds)
    parts = ((whole // 3600, "h"), (whole % 3600 // 60, "min"), (whole % 60, "s"))
    return " ".join(f"{count} {unit}" for count, unit in parts if count) or "0 s"
