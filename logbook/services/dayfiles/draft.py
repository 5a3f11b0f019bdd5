"""A day file written for a person: what the book has of a day, and what can be worked out, behind a `?`.

One surprising decision: a draft is the night session on paper. It asks the same questions in the same order,
and what stays behind its `?` is kept as what it is, a proposal.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date, time
from functools import cached_property
from pathlib import Path

from logbook.craft.clock_facts import EvidenceKind
from logbook.craft.inference.sets import FrameSet
from logbook.craft.marks import number_text
from logbook.domain.account import TripAccount
from logbook.domain.belonging import Spell, closed, spell_of
from logbook.domain.condition import Condition
from logbook.domain.keeper import Keeper
from logbook.domain.lesson import Lesson
from logbook.domain.observed import visits_meant
from logbook.domain.shot import Outcome, Shot
from logbook.domain.visit import Visit
from logbook.domain.words import Provenance, Reason, Support, VisitPurpose
from logbook.domain.written.entry import (
    ClockEntry,
    ConditionEntry,
    KeepersEntry,
    LessonEntry,
    ShotEntry,
    SupportEntry,
    TriesEntry,
)
from logbook.domain.written.filters import names_now
from logbook.domain.written.lines import written_entry
from logbook.intake.dayfile import OWN_COMMENT, Section, parse_day_file, written_heading
from logbook.services.accounts import account_in, day_of
from logbook.services.clocks.proposed import ClockProposal
from logbook.services.clocks.zones import in_its_zone
from logbook.services.keepers.proposals import proposals_in
from logbook.services.naming import Narrow, Pool, SeveralKeepersError
from logbook.services.night.plan import plan_from
from logbook.services.night.planned import NightPlan, PlannedGroup, PlannedVisit
from logbook.services.records import the_trip
from logbook.store.book import Book
from logbook.store.desk import Desk

_OUTCOMES = "made, partly, replaced by X or missed"
ALTERNATIVES = 3  # how many other explanations of a jump stand beside the best


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
        yield _own("take a ? away where you agree, change what is wrong, leave the rest: it stays a proposal")
        yield _journal(day.journal) if day and day.journal else _own("the day in your words")
        for one in self.clocks:
            yield from self._clock(one)
        yield from map(_own, self.sets)
        in_book = {one.id: one for one in self.account.visits}
        seen: set[str | None] = set()
        homeless: list[PlannedGroup] = list(self.plan.others)
        for visit in self.plan.visits:
            place = visit.viewpoint or visit.guess
            if place is None:
                homeless += visit.groups
                yield ""
                yield _own(f"from {visit.arrived} to {visit.departed} somewhere: {visit.reason}")
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
            known = f"known by {kind}: {one.clock.evidence[0].source}"
            if is_only:
                yield _own(f"the clock below is {known}")
            else:
                yield _own(
                    f"for {one.frames} the clock is {known}; state it with keeper clock --since, --until"
                )
            is_stated = is_only and kind is EvidenceKind.STATED
            yield written_entry(ClockEntry(one.clock.body, one.offset_s, proposed=not is_stated))
        for doubt in one.doubts:
            yield _own(f"doubt about the clock: {doubt}")

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
        yield from self._counts(planned, visit)
        if visit and visit.journal:
            yield _journal(visit.journal)
        here, of_none = (self._seen.get((place, visit_id), []) for visit_id in (planned.id, None))
        yield from _conditions(here)
        if is_first:
            yield from self._of_no_visit(of_none)
        if not any(one.kind == "crowd" for one in (*here, *of_none)):
            yield _own(f"- crowd: few at {planned.arrived}, none at {planned.departed}")
        if is_first:
            slugs = {one.id: one.slug for one in self.account.viewpoints.values()}
            yield from _lessons(one for one in self._lessons() if slugs.get(one.viewpoint_id or "") == place)
        support = Support(planned.support) if planned.support and visit is None else None
        for group in planned.groups:
            yield from self._group(group, support)

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
            (line,) = _conditions([one])
            if one.id in of_files:
                yield _own("the next line names no visit yet; leave it under the heading where it belongs")
                yield line
            else:
                yield _own(f"{line.removeprefix('- ')}; of no one visit, condition edit --visit says which")

    def _counts(self, planned: PlannedVisit, visit: Visit | None) -> Iterator[str]:
        tries = visit.tries if visit else planned.tries
        if tries is not None:
            yield written_entry(TriesEntry(tries, proposed=not _is_stated(visit, "tries")))
        support = visit.support if visit else planned.support
        if support:
            yield written_entry(SupportEntry(Support(support), proposed=not _is_stated(visit, "support")))

    def _group(self, group: PlannedGroup, support: Support | None = None) -> Iterator[str]:
        keepers = {keeper.id: keeper for keeper in self.account.keepers}
        if group.filters_reason:
            others = " or ".join(
                f"{' + '.join(one.filters) or 'none'} ({number_text(one.stops, 1)} stops)"
                for one in group.explanations[1 : 1 + ALTERNATIVES]
            )
            yield _own(group.filters_reason + (f"; fits nearly as well: {others}" if others else ""))
        if group.question:
            yield from self._question(group, keepers)
        if group.shot and group.shot_kind != "shot":
            yield _own(f"may stand in for {group.shot}: {group.shot_reason}")
        for keeper_id in group.keeper_ids:
            yield from self._keeper(keepers[keeper_id], group, support)

    def _question(self, group: PlannedGroup, keepers: Mapping[str, Keeper]) -> Iterator[str]:
        """Yield what is asked of frames and both answers as lines that may be taken out of comments."""
        names = [self._name(keepers[keeper_id]) for keeper_id in group.keeper_ids]
        yield _own(
            f"{group.question} ({group.question_reason}); take the lines that are right out of comments"
        )
        for filters in (group.if_filter, group.if_light):
            for name in names:
                said = KeepersEntry(name, name, filters, filters_known=True, filters_said=True)
                yield _own(_keeper_line(said))

    def _keeper(self, keeper: Keeper, group: PlannedGroup, support: Support | None) -> Iterator[str]:
        slugs = {shot.id: shot.slug for shot in self.account.shots}
        name = self._name(keeper)
        is_filters, is_shot = _is_stated(keeper, "filters"), _is_stated(keeper, "shot_id")
        is_support = _is_stated(keeper, "support")
        stated = KeepersEntry(
            first=name,
            last=name,
            filters=keeper.filters if is_filters else None,
            filters_known=is_filters,
            filters_said=is_filters,
            support=keeper.support if is_support else None,
            shot=slugs[keeper.shot_id] if is_shot and keeper.shot_id else None,
            caption=keeper.caption if _is_stated(keeper, "caption") else None,
            sharpness=keeper.sharpness if _is_stated(keeper, "sharpness") else None,
        )
        others = is_support or stated.caption or stated.sharpness
        if is_filters or is_shot or others:
            yield _keeper_line(stated)
        best = group.explanations[0].filters if group.explanations else None
        filters = None if is_filters else keeper.filters if keeper.filters is not None else best
        planned = slugs.get(keeper.shot_id or "") or (group.shot if group.shot_kind == "shot" else None)
        proposed = KeepersEntry(
            first=name,
            last=name,
            filters=filters,
            filters_known=filters is not None,
            filters_said=filters is not None or not (is_filters or others or group.question),
            support=None if is_support else keeper.support or support,
            shot=None if is_shot else planned,
            proposed=True,
        )
        if proposed.filters_said or proposed.support or proposed.shot:
            yield _keeper_line(proposed)

    def _name(self, keeper: Keeper) -> str:
        """Return what a line calls a picture: its stem, unless that means others too or cannot be read."""
        for name in (Path(keeper.file).stem, keeper.file):
            is_alone = self._is_alone(name, keeper)
            said = KeepersEntry(name, name, support=Support.TRIPOD)
            if is_alone and _keeper_line(said) == written_entry(said):
                return name
        return keeper.slug

    def _is_alone(self, name: str, keeper: Keeper) -> bool:
        """Whether a name means one picture of the day and no other."""
        pool = Pool(self.account.keepers, {self.account.trip.id: self.account.trip})
        try:
            return pool.narrowed(Narrow(on=pool.day_of(keeper))).meant(name, name) == [keeper]
        except SeveralKeepersError:
            return False

    def _of_the_day(self, seen: set[str | None], homeless: list[PlannedGroup]) -> Iterator[str]:
        shown = {one.id for one in self.account.viewpoints.values() if one.slug in seen}
        yield from _conditions(one for one in self._conditions() if one.viewpoint_id not in shown)
        for group in homeless:
            yield from self._group(group)
        yield from self._outcomes()
        lessons = [one for one in self._lessons() if one.viewpoint_id not in shown]
        yield from _lessons(lessons)
        if not self._lessons():
            yield _own("- lesson keep: what to keep doing")
            yield _own("- lesson change: what to change next time")
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
                yield written_entry(self._shot_entry(shot, said[shot.id]))
        if len(said) < len(planned):
            yield _own(f"what became of each: {_OUTCOMES}; then {', '.join(Reason)}; then - why")
        for shot in planned:
            if shot.id not in said:
                yield f"- shot {shot.slug}:"

    def _shot_entry(self, shot: Shot, outcome: Outcome) -> ShotEntry:
        shots = {one.id: one.slug for one in self.account.shots}
        keepers = {one.id: one.slug for one in self.account.keepers}
        replaced_by = shots.get(outcome.replaced_by_shot_id or "") or keepers.get(
            outcome.replaced_by_keeper_id or ""
        )
        return ShotEntry(shot.slug, outcome.word, outcome.reasons, replaced_by, outcome.note or "")

    def _conditions(self) -> list[Condition]:
        return [one for one in self.account.conditions if one.on_date == self.on_date]

    def _lessons(self) -> list[Lesson]:
        return [one for one in self.account.lessons if one.on_date == self.on_date]


def _set_words(one: FrameSet, keepers: Iterable[Keeper]) -> str:
    """Return a set as words: a day file does not change it, so that reading one leaves it alone."""
    files = {keeper.id: keeper.file for keeper in keepers}
    known = "as you said" if one.stated else f"found: {one.reason}"
    return (
        f"{one.kind} of {', '.join(files[key] for key in one.keys)}, {known}; keeper join and split change it"
    )


def _own(text: str) -> str:
    """Return a line of the program's own, which reading passes over."""
    begins, ends = OWN_COMMENT
    return f"{begins}{text.replace('--', '–')} {ends}"


