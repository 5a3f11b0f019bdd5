"""A day file written for a person: what the book has of a day, and what can be worked out, behind a `?`.

One surprising decision: a draft is the night session on paper. It asks the same questions in the same order,
and what stays behind its `?` is kept as what it is, a proposal.
"""

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date, time
from functools import cached_property
from typing import TypeVar

from logbook.craft.clock_facts import EvidenceKind
from logbook.craft.inference.sets import FrameSet
from logbook.domain.account import TripAccount
from logbook.domain.belonging import Spell, closed, spell_of, visits_meant
from logbook.domain.condition import Condition
from logbook.domain.keeper import Keeper
from logbook.domain.lesson import Lesson
from logbook.domain.visit import Visit
from logbook.domain.words import Reason, Support, VisitPurpose
from logbook.domain.written.entry import ClockEntry, Entry, SupportEntry, TriesEntry
from logbook.domain.written.lines import written_entry
from logbook.intake.dayfile import Section, written_heading
from logbook.intake.written_files import own_comment
from logbook.services.accounts import account_in, day_of
from logbook.services.clocks.proposed import ClockProposal
from logbook.services.clocks.zones import in_its_zone
from logbook.services.conditions import condition_entry
from logbook.services.dayfiles.pictures import PictureLines
from logbook.services.dayfiles.written import (
    is_stated,
    lesson_entry,
    reads_back,
    shot_entry,
    visit_entries,
)
from logbook.services.keepers.proposals import proposals_in
from logbook.services.night.plan import plan_from
from logbook.services.night.planned import NightPlan, PlannedGroup, PlannedVisit
from logbook.services.records import the_trip
from logbook.store.book import Book
from logbook.store.desk import Desk

Noted = TypeVar("Noted", Condition, Lesson)

_OUTCOMES = "made, partly, replaced by X or missed"


@dataclass(frozen=True, slots=True)
class DayDraft:
    """The text of a day file, and which day it is."""

    trip: str
    on_date: date
    text: str


def draft_day(book: Book, trip: str | None, on_date: date) -> DayDraft:
    """Return a day file prefilled with the plan, the frames found and the proposals; nothing is stored."""
    with book.reading() as desk:
        of_trip = the_trip(desk, trip)
        account = in_its_zone(desk, account_in(desk, of_trip))
        found = proposals_in(desk, account, on_date, book.now())
        seen = tuple(one for one in found.clocks if one.holds_for(found.keepers))
        sets = tuple(_set_words(one, found.keepers) for one in found.sets)
        page = _Page(account, plan_from(account, found, on_date), seen, sets, on_date, desk)
        return DayDraft(of_trip.slug, on_date, "\n".join(page.lines()).rstrip() + "\n")


