"""What was observed: one entry for each condition, by place, with what it decided."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from datetime import date

from logbook.domain.belonging import decided
from logbook.domain.condition import Condition
from logbook.domain.condition_kinds import KINDS
from logbook.domain.shown import Shown
from logbook.faces.report.models import Entry, ObservedLine, PlaceBlock
from logbook.faces.report.order import Order
from logbook.faces.report.parts import PageDraft, status
from logbook.faces.report.where import place_name
from logbook.faces.words.phrases import (
    capitalised,
    clock,
    condition_text,
    date_text,
    ended,
    sentence,
    short_date,
)
from logbook.faces.words.prose import line

ON_THE_WAY = "On the way"


def entry(account: Shown, condition: Condition, told: Sequence[str] = ()) -> Entry | None:
    """Return one observation; a closure says when it was seen, by whom, and that it must be checked again.

    `told` are sentences about what it decided; they follow it. None where nothing is left to say.
    """
    is_hidden = account.hides(condition.viewpoint_id, condition.site_id)
    note, direction, source = (
        "" if is_hidden else line(text) for text in (condition.note, condition.direction, condition.source)
    )
    if condition.level is None and not note and not KINDS[condition.kind].is_barrier:
        return None
    day = date_text(condition.on_date)
    when = f"{short_date(condition.on_date)}{', ' + clock(condition.at) if condition.at else ''}"
    what = capitalised(condition_text(condition.kind, condition.level, direction or None))
    caution = f"Source: {source}." if source else ""
    if KINDS[condition.kind].is_barrier:
        said = f"source: {source}" if source else "source not noted"
        caution = f"Observed on {day}, {said}; check again before going."
    caution = " ".join(filter(None, (*told, caution)))
    if caution:  # another sentence follows
        what, note = (what, ended(note)) if note else (ended(what), note)
    return Entry(when, what, note, caution)


def anchor_of(account: Shown, condition: Condition) -> str:
    """Return the anchor of an observation: its number in the account."""
    number = next(n for n, one in enumerate(account.conditions, start=1) if one.id == condition.id)
    return f"condition-{number}"


def observed_line(seen: Entry, when: str) -> str:
    """Return an observation as one line under a visit or a shot."""
    words = sentence(f"{seen.what}: {seen.note}" if seen.note else seen.what)
    return " ".join(filter(None, (f"{when} –" if when else "", words, seen.caution)))


def observed_lines(draft: PageDraft, conditions: Iterable[Condition]) -> tuple[str, ...]:
    """Return the observations of a visit; what reads alike is said once, in the book as often."""
    return tuple(one.text for one in seen_lines(draft, conditions))


def seen_lines(draft: PageDraft, conditions: Iterable[Condition]) -> tuple[ObservedLine, ...]:
    """Return the observations of a visit; what reads alike is said once, in the book as often.

    For others it stands here alone, and links from elsewhere lead to it; the book lists it by place as well.
    """
    account, with_book = draft.order.account, draft.edition.with_book
    lines: dict[str, ObservedLine] = {}
    for condition in conditions:
        if not (seen := entry(account, condition)):
            continue
        text = observed_line(seen, clock(condition.at) if condition.at else "")
        anchor = "" if with_book else anchor_of(account, condition)
        key = condition.id if with_book else text
        lines.setdefault(key, ObservedLine(text, _brief(seen), anchor))
    return tuple(lines.values())


def _brief(seen: Entry) -> str:
    """An observation in a few words, which go on in a line: "a few people", "wind force 4, from W"."""
    return f"{seen.what[:1].lower()}{seen.what[1:].rstrip('.')}"


def told_under_a_visit(draft: PageDraft, condition: Condition) -> bool:
    """Tell whether an observation stands under a visit alone; the book lists all by place too."""
    return not draft.edition.with_book and draft.order.visit_of_condition(condition) is not None


def drawn_on(order: Order, day: date) -> tuple[Condition, ...]:
    """Return what was observed on a day that its drawing shows: how many people were there."""
    return tuple(one for one in order.account.conditions if KINDS[one.kind].drawn and one.on_date == day)


def conditions(draft: PageDraft) -> tuple[PlaceBlock, ...]:
    """Return observations by place; without craft closures, and what decided about a shot, which is named."""
    places: dict[str, list[Entry]] = {}
    account = draft.order.account
    for condition, seen in _entries(draft):
        place = place_name(account, condition.viewpoint_id, condition.site_id) or ON_THE_WAY
        places.setdefault(place, []).append(seen)
    return tuple(PlaceBlock(place, entries=tuple(entries)) for place, entries in places.items())


def _entries(draft: PageDraft) -> Iterator[tuple[Condition, Entry]]:
    order, edition = draft.order, draft.edition
    bore_on = {} if edition.with_craft else decided(order.account, order.visit_by_keeper)
    for condition in draft.portion.conditions:
        about = bore_on.get(condition.id, ())
        if not (edition.with_craft or about or KINDS[condition.kind].is_barrier):
            continue
        if edition.with_craft and told_under_a_visit(draft, condition):
            continue
        shots = [one for one in order.shots if one.id in about]
        told = [f"Shot {order.shot_numbers[one.id]}: {status(order, one).lower()}." for one in shots]
        if seen := entry(order.account, condition, told):
            seen = replace(seen, anchor=anchor_of(order.account, condition))
            if edition.with_book:
                slug = f"[{line(condition.slug)}]"
                seen = replace(seen, caution=" ".join(filter(None, (seen.caution, slug))))
            yield condition, seen
