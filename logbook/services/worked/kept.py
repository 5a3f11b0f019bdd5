"""What the tallies hold of a scope: keepers and shots as columns, and visits.

One surprising decision: a keeper or shot is a number, its place in every column. A hundred thousand of them
are handed over and counted many times faster as a dozen lists than as so many values.
"""

import json
from bisect import bisect_right
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from itertools import accumulate, chain, compress, repeat
from typing import Any

from logbook.domain.words import ConditionKind
from logbook.services.worked.approaches import Value, each, held, named, stack_name
from logbook.services.worked.question import By
from logbook.services.worked.scope import Scope
from logbook.store.desk import Desk

_VISITS = (
    *(
        "visit_ids",
        "visit_numbers",
        "visit_slugs",
        "visit_days",
        "visit_tries",
        "visit_supports",
        "visit_met",
    ),
    "visit_kept",
)
_SHOTS = (
    *("shot_ids", "shot_numbers", "shot_slugs", "shot_days", "shot_words", "shot_reasons", "shot_techniques"),
    *("shot_supports", "shot_filters"),
)
_KEEPERS = ("keeper_ids", "keeper_shots", "keeper_supports", "keeper_sharpness", "keeper_settings")
_WHERE = ("viewpoint_id", "trip_id")
_MET = ("met", "keeper_days")
_BY: dict[By | ConditionKind, tuple[str, ...]] = {
    By.FILTERS: ("keeper_filters",),
    By.PHASE: ("latest", "keeper_phases", "keeper_times", "shot_phases", "shot_times"),
}
_OF_LEVELS = ("keeper_levels", "shot_levels")
Met = dict[str, list[str]]  # levels by the kind of condition


@dataclass(slots=True)
class Sitting:
    """A visit with its keepers, by their numbers, and the approach of each.

    `met` are the levels that were noted on it; `apart` counts its keepers that are not what was asked for.
    """

    id: str
    slug: str
    trip_id: str
    viewpoint_id: str
    on_date: str
    tries: int | None
    support: str | None
    met: Met
    keepers: Any  # a range, or a list of those that are as asked
    values: Sequence[Value] = ()
    apart: int = 0
    is_asked: bool = True  # whether what was observed was as asked


@dataclass(frozen=True, slots=True)
class KeptColumns:
    """Keepers, a column a fact; `values` are their approaches where those follow from the keeper alone.

    `sharpness` is what a person judged, or after a question mark what was measured. `met` are levels of the
    day at the viewpoint, where somebody asked for such. At the numbers in `begins` the next of the
    `viewpoints` begins.
    """

    ids: list[str] = field(default_factory=list)
    shots: list[str] = field(default_factory=list)
    supports: list[str] = field(default_factory=list)
    sharpness: list[str] = field(default_factory=list)
    settings: list[str] = field(default_factory=list)
    values: list[Value] = field(default_factory=list)
    met: list[Met] = field(default_factory=list)
    begins: list[int] = field(default_factory=list)
    viewpoints: list[str] = field(default_factory=list)

    def viewpoint_of(self, number: int) -> str:
        """The id of the viewpoint of a keeper."""
        return self.viewpoints[bisect_right(self.begins, number) - 1]


@dataclass(frozen=True, slots=True)
class ShotColumns:
    """Planned shots and what became of them, a column a fact; a word of "" says that nobody said.

    `planned` are their approaches as planned. `met` are levels as those of keepers.
    """

    ids: list[str]
    slugs: list[str]
    words: list[str]
    reasons: list[str]
    techniques: list[Value]
    supports: list[str]
    planned: list[Value]
    trips: list[str]
    viewpoints: list[str]
    days: list[str]
    met: list[Met]
    in_order: list[int]  # their numbers as they were written down

    def where(self, number: int) -> tuple[str, str, str]:
        """The trip, the viewpoint and the day that a shot was planned for."""
        return self.trips[number], self.viewpoints[number], self.days[number]


@dataclass(frozen=True, slots=True)
class ScopeTallies:
    """All that is counted of a scope: visits in the order in which they were written down."""

    keepers: KeptColumns
    visits: list[Sitting]
    shots: ShotColumns


def tallies_of(desk: Desk, scope: Scope) -> ScopeTallies:
    """Return what the tallies hold of a scope; no picture where shots alone are asked for."""
    by, is_met = scope.question.by, bool(scope.question.levels)
    pictures = not (by is By.REASON and scope.question.support is None)
    names = [*_SHOTS, *(_MET if is_met else ())]
    names += [*_KEEPERS, *_VISITS] if pictures else []
    names += _OF_LEVELS if isinstance(by, ConditionKind) else _BY.get(by, ())
    rows = _Rows(names, desk.tallies.rows(names, scope.viewpoint_ids), scope)
    return ScopeTallies(
        rows.keepers() if pictures else KeptColumns(), rows.visits() if pictures else [], rows.shots()
    )


