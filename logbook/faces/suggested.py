"""Proposals as a numbered list: by what they are about, the surest first, each with its reason."""

import shlex
from collections.abc import Iterator, Mapping
from itertools import groupby
from typing import TYPE_CHECKING, Any

from logbook.craft.inference.proposal import FilterProposal
from logbook.craft.inference.sets import FrameSet
from logbook.craft.matching import MatchKind, ShotMatch
from logbook.craft.stays import ProposedVisit
from logbook.domain.acutance import Judged
from logbook.domain.written.moments import clock_text
from logbook.faces.alike_shown import hang
from logbook.faces.ink import Ink
from logbook.faces.proposed import clock_words, evidence_words, filters_words, jump_words
from logbook.faces.sharpness_shown import reason_words
from logbook.faces.terminal import answer_prose, say
from logbook.services.clocks.proposed import ClockProposal
from logbook.services.night.frames_told import label_of

if TYPE_CHECKING:
    from logbook.services.keepers.suggestions import Suggested, Suggestion, SuggestionsTaken

WAYS_SHOWN = 3  # other stacks that would explain a jump; --json has all
MARGIN = 4  # columns that a number takes


def suggestions_json(found: "Suggested") -> list[dict[str, Any]]:
    """Return what may be taken, by number."""
    files = _files(found)
    return [_json(number, one, files) for number, one in enumerate(found.suggestions, 1)]


def taken_json(done: "SuggestionsTaken") -> dict[str, Any]:
    """Return what was stated, by number, and what else changed."""
    files = _files(done.suggested)
    stated = [_json(number, one, files) for number, one in done.by_number.items()]
    return {"trip": done.suggested.trip.slug, "stated": stated, "told": list(done.told)}


def _json(number: int, one: "Suggestion", files: Mapping[str, str]) -> dict[str, Any]:
    says, why, _doubts = _words(one, files)
    keepers = [files[key] for key in one.keeper_ids]
    return {"number": number, "about": str(one.subject), "says": says, "reason": why, "keepers": keepers}


def show_suggested(found: "Suggested") -> None:
    """Print what may be taken, numbered, then what is left for a person to decide."""
    numbered, files = list(enumerate(found.suggestions, 1)), _files(found)
    if not numbered:
        answer_prose("Nothing can be worked out that is not already in the book.", ink=Ink.HEADING)
    for subject, group in groupby(numbered, key=lambda pair: pair[1].subject):
        answer_prose(str(subject).capitalize(), ink=Ink.HEADING)
        for number, one in group:
            says, why, doubts = _words(one, files)
            hang(f"{number}", f"{says}: {why}" if why else says, MARGIN)
            for doubt in doubts:
                hang("", doubt, MARGIN)
    if others := list(_others(found)):
        answer_prose("Without a number", ink=Ink.HEADING)
        for text in others:
            hang("-", text, MARGIN)
    for note in found.proposals.filters.notes:
        say(note)
    if numbered:
        some = "1" if len(numbered) == 1 else f"1,3-{len(numbered)}" if len(numbered) > 3 else "1,2"
        line = f"logbook keeper accept {some} --trip {shlex.quote(found.trip.slug)}"
        say(f'Choose by number, such as "{line}".')


def show_taken(done: "SuggestionsTaken") -> None:
    """Print what was stated."""
    for number, one in done.by_number.items():
        hang(f"{number}", _words(one, _files(done.suggested))[0], MARGIN)
    for told in done.told:
        say(told)
    count = len(done.by_number)
    answer_prose(f'{count} stated; "logbook undo" reverses this.')


def _files(found: "Suggested") -> Mapping[str, str]:
    return {keeper.id: keeper.file for keeper in found.proposals.keepers}


def _words(one: "Suggestion", files: Mapping[str, str]) -> tuple[str, str, tuple[str, ...]]:
    """Return what a suggestion states, why, and the doubts about it."""
    about, named = one.about, label_of([files[key] for key in one.keeper_ids]) if one.keeper_ids else ""
    match about:
        case ClockProposal():
            frames = f" for {about.frames}" if about.frames else ""
            clock = f"The clock of {about.clock.body} is {clock_words(about.offset_s)}{frames}"
            return clock, evidence_words(about), tuple(f"doubt: {doubt}" for doubt in about.doubts)
        case FrameSet():
            return f"{str(about.kind).capitalize()} of {named}", about.reason, ()
        case FilterProposal():
            return _filter_words(one, about, named)
        case ProposedVisit():
            arrived, departed = map(clock_text, one.times)
            doubts = tuple(f"perhaps two visits: {two.reason}" for two in about.doubtful)
            when = f"at {arrived}" if arrived == departed else f"{arrived} to {departed}"
            return f"Visit to {about.spot}, {when}", about.reason, doubts
        case ShotMatch():
            return f"{named} for {about.shot}", about.reason, ()
        case Judged():
            return f"{named} is soft", reason_words(about), ()


def _filter_words(one: "Suggestion", about: FilterProposal, named: str) -> tuple[str, str, tuple[str, ...]]:
    says = f"{filters_words(one.stack)} on {named}"
    if about.asked:
        change = f"only the light has {about.light}" if one.is_light else "a filter was changed there"
        return says, f"if {change}; {about.reason.partition(':')[0]}", ()
    others = [filters_words(why.filters) for why in about.explanations[1:]]
    more = f" and {len(others) - WAYS_SHOWN} more" if len(others) > WAYS_SHOWN else ""
    ways = (f"or {', '.join(others[:WAYS_SHOWN])}{more}",) if others else ()
    return says, jump_words(about.jump_stops), ways


def _others(found: "Suggested") -> Iterator[str]:
    """Yield what was worked out and cannot be taken by a number, each with what to do."""
    files, proposals = _files(found), found.proposals
    trip = f" --trip {shlex.quote(found.trip.slug)}"
    by_number = [one.about for one in found.suggestions]
    for clock in proposals.clocks:
        if clock.doubts and clock not in by_number:
            doubts = "; ".join(clock.doubts)
            yield (
                f"The clock of {clock.clock.body} is in doubt: {doubts}; "
                f'"logbook keeper clock{trip}" puts it right'
            )
    for match in proposals.matches:
        if match.kind is MatchKind.REPLACEMENT:
            file, shot = files[match.keeper], match.shot
            line = f"logbook shot edit {shot} --outcome replaced --replaced-by {file}"
            yield f'{file} may stand in for {shot}: {match.reason}; "{line}" says so'
    for visit in proposals.visits:
        if visit.spot is None and visit.visit is None:
            where = label_of([files[key] for key in visit.frames]) if visit.frames else "the track"
            named = f'"logbook night{trip}" names it'
            yield f"A visit to a place without a name ({where}): {visit.reason}; {named}"
