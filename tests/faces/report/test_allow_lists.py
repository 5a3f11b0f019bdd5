"""Every text field of every record carries a marker; each audience shows exactly the markers listed here.

A noun that gains a text field fails this module until somebody decides, here, who may see it.
"""

import re
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from fractions import Fraction
from typing import Any

import pytest

from logbook.domain.account import TripAccount
from logbook.domain.fields import facts_of
from logbook.domain.keeper import Keeper
from logbook.domain.words import Audience, Disclosure, KitKind, Packing, Reason
from logbook.faces.report import BuiltReport

# Not free text: ids, checked words, and what a page needs to be real.
STRUCTURE = {"id", "trip_id", "zone", "level", "client_order", "students_order"}

BOTH = {
    "Trip.title", "Trip.summary", "Trip.credit", "Trip.rights", "Trip.contact",
    "Site.title", "Site.region", "Site.access", "Site.hazards", "Site.cost",
    "Viewpoint.title", "Viewpoint.access", "Viewpoint.hazards",
    "Shot.title",
    "Condition.direction", "Condition.note", "Condition.source",
    "Keeper.caption", "Keeper.alternative", "Keeper.filters",
}  # fmt: skip
CLIENT = BOTH | {"Trip.client", "Trip.brief", "Trip.next_visit", "Lesson.text for client"}
STUDENTS = BOTH | {
    "Trip.purpose",
    "Viewpoint.looks_at",
    "Shot.intent", "Shot.technique", "Shot.filters", "Outcome.note",
    "Visit.journal", "Day.journal",
    "Keeper.lens",
    "Lesson.text for students", "Lesson.technique for students",
}  # fmt: skip
ARCHIVE_ONLY = {
    "Trip.slug", "Trip.private_names", "Trip.may_say", "Site.also_called", "Viewpoint.also_called",
    "Site.slug", "Site.notes", "Viewpoint.slug", "Viewpoint.notes", "Shot.slug", "Shot.notes",
    "Visit.slug", "Condition.slug",
    "Keeper.slug", "Keeper.file", "Keeper.path", "Keeper.hash", "Keeper.format", "Keeper.taken_text",
    "Keeper.utc_offset_text", "Keeper.body", "Keeper.doubts", "Keeper.note", "Keeper.also", "Keeper.label",
    "Keeper.keywords", "Keeper.place", "Keeper.credit", "Keeper.copyright",
    "Lesson.slug for client", "Lesson.slug for students", "Lesson.slug for nobody",
    "Lesson.text for nobody", "Lesson.technique for client", "Lesson.technique for nobody",
    "KitItem.slug", "KitItem.title", "KitItem.filter_name", "KitItem.body", "KitItem.notes", "PackedItem.why",
    "LooseLine.file", "LooseLine.text", "LooseLine.why",
}  # fmt: skip
EXPECTED = {
    Audience.CLIENT: CLIENT,
    Audience.STUDENTS: STUDENTS,
    Audience.ARCHIVE: CLIENT | STUDENTS | ARCHIVE_ONLY,
}


TEXTS = (str, tuple[str, ...])


class Planter:
    """Puts a marker into every text field of a record and remembers which marker stands for which field."""

    def __init__(self) -> None:
        self.fields: dict[str, str] = {}

    def plant(self, record: Any, suffix: str = "") -> Any:
        changes: dict[str, Any] = {}
        for name, field in facts_of(type(record)).items():
            if field.type not in TEXTS or name in STRUCTURE or name.endswith(("_id", "_ids")):
                continue
            marker = f"Mark{len(self.fields):03d}er"
            self.fields[marker] = f"{type(record).__name__}.{name}{suffix}"
            changes[name] = marker if field.type is str else (marker,)
        return replace(record, **changes)


def found(keeper: Keeper, own: Keeper, audience: Audience) -> Keeper:
    """A marked keeper with its original where it is for a client, who is shown nothing of one not found."""
    if audience is not Audience.CLIENT:
        return keeper
    return replace(keeper, path=own.path, hash=own.hash, format=own.format)


def planted(account: TripAccount) -> tuple[TripAccount, dict[str, str]]:
    """Return an account of one record per noun (three lessons), all shown, with markers, and the markers."""
    planter = Planter()
    plant = planter.plant
    conditions = [replace(account.conditions[0], site_id="quarry")]
    lessons = [(lesson, f" for {lesson.shown_to or 'nobody'}") for lesson in account.lessons]
    return (
        TripAccount(
            trip=replace(plant(account.trip), location_shown=Disclosure.EXACT),
            sites={"quarry": plant(account.sites["quarry"])},
            viewpoints={"ledge": plant(account.viewpoints["ledge"])},
            shots=(plant(account.shots[0]),),
            outcomes={"silk": plant(account.outcomes["silk"])},
            visits=(plant(account.visits[0]),),
            conditions=tuple(map(plant, conditions)),
            lessons=tuple(replace(plant(lesson, why), viewpoint_id="ledge") for lesson, why in lessons),
            days=(plant(account.days[0]),),
            keepers=(plant(account.keepers[0]),),
            sets=account.sets,
            kit={"zoom": plant(account.kit["zoom"])},
            packed=(plant(account.packed[0]),),
            loose_lines=(plant(account.loose_lines[0]),),
        ),
        planter.fields,
    )


