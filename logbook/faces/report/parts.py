"""Parts that every audience's page is put together from; each takes values that a builder has picked.

One surprising decision: a part never reaches for free text by itself but is handed it, so that reading one
builder shows everything its audience can see.
"""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from datetime import date

from markupsafe import Markup

from logbook.craft.feasible import Verdict
from logbook.domain.condition import Condition
from logbook.domain.keeper import Keeper
from logbook.domain.record import Record
from logbook.domain.shot import Shot
from logbook.domain.trip_days import days_in_the_field
from logbook.domain.words import ConditionKind, OutcomeWord
from logbook.faces.report.models import (
    Cell,
    Column,
    Entry,
    Fact,
    Figure,
    Image,
    OutcomeLine,
    Passage,
    PlannedLine,
    Reference,
    Table,
    Value,
)
from logbook.faces.report.order import Order
from logbook.faces.report.privacy import WITHHELD, PageDiscretion
from logbook.faces.report.settings import Scrub, column, exact, legend, setting
from logbook.faces.words.glass import readable
from logbook.faces.words.phrases import (
    STATUSES,
    because,
    capitalised,
    clock,
    condition_text,
    counted,
    date_text,
    ended,
    listed,
    number_word,
    sentence,
    short_date,
    time_of_day,
    why_not,
)
from logbook.faces.words.verdicts import off_text

SETTINGS_FILE = "settings.csv"
PICTURE_COLUMN = Column(
    "Picture", "The picture's number on these pages, in the order they were taken.", "Picture"
)
Images = Mapping[str, Image | None]  # by keeper id; None where the original was not found


def fact(label: str, *values: str | Value) -> Fact | None:
    """Return a labelled fact, or None where no value says anything."""
    shown = tuple(Value(value) if isinstance(value, str) else value for value in values)
    shown = tuple(value for value in shown if value.text)
    return Fact(label, shown) if shown else None


def facts(*candidates: Fact | None) -> tuple[Fact, ...]:
    """Return the facts that say something."""
    return tuple(candidate for candidate in candidates if candidate)


def passage(say: PageDiscretion, text: str | None, label: str = "") -> Passage | None:
    """Return free text under a label, or None where there is none."""
    html = say.prose(text)
    return Passage(html, label) if html else None


def note(say: PageDiscretion, text: str | None) -> Passage | None:
    """Return a note as a sentence, because day files are written in half-lines."""
    return passage(say, sentence(text.strip())) if text and text.strip() else None


def advice(say: PageDiscretion, text: str) -> Markup | None:
    """Return a lesson's text as a sentence, or None where nothing of it may be shown."""
    said = note(say, text)
    return said.html if said else None


def passages(*candidates: Passage | None) -> tuple[Passage, ...]:
    """Return the passages that say something."""
    return tuple(candidate for candidate in candidates if candidate)


def moment_text(keeper: Keeper) -> str:
    """Return "14 October 2031, 17:42", or nothing; where only the camera's clock is known, it says so."""
    at = keeper.place_time
    return f"{date_text(at.date())}, {clock_text(keeper)}" if at else ""


def clock_text(keeper: Keeper) -> str:
    """Return "17:42", or nothing; where only the camera's clock is known, it says so."""
    at = keeper.place_time
    return f"{clock(at)}{' (by the camera’s clock)' if keeper.is_by_camera else ''}" if at else ""


def figure(
    number: int,
    image: Image | None,
    *,
    caption: str,
    alternative: str,
    place: str,
    keeper: Keeper,
    settings: tuple[Value, ...] = (),
) -> Figure:
    """Return a picture with its words; without an alternative text it says only what the book knows."""
    return Figure(
        number=number,
        anchor=f"picture-{number}",
        page=page_of(number),
        image=image,
        alternative=alternative or _truthful(number, caption, place, keeper),
        caption=caption,
        place="" if place == WITHHELD else place,
        when=moment_text(keeper),
        time=clock_text(keeper),
        settings=settings,
    )


def page_of(number: int) -> str:
    """Return where the large view of a picture lies within a report."""
    return f"pages/picture-{number:03d}.html"


def _truthful(number: int, caption: str, place: str, keeper: Keeper) -> str:
    where = f"at {place}" if place and place != WITHHELD else ""
    taken = None if keeper.is_by_camera else keeper.place_time
    when = f"taken {time_of_day(taken)}" if taken else ""
    words = ", ".join(part for part in (caption.rstrip("."), where, when) if part)
    return sentence(f"picture {number}: {words}" if words else f"picture {number}, not described yet")