@dataclass(frozen=True)  # without slots, so that what each heading asks for is worked out once
class _Page:
    account: TripAccount
    plan: NightPlan
    clocks: tuple[ClockProposal, ...]
    sets: tuple[str, ...]
    on_date: date
    desk: Desk

    def lines(self) -> Iterator[str]:
        """Yield the lines of the file."""
        trip = self.account.trip
        day = next((one for one in self.account.days if one.on_date == self.on_date), None)
        zone = [f"zone: {day.zone}"] if day and day.zone else []
        yield from ("---", f"trip: {trip.slug}", f"date: {self.on_date}", *zone, "---")
        yield own_comment("remove the ? where you agree and correct what is wrong; the rest stays a proposal")
        yield _journal(day.journal) if day and day.journal else own_comment("the day in your words")
        for one in self.clocks:
            yield from self._clock(one)
        yield from map(own_comment, self.sets)
        in_book = {one.id: one for one in self.account.visits}
        seen: set[str | None] = set()
        homeless: list[PlannedGroup] = list(self.plan.others)
        for visit in self.plan.visits:
            place = visit.viewpoint or visit.guess
            if place is None:
                homeless += visit.groups
                yield ""
                yield own_comment(f"from {visit.arrived} to {visit.departed} somewhere: {visit.reason}")
                continue
            yield ""
            yield from self._visit(visit, in_book.get(visit.id), place, is_first=place not in seen)
            seen.add(place)
        yield ""
        yield "## Day"
        yield from self._of_the_day(seen, homeless)

    def _clock(self, one: ClockProposal) -> Iterator[str]:
        """Yield what a clock would change; where several hold on the day, no line can state one of them."""
        kind = one.clock.kind
        if one.offset_s is not None and kind is not None and self._would_change(one):
            is_only = sum(other.clock.body == one.clock.body for other in self.clocks) == 1
            source = one.clock.evidence[0].source
            known = str(kind) if kind in (EvidenceKind.STATED, EvidenceKind.ASSUMED) else f"known from {kind}"
            known += f": {source}" if source != kind else ""
            verb = "change" if kind is EvidenceKind.STATED else "state"
            if is_only:
                yield own_comment(f"the clock in the next line is {known}")
            else:
                yield own_comment(
                    f"for {one.frames} the clock is {known}; {verb} it with keeper clock --since, --until"
                )
            is_stated = is_only and kind is EvidenceKind.STATED
            yield written_entry(ClockEntry(one.clock.body, one.offset_s, proposed=not is_stated))
        for doubt in one.doubts:
            yield own_comment(f"doubt about the clock: {doubt}")

    def _would_change(self, one: ClockProposal) -> bool:
        own = (keeper for keeper in self.account.keepers if keeper.camera == one.clock.body)
        return any(
            keeper.clock_offset_s != one.offset_s
            for keeper in own
            if day_of(keeper, self.account.trip) == self.on_date
            and (wall := keeper.camera_time) is not None
            and one.clock.holds_at(wall)
        )

    def _visit(
        self, planned: PlannedVisit, visit: Visit | None, place: str, *, is_first: bool
    ) -> Iterator[str]:
        yield written_heading(_section(planned, place, visit))
        yield from map(written_entry, visit_entries(visit) if visit else _counted(planned))
        if visit and visit.journal:
            yield _journal(visit.journal)
        here, of_none = (self._seen.get((place, visit_id), []) for visit_id in (planned.id, None))
        yield from _written(condition_entry, here)
        if is_first:
            yield from self._of_no_visit(of_none)
        if not any(one.kind == "crowd" for one in (*here, *of_none)):
            yield own_comment(f"- crowd: few at {planned.arrived}, none at {planned.departed}")
        if is_first:
            slugs = {one.id: one.slug for one in self.account.viewpoints.values()}
            there = (one for one in self._lessons() if slugs.get(one.viewpoint_id or "") == place)
            yield from _written(lesson_entry, there)
        support = Support(planned.support) if planned.support and visit is None else None
        for group in planned.groups:
            yield from self._pictures.lines_of(group, support)

    @cached_property
    def _pictures(self) -> PictureLines:
        return PictureLines(self.account)

    @cached_property
    def _seen(self) -> Mapping[tuple[str, str | None], list[Condition]]:
        """What was observed on the day, by place and by the id of the visit it belongs to, in its order."""
        trip, visits = self.account.trip, {one.id: one for one in self.plan.visits}
        spells = [
            spell_of(one.id, self.on_date, _time(one.arrived), _time(one.departed), trip.day_ends_at)
            for one in visits.values()
        ]
        there: dict[str | None, list[Spell]] = defaultdict(list)
        for spell in closed(spells, self.on_date, trip.day_ends_at):
            there[visits[spell.visit].viewpoint or visits[spell.visit].guess].append(spell)
        at = {one.id: there[one.slug] for one in self.account.viewpoints.values()}
        slugs = {one.id: one.slug for one in self.account.viewpoints.values()}
        seen: dict[tuple[str, str | None], list[Condition]] = defaultdict(list)
        for one, visit_id in visits_meant(self._conditions(), at, trip.day_ends_at):
            seen[slugs[one.viewpoint_id or ""], visit_id].append(one)
        return seen

    def _of_no_visit(self, conditions: Iterable[Condition]) -> Iterator[str]:
        """Yield what names none of several visits: a line of a file stands, what no file said stays away."""
        lines = self.desk.day_lines.all(trip_id=self.account.trip.id, on_date=self.on_date, noun="condition")
        of_files = {line.record_id for line in lines}
        for one in conditions:
            line = written_entry(condition_entry(one))
            if one.id in of_files:
                yield own_comment("the next line has no visit yet; put it under the heading of the right one")
                yield line
            else:
                yield own_comment(
                    f"{line.removeprefix('- ')}; not tied to one visit: name it with condition edit --visit"
                )

    def _of_the_day(self, seen: set[str | None], homeless: list[PlannedGroup]) -> Iterator[str]:
        shown = {one.id for one in self.account.viewpoints.values() if one.slug in seen}
        elsewhere = (one for one in self._conditions() if one.viewpoint_id not in shown)
        yield from _written(condition_entry, elsewhere)
        for group in homeless:
            yield from self._pictures.lines_of(group)
        yield from self._outcomes()
        yield from _written(lesson_entry, (one for one in self._lessons() if one.viewpoint_id not in shown))
        if not self._lessons():
            yield own_comment("- lesson keep: what to keep doing")
            yield own_comment("- lesson change: what to change next time")
        for line in self.desk.day_lines.all(trip_id=self.account.trip.id, on_date=self.on_date):
            if line.noun == "packed":
                yield line.text
        for loose in self.account.loose_lines:
            if loose.on_date == self.on_date and not loose.text.lstrip().startswith("#"):
                yield loose.text

    def _outcomes(self) -> Iterator[str]:
        """Yield what was said of the day's shots, and a line to fill in for each of which nothing was.

        What this day's file said of a shot that was planned for another day is the day's too.
        """
        lines = self.desk.day_lines.all(trip_id=self.account.trip.id, on_date=self.on_date)
        told = {line.record_id for line in lines if line.noun == "outcome"}  # named by their shots
        planned = [shot for shot in self.account.shots if shot.on_date == self.on_date or shot.id in told]
        said = {
            shot.id: outcome
            for shot in planned
            if (outcome := self.account.outcomes.get(shot.id)) and outcome.is_stated
        }
        for shot in planned:
            if shot.id in said:
                yield written_entry(shot_entry(self.account, shot, said[shot.id]))
        if len(said) < len(planned):
            yield own_comment(f"what became of each: {_OUTCOMES}; then {', '.join(Reason)}; then - why")
        for shot in planned:
            if shot.id not in said:
                yield f"- shot {shot.slug}:"

    def _conditions(self) -> list[Condition]:
        return [one for one in self.account.conditions if one.on_date == self.on_date]

    def _lessons(self) -> list[Lesson]:
        return [one for one in self.account.lessons if one.on_date == self.on_date]


