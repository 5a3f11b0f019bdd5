"""The search for leaks is worth something only if it sees what a spoilt striking leaves: each is tried here.

A spoilt striking is the real one made blind to some pieces, or told that a withheld place may be shown.
Reports are really built, and must be refused; with the striking whole, the same book gives a report.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import pytest
from geopy.distance import geodesic

from logbook.domain.account import TripAccount
from logbook.domain.discretion import Discretion, showing
from logbook.domain.errors import OutputError
from logbook.domain.formats import ExportFormat
from logbook.domain.position import Position
from logbook.domain.words import Audience, Disclosure, OutcomeWord
from logbook.faces.report import build_report
from logbook.faces.report.leaks import find_in_texts
from logbook.services.accounts import account_of
from logbook.services.exports.trip_export import export_trip
from logbook.store.book import Book
from tests.examples import first
from tests.trials.planting.trip import book_of, records

TEMPLATES = Path(__file__).parents[3] / "templates"
PLACE, PERSON = "the name of a withheld place", "the name of a private person"
POSITION = "the coordinates of a place"


@dataclass(frozen=True, slots=True)
class Spoilt:
    """What a striking is blind to, and what must be found then."""

    name: str
    piece: str
    found: str


SPOILT = (
    Spoilt("case", "LAUTERFALL ARCH", PLACE),
    Spoilt("accents", "Jiri Kovarik", PERSON),
    Spoilt("plurals", "Lauterfalls", PLACE),
    Spoilt("case endings", "Brandauerovi", PERSON),
    Spoilt("single words", "Ottermoor", PLACE),
    Spoilt("surnames", "Kovařík", PERSON),
    Spoilt("initials", "I. B.", PERSON),
    Spoilt("other order", "Arch at Lauterfall", PLACE),
    Spoilt("words run together", "#lauterfallarch", PLACE),
    Spoilt("escapes", "Lauterf&#97;ll", PLACE),
    Spoilt("hidden characters", "Lauter\u00adfall", PLACE),
    Spoilt("other names", "Grindelgrund", PLACE),
    Spoilt("people", "Ilse Brandauer", PERSON),
    Spoilt("people of other trips", "Marit Solheim", PERSON),
    Spoilt("decimal degrees", "61.23456, -7.65432", POSITION),
    Spoilt("degrees and minutes", "61 14 04 N 7 39 16 W", POSITION),
    Spoilt("degrees in words", "61 degrees 14 minutes north, 7 degrees 39 minutes west", POSITION),
    Spoilt("grids", "29V 572241 6789658", POSITION),
    Spoilt("codes", "9CHJ68MW+R7", POSITION),
)
TEXT = "At dusk {} was quiet."


@pytest.fixture
def book(tmp_path: Path) -> Book:
    return book_of(tmp_path / "book.sqlite", records(tmp_path))


def telling(account: TripAccount, text: str) -> TripAccount:
    """The account with a text in what a client and students read."""
    partly = OutcomeWord.PARTLY
    outcomes = {key: replace(one, note=text, word=partly) for key, one in account.outcomes.items()}
    return replace(account, outcomes=outcomes)


def built(account: TripAccount, audience: Audience, tmp_path: Path) -> None:
    build_report(account, audience, tmp_path / str(audience), templates=TEMPLATES)


def blind_to(piece: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Let the striking see a mark that means nothing in place of a piece."""
    real: Callable[[Any, str], str] = Discretion.scrub
    monkeypatch.setattr(
        Discretion,
        "scrub",
        lambda self, text: real(self, text.replace(piece, "zqzqz")).replace("zqzqz", piece),
    )


def test_with_the_striking_whole_all_pieces_go_and_the_report_is_made(book: Book, tmp_path: Path) -> None:
    everything = "\n\n".join(TEXT.format(one.piece) for one in SPOILT)
    built(telling(account_of(book, "valley"), everything), Audience.STUDENTS, tmp_path)


