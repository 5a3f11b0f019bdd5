"""Proposals change nothing, say why, and stay silent where nothing is known."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from logbook.domain.words import KitKind, Packing, Provenance, Support
from logbook.services import packing
from logbook.services.keepers import note_keepers, take_in
from logbook.services.proposals import _traits, propose
from logbook.store.book import Book

Dump = Callable[[], dict[str, list[tuple[Any, ...]]]]
CAMERA_FILES = Path("/usr/share/gocode/src/github.com/rwcarlsen/goexif/exif/samples")


def test_proposing_stores_nothing(book: Book, keepers: Path, dump: Dump) -> None:
    before = dump()
    propose(book, None, None)
    propose(book, None, date(2031, 10, 14))
    assert dump() == before


def test_a_day_without_keepers_is_proposed_as_empty(book: Book, keepers: Path) -> None:
    found = propose(book, None, date(2031, 10, 20))
    assert (found.keepers, found.sets, found.filters.proposals, found.matches) == ((), (), (), ())
    assert [one.clock.body for one in found.clocks] == ["Halvern H6"]


def test_a_book_without_keepers_proposes_nothing(book: Book) -> None:
    found = propose(book, None, None)
    assert (found.clocks, found.visits, found.matches) == ((), (), ())


def test_what_was_proposed_before_is_no_evidence(book: Book, keepers: Path) -> None:
    with book.reading() as desk:
        keeper = desk.keepers.all()[0]
    words = {
        "filters": Provenance.INFERRED,
        "support": Provenance.ASSUMED,
        "viewpoint_id": Provenance.INFERRED,
    }
    guessed = replace(keeper, filters=("nd8",), support=Support.TRIPOD, viewpoint_id="v", provenance=words)
    traits = _traits(guessed, {"v": "quarry-ledge"}, {})
    assert (traits.filters, traits.support, traits.viewpoint) == (None, None, None)
    stated = _traits(replace(guessed, provenance={}), {"v": "quarry-ledge"}, {})
    assert (stated.filters, stated.viewpoint) == (("nd8",), "quarry-ledge")


def test_stated_filters_are_not_proposed_again(book: Book, keepers: Path) -> None:
    note_keepers(book, None, "0412-0419", {"filters": ("nd8",)})
    assert propose(book, None, None).filters.proposals == ()


def test_real_pictures_of_which_nothing_is_known_give_no_assertion_of_filters(book: Book) -> None:
    if not CAMERA_FILES.is_dir():
        pytest.skip("the camera pictures of Debian's golang-github-rwcarlsen-goexif-dev are not here")
    for name in ("nd8", "nd64", "nd1000", "pol"):
        kit = {"title": name, "kind": KitKind.FILTER, "filter_name": name}
        packing.add_kit(book, kit, None, "valley", {"packing": Packing.TAKEN})
    done = take_in(book, CAMERA_FILES, trip=None)
    assert done.added >= 10
    assert propose(book, None, None).filters.proposals == ()
