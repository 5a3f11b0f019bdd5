"""What `worked` counts, worked out from the records one by one, with no tally and no column."""

import json
from collections import defaultdict
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time, timedelta
from typing import Any

from logbook.domain.belonging import closed, spell_of, visit_at
from logbook.domain.dates import counts
from logbook.domain.day import day_of, moment_on
from logbook.domain.place_clock import clock_at
from logbook.domain.position import Position
from logbook.domain.rough_phase import phase_at_instant, phase_there
from logbook.domain.words import ConditionKind
from logbook.services.worked.question import By
from logbook.services.worked.scope import Scope
from logbook.store.desk import Desk
from logbook.store.wall_times import place_time

Value = str | None


@dataclass
class PlainSitting:
    """A visit: the approach of each of its keepers, and how many are not what was asked for."""

    keepers: dict[str, Value] = field(default_factory=dict)
    apart: int = 0


class PlainUnits:
    """Keepers and shots by approach, and the visits, of a scope."""

    def __init__(self, desk: Desk, scope: Scope) -> None:
        self.scope, self.question = scope, scope.question
        self.execute = desk.connection.exec_driver_sql
        self.ends = {
            row["id"]: time.fromisoformat(row["day_ends_at"]) for row in self.rows("SELECT * FROM trip")
        }
        self.trip_zones = {row["id"]: row["zone"] for row in self.rows("SELECT * FROM trip")}
        self.days = self.rows("SELECT * FROM day")
        self.views = {row["id"]: row for row in self.rows("SELECT * FROM viewpoint")}
        self.sites = {row["id"]: row for row in self.rows("SELECT * FROM site")}
        self.conditions = self.rows("SELECT * FROM condition WHERE level IS NOT NULL")
        self.visits = {row["id"]: row for row in self.rows("SELECT * FROM visit")}
        self.shots = {
            row["id"]: row
            for row in self.rows("SELECT * FROM shot")
            if row["viewpoint_id"] in scope.site_of and self.is_met(row["viewpoint_id"], row["on_date"], None)
        }
        self.keepers: dict[Value, set[str]] = defaultdict(set)
        self.sittings = {
            key: PlainSitting()
            for key, row in self.visits.items()
            if row["viewpoint_id"] in scope.site_of
            and self.is_met(row["viewpoint_id"], row["on_date"], row["id"])
        }
        self.of_shot: dict[str, set[Value]] = defaultdict(set)
        for row in [] if self.question.by is By.REASON and not self.question.support else self.kept():
            self.count(row)

    def rows(self, query: str) -> list[dict[str, Any]]:
        return [dict(row._mapping) for row in self.execute(query)]

    def kept(self) -> list[dict[str, Any]]:
        """The keepers of the scope, without the second files of pairs."""
        sets = self.rows("SELECT * FROM keeper_set WHERE kind = 'pair'")
        second = {(one, group["trip_id"]) for group in sets for one in json.loads(group["keeper_ids"])[1:]}
        found = self.rows("SELECT * FROM keeper")
        return [
            row
            for row in found
            if row["viewpoint_id"] in self.scope.site_of and (row["id"], row["trip_id"]) not in second
        ]

    def count(self, row: dict[str, Any]) -> None:
        """Count one keeper."""
        local = place_time(row["taken_local"], row["taken_utc"], row["zone"])
        day = None if local is None else day_of(local, self.ends[row["trip_id"]])
        visit_id = None if local is None or day is None else self.owner(row, local, day)
        if visit_id is None:
            if not self.is_met(row["viewpoint_id"], str(day), None):
                return
        elif visit_id not in self.sittings:
            return
        support = row["support"]
        if visit_id is not None and support in (None, "unknown"):
            support = self.visits[visit_id]["support"]
        shot = self.shots.get(row["shot_id"])
        technique = shot["technique"] if shot else None
        if not self.is_asked(support, technique):
            if visit_id is not None:
                self.sittings[visit_id].apart += 1
            return
        value = self.approach(row, support, technique, local, str(day), visit_id)
        self.keepers[value].add(row["id"])
        if shot:
            self.of_shot[shot["id"]].add(value)
        if visit_id is not None:
            self.sittings[visit_id].keepers[row["id"]] = value

    def owner(self, row: dict[str, Any], local: datetime, day: date) -> str | None:
        """The visit that a keeper belongs to."""
        ends_at = self.ends[row["trip_id"]]
        of_day = [
            one
            for one in self.visits.values()
            if (one["trip_id"], one["on_date"]) == (row["trip_id"], str(day))
        ]
        clocks = [
            [at and time.fromisoformat(at) for at in (one["arrived_at"], one["departed_at"])]
            for one in of_day
        ]
        spells = [spell_of(one["id"], day, *at, ends_at) for one, at in zip(of_day, clocks, strict=True)]
        here = [
            spell
            for one, spell in zip(of_day, closed(spells, day, ends_at), strict=True)
            if one["viewpoint_id"] == row["viewpoint_id"]
        ]
        return visit_at(local, here)

    def by_plan(self) -> dict[Value, set[str]]:
        """The shots by approach: that of their keepers, else that of the plan."""
        found: dict[Value, set[str]] = defaultdict(set)
        for key, row in self.shots.items():
            support = None if row["support"] == "unknown" else row["support"]
            is_narrow = self.question.support or self.question.technique
            if is_narrow and key not in self.of_shot and not self.is_asked(support, row["technique"]):
                continue
            known = self.of_shot[key] - {None} if key in self.of_shot else set()
            begins = None
            if row["on_date"] and row["window_from"]:
                at = time.fromisoformat(row["window_from"])
                begins = moment_on(date.fromisoformat(row["on_date"]), at, self.ends[row["trip_id"]])
            planned = self.approach(row, support, row["technique"], begins, row["on_date"], None)
            found[known.pop() if len(known) == 1 else planned].add(key)
        return found

    def approach(
        self,
        row: dict[str, Any],
        support: str | None,
        technique: str | None,
        local: datetime | None,
        day: str | None,
        visit_id: str | None,
    ) -> Value:
        """The approach of a keeper or a plan."""
        by = self.question.by
        if by is By.SUPPORT:
            return None if support == "unknown" else support
        if by is By.FILTERS:
            if row["filters"] is None:
                return None
            return " + ".join(sorted(json.loads(row["filters"]))) or "no filter"
        if by is By.TECHNIQUE:
            return technique
        if by is By.PHASE:
            return self.phase(row, local, day)
        if isinstance(by, ConditionKind):
            return self.nearest(by, row, local, day, visit_id)
        return None

    def phase(self, row: dict[str, Any], local: datetime | None, day: str | None) -> Value:
        """The kind of light of a keeper's instant, or of a local moment by the clock that counts."""
        view, site = self.views[row["viewpoint_id"]], self.sites[self.scope.site_of[row["viewpoint_id"]]]
        lies = view if view["latitude_deg"] is not None else site
        if lies["latitude_deg"] is None or local is None or day is None:
            return None
        if not counts(local.date(), self.scope.last_day):
            return None
        place = lies["latitude_deg"], lies["longitude_deg"]
        if row.get("taken_utc"):
            instant = datetime.fromisoformat(row["taken_utc"]).replace(tzinfo=UTC)
            return phase_at_instant(*place, instant.timestamp())
        of_trip = [one for one in self.days if (one["trip_id"], one["on_date"]) == (row["trip_id"], day)]
        clock = clock_at(
            Position(*place),
            date.fromisoformat(day),
            site_zone=site["zone"],
            day_zone=of_trip[0]["zone"] if of_trip else None,
            trip_zone=self.trip_zones[row["trip_id"]],
        )
        return phase_there(*place, clock.zone, local.isoformat()) if clock else None

    def noted(self, kind: ConditionKind, place: str, day: str | None) -> list[dict[str, Any]]:
        return [
            one
            for one in self.conditions
            if one["kind"] == kind
            and one["on_date"] == day
            and (one["viewpoint_id"] or one["site_id"]) == place
        ]

    def nearest(
        self,
        kind: ConditionKind,
        row: dict[str, Any],
        local: datetime | None,
        day: str | None,
        visit_id: str | None,
    ) -> Value:
        """The level noted within an hour, the nearest; else the one of which no time is known."""
        there = row["viewpoint_id"]
        found = self.noted(kind, there, day) or self.noted(kind, self.scope.site_of[there], day)
        holding = [one for one in found if holds(one, visit_id)]
        timed = []
        for one in holding:
            if one["at"] is not None and local is not None and day is not None:
                at = moment_on(
                    date.fromisoformat(day), time.fromisoformat(one["at"]), self.ends[row["trip_id"]]
                )
                minute = local.replace(second=0, microsecond=0)
                timed.append((abs(at - minute), one["level"]))
        if timed and min(timed)[0] <= timedelta(hours=1):
            level: str = min(timed)[1]
            return level
        whole = {one["level"] for one in holding if one["at"] is None}
        return whole.pop() if len(whole) == 1 else None

    def is_met(self, viewpoint_id: str, day: str | None, visit_id: str | None) -> bool:
        """Whether the levels that were asked for were noted there that day, or on a visit."""
        return all(
            any(
                one["level"] == level and (visit_id is None or holds(one, visit_id))
                for place in (viewpoint_id, self.scope.site_of[viewpoint_id])
                for one in self.noted(kind, place, day)
            )
            for kind, level in self.question.levels.items()
        )

    def is_asked(self, support: str | None, technique: str | None) -> bool:
        """Whether support and technique are as asked."""
        asked = self.question
        if asked.support is not None and support != asked.support:
            return False
        return asked.technique is None or asked.technique.casefold() in (technique or "").casefold()


def holds(one: dict[str, Any], visit_id: str | None) -> bool:
    """Whether a level may hold on a visit, or outside of all."""
    if visit_id is None:
        return one["visit_id"] is None or one["at"] is not None
    return one["visit_id"] in (None, visit_id)
