"""The account that an audience may see: what is in it, and what is in no part of it."""

import re
from dataclasses import replace
from datetime import date
from typing import Any

import pytest

from logbook.craft.feasible import Feasibility, Verdict
from logbook.domain.account import TripAccount
from logbook.domain.condition import Condition
from logbook.domain.discretion import NAME_STRUCK, account_for
from logbook.domain.keeper import Keeper
from logbook.domain.shown import Shown, Withheld
from logbook.domain.viewpoint import Viewpoint
from logbook.domain.visit import Visit
from logbook.domain.words import Audience, ConditionKind, Disclosure, Footing, TripodRule
from tests.domain.discretion.conftest import a_keeper, record

OTHERS = [Audience.CLIENT, Audience.STUDENTS]
DAY = date(2031, 10, 14)
SECRET = re.compile(r"kerswell|anvarra|47\.0127|12\.0186|ilse|brandauer|'shed'|'hide'", re.IGNORECASE)


@pytest.fixture
def been(account: TripAccount) -> TripAccount:
    """The trip with two visits and a picture at a viewpoint of the withheld hide, and a closure there."""
    shed = Viewpoint(**record("shed"), slug="kerswell-shed", title="Kerswell shed", site_id="hide")
    visits = [
        Visit(**record(f"v{at}"), slug=f"shed-{at}", trip_id="trip", viewpoint_id="shed", on_date=DAY)
        for at in (1, 2)
    ]
    shut = Condition(
        **record("shut"),
        slug="shut",
        trip_id="trip",
        kind=ConditionKind.CLOSURE,
        on_date=DAY,
        site_id="hide",
        note="fenced off",
        source="Ilse",
    )
    return replace(
        account,
        viewpoints={**account.viewpoints, "shed": shed},
        visits=tuple(visits),
        conditions=(shut,),
        keepers=(*account.keepers, a_keeper("there", viewpoint_id="shed", direction_deg=12.0)),
    )


def test_the_photographer_sees_everything_as_it_is(been: TripAccount) -> None:
    shown = account_for(been, Audience.ARCHIVE)
    assert shown.sites == been.sites
    assert shown.keepers == been.keepers
    assert shown.trip == been.trip
    assert not shown.withheld
    assert not shown.areas
    assert not shown.struck


@pytest.mark.parametrize("audience", OTHERS)
def test_no_part_of_what_others_see_tells_a_secret(been: TripAccount, audience: Audience) -> None:
    assert not SECRET.findall(repr(replace(account_for(been, audience), struck=())))


@pytest.mark.parametrize("audience", OTHERS)
def test_what_happened_at_one_withheld_place_belongs_together(been: TripAccount, audience: Audience) -> None:
    shown = account_for(been, audience)
    first, second = shown.visits
    there = next(one for one in shown.keepers if one.id == "there")
    assert first.viewpoint_id == second.viewpoint_id == there.viewpoint_id
    place = shown.place(first.viewpoint_id)
    assert isinstance(place, Withheld)
    (shut,) = shown.conditions
    assert place.site_id == shut.site_id
    assert shown.hides(None, shut.site_id)


def test_of_a_site_that_is_shown_a_withheld_viewpoint_tells_nothing(account: TripAccount) -> None:
    quiet = replace(account.viewpoints["bank"], location_shown=Disclosure.WITHHELD)
    shown = account_for(replace(account, viewpoints={"bank": quiet}), Audience.STUDENTS)
    assert "river" in shown.sites
    assert {shown.site_id_of(one.viewpoint_id) for one in shown.keepers} == {None}


def test_an_observation_at_a_withheld_place_keeps_its_kind_and_loses_its_words(been: TripAccount) -> None:
    (shut,) = account_for(been, Audience.STUDENTS).conditions
    assert (shut.kind, shut.on_date, shut.note, shut.source) == (
        ConditionKind.CLOSURE,
        DAY,
        NAME_STRUCK,
        None,
    )


def test_an_area_is_rounded_says_so_and_has_no_height(account: TripAccount) -> None:
    river = replace(account.sites["river"], latitude_deg=47.0321, elevation_m=400, location_shown=None)
    trip = replace(account.trip, location_shown=Disclosure.AREA)
    shown = account_for(replace(account, trip=trip, sites={"river": river}), Audience.CLIENT)
    place = shown.sites["river"]
    assert (place.latitude_deg, place.elevation_m, shown.is_area(place)) == (47.0, None, True)
    at = shown.position_at("bank")
    assert at is not None
    assert at[1]