def planned_line(order: Order, shot: Shot, title: str, when: str) -> PlannedLine:
    """Return one line of a day's plan."""
    number = order.shot_numbers[shot.id]
    return PlannedLine(number, f"shot-{number}", title, when, status(order, shot))


def feasible(order: Order, say: PageDiscretion, shot: Shot) -> str:
    """Return whether a plan would work, as a sentence; at a hidden place without the sun's whereabouts."""
    judged = order.feasibility.get(shot.id)
    if judged is None or judged.verdict is Verdict.UNKNOWN:
        return ""
    word = VERDICTS[judged.verdict]
    if say.hides(shot.viewpoint_id):
        return "" if judged.verdict is Verdict.SUN_IN_FRAME else f"{word}."
    if judged.off_stops:
        word = f"{word}, {off_text(judged.off_stops)}"
    return sentence(f"{word}: {say.line(readable(judged.reason))}")


NOT_TRIED = "Not tried on this trip"


def status(order: Order, shot: Shot) -> str:
    """Return the word for what became of a shot; what a trip left open when it ended was not tried."""
    return NOT_TRIED if order.not_tried(shot) else STATUSES[order.outcome(shot)]


def shot_reference(order: Order, shot: Shot, title: str) -> str:
    """Return "shot 7, Slow water under the bridge"."""
    return f"shot {order.shot_numbers[shot.id]}, {title}"


def became(order: Order, shot: Shot, say: PageDiscretion) -> str:
    """Return what the status alone does not say: the reasons, unless a person's own words follow."""
    outcome = order.account.outcomes.get(shot.id)
    if outcome is None or outcome.word is OutcomeWord.OPEN:
        return "" if order.not_tried(shot) else "Nothing has been decided about this shot yet."
    why = "" if note(say, outcome.note) else why_not(outcome.reasons)
    if outcome.word is not OutcomeWord.REPLACED:
        return why
    named = any(order.replacement(outcome))
    return " ".join(filter(None, (why, "" if named else "Another picture was made in its place.")))


def in_its_place(order: Order, shot: Shot, say: PageDiscretion) -> tuple[Reference, ...]:
    """Return links to what stands in a shot's place: another shot, a picture, or neither."""
    outcome = order.account.outcomes.get(shot.id)
    if outcome is None or outcome.word is not OutcomeWord.REPLACED:
        return ()
    links: list[Reference] = []
    other, keeper = order.replacement(outcome)
    if other:
        text = shot_reference(order, other, say.line(other.title))
        links.append(Reference(text, f"shot-{order.shot_numbers[other.id]}"))
    if keeper:
        picture = order.keeper_numbers[keeper.id]
        links.append(Reference(f"picture {picture}", f"picture-{picture}"))
    return tuple(links)


def outcome_line(order: Order, say: PageDiscretion, shot: Shot) -> OutcomeLine:
    """Return what became of a shot in one line, with a link to what stands in its place."""
    number = order.shot_numbers[shot.id]
    outcome = order.account.outcomes.get(shot.id)
    return OutcomeLine(
        number=number,
        anchor=f"shot-{number}",
        title=say.line(shot.title),
        status=status(order, shot),
        why=because(outcome.reasons) if outcome and outcome.word is not OutcomeWord.OPEN else "",
        instead=in_its_place(order, shot, say),
    )


def instead(order: Order, shot: Shot, figures: Mapping[str, Figure]) -> tuple[Figure, ...]:
    """Return the picture that was made in a shot's place; where there are several, the first is enough."""
    outcome = order.account.outcomes.get(shot.id)
    if outcome is None or outcome.word is not OutcomeWord.REPLACED:
        return ()
    other, keeper = order.replacement(outcome)
    made = [keeper] if keeper else list(order.keepers_of_shot(other)) if other else []
    return tuple(figures[one.id] for one in made[:1])


def counts(order: Order, *, with_rule: bool = True) -> tuple[str, ...]:
    """Return the trip in words: how the plan fared, the rule of counting, how many pictures there are."""
    not_tried = sum(order.not_tried(shot) for shot in order.shots)
    by_word = Counter(order.outcome(shot) for shot in order.shots if not order.not_tried(shot))
    said = {
        OutcomeWord.MADE: "made as planned",
        OutcomeWord.PARTLY: "made in part",
        OutcomeWord.REPLACED: "replaced by something else",
        OutcomeWord.MISSED: "missed",
        OutcomeWord.OPEN: "still open",
    }
    parts = [f"{number_word(by_word[word])} {said[word]}" for word in said if by_word[word]]
    if not_tried:
        parts.append(f"{number_word(not_tried)} not tried")
    sentences = []
    if order.shots:
        planned = f"{counted(len(order.shots), 'shot')} {'was' if len(order.shots) == 1 else 'were'} planned"
        sentences.append(sentence(f"{planned}: {listed(parts)}"))
    if with_rule and by_word[OutcomeWord.REPLACED]:
        sentences.append("What replaced a shot is not counted as that shot made.")
    days = days_in_the_field(order.account)
    kept = counted(len(order.keepers), "picture")
    was = "was" if len(order.keepers) == 1 else "were"
    over = f" over {counted(len(days), 'day')} in the field" if days else ""
    sentences.append(sentence(f"{kept} {was} kept{over}"))
    return tuple(sentences)


