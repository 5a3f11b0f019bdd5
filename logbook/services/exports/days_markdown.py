"""Days as Markdown that `logbook day read` takes back: what was written down, and nothing worked out.

One surprising decision: what a day file cannot say, such as an observation at a viewpoint where nobody was
that day, is named in a comment and stays in the book; JSON holds everything. Kit belongs to the trip, not to
a day, and is not written.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date

from logbook.domain.belonging import seen_on, visit_seen_on, visits_by_keeper
from logbook.domain.condition import Condition
from logbook.domain.keeper import Keeper
from logbook.domain.lesson import Lesson
from logbook.domain.shown import Shown
from logbook.domain.visit import Visit
from logbook.domain.written.entry import (
    ConditionEntry,
    Entry,
    KeepersEntry,
    LessonEntry,
)
from logbook.intake.dayfile import DayFile, Section, write_day_file
from logbook.intake.written_files import own_comment
from logbook.services.accounts import day_of
from logbook.services.conditions import condition_entry
from logbook.services.dayfiles.written import (
    is_stated,
    lesson_entry,
    reads_back,
    shot_entry,
    visit_entries,
)


def day_files(shown: Shown) -> Iterator[tuple[str, str]]:
    """Yield the name and the text of each day that something was written down for, in order."""
    account = shown
    taken: dict[date, list[Keeper]] = {}
    for keeper in account.keepers:
        if (day := day_of(keeper, account.trip)) and _is_noted(keeper):
            taken.setdefault(day, []).append(keeper)
    days = {one.on_date for one in account.days} | {one.on_date for one in account.visits} | set(taken)
    days |= {one.on_date for one in account.conditions}
    days |= {one.on_date for one in account.lessons if one.on_date}
    days |= {one.on_date for one in account.shots if one.on_date and one.id in account.outcomes}
    shots = {one.id: one.slug for one in account.shots}
    visits = visits_by_keeper(account.keepers, account.visits, account.trip.day_ends_at)
    for on_date in sorted(days):
        day_file = _DayText(shown, on_date, tuple(taken.get(on_date, ())), shots, visits)
        yield f"{account.trip.slug}-{on_date}.md", day_file.text()


@dataclass(frozen=True, slots=True)
class _DayText:
    shown: Shown
    on_date: date
    keepers: tuple[Keeper, ...]
    shots: Mapping[str, str]  # id to slug
    visit_by_keeper: Mapping[str, str]

    def text(self) -> str:
        """Return the file's text; what does not read back as it stands in the book is left out and named."""
        account = self.shown
        day = next((one for one in account.days if one.on_date == self.on_date), None)
        own = self._sections(day.journal or "" if day else "")
        sections, left_out = [], []
        for section in own:
            kept, told = _readable(section)
            sections.append(kept)
            left_out += told
        left_out += list(self._homeless())
        zone = day.zone if day else None
        text = write_day_file(DayFile(account.trip.slug, self.on_date, zone, tuple(sections)))
        comments = [own_comment(f"not in this file: {told}") for told in left_out]
        return text + ("\n" + "\n".join(comments) + "\n" if comments else "")

    def _sections(self, journal: str) -> list[Section]:
        seen: set[str] = set()
        visited = []
        for visit in self._visits():
            is_first = visit.viewpoint_id not in seen
            seen.add(visit.viewpoint_id)
            slug = self.shown.viewpoints[visit.viewpoint_id].slug
            entries: list[Entry] = [*visit_entries(visit), *self._observed(visit)]
            if is_first:
                entries += self._learnt(visit.viewpoint_id)
            for keeper in self.keepers:
                if self._is_under(keeper, visit):
                    entries += self._picture(keeper, at_heading=True)
            visited.append(
                Section(
                    slug,
                    arrived=visit.arrived_at,
                    departed=visit.departed_at,
                    purpose=visit.purpose,
                    journal=visit.journal or "",
                    entries=tuple(entries),
                    times_proposed=_is_proposed(visit),
                )
            )
        return [Section(journal=journal, entries=tuple(self._of_the_day())), *visited]

    def _visits(self) -> list[Visit]:
        account = self.shown
        return [
            one
            for one in account.visits
            if one.on_date == self.on_date and one.viewpoint_id in account.viewpoints
        ]

    def _of_the_day(self) -> Iterator[Entry]:
        account = self.shown
        yield from (condition_entry(one) for one in self._conditions() if one.viewpoint_id is None)
        yield from self._learnt(None)
        visits = {one.id: one for one in self._visits()}
        for keeper in self.keepers:
            visit = visits.get(self.visit_by_keeper.get(keeper.id, ""))
            if visit is None or not self._is_under(keeper, visit):
                yield from self._picture(keeper)
        for shot in account.shots:
            outcome = account.outcomes.get(shot.id)
            if shot.on_date == self.on_date and outcome is not None and outcome.is_stated:
                yield shot_entry(account, shot, outcome)

    def _observed(self, visit: Visit) -> list[ConditionEntry]:
        """What was observed on a visit."""
        account = self.shown
        found = seen_on(visit, self._conditions(), account.visits, account.trip.day_ends_at)
        return [condition_entry(one) for one in found]

    def _learnt(self, viewpoint_id: str | None) -> list[LessonEntry]:
        """What was learnt at a viewpoint, or on the day as a whole."""
        return [lesson_entry(one) for one in self._lessons() if one.viewpoint_id == viewpoint_id]

    def _conditions(self) -> list[Condition]:
        return [one for one in self.shown.conditions if one.on_date == self.on_date]

    def _lessons(self) -> list[Lesson]:
        return [one for one in self.shown.lessons if one.on_date == self.on_date]

    def _is_under(self, keeper: Keeper, visit: Visit) -> bool:
        """Whether a picture may stand under a visit's heading, which says its place as surely as the book."""
        is_there = self.visit_by_keeper.get(keeper.id) == visit.id
        is_known = keeper.viewpoint_id is None or is_stated(keeper, "viewpoint_id")
        return is_there and is_known is not _is_proposed(visit)

    def _picture(self, keeper: Keeper, *, at_heading: bool = False) -> Iterator[Entry]:
        """Yield what a person said of a picture, then what is only proposed."""
        account = self.shown
        viewpoint = account.viewpoints.get(keeper.viewpoint_id or "")
        for proposed in (False, True):

            def of(name: str, proposed: bool = proposed) -> bool:
                return getattr(keeper, name) is not None and is_stated(keeper, name) is not proposed

            has_filters, has_place = of("filters"), of("viewpoint_id")
            entry = KeepersEntry(
                first=keeper.slug,
                last=keeper.slug,
                filters=keeper.filters if has_filters else None,
                filters_known=has_filters,
                filters_said=has_filters,
                support=keeper.support if of("support") else None,
                shot=self.shots.get(keeper.shot_id or "") if of("shot_id") else None,
                viewpoint=viewpoint.slug if viewpoint and has_place and not at_heading else None,
                caption=keeper.caption if of("caption") and not proposed else None,
                sharpness=keeper.sharpness if of("sharpness") and not proposed else None,
                proposed=proposed,
            )
            said = (entry.filters_said, entry.support, entry.shot, entry.viewpoint)
            if any((*said, entry.caption, entry.sharpness)):
                yield entry
            elif at_heading and has_place and not proposed and keeper.filters is None:
                yield replace(entry, filters_said=True)  # a line that says nothing would not say the place

    def _homeless(self) -> Iterator[str]:
        """Name what was observed or learnt where no visit of the day was, and what waits to be sorted out."""
        account = self.shown
        visits = {one.id for one in self._visits()}
        visited = {None, *(one.viewpoint_id for one in self._visits())}
        noted: list[Condition | Lesson] = [*self._conditions(), *self._lessons()]
        for one in noted:
            if one.viewpoint_id not in visited:
                yield f"{type(one).__name__.lower()} {one.slug}, at a viewpoint without a visit"
            elif (
                isinstance(one, Condition)
                and one.viewpoint_id is not None
                and visit_seen_on(one, account.visits, account.trip.day_ends_at) not in visits
            ):
                yield f"condition {one.slug}, not tied to one of several visits"
        for shot in account.shots:
            outcome = account.outcomes.get(shot.id)
            if shot.on_date == self.on_date and outcome is not None and not outcome.is_stated:
                yield f"an outcome of {shot.slug} that nobody stated"
        loose = sum(1 for one in self.shown.loose_lines if one.on_date == self.on_date)
        if loose:
            yield f"{loose} line{'s' if loose > 1 else ''} to sort out"


def _is_noted(keeper: Keeper) -> bool:
    names = ("filters", "support", "shot_id", "caption", "viewpoint_id", "sharpness")
    return any(getattr(keeper, name) is not None for name in names)


def _readable(section: Section) -> tuple[Section, list[str]]:
    """Return the part of a section that reads back as it is, and what had to be left out."""
    told = []
    journal = section.journal.strip()
    if journal and not reads_back(replace(section, journal=journal, entries=())):
        told.append("a journal whose lines look like entries")
        journal = ""
    entries = []
    for entry in section.entries:
        if reads_back(Section(section.viewpoint or "x", entries=(entry,))):
            entries.append(entry)
        else:
            told.append(f"a {type(entry).__name__.removesuffix('Entry').lower()} that a line cannot hold")
    return replace(section, journal=journal, entries=tuple(entries)), told


def _is_proposed(visit: Visit) -> bool:
    """Whether the times of a visit are only proposed; a heading without times is always stated."""
    times = [name for name in ("arrived_at", "departed_at") if getattr(visit, name) is not None]
    return not all(is_stated(visit, name) for name in times)
