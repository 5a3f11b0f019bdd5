"""Taking a plan file into the book; the same file again changes nothing.

One surprising decision: a name in brackets that is a shot of another trip is a new shot here, so that last
year's plan can be read into this year's trip.
"""

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from pathlib import Path
from typing import Any

from logbook.domain.day import check_window
from logbook.domain.errors import InvalidValueError, LogbookError
from logbook.domain.names import name_key
from logbook.domain.shot import Shot
from logbook.domain.trip import Trip
from logbook.domain.written.plan_tokens import Around
from logbook.domain.written.plans import PlannedWords
from logbook.intake.planfile import PlanFile, open_plan, read_plan
from logbook.services.dayfiles.applying import FileRead, taken_in
from logbook.services.dayfiles.entries import Drafts, LineDraft, Loose
from logbook.services.dayfiles.reading import DayReading
from logbook.services.keepers.strangers import plans_outside
from logbook.services.kinds import SHOT
from logbook.services.places.viewpoints import viewpoint_named
from logbook.services.records import find, the_trip
from logbook.store.book import Book
from logbook.store.desk import Desk

FALLBACK = "fallback_for_id"


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanRead(FileRead):
    """What reading a plan file did: the viewpoints that it brought, and sentences about the whole file."""

    entered: tuple[str, ...]
    remarks: tuple[str, ...]


def take_plan(book: Book, path: Path, *, trip: str | None = None) -> PlanRead:
    """Take a plan file in, all or nothing; a trip that is named goes before the one in the file.

    Raises UnreadableFileError for what is no plan, and NotFoundError or WrongUseError for the trip.
    """
    text = open_plan(path)
    with book.writing() as desk:
        of_trip = the_trip(desk, trip if trip is not None else text.trip)
        plan = read_plan(text, Around(of_trip.starts_on, of_trip.ends_on))
        drafts = plan_drafts(desk, of_trip, plan, book.now())
        reading = DayReading(desk, book, of_trip, None, path.name)
        counted = taken_in(reading, drafts)
        strange = plans_outside(of_trip, (one.fields.get("on_date") for one in drafts.drafts))
        remarks = (*plan.remarks, *filter(None, [strange]))
        return PlanRead(entered=tuple(drafts.entered), remarks=remarks, **counted)


@dataclass(slots=True)
class PlanDrafts(Drafts):
    """All drafts of a plan file, what is left to sort out, and the viewpoints that were entered for it."""

    entered: list[str] = field(default_factory=list)
    told: list[str] = field(default_factory=list)


def plan_drafts(desk: Desk, trip: Trip, plan: PlanFile, now: datetime) -> PlanDrafts:
    """Return what a plan file would put into the book; a viewpoint whose site it names is entered."""
    result = PlanDrafts(loose=[Loose(one.line, one.text, one.why) for one in plan.loose])
    places = _PlacesOfPlan(desk, now, result)
    unplaced = {one.line: why for one in plan.headings if (why := places.doubt(one.viewpoint))}
    result.loose += [
        Loose(one.line, one.text, unplaced[one.line]) for one in plan.headings if one.line in unplaced
    ]
    shots = _Shots(desk, trip, result)
    for words in plan.shots:
        if words.heading in unplaced:
            heading = next(one.text.strip() for one in plan.headings if one.line == words.heading)
            why = f'it is under "{heading}", which is not a known viewpoint'
            result.loose.append(Loose(words.line, words.text, why))
            continue
        try:
            shots.take(words, places.found(words.said.get("viewpoint")))
        except LogbookError as error:
            result.loose.append(Loose(words.line, words.text, str(error)))
    shots.finish()
    return result


@dataclass(slots=True)
class _PlacesOfPlan:
    """Viewpoints as a plan names them."""

    desk: Desk
    now: datetime
    result: PlanDrafts
    known: dict[str, str] = field(default_factory=dict)  # ids of viewpoints by what they were called

    def doubt(self, name: str) -> str | None:
        """Why a name is no viewpoint; None where it is one."""
        try:
            self.found(name)
        except LogbookError as error:
            return str(error)
        return None

    def found(self, name: str | None) -> str | None:
        """Return the id of a viewpoint; `NAME at SITE` enters one that the book does not have at that site.

        Raises NotFoundError with the nearest names, and what would add it.
        """
        if name is None:
            return None
        if name not in self.known:
            self.known[name] = self._id_of(name)
        return self.known[name]

    def _id_of(self, name: str) -> str:
        named = viewpoint_named(self.desk, name, self.now)
        if named.is_new:
            self.result.entered.append(named.viewpoint.slug)
        return named.viewpoint.id


