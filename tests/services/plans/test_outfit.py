"""What to pack is the fewest owned pieces with which the most plans come off."""

from collections.abc import Mapping
from datetime import date, time
from fractions import Fraction
from typing import Any

from logbook.domain.words import KitKind, Support
from logbook.services import kinds, records
from logbook.services.accounts import account_of
from logbook.services.plans import outcomes, packing
from logbook.services.plans.outfit import Outfit, outfit_for
from logbook.store.book import Book

NOON: Mapping[str, Any] = {
    "on_date": date(2031, 10, 14),
    "window_from": time(12),
    "window_to": time(12, 30),
    "f_number": 11.0,
    "iso": 100,
    "focal_mm": 24.0,
    "viewpoint": "quarry-ledge",
}


def stock(book: Book, **kit: KitKind) -> None:
    for slug, kind in kit.items():
        glass = {"filter_name": slug.rstrip("_")} if kind is KitKind.FILTER else {}
        fields = {"title": slug.rstrip("_"), "kind": kind, "owned": True, **glass}
        packing.add_kit(book, fields, slug.replace("_", "-b"), None, {})


def packed(book: Book, **shots: Mapping[str, Any]) -> Outfit:
    records.edit(book, kinds.VIEWPOINT, "quarry-ledge", {"latitude_deg": 38.2, "longitude_deg": 73.4})
    for slug, told in shots.items():
        outcomes.plan_shot(book, None, {"title": slug, **NOON, **told}, slug)
    account = account_of(book, "valley")
    with book.reading() as desk:
        owned = tuple(item for item in desk.kit.all() if item.owned)
    return outfit_for(account, [one for one in account.shots if one.slug in shots], owned)


def slugs(outfit: Outfit) -> list[str]:
    return [item.slug for item in outfit.pieces]


def test_stated_filters_and_supports_are_packed_and_others_stay(book: Book) -> None:
    stock(book, nd8=KitKind.FILTER, nd8_=KitKind.FILTER, nd64=KitKind.FILTER, tripod=KitKind.SUPPORT)
    slow = {"exposure_s": Fraction(1, 4), "filters": ("nd8", "nd8"), "support": Support.TRIPOD}
    assert slugs(packed(book, slow=slow)) == ["nd8", "nd8-b", "tripod"]


def test_where_filters_are_unknown_the_fewest_that_do_are_found_and_shared(book: Book) -> None:
    stock(book, nd4=KitKind.FILTER, nd64=KitKind.FILTER, nd1000=KitKind.FILTER)
    slow = {"exposure_s": Fraction(1, 8), "support": Support.TRIPOD}
    stock(book, tripod=KitKind.SUPPORT)
    stated = {"exposure_s": Fraction(1, 8), "filters": ("nd64",), "support": Support.TRIPOD}
    outfit = packed(book, slow=slow, stated=stated)
    assert slugs(outfit) == ["nd64", "tripod"]
    assert outfit.not_as_planned == ()


def test_what_nobody_owns_is_named_and_packs_nothing(book: Book) -> None:
    stock(book, nd8=KitKind.FILTER)
    twice = {"exposure_s": Fraction(1, 4), "filters": ("nd8", "nd8"), "support": Support.TRIPOD}
    outfit = packed(book, twice=twice)
    (lost,) = outfit.not_as_planned
    assert (lost.shot.slug, lost.missing) == ("twice", ("nd8", "tripod"))
    assert outfit.pieces == ()


def test_what_is_too_bright_for_all_that_is_owned_is_not_feasible_as_planned(book: Book) -> None:
    stock(book, nd4=KitKind.FILTER)
    outfit = packed(book, slow={"exposure_s": Fraction(30), "support": Support.HANDHELD})
    assert [plan.feasibility.verdict for plan in outfit.not_as_planned] == ["too bright"]


def test_a_quick_shot_by_hand_needs_nothing(book: Book) -> None:
    stock(book, nd8=KitKind.FILTER, tripod=KitKind.SUPPORT)
    quick = {"exposure_s": Fraction(1, 250), "support": Support.HANDHELD}
    assert packed(book, quick=quick).pieces == ()


def test_owned_filters_that_do_what_the_stated_ones_cannot_are_named(book: Book) -> None:
    stock(book, nd64=KitKind.FILTER, nd8=KitKind.FILTER, nd1000=KitKind.FILTER, tripod=KitKind.SUPPORT)
    weak = {"exposure_s": Fraction(1), "filters": ("nd8",), "support": Support.TRIPOD}
    (plan,) = packed(book, weak=weak).not_as_planned
    assert plan.instead is not None
    assert "nd8" not in {one.slug for one in plan.instead}
