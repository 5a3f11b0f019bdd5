"""What a person says of the day as a whole: what changed, lessons, the journal, and places they name.

Surprising decisions: words that fit no kind of condition are kept in the journal, of the place that they
name or of the day, because a person who wrote them meant somebody to read them. Places of other trips are
not looked for, so that a plain word ("bridge closed") cannot land at a bridge on the other side of the
world.
"""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import cast

from logbook.domain.checks import check_text
from logbook.domain.day import Day
from logbook.domain.errors import InvalidValueError
from logbook.domain.lesson import Lesson
from logbook.domain.names import slug_of
from logbook.domain.record import new_record
from logbook.domain.site import Site
from logbook.domain.viewpoint import Viewpoint
from logbook.domain.visit import Visit
from logbook.domain.words import LessonVerb, Provenance
from logbook.domain.written.choices import says_nothing
from logbook.domain.written.observations import Observation, observations_written
from logbook.services import kinds
from logbook.services.night.evening import (
    Evening,
    Given,
    Understood,
    id_of,
    put,
    replace_conditions,
    said,
    told,
)
from logbook.services.night.noted import condition_fields, condition_told
from logbook.services.night.questions import Asks, Question, is_answer_elsewhere
from logbook.services.night.visits import NOTHING_NOTED, visit_record
from logbook.services.records import put_new

_LED = r"(?:(?:at|on)\s+)?(?:the\s+)?{name}\s*(?:[:,–—]|\s-\s)\s*(?P<rest>\S.*)"
_SUBJECT = (
    r"(?:the\s+)?{name}\s+(?:(?:is|was|were|are|has|had|got|fully|partly|all|still|again)\s+)*"
    r"(?:open|closed|shut|locked|barred|blocked|flooded|crowded|packed|empty|deserted|washed|under|too)\b.*"
)
_THERE = (
    r".*?\b(?:at|on|near)\s+(?:the\s+)?{name}(?=\s*(?:$|[,.:!()])|\s+(?:at|from|since|until|till|by|after|before"
    r"|is|was|were|because|for|with|all|in)\b).*|.*\(\s*{name}\s*\)\s*[.!]?"
)


@dataclass(frozen=True, slots=True)
class Places:
    """The places of a trip by id, and their ids by every name (a slug) that belongs to one of them alone."""

    by_id: Mapping[str, Viewpoint | Site]
    names: Mapping[str, str]

    def fields(self, place_id: str | None) -> dict[str, str | None]:
        """The place as fields of a condition or a lesson."""
        place = self.by_id.get(place_id or "")
        return {
            "viewpoint_id": place.id if isinstance(place, Viewpoint) else None,
            "site_id": place.id if isinstance(place, Site) else None,
        }

    def where(self, place_id: str | None) -> str:
        """The place as words behind what was said: ` at lamp-terrace`."""
        place = self.by_id.get(place_id or "")
        return f" at {place.slug}" if place else ""

    def named(self, line: str) -> tuple[str | None, str]:
        """Return the place that a line names in full, and the line, without the name where that led it.

        `lamp terrace, gate locked`, `lamp terrace was flooded` and `rain at the lamp terrace` name it; `lamp
        terrace road closed` speaks of a road.
        """
        text = " ".join(line.split())
        for name in sorted(self.names, key=len, reverse=True):
            words = r"[\s-]+".join(re.escape(word) for word in name.split("-"))
            for form in (_LED, _SUBJECT, _THERE):
                if found := re.fullmatch(form.format(name=words), text, re.IGNORECASE):
                    rest = str(found.groupdict().get("rest") or text)
                    return self.names[name], rest if len(rest.split()) > 1 or says_nothing(rest) else text
        return None, text


