"""One row of the tallies: what was kept, tried and planned at a viewpoint on a trip, a line a record."""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, time
from functools import lru_cache
from operator import itemgetter
from typing import Any

from logbook.domain.belonging import Spell, closed, spell_of, visit_at
from logbook.store.tallies.gathering import Gathered, Pair, Row
from logbook.store.tallies.noted import noted_at
from logbook.store.wall_times import place_time_text


@dataclass
class TallyRow:
    """One row while it is worked out."""

    gathered: Gathered
    pair: Pair
    last: str = ""  # date by the place's clock
    days: set[str] = field(default_factory=set)

    def __post_init__(self) -> None:
        viewpoint_id, trip_id = self.pair
        self.place = self.gathered.places[viewpoint_id]
        self.ends = self.gathered.ends[trip_id]
        self.visits = self.gathered.visits.get(self.pair, [])
        self.supports = {row[3]: row[9] for row in self.visits}
        self.kept: dict[str, int] = dict.fromkeys(self.supports, 0)

    def columns(self) -> Row:
        """The values of the row's columns."""
        keepers, shots, visits = self._of_keepers(), self._of_shots(), self._of_visits()
        return (*self._of_whole(), *keepers, *visits, *shots)

    def _of_whole(self) -> Row:
        met = {day: found for day in sorted(self.days) if (found := self._met(day))}
        return (
            min(self.days, default=None),
            max(self.days, default=None),
            self.last or None,
            _json(met) if met else None,
        )

    def _met(self, day: str, visit_id: str | None = None) -> dict[str, list[str]]:
        return self.gathered.levels.all_on(self.pair[0], self.place.site_id, day, visit_id)

    def _of_visits(self) -> Row:
        self.days.update(row[5] for row in self.visits)
        return _lines(
            [
                (
                    row[3],
                    row[2],
                    row[4],
                    row[5],
                    row[8],
                    row[9],
                    _json(met) if met else None,
                    self.kept[row[3]],
                )
                for row in self.visits
                for met in (self._met(row[5], row[3]),)
            ],
            8,
        )

    def _of_shots(self) -> Row:
        told, levels = [], []
        for row in self.gathered.shots.get(self.pair, ()):
            record_id, number, slug, day, begins, technique, support, filters, word, reasons = row[2:]
            self.days.update((day,) if day else ())
            at = noted_at(day, begins, self.ends) if day and begins else None
            local = at.isoformat() if at else None
            levels.append(self._nearest(day or "", at, None))
            told.append(
                (
                    *(record_id, number, slug, day, self._moment(local), word, reasons),
                    *(
                        None if technique is None else _json(technique),
                        support,
                        filters,
                        self.gathered.phase(self.pair, day, local) if day else None,
                    ),
                )
            )
        return self._closed(_lines(told, 11), levels)

    def _of_keepers(self) -> Row:
        spells = self._spells()
        numbers = {visit_id: number for number, visit_id in enumerate(self.supports)}
        found: list[tuple[int, Row, Mapping[str, str]]] = []
        for row in self.gathered.keepers.get(self.pair, ()):
            record_id, shot_id, local, utc, zone, support, filters, stated, measured, *settings = row[2:]
            if (record_id, self.pair[1]) in self.gathered.second:
                continue
            taken = place_time_text(local, utc, zone)
            day, visit_id, at = "", None, None
            if taken:
                day = taken[:10] if taken[11:] >= self.ends else day_before(taken[:10])
                at = datetime.fromisoformat(taken[:16])
                visit_id = visit_at(at, spells.get(day, ()))
                self.days.add(day)
            if visit_id is not None:
                self.kept[visit_id] += 1
                if support in (None, "unknown"):
                    support = self.supports[visit_id]
            told = (
                *(record_id, shot_id, day, self._moment(taken), support, filters),
                *(
                    stated or f"?{measured or ''}",
                    _json(settings),
                    self.gathered.phase(self.pair, day, taken, utc),
                ),
            )
            number = len(numbers) if visit_id is None else numbers[visit_id]
            found.append((number, told, self._nearest(day, at, visit_id)))
        found.sort(key=itemgetter(0))
        return self._closed(_lines([told for _, told, _ in found], 9), [levels for _, _, levels in found])

    def _closed(self, columns: Row, levels: Sequence[Mapping[str, str]]) -> Row:
        """Columns with that of the levels."""
        kinds = sorted({kind for one in levels for kind in one})
        lines = {kind: "\n".join(one.get(kind, "") for one in levels) for kind in kinds}
        return (*columns, _json(lines) if lines else None)

    def _moment(self, local: str | None) -> str | None:
        """A local moment to the minute; the latest date is remembered."""
        if not local:
            return None
        self.last = max(self.last, local[:10])
        return local[:16]

    def _nearest(self, day: str, at: datetime | None, visit_id: str | None) -> dict[str, str]:
        return self.gathered.levels.nearest(self.pair[0], self.place.site_id, day, at, self.ends, visit_id)

    def _spells(self) -> dict[str, list[Spell]]:
        """From when to when each visit here lasted, by day."""
        found: dict[str, list[Spell]] = {}
        ends_at = time.fromisoformat(self.ends)
        for on_date in {row[5] for row in self.visits}:
            of_day, day = self.gathered.days[self.pair[1], on_date], date.fromisoformat(on_date)
            spells = [spell_of(row[3], day, _clock(row[6]), _clock(row[7]), ends_at) for row in of_day]
            found[on_date] = [
                spell
                for row, spell in zip(of_day, closed(spells, day, ends_at), strict=True)
                if row[0] == self.pair[0]
            ]
        return found


def _lines(rows: Sequence[Row], width: int) -> Row:
    """Rows as columns, a line a row; None of no rows."""
    if not rows:
        return (None,) * width
    return tuple(
        "\n".join("" if one is None else str(one).replace("\n", " ") for one in column)
        for column in zip(*rows, strict=True)
    )


def _json(value: Any) -> str:
    return json.dumps(value, ensure_ascii=False)


def _clock(at: str | None) -> time | None:
    return time.fromisoformat(at) if at else None


@lru_cache(maxsize=4096)
def day_before(day: str) -> str:
    """Return the date before one, both as ISO text."""
    return date.fromordinal(max(date.fromisoformat(day).toordinal() - 1, 1)).isoformat()