def _keeper_line(entry: KeepersEntry) -> str:
    """Return a line about a picture, unless reading it would find something else in it."""
    flat = replace(
        entry,
        caption=" ".join(entry.caption.split()) if entry.caption else None,
        filters=names_now(entry.filters),
    )
    line = written_entry(flat)
    read = parse_day_file(f"---\ndate: 2000-01-01\n---\n{line}\n")
    if [*read.loose, *(one for section in read.sections for one in section.entries)] == [flat]:
        return line
    return _own(f"{line.removeprefix('- ')}; keeper note changes it, for no line can say it")


def _journal(text: str) -> str:
    """Return a journal, unless a day file would read parts of it as something else."""
    read = parse_day_file(f"---\ndate: 2000-01-01\n---\n## X\n{text}\n")
    is_plain = not read.loose and [(one.journal, one.entries) for one in read.sections] == [
        (text.strip(), ())
    ]
    return text if is_plain else _own("its journal holds lines that look like entries; it stays in the book")


def _is_stated(record: Visit | Keeper | None, name: str) -> bool:
    return record is not None and record.provenance_of(name) is Provenance.STATED


def _time(text: str | None) -> time | None:
    return time.fromisoformat(text) if text else None


def _section(planned: PlannedVisit, place: str, visit: Visit | None) -> Section:
    purpose = visit.purpose if visit else VisitPurpose.SHOOTING if planned.groups else None
    proposed = visit is None or not _is_stated(visit, "arrived_at")
    arrived, departed = _time(planned.arrived), _time(planned.departed)
    return Section(
        place,
        arrived=arrived,
        departed=departed,
        purpose=purpose,
        times_proposed=proposed and (arrived is not None or departed is not None),
    )


def _conditions(conditions: Iterable[Condition]) -> Iterator[str]:
    for one in conditions:
        yield written_entry(
            ConditionEntry(one.kind, one.level, one.at, one.direction, one.note or "", one.source)
        )


def _lessons(lessons: Iterable[Lesson]) -> Iterator[str]:
    for one in lessons:
        yield written_entry(LessonEntry(one.verb, one.shown_to, one.text))