@pytest.mark.slow
@pytest.mark.parametrize("audience", Audience)
def test_an_audience_is_shown_exactly_the_fields_on_its_list(
    account: TripAccount,
    build: Callable[..., BuiltReport],
    texts: Callable[[BuiltReport], str],
    audience: Audience,
) -> None:
    marked, markers = planted(account)
    marked = replace(marked, keepers=(found(marked.keepers[0], account.keepers[0], audience),))
    shown = {markers[marker] for marker in re.findall(r"Mark\d{3}er", texts(build(marked, audience)))}
    assert shown == EXPECTED[audience]


def test_the_archive_shows_every_text_field_there_is(account: TripAccount) -> None:
    _, markers = planted(account)
    assert set(markers.values()) == EXPECTED[Audience.ARCHIVE]


@pytest.mark.parametrize("audience", [Audience.CLIENT, Audience.STUDENTS])
def test_no_id_name_or_hash_of_an_original_reaches_others(
    account: TripAccount,
    build: Callable[..., BuiltReport],
    texts: Callable[[BuiltReport], str],
    audience: Audience,
) -> None:
    shown = texts(build(account, audience))
    for one in account.keepers:
        assert one.hash[:12] not in shown
        assert one.file not in shown
        assert one.path not in shown


@pytest.mark.slow
def test_a_client_is_told_only_of_conditions_that_decided_something(
    account: TripAccount,
    build: Callable[..., BuiltReport],
    texts: Callable[[BuiltReport], str],
    changed: Callable[..., TripAccount],
) -> None:
    assert "Dozens of people. Shot 2: replaced." in unmarked(texts(build(account, name="decided")))
    calm = changed(account, "outcomes", "stones", reasons=())
    shown = texts(build(calm, name="undecided"))
    assert "dozens of people" not in shown.lower()
    assert "rockfall" in shown  # a closure is always told


@pytest.mark.parametrize(
    "elsewhere", [{"on_date": date(2031, 10, 13)}, {"viewpoint_id": "ledge"}, {"viewpoint_id": "shelf"}]
)
def test_what_was_seen_on_another_day_or_elsewhere_decided_nothing(
    account: TripAccount,
    build: Callable[..., BuiltReport],
    texts: Callable[[BuiltReport], str],
    changed: Callable[..., TripAccount],
    elsewhere: dict[str, Any],
) -> None:
    shown = texts(build(changed(account, "conditions", "crowd", **elsewhere)))
    assert "dozens of people" not in shown.lower()


@pytest.mark.slow
def test_a_closure_names_the_shot_that_it_prevented_at_its_site(
    account: TripAccount,
    build: Callable[..., BuiltReport],
    texts: Callable[[BuiltReport], str],
    changed: Callable[..., TripAccount],
) -> None:
    shut = changed(account, "outcomes", "stones", reasons=(Reason.CLOSURE,))
    shown = unmarked(texts(build(shut, name="shut")))
    assert "Closure: rockfall. Shot 2: replaced. Observed on 14 October 2031" in shown
    assert "Shot 2: replaced. Observed" not in unmarked(texts(build(account, name="other")))


def unmarked(html: str) -> str:
    """Text without its tags."""
    return " ".join(re.sub("<[^>]+>", "", html).split())


@pytest.mark.parametrize("audience", Audience)
def test_pairs_exercises_and_the_downloaded_table_show_no_other_field(
    account: TripAccount,
    build: Callable[..., BuiltReport],
    texts: Callable[[BuiltReport], str],
    audience: Audience,
) -> None:
    """Two pictures that make a pair, packed filters and a plan: all that exercises are made of."""
    marked, markers = planted(account)
    planter = Planter()
    planter.fields = markers
    own = account.keepers[0]
    first = replace(found(marked.keepers[0], own, audience), focal_35mm=24.0, filters=())
    second = found(planter.plant(replace(own, id="second", focal_35mm=24.0)), own, audience)
    grey = planter.plant(replace(account.kit["zoom"], id="grey", kind=KitKind.FILTER))
    packed = replace(account.packed[0], id="p2", item_id="grey", packing=Packing.TAKEN, why=None)
    shot = replace(marked.shots[0], exposure_s=Fraction(8), f_number=8.0)
    told = replace(
        marked,
        shots=(shot,),
        keepers=(first, replace(second, filters=("nd8",), shot_id=None)),
        sets=(),
        kit={**marked.kit, "grey": replace(grey, filter_name="nd64")},
        packed=(*marked.packed, packed),
    )
    report = build(told, audience)
    text = texts(report)
    shown = {markers[marker] for marker in re.findall(r"Mark\d{3}er", text)}
    assert shown <= EXPECTED[audience]
    assert ('id="pair-1"' in text) is (audience is Audience.STUDENTS)
    assert ("packed: ND64." in text) is (audience is Audience.STUDENTS)
    table = (report.index.parent / "settings.csv").read_text(encoding="utf-8")
    in_table = {markers[marker] for marker in re.findall(r"Mark\d{3}er", table)}
    assert in_table <= EXPECTED[audience] & {"Keeper.filters", "Keeper.lens", "Keeper.body"}
