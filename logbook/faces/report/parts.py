"""Small parts that pages are put together from: facts, passages, figures, the counts of a trip.

One surprising decision: a part is told what to show and never whether it may; what may not be shown is not in
the account.
"""

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from logbook.domain.choosing import Chosen, Plate
from logbook.domain.keeper import Keeper
from logbook.domain.record import Record
from logbook.domain.shot import Shot
from logbook.domain.trip_days import days_in_the_field
from logbook.domain.words import OutcomeWord
from logbook.faces.report.editions import Edition
from logbook.faces.report.leaves import LeafPlan, Portion
from logbook.faces.report.models import Fact, Figure, Image, Passage, Value
from logbook.faces.report.order import Order
from logbook.faces.report.settings import settings_line
from logbook.faces.report.where import place_name
from logbook.faces.words.phrases import (
    STATUSES,
    clock,
    counted,
    date_text,
    listed,
    number_word,
    sentence,
    time_of_day,
)
from logbook.faces.words.prose import line, prose

Images = Mapping[str, Image | None]  # by keeper id; None where the original was not found
NOT_TRIED = "Not tried on this trip"


@dataclass(frozen=True, slots=True)
class PageDraft:
    """What every section is made from: an account in order, the edition, and its pictures by keeper id.

    `portion` is what of the trip the section's page tells, `plans` are all pages.
    """

    order: Order
    edition: Edition
    figures: Mapping[str, Figure]
    chosen: Chosen
    geography: Path  # the folder of the world's outlines
    portion: Portion
    plans: tuple[LeafPlan, ...]

    def pictures(self, keepers: Iterable[Keeper]) -> tuple[Figure, ...]:
        """Return some pictures; where pictures come first, of a set the one that stands for it."""
        if not self.edition.pictures_first:
            return tuple(self.figures[one.id] for one in keepers)
        plates = {one.keeper.id: one for one in self.chosen.plates}
        return self.shown_as(plates[one.id] for one in keepers if one.id in plates)

    def best_of(self, portion: Portion) -> Figure | None:
        """Return the picture that says most of a portion: the first of it that was chosen."""
        ids = {one.id for one in portion.keepers}
        return next((self.figures[one.keeper.id] for one in self.chosen.plates if one.keeper.id in ids), None)

    def shown_as(self, plates: Iterable[Plate]) -> tuple[Figure, ...]:
        """Return chosen pictures with their words, each with how many frames it stands for."""
        return tuple(replace(self.figures[one.keeper.id], of=one.of) for one in plates)


def fact(label: str, *values: str | Value) -> Fact | None:
    """Return a labelled fact, or None where no value says anything."""
    shown = tuple(Value(value) if isinstance(value, str) else value for value in values)
    shown = tuple(value for value in shown if value.text)
    return Fact(label, shown) if shown else None


def facts(*candidates: Fact | None) -> tuple[Fact, ...]:
    """Return the facts that say something."""
    return tuple(candidate for candidate in candidates if candidate)


def passage(text: str | None, label: str = "") -> Passage | None:
    """Return free text under a label, or None where there is none."""
    html = prose(text)
    return Passage(html, label) if html else None


def note(text: str | None) -> Passage | None:
    """Return a note as a sentence, because day files are written in half-lines."""
    return passage(sentence(text.strip())) if text and text.strip() else None


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


def figure(order: Order, edition: Edition, keeper: Keeper, image: Image | None) -> Figure:
    """Return a picture with its words; without an alternative text it says only what the book knows."""
    number = order.keeper_numbers[keeper.id]
    caption, alternative = line(keeper.caption), line(keeper.alternative)
    is_hidden = order.account.hides(keeper.viewpoint_id)
    place = "" if is_hidden else place_name(order.account, keeper.viewpoint_id)
    return Figure(
        number=number,
        anchor=f"picture-{number}",
        page=page_of(number),
        image=image,
        alternative=alternative or _truthful(number, caption, place, keeper),
        caption=caption,
        place=place,
        when=moment_text(keeper),
        time=clock_text(keeper),
        settings=settings_line(keeper) if edition.with_craft else (),
    )


def page_of(number: int) -> str:
    """Return where the large view of a picture lies within a report."""
    return f"pages/picture-{number:03d}.html"


def _truthful(number: int, caption: str, place: str, keeper: Keeper) -> str:
    where = f"at {place}" if place else ""
    taken = None if keeper.is_by_camera else keeper.place_time
    when = f"taken {time_of_day(taken)}" if taken else ""
    words = ", ".join(part for part in (caption.rstrip("."), where, when) if part)
    return sentence(f"picture {number}: {words}" if words else f"picture {number}, not described yet")


def status(order: Order, shot: Shot) -> str:
    """Return the word for what became of a shot; what a trip left open when it ended was not tried."""
    return NOT_TRIED if order.not_tried(shot) else STATUSES[order.outcome(shot)]


def shot_reference(order: Order, shot_id: str | None) -> str:
    """Return "shot 7, Slow water under the bridge", or nothing where there is no such shot."""
    shot = next((one for one in order.shots if one.id == shot_id), None)
    return f"shot {order.shot_numbers[shot.id]}, {line(shot.title)}" if shot else ""


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
        sentences.append("A replacement never counts as making the planned shot.")
    days = days_in_the_field(order.account)
    kept = counted(len(order.keepers), "picture")
    was = "was" if len(order.keepers) == 1 else "were"
    over = f" over {counted(len(days), 'day')} in the field" if days else ""
    sentences.append(sentence(f"{kept} {was} kept{over}"))
    return tuple(sentences)


def first_noted(places: Iterable[Record]) -> str:
    """Return the sentence that must stand beside every note about dangers or ways.

    A record knows when it was first written, not when its dangers were last looked at: mending a title makes
    an old note no fresher, so the day of the oldest record is named.
    """
    day = min(place.created for place in places).date()
    return f"First noted by the photographer on {date_text(day)}; check again before going."


def regions_text(regions: Iterable[str | None]) -> str:
    """Return the regions of a trip's places, each once."""
    return listed(list(dict.fromkeys(filter(None, map(line, regions)))))