@dataclass(slots=True)
class _Shots:
    """The shots of a file on their way to drafts: whom each names, and who is the fallback of whom."""

    desk: Desk
    trip: Trip
    result: PlanDrafts
    words: dict[int, PlannedWords] = field(default_factory=dict)  # by line
    drafts: dict[int, LineDraft] = field(default_factory=dict)
    fallbacks: dict[int, str] = field(default_factory=dict)  # the name of the shot that each is a fallback of

    def take(self, words: PlannedWords, viewpoint_id: str | None) -> None:
        """Take one shot in; raises LogbookError where no shot can be made of it."""
        fields: dict[str, Any] = {
            name: value
            for name, value in words.said.items()
            if name not in ("viewpoint", "fallback_for", "slug")
        }
        if viewpoint_id is not None:
            fields["viewpoint_id"] = viewpoint_id
        check_window(fields.get("window_from"), fields.get("window_to"))
        target, slug = self._named(words)
        if target is None and "title" not in fields:
            raise InvalidValueError(f'the trip has no shot called "{words.said["slug"]}"; give it a title')
        others = self.drafts.values()
        if (target or slug) and any((one.target_id, one.slug) == (target, slug) for one in others):
            raise InvalidValueError("a line above is about the same shot; keep only one")
        fields["trip_id"] = self.trip.id
        self.words[words.line] = words
        self.drafts[words.line] = LineDraft(
            "shot", "", words.line, words.text, fields, target, slug=slug, told=words.told
        )
        if (name := words.said.get("fallback_for")) is not None:
            self.fallbacks[words.line] = name

    def _named(self, words: PlannedWords) -> tuple[str | None, str | None]:
        """The shot that a name in brackets means, or the short name that a new one gets."""
        slug = words.said.get("slug")
        if slug is None:
            return None, None
        known = self.desk.shots.first(slug=slug)
        if known is None:
            return None, slug
        if known.trip_id == self.trip.id:
            return known.id, None
        return None, None

    def finish(self) -> None:
        """Settle what could be told only with all shots at hand, and put the drafts in their order."""
        self._aim_by_title()
        for line, words in self.words.items():
            for name in words.otherwise if line in self.drafts else ():
                self._falls_back(line, name)
        for line, name in list(self.fallbacks.items()):
            self._refer(line, name)
        for line in self._circles():
            self._loosen(line, "it would be the fallback of its own fallback")
        self.result.drafts += _primaries_first(self.drafts)

    def _aim_by_title(self) -> None:
        """Let a draft mean the only shot that has its title, unless day or place speak against it."""
        in_book: dict[str, list[Shot]] = {}
        for shot in self.desk.shots.all(trip_id=self.trip.id):
            in_book.setdefault(name_key(shot.title), []).append(shot)
        often = Counter(_key(one.fields) for one in self.drafts.values())
        aimed_at = {one.target_id for one in self.drafts.values()}
        for line, draft in self.drafts.items():
            key = _key(draft.fields)
            there = in_book.get(key, [])
            if draft.target_id or draft.slug or often[key] > 1 or len(there) != 1:
                continue
            if there[0].id not in aimed_at and _may_be(draft.fields, there[0]):
                self.drafts[line] = replace(draft, target_id=there[0].id)

    def _line_of(self, name: str) -> int | None:
        """The line of this file that a name means."""
        key = name_key(name)
        for line, words in self.words.items():
            if words.said.get("slug") == name:
                return line
        fitting = [line for line, words in self.words.items() if _key(words.said) == key]
        return fitting[0] if len(fitting) == 1 else None

    def _falls_back(self, line: int, name: str) -> None:
        """Let the shot that a line falls back on know so."""
        other = self._line_of(name)
        if other is None:
            self._loosen(line, f'"{name}" is not a shot in this file; write a line for it too')
        elif other in self.fallbacks and self._line_of(self.fallbacks[other]) != line:
            self._loosen(other, f'two shots name "{name}" as their fallback; only one can')
        elif other != line:
            self.fallbacks[other] = ""
            self._point(other, line)

    def _refer(self, line: int, name: str) -> None:
        if not name or line not in self.drafts:
            return
        other = self._line_of(name)
        if other is not None and other != line:
            self._point(line, other)
            return
        try:
            fields = {
                **self.drafts[line].fields,
                FALLBACK: find(self.desk, SHOT, name, trip_id=self.trip.id).id,
            }
        except LogbookError as error:
            self._loosen(line, str(error))
            return
        self.drafts[line] = replace(self.drafts[line], fields=fields)

    def _point(self, line: int, primary: int) -> None:
        if line in self.drafts:
            self.drafts[line] = replace(self.drafts[line], of_lines={FALLBACK: primary})

    def _circles(self) -> list[int]:
        """The lines of shots that fall back on each other in a circle."""
        found = []
        for line in self.drafts:
            passed, at = {line}, self._primary(line)
            while at is not None and at not in passed:
                passed.add(at)
                at = self._primary(at)
            if at == line:
                found.append(line)
        return found

    def _primary(self, line: int) -> int | None:
        draft = self.drafts.get(line)
        return None if draft is None else draft.of_lines.get(FALLBACK)

    def _loosen(self, line: int, why: str) -> None:
        words = self.words[line]
        self.drafts.pop(line, None)
        self.result.loose.append(Loose(line, words.text, why))


def _key(said: Mapping[str, Any]) -> str:
    """What a title is known by; one that is not given is nobody's."""
    return name_key(said.get("title", ""))


def _may_be(fields: Mapping[str, Any], shot: Shot) -> bool:
    """Whether nothing that a draft says of day and place speaks against a shot."""
    return all(
        fields.get(name) is None or getattr(shot, name) in (None, fields[name])
        for name in ("on_date", "viewpoint_id")
    )


def _primaries_first(drafts: Mapping[int, LineDraft]) -> list[LineDraft]:
    """The drafts in the order of their lines, but each behind the one that it is the fallback of."""
    ordered: dict[int, LineDraft] = {}
    for line in drafts:
        chain: list[int] = []
        at: int | None = line
        while at is not None and at in drafts and at not in ordered and at not in chain:
            chain.append(at)
            at = drafts[at].of_lines.get(FALLBACK)
        ordered |= {one: drafts[one] for one in reversed(chain)}
    return list(ordered.values())
