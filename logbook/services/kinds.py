"""The kinds of noun that verbs work on: what each is called, where it stands, how its slug is made.

One surprising decision: add, edit, find and remove are written once for all nouns; what is particular to one
noun is data here.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Generic, TypeVar

from logbook.domain.condition import Condition
from logbook.domain.fields import facts_of
from logbook.domain.keeper import Keeper
from logbook.domain.kit import KitItem
from logbook.domain.lesson import Lesson
from logbook.domain.nouns import NOUNS
from logbook.domain.record import Record
from logbook.domain.shot import Shot
from logbook.domain.site import Site
from logbook.domain.trip import Trip
from logbook.domain.viewpoint import Viewpoint
from logbook.domain.visit import Visit
from logbook.store.desk import Desk
from logbook.store.shelf import Shelf

Noun = TypeVar("Noun", bound=Record)
Fields = Mapping[str, Any]

WORDS_OF_A_LESSON = 6  # words of a lesson's text that make its slug


@dataclass(frozen=True, slots=True)
class NounKind(Generic[Noun]):
    """One kind of noun; `name_of` gives the text that a fresh record's slug is made from."""

    word: str
    table: str
    noun: type[Noun]
    shelf: Callable[[Desk], Shelf[Noun]]
    name_of: Callable[[Desk, Fields], str]


def _title(_desk: Desk, fields: Fields) -> str:
    return str(fields["title"])


def _visit_name(desk: Desk, fields: Fields) -> str:
    viewpoint = desk.viewpoints.get(fields["viewpoint_id"])
    return f"{viewpoint.slug if viewpoint else 'visit'} {fields['on_date']}"


def _condition_name(desk: Desk, fields: Fields) -> str:
    place = desk.viewpoints.get(fields.get("viewpoint_id")) or desk.sites.get(fields.get("site_id"))
    return f"{fields['kind']} {place.slug if place else ''} {fields['on_date']}"


def _lesson_name(_desk: Desk, fields: Fields) -> str:
    return " ".join(str(fields["text"]).split()[:WORDS_OF_A_LESSON])


TRIP = NounKind("trip", "trip", Trip, lambda desk: desk.trips, _title)
SITE = NounKind("site", "site", Site, lambda desk: desk.sites, _title)
VIEWPOINT = NounKind("viewpoint", "viewpoint", Viewpoint, lambda desk: desk.viewpoints, _title)
SHOT = NounKind("shot", "shot", Shot, lambda desk: desk.shots, _title)
KIT = NounKind("kit", "kit", KitItem, lambda desk: desk.kit, _title)
VISIT = NounKind("visit", "visit", Visit, lambda desk: desk.visits, _visit_name)
CONDITION = NounKind("condition", "condition", Condition, lambda desk: desk.conditions, _condition_name)
LESSON = NounKind("lesson", "lesson", Lesson, lambda desk: desk.lessons, _lesson_name)
KEEPER = NounKind(
    "keeper", "keeper", Keeper, lambda desk: desk.keepers, lambda _desk, fields: str(fields["file"])
)

BY_WORD: Mapping[str, NounKind[Any]] = {
    kind.word: kind for kind in (TRIP, SITE, VIEWPOINT, SHOT, KIT, VISIT, CONDITION, LESSON, KEEPER)
}
REFERENCES: Mapping[str, NounKind[Any]] = {  # what a person names, by the field's name without `_id`
    name.removesuffix("_id"): BY_WORD[field.refers_to]
    for noun in NOUNS.values()
    for name, field in facts_of(noun).items()
    if field.refers_to is not None
}