def _set_words(one: FrameSet, keepers: Iterable[Keeper]) -> str:
    """Return a set as words: a day file does not change it, so that reading one leaves it alone."""
    files = {keeper.id: keeper.file for keeper in keepers}
    known = "stated by you" if one.stated else f"found: {one.reason}"
    return (
        f"{one.kind} of {', '.join(files[key] for key in one.keys)}, {known}; keeper join and split change it"
    )


def _time(text: str | None) -> time | None:
    return time.fromisoformat(text) if text else None


def _section(planned: PlannedVisit, place: str, visit: Visit | None) -> Section:
    purpose = visit.purpose if visit else VisitPurpose.SHOOTING if planned.groups else None
    proposed = visit is None or not is_stated(visit, "arrived_at")
    arrived, departed = _time(planned.arrived), _time(planned.departed)
    return Section(
        place,
        arrived=arrived,
        departed=departed,
        purpose=purpose,
        times_proposed=proposed and (arrived is not None or departed is not None),
    )


def _journal(text: str) -> str:
    """Return a journal, unless a day file would read parts of it as something else."""
    if reads_back(Section("x", journal=text)):
        return text
    return own_comment("its journal has lines that look like entries; it stays in the book")


def _counted(planned: PlannedVisit) -> Iterator[Entry]:
    """Yield what is proposed of a visit that is not in the book yet."""
    if planned.tries is not None:
        yield TriesEntry(planned.tries, proposed=True)
    if planned.support:
        yield SupportEntry(Support(planned.support), proposed=True)


def _written(entry_of: Callable[[Noted], Entry], records: Iterable[Noted]) -> Iterator[str]:
    return (written_entry(entry_of(one)) for one in records)