class _Rows:
    """Rows of the tallies with some of their columns, those of a scope."""

    def __init__(self, names: Sequence[str], rows: list[tuple[Any, ...]], scope: Scope) -> None:
        self.scope, self.by = scope, scope.question.by
        columns = zip(*(row for row in rows if row[0] in scope.site_of), strict=True)
        self.of = dict.fromkeys((*_WHERE, *names), ()) | dict(zip((*_WHERE, *names), columns, strict=False))
        self.is_met = "met" in names
        self._counts: dict[str, list[int]] = {}

    def column(self, name: str) -> list[str]:
        """The lines of a column of all rows."""
        lines = [one for one in self.of[name] if one is not None]
        return "\n".join(lines).split("\n") if lines else []

    def counts(self, name: str) -> list[int]:
        """How many lines a column has in each row."""
        if name not in self._counts:
            self._counts[name] = [0 if one is None else one.count("\n") + 1 for one in self.of[name]]
        return self._counts[name]

    def keepers(self) -> KeptColumns:
        """The keepers."""
        supports = self.column("keeper_supports")
        return KeptColumns(
            self.column("keeper_ids"),
            self.column("keeper_shots"),
            supports,
            self.column("keeper_sharpness"),
            self.column("keeper_settings"),
            self.approaches("keeper", supports),
            self.met_on("keeper_ids", "keeper_days") if self.is_met else [],
            *self.places(),
        )

    def places(self) -> tuple[list[int], list[str]]:
        """At which number of a keeper which viewpoint begins."""
        counts = self.counts("keeper_ids")
        begins = compress(accumulate(counts, initial=0), counts)
        return list(begins), list(compress(self.of["viewpoint_id"], counts))

    def visits(self) -> list[Sitting]:
        """The visits."""
        met: Iterable[Met] = repeat({})
        if self.is_met:
            met = [json.loads(one) if one else {} for one in self.column("visit_met")]
        tries = {one: int(one) if one else None for one in set(self.column("visit_tries"))}
        found = list(
            map(
                Sitting,
                self.column("visit_ids"),
                self.column("visit_slugs"),
                self.owners("visit_ids", "trip_id"),
                self.owners("visit_ids", "viewpoint_id"),
                self.column("visit_days"),
                map(tries.__getitem__, self.column("visit_tries")),
                self.column("visit_supports"),
                met,
                self.kept(),
            )
        )
        numbers = list(map(int, self.column("visit_numbers")))
        return [found[at] for at in sorted(range(len(found)), key=numbers.__getitem__)]

    def kept(self) -> Iterator[range]:
        """The numbers of the keepers of each visit: they stand visit by visit, those of none last."""
        firsts = accumulate(self.counts("keeper_ids"), initial=0)
        for begin, kept in zip(firsts, self.of["visit_kept"], strict=False):  # one more begin than rows
            for count in map(int, kept.split("\n")) if kept is not None else ():
                yield range(begin, begin := begin + count)

    def shots(self) -> ShotColumns:
        """The planned shots."""
        supports, techniques = self.column("shot_supports"), each(self.column("shot_techniques"), named)
        numbers = list(map(int, self.column("shot_numbers")))
        return ShotColumns(
            self.column("shot_ids"),
            self.column("shot_slugs"),
            self.column("shot_words"),
            self.column("shot_reasons"),
            techniques,
            supports,
            techniques if self.by is By.TECHNIQUE else self.approaches("shot", supports),
            list(self.owners("shot_ids", "trip_id")),
            list(self.owners("shot_ids", "viewpoint_id")),
            self.column("shot_days"),
            self.met_on("shot_ids", "shot_days") if self.is_met else [],
            sorted(range(len(numbers)), key=numbers.__getitem__),
        )

    def owners(self, name: str, owner: str) -> Iterator[str]:
        """Of each record its viewpoint or its trip."""
        return chain.from_iterable(map(repeat, self.of[owner], self.counts(name)))

    def met_on(self, name: str, days: str) -> list[Met]:
        """The levels that were noted on the day of each record at its viewpoint."""
        found: list[Met] = []
        for noted, lines, count in zip(self.of["met"], self.of[days], self.counts(name), strict=True):
            met = json.loads(noted) if noted and count else {}
            found += [met.get(day, {}) for day in lines.split("\n")] if met else [{}] * count
        return found

    def approaches(self, noun: str, supports: list[str]) -> list[Value]:
        """The approaches of keepers or shots, where those follow from the record alone."""
        if self.by is By.SUPPORT:
            return each(supports, held)
        if self.by is By.FILTERS:
            return each(self.column(f"{noun}_filters"), stack_name)
        if self.by is By.PHASE:
            return self.phases(noun)
        if isinstance(self.by, ConditionKind):
            return self.levels(f"{noun}_ids", f"{noun}_levels", self.by)
        return [None] * len(supports)

    def phases(self, noun: str) -> list[Value]:
        """The kinds of light; none on dates far ahead."""
        found: list[Value] = []
        last = self.scope.last_day.isoformat()
        names = ("latest", f"{noun}_phases", f"{noun}_times")
        for latest, phases, times in zip(*map(self.of.__getitem__, names), strict=True):
            if phases is None:
                continue
            lit = phases.split("\n")
            if latest is not None and latest > last:
                lit = [one if at[:10] <= last else "" for one, at in zip(lit, times.split("\n"), strict=True)]
            found += lit
        return [one or None for one in found]

    def levels(self, name: str, levels: str, kind: ConditionKind) -> list[Value]:
        """The levels of a kind of condition that were met."""
        found: list[Value] = []
        for noted, count in zip(self.of[levels], self.counts(name), strict=True):
            lines = json.loads(noted or "{}").get(kind)
            found += lines.split("\n") if lines is not None else [None] * count
        return [one or None for one in found]