def entry(
    condition: Condition,
    *,
    direction: str,
    note: str,
    source: str,
    place_withheld: bool = False,
    decided: Sequence[str] = (),
) -> Entry | None:
    """Return one observation; a closure says when it was seen, by whom, and that it must be checked again.

    `decided` are sentences about what it decided; they follow it.
    """
    if place_withheld:
        direction = note = source = ""
    if condition.level is None and not note and condition.kind is not ConditionKind.CLOSURE:
        return None
    day = date_text(condition.on_date)
    when = f"{short_date(condition.on_date)}{', ' + clock(condition.at) if condition.at else ''}"
    what = capitalised(condition_text(condition.kind, condition.level, direction or None))
    caution = f"Source: {source}." if source else ""
    if condition.kind is ConditionKind.CLOSURE:
        said = f"source: {source}" if source else "source not noted"
        caution = f"Observed on {day}, {said}; check again before going."
    caution = " ".join(filter(None, (*decided, caution)))
    if caution:  # another sentence follows
        what, note = (what, ended(note)) if note else (ended(what), note)
    return Entry(when, what, note, caution)


def observed_line(seen: Entry, when: str) -> str:
    """Return an observation as one line under a visit or a shot."""
    words = sentence(f"{seen.what}: {seen.note}" if seen.note else seen.what)
    return " ".join(filter(None, (f"{when} –" if when else "", words, seen.caution)))


def crowd_on(order: Order, day: date) -> tuple[Condition, ...]:
    """Return what was noted of the people there on a day."""
    return tuple(
        one for one in order.account.conditions if one.kind is ConditionKind.CROWD and one.on_date == day
    )


def settings_table(order: Order, names: tuple[str, ...], scrub: Scrub, caption: str) -> Table:
    """Return the table of the named settings, one picture a row, numbered as in the pages."""
    body = []
    for keeper in order.keepers:
        number = order.keeper_numbers[keeper.id]
        head = Cell((Value(f"Picture {number}"),), link=f"picture-{number}", exact=str(number))
        values = (Cell((setting(keeper, n, scrub),), figures=True, exact=exact(keeper, n)) for n in names)
        body.append((head, *values))
    columns = (PICTURE_COLUMN, *(column(name) for name in names))
    headings = tuple(one.heading for one in columns)
    told = legend(names, (value for row in body for cell in row[1:] for value in cell.values))
    return Table(caption, headings, tuple(body), told, columns, SETTINGS_FILE if body else "")


def first_noted(places: Iterable[Record]) -> str:
    """Return the sentence that must stand beside every note about dangers or ways.

    A record knows when it was first written, not when its dangers were last looked at: mending a title makes
    an old note no fresher, so the day of the oldest record is named.
    """
    day = min(place.created for place in places).date()
    return f"First noted by the photographer on {date_text(day)}; check again before going."


VERDICTS: dict[Verdict, str] = {
    Verdict.FEASIBLE: "Yes",
    Verdict.DOUBTFUL: "Perhaps",
    Verdict.TOO_BRIGHT: "No",
    Verdict.TOO_DARK: "No",
    Verdict.SUN_IN_FRAME: "With care",
}
ON_THE_WAY = "On the way"


def regions_text(say: PageDiscretion, regions: Iterable[str | None]) -> str:
    """Return the regions of a trip's places, each once."""
    return listed(list(dict.fromkeys(filter(None, (say.line(region) for region in regions)))))


def set_facts(order: Order) -> dict[str, str]:
    """Return by keeper id what set a picture belongs to: "bracket of three: pictures 4, 5 and 6"."""
    said = {}
    for group in order.account.sets:
        numbers = sorted(order.keeper_numbers[k] for k in group.keeper_ids if k in order.keeper_numbers)
        pictures = listed([str(number) for number in numbers])
        text = f"{group.kind} of {number_word(len(numbers))}: pictures {pictures}"
        said.update(dict.fromkeys(group.keeper_ids, text))
    return said