def places_of(evening: Evening) -> Places:
    """Return the places of the trip; a viewpoint goes before a site of the same name."""
    desk = evening.desk
    tied = {one.viewpoint_id for one in desk.shots.all(trip_id=evening.trip.id)}
    tied |= {one.viewpoint_id for one in desk.visits.all(trip_id=evening.trip.id)}
    tied |= {one.viewpoint_id for one in desk.keepers.all(trip_id=evening.trip.id)}
    stays = {visit.viewpoint for visit in evening.visits.values()}
    viewpoints = [one for one in desk.viewpoints.all() if one.id in tied or one.slug in stays]
    sites = [site for site in desk.sites.all() if site.id in {one.site_id for one in viewpoints}]
    names: dict[str, str] = {}
    shelves: tuple[Sequence[Viewpoint | Site], ...] = (sites, viewpoints)
    for shelf in shelves:
        meant: dict[str, set[str]] = {}
        for place in shelf:
            for name in (place.title, place.slug, *place.also_called):
                meant.setdefault(slug_of(name), set()).add(place.id)
        names |= {name: ids.pop() for name, ids in meant.items() if len(ids) == 1}
    return Places({one.id: one for shelf in shelves for one in shelf}, names)


def say_changes(evening: Evening, question: Question, given: Given | None) -> Understood:
    """Say what closed, flooded or changed: each line a condition of its own kind at the place it names."""
    if given is not None and not given.text:
        return Understood()
    places = places_of(evening)
    observed = _observed(given.text if given else "", places)
    before = evening.previous.get(question.key)
    was = _observed(before.text if before else "", places)
    entries = [
        condition_fields(entry) | places.fields(one.place) for one in observed for entry in one.conditions
    ]
    replace_conditions(evening, "changes", entries)
    for one in was:
        if one.words and one not in observed:
            _put_words(evening, places, one, is_taken_back=True)
    for one in observed:
        if one.words:
            _put_words(evening, places, one)
    return told(*(sentence for one in observed for sentence in _told_of(one, places)))


def _observed(text: str, places: Places) -> list[Observation]:
    observed = []
    for line in filter(None, (part.strip() for part in re.split(r"[;\n]", text))):
        _refuse_no_sentence(line)
        place_id, words = places.named(line)
        observed += [replace(one, place=place_id) for one in observations_written(words)]
    return observed


def _told_of(one: Observation, places: Places) -> list[str]:
    if one.is_nothing:
        return [NOTHING_NOTED]
    if one.words:
        return [f'"{one.words}" is not a kind of condition; it is kept in {_journal_name(one, places)}.']
    where = places.where(one.place)
    return [condition_told(entry, where) for entry in one.conditions]


def _journal_name(one: Observation, places: Places) -> str:
    return f"the journal{places.where(one.place) or ' of the day'}"


def _put_words(evening: Evening, places: Places, one: Observation, *, is_taken_back: bool = False) -> None:
    """Put words into the journal of the visit to their place, else of the day, or take them out."""
    now, was = (None, one.text) if is_taken_back else (one.text, None)
    visit = _visit_at(evening, places, one.place)
    if visit is None:
        _put_journal(evening, was, now, Provenance.STATED)
    else:
        journal = {"journal": _with_block(visit.journal, was, now)}
        put(evening.desk.visits, visit, said(visit, evening.now, Provenance.STATED, journal))


def _visit_at(evening: Evening, places: Places, place_id: str | None) -> Visit | None:
    place = places.by_id.get(place_id or "")
    for planned in evening.visits.values():
        if place is not None and planned.viewpoint == place.slug:
            return visit_record(evening, planned.id)
    of_day = evening.desk.visits.all(trip_id=evening.trip.id, on_date=evening.on_date)
    return next((one for one in of_day if one.viewpoint_id == place_id), None)


