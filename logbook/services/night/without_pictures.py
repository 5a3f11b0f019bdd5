"""A stay that left no picture: scouting, a failed attempt, a closed gate; said as a section of a day file.

One surprising decision: the same place at the same time is the same stay, so that saying it again adds to it
what is new and makes no second one.
"""

from dataclasses import replace

from logbook.domain.errors import InvalidValueError
from logbook.domain.visit import Visit
from logbook.domain.written.entry import ConditionEntry, SupportEntry, TriesEntry
from logbook.domain.written.moments import clock_text
from logbook.intake.dayfile import Section, parse_day_file
from logbook.services import kinds
from logbook.services.night.evening import Evening, Given, Understood, id_of, put, replace_conditions, said
from logbook.services.night.kept import KeptAnswers
from logbook.services.night.noted import condition_fields
from logbook.services.night.plan import visit_in_book
from logbook.services.night.planned import begin_of
from logbook.services.night.questions import Question
from logbook.services.places.headed import headed
from logbook.services.records import put_new
from logbook.services.visits.visits import settle

HOW_TO = "North gate 12:10-12:20 scouting"


def say_stay(evening: Evening, _question: Question, given: Given | None) -> Understood:
    """Say where one was without a picture, when and what for; further lines say what was there."""
    if given is None or not given.text:
        return Understood()
    section, there = headed(evening.desk, _section(evening, given.text))
    visit_id = id_of(evening, f"stay {there.id} {section.arrived}")
    fields = {
        "arrived_at": section.arrived,
        "departed_at": section.departed,
        "purpose": section.purpose,
        "journal": section.journal or None,
        "tries": next((one.count for one in section.entries if isinstance(one, TriesEntry)), None),
        "support": next((one.support for one in section.entries if isinstance(one, SupportEntry)), None),
    }
    known = {name: value for name, value in fields.items() if value is not None}
    before = evening.desk.visits.get(visit_id)
    if before is not None:
        put(evening.desk.visits, before, said(before, evening.now, given.word, known))
        told: list[str] = []
    else:
        of_day = {"trip_id": evening.trip.id, "on_date": evening.on_date, "viewpoint_id": there.id}
        made = put_new(evening.desk, kinds.VISIT, evening.now, {"id": visit_id, **of_day, **known})
        made, told = settle(evening.desk, evening.trip, made, evening.now)
        _into_plan(evening, made, there.slug)
    here = {"viewpoint_id": there.id, "visit_id": visit_id}
    seen = [condition_fields(one) | here for one in section.entries if isinstance(one, ConditionEntry)]
    if seen:
        replace_conditions(evening, f"conditions {visit_id}", seen)
    times = "-".join(clock_text(at) for at in (section.arrived, section.departed) if at)
    of_lines = tuple(one.told for one in section.entries if one.told)
    return Understood(
        (f"{' '.join(filter(None, (there.slug, times, section.purpose)))} is kept.", *of_lines, *told)
    )


def _section(evening: Evening, text: str) -> Section:
    """The section that a text is; InvalidValueError where it names no place, or says too much."""
    day = parse_day_file(f"---\ndate: {evening.on_date}\n---\n## {text.strip().removeprefix('## ')}\n")
    if day.loose:
        raise InvalidValueError(f'"{day.loose[0].text}" was not understood: {day.loose[0].why}.')
    sections = [one for one in day.sections if one.viewpoint is not None]
    if len(sections) != 1 or len(day.sections) != 1:
        raise InvalidValueError(f"Say where and when it was, for example: {HOW_TO}.")
    for one in sections[0].entries:
        if not isinstance(one, ConditionEntry | TriesEntry | SupportEntry):
            raise InvalidValueError(f'"{one.text}" belongs elsewhere on the page; write it there.')
    return sections[0]


def _into_plan(evening: Evening, visit: Visit, viewpoint: str) -> None:
    """Let the evening go on with a stay that was not there when its day was planned."""
    kept = KeptAnswers(evening.desk, evening.trip.id, evening.on_date, evening.now)
    plan = kept.plan()
    if plan is None:
        return  # the day is planned again with each answer, from the visits that the book has
    ends_at = evening.trip.day_ends_at
    visits = (*plan.visits, visit_in_book(visit, viewpoint))
    in_order = tuple(sorted(visits, key=lambda one: begin_of(one, visit.on_date, ends_at)))
    kept.keep_plan(replace(plan, visits=in_order))
