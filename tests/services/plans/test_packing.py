"""What was decided about kit for a trip."""

import pytest

from logbook.domain.errors import NotFoundError, WrongUseError
from logbook.domain.words import KitKind, Packing
from logbook.services import kinds, records
from logbook.services.accounts import account_of
from logbook.services.plans import packing
from logbook.store.book import Book


def test_kit_may_be_packed_when_it_is_added(book: Book) -> None:
    added = packing.add_kit(
        book, {"title": "Tripod", "kind": KitKind.SUPPORT}, None, "valley", {"packing": Packing.TAKEN}
    )
    assert added.records[0].packed["valley"].packing is Packing.TAKEN


def test_every_face_sees_the_same_packed_filters(book: Book) -> None:
    for title, filter_name in (("nd64", None), ("Grey glass", "od0.9"), ("Home-made fog glass", None)):
        fields = {"title": title, "kind": KitKind.FILTER} | (
            {"filter_name": filter_name} if filter_name else {}
        )
        packing.add_kit(book, fields, None, "valley", {"packing": Packing.TAKEN})
    packing.add_kit(book, {"title": "nd8", "kind": KitKind.OTHER}, None, "valley", {"packing": Packing.TAKEN})
    packing.add_kit(book, {"title": "nd4", "kind": KitKind.FILTER}, None, "valley", {"packing": Packing.LEFT})
    account = account_of(book, "valley")
    assert {one.name for one in packing.packed_filters(account)} == {"nd64", "od0.9", "home-made fog glass"}
    assert {item.title for item in account.taken()} >= {"nd64", "Grey glass", "nd8"}


def test_a_later_decision_takes_the_place_of_the_former_and_keeps_the_rest(book: Book) -> None:
    packing.edit_kit(book, "pol", {}, None, {"packing": Packing.TAKEN, "why": "Glare."})
    decided = packing.edit_kit(book, "pol", {}, None, {"used": False}).records[0].packed["valley"]
    assert (decided.packing, decided.why, decided.used) == (Packing.TAKEN, "Glare.", False)
    left = packing.edit_kit(book, "pol", {}, None, {"packing": Packing.LEFT}).records[0].packed["valley"]
    assert (left.packing, left.why, left.used) == (Packing.LEFT, "Glare.", False)


def test_use_alone_is_no_decision(book: Book) -> None:
    with pytest.raises(WrongUseError, match="Nothing has been decided about pol"):
        packing.edit_kit(book, "pol", {}, None, {"used": True})


def test_a_refused_decision_keeps_no_new_kit(book: Book) -> None:
    with pytest.raises(WrongUseError):
        packing.add_kit(book, {"title": "Tripod", "kind": KitKind.SUPPORT}, None, "valley", {"used": True})
    with pytest.raises(NotFoundError):
        packing.show_kit(book, "tripod")


def test_a_list_for_a_trip_holds_only_what_was_decided_for_it(book: Book) -> None:
    records.add(book, kinds.TRIP, {"title": "Salt coast"})
    assert packing.list_kit(book, {}, "valley").records == ()
    packing.edit_kit(book, "pol", {}, "valley", {"packing": Packing.LEFT})
    packing.edit_kit(book, "pol", {}, "salt-coast", {"packing": Packing.TAKEN})
    (one,) = packing.list_kit(book, {}, "valley").records
    assert set(one.packed) == {"valley"}
    assert set(packing.show_kit(book, "pol").records[0].packed) == {"valley", "salt-coast"}
    assert packing.list_kit(book, {"kind": KitKind.CAMERA}, None).records == ()