def test_a_keeper_that_is_left_out_is_in_no_part_of_it(been: TripAccount) -> None:
    for audience in Audience:
        shown = account_for(been, audience, left_out=("there",))
        assert "there" not in {one.id for one in shown.keepers}


@pytest.mark.parametrize("audience", OTHERS)
def test_a_picture_has_neither_file_nor_path(account: TripAccount, audience: Audience) -> None:
    shown = account_for(account, audience)
    for before, after in zip(account.keepers, shown.keepers, strict=True):
        assert after.path == ""
        assert {after.file, after.hash}.isdisjoint({before.file, before.hash})


def test_filters_are_struck_word_by_word_and_together(account: TripAccount) -> None:
    def filters(*names: str) -> tuple[str, ...] | None:
        keeper: Keeper = replace(account.keepers[0], filters=names)
        return account_for(replace(account, keepers=(keeper,)), Audience.STUDENTS).keepers[0].filters

    assert filters("nd8", "Kerswell glass") == ("nd8", "[place withheld] glass")
    assert filters() == ()
    assert "Ilse" not in str(filters("Ilse", "Brandauer"))


def judged(account: TripAccount, audience: Audience) -> Shown:
    feasible = Feasibility(Verdict.FEASIBLE, None, "as at Kerswell", "by Ilse Brandauer")
    return account_for(account, audience, feasibility={one.id: feasible for one in account.shots})


def test_whether_plans_would_work_is_told_to_students_and_struck(account: TripAccount) -> None:
    away = replace(account.viewpoints["bank"], facing_deg=225, looks_at=None)
    open_view = replace(account, viewpoints={"bank": away})
    told = judged(open_view, Audience.STUDENTS).feasibility
    assert {one.reason for one in told.values()} == {f"as at {NAME_STRUCK}"}
    assert {one.working for one in told.values()} == {""}
    assert judged(open_view, Audience.CLIENT).feasibility == {}
    assert judged(account, Audience.STUDENTS).feasibility == {}, "the view leads to the hide"


@pytest.mark.parametrize("audience", OTHERS)
def test_dangers_rules_and_costs_of_a_place_are_told_and_the_way_only_to_an_exact_one(
    account: TripAccount, audience: Audience
) -> None:
    told: dict[str, Any] = {"access": "Past the lower mill", "hazards": "Loose edge, near Kerswell hide"}
    river = replace(account.sites["river"], walk_min=25, cost="Eight a person", footing=Footing.ROCK, **told)
    bank = replace(account.viewpoints["bank"], tripod_rule=TripodRule.FORBIDDEN, **told)
    for how, way, walk in ((Disclosure.EXACT, "Past the lower mill", 25), (Disclosure.AREA, None, None)):
        places = replace(
            account,
            sites={**account.sites, "river": replace(river, location_shown=how)},
            viewpoints={**account.viewpoints, "bank": replace(bank, location_shown=how)},
        )
        shown = account_for(places, audience)
        site, viewpoint = shown.sites["river"], shown.viewpoints["bank"]
        assert (site.access, viewpoint.access, site.walk_min) == (way, way, walk)
        assert site.hazards == viewpoint.hazards == f"Loose edge, near {NAME_STRUCK}"
        assert (site.cost, site.footing) == ("Eight a person", Footing.ROCK)
        assert viewpoint.tripod_rule is TripodRule.FORBIDDEN


@pytest.mark.parametrize("audience", OTHERS)
def test_a_withheld_place_tells_no_danger_rule_or_cost(been: TripAccount, audience: Audience) -> None:
    told: dict[str, Any] = {"access": "The gate", "hazards": "The geese"}
    hide = replace(been.sites["hide"], cost="The toll", **told)
    shed = replace(been.viewpoints["shed"], tripod_rule=TripodRule.FORBIDDEN, **told)
    secret = replace(been, sites={**been.sites, "hide": hide}, viewpoints={**been.viewpoints, "shed": shed})
    assert not re.search("gate|geese|toll|forbidden", repr(account_for(secret, audience)), re.IGNORECASE)