@pytest.mark.slow
@pytest.mark.parametrize("spoilt", SPOILT, ids=lambda one: one.name.replace(" ", "-"))
def test_what_a_striking_is_blind_to_is_found_and_the_record_named(
    spoilt: Spoilt, book: Book, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    account = telling(account_of(book, "valley"), TEXT.format(spoilt.piece))
    blind_to(spoilt.piece, monkeypatch)
    with pytest.raises(OutputError) as refused:
        built(account, Audience.CLIENT, tmp_path)
    assert spoilt.found in str(refused.value)
    assert "outcome of shot silk, note" in str(refused.value)


@pytest.mark.slow
@pytest.mark.parametrize("audience", [Audience.CLIENT, Audience.STUDENTS])
def test_a_striking_that_does_nothing_is_found(
    audience: Audience, book: Book, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(Discretion, "scrub", lambda _self, text: text)
    with pytest.raises(OutputError, match=PLACE):
        built(telling(account_of(book, "valley"), TEXT.format("Lauterfall Arch")), audience, tmp_path)


@pytest.mark.slow
def test_a_withheld_place_that_is_shown_is_found(
    book: Book, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    account = account_of(book, "valley")
    sites = {one.id: one for one in account_of(book, "valley").sites.values()}
    with book.reading() as desk:
        sites |= {one.id: one for one in desk.sites.all()}
        viewpoints = {one.id: one for one in desk.viewpoints.all()}
    keepers = tuple(replace(one, viewpoint_id="hidden-viewpoint") for one in account.keepers)
    been = replace(account, sites=sites, viewpoints=viewpoints, keepers=keepers)
    built(been, Audience.CLIENT, tmp_path)
    monkeypatch.setattr(Discretion, "scrub", lambda _self, text: text)
    monkeypatch.setattr(Discretion, "shown", lambda _self, _place: Disclosure.EXACT)
    monkeypatch.setattr(Discretion, "hides", lambda _self, *_places: False)
    monkeypatch.setattr(Discretion, "viewpoint", lambda _self, key: viewpoints.get(key or ""))
    monkeypatch.setattr(Discretion, "site", lambda _self, key: sites.get(key or ""))
    with pytest.raises(OutputError, match=PLACE):
        built(been, Audience.CLIENT, tmp_path)


def looking_there(account: TripAccount) -> TripAccount:
    """The account with a withheld place two kilometres off, in the middle of the exact viewpoint's view."""
    viewpoint = account.viewpoints["viewpoint"]
    assert viewpoint.position is not None
    assert viewpoint.facing_deg is not None
    stands = viewpoint.position
    stands_at = (stands.latitude_deg, stands.longitude_deg)
    there = geodesic(meters=2000).destination(stands_at, viewpoint.facing_deg)
    return replace(account, withheld_positions=(Position(there.latitude, there.longitude),))


@pytest.mark.slow
def test_a_bearing_that_was_kept_is_found_in_a_report(
    book: Book, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    account = looking_there(account_of(book, "valley"))
    built(account, Audience.STUDENTS, tmp_path)
    monkeypatch.setattr(showing, "without_sight_lines", lambda say: say.account)
    monkeypatch.setattr(showing, "viewpoints_towards_secrets", lambda _say: frozenset())
    with pytest.raises(OutputError, match="the direction of a withheld place"):
        built(account, Audience.STUDENTS, tmp_path)


@pytest.mark.parametrize(
    "form", [ExportFormat.JSON, ExportFormat.GPX, ExportFormat.GEOJSON, ExportFormat.KML]
)
def test_a_bearing_that_was_kept_is_found_in_an_export(form: ExportFormat, book: Book) -> None:
    account = account_of(book, "valley")  # of the place in the view nothing was known when this was written
    (file,) = export_trip(book, "valley", form, private=False).files
    found = find_in_texts(iter([(file.name, file.text)]), looking_there(account))
    assert "the direction of a withheld place" in {leak.what for leak in found}
    assert find_in_texts(iter([(file.name, file.text)]), account) == ()


@pytest.mark.parametrize("form", first(ExportFormat, 4))
@pytest.mark.parametrize("piece", ["Lauterfalls", "Kovařík", "61 14 04 N 7 39 16 W"])
def test_an_export_of_a_spoilt_striking_is_found_too(
    form: ExportFormat, piece: str, book: Book, monkeypatch: pytest.MonkeyPatch
) -> None:
    with book.writing() as desk:
        held: Any = (desk.outcomes, desk.shots, desk.viewpoints)
        for shelf, name in zip(held, ("note", "title", "title"), strict=True):
            for one in shelf.all():
                shelf.put(replace(one, **{name: TEXT.format(piece)}))
    account = account_of(book, "valley")
    blind_to(piece, monkeypatch)
    files = export_trip(book, "valley", form, private=False).files
    assert any(piece in one.text for one in files), "the format shows one of these texts"
    leaks = find_in_texts(((one.name, one.text) for one in files), account)
    assert {str(origin) for leak in leaks for origin in leak.origins}