def say_lesson(evening: Evening, question: Question, given: Given | None) -> Understood:
    """Say what to keep doing or to change: each line a lesson, at the place that it names."""
    if given is not None and not given.text:
        return Understood()
    verb = LessonVerb.KEEP if question.asks is Asks.KEEP else LessonVerb.CHANGE
    lines = [line.strip() for line in given.text.splitlines() if line.strip()] if given else []
    places = places_of(evening)
    texts: list[tuple[str | None, str]] = []
    for line in lines:
        _refuse_no_sentence(line)
        if not says_nothing(line):
            place_id, text = places.named(line)
            texts.append((place_id or _only_viewpoint(evening), text))
    number = 0
    for number, (place_id, text) in enumerate(texts, 1):
        _put_lesson(evening, verb, number, {"text": text, **places.fields(place_id)}, given)
    while (surplus := evening.desk.lessons.get(_lesson_id(evening, verb, number + 1))) is not None:
        evening.desk.lessons.remove([surplus.id])
        number += 1
    if not texts:
        return told(NOTHING_NOTED if lines else None)
    several = f"{len(texts)} lessons are kept." if len(texts) > 1 else None
    return told(several, *(_told_lesson(text, places.where(place_id)) for place_id, text in texts))


def _told_lesson(text: str, where: str) -> str | None:
    return f'"{text}" is kept{where}.' if where else None


def _only_viewpoint(evening: Evening) -> str | None:
    """Return the viewpoint of a day that was spent at one; a lesson of such a day was learned there."""
    there = {
        one.viewpoint_id for one in evening.desk.visits.all(trip_id=evening.trip.id, on_date=evening.on_date)
    }
    return there.pop() if len(there) == 1 and len(evening.visits) <= 1 else None


def _lesson_id(evening: Evening, verb: LessonVerb, number: int) -> str:
    return id_of(evening, str(verb) if number == 1 else f"{verb} {number}")


def _put_lesson(
    evening: Evening, verb: LessonVerb, number: int, fields: dict[str, str | None], given: Given | None
) -> None:
    lesson_id = _lesson_id(evening, verb, number)
    before = evening.desk.lessons.get(lesson_id)
    word = given.word if given else Provenance.STATED
    if before is not None:
        put(evening.desk.lessons, before, cast(Lesson, said(before, evening.now, word, fields)))
        return
    of_day = {"trip_id": evening.trip.id, "on_date": evening.on_date}
    put_new(evening.desk, kinds.LESSON, evening.now, {"id": lesson_id, "verb": verb, **of_day, **fields})


def say_journal(evening: Evening, question: Question, given: Given | None) -> Understood:
    """Write into the journal of the day."""
    before = evening.previous.get(question.key)
    if given is None or not given.text:
        return Understood()
    check_text(given.text, "journal")
    _refuse_no_sentence(given.text)
    is_nothing = says_nothing(given.text)
    _put_journal(evening, before.text if before else None, None if is_nothing else given.text, given.word)
    return told(NOTHING_NOTED if is_nothing else None)


def _put_journal(evening: Evening, was: str | None, now: str | None, word: Provenance) -> None:
    day = evening.desk.days.first(trip_id=evening.trip.id, on_date=evening.on_date)
    journal = _with_block(day.journal if day else None, was, now)
    if day is not None:
        put(evening.desk.days, day, said(day, evening.now, word, {"journal": journal}))
    elif journal is not None:
        base = new_record(evening.now)
        evening.desk.days.add(Day(**base, trip_id=evening.trip.id, on_date=evening.on_date, journal=journal))


def _with_block(journal: str | None, was: str | None, now: str | None) -> str | None:
    """Return a journal with one block of text in place of another; a block that it has is not added again."""
    text = journal or ""
    if was and was != now:
        text = _block(was).sub("", text).strip()
    if now and not _block(now).search(text):
        text = f"{text}\n\n{now}".strip()
    return text or None


def _block(text: str) -> re.Pattern[str]:
    return re.compile(rf"(?:^|(?<=\n)\n?){re.escape(text)}(?=\n\n|\s*$)")


def _refuse_no_sentence(line: str) -> None:
    if is_answer_elsewhere(line):
        raise InvalidValueError(
            f'"{line.strip()}" alone says too little here; write a whole sentence, or: nothing.'
        )
