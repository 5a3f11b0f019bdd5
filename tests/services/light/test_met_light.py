"""What pictures met: an eclipsed sun teaches nothing of the ordinary light, and is expected in its own."""

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime
from fractions import Fraction
from pathlib import Path

import pytest

from logbook.domain.keeper import Keeper
from logbook.domain.words import Provenance
from logbook.services import kinds, records
from logbook.services.accounts import account_of
from logbook.services.keepers.importing import take_in
from logbook.services.keepers.keeping import note_keepers
from logbook.services.light.frame_light import sun_covered
from logbook.services.light.met_light import expected_lights, met_light_in
from logbook.sky.observer import Observer
from logbook.store.book import Book

TOTALITY = datetime(2027, 8, 2, 10, 5, tzinfo=UTC)  # at 25.7 N 32.65 E (astronomy-engine)
DAY_BEFORE = TOTALITY.replace(day=1)


@pytest.fixture
def made_at(book: Book, tmp_path: Path, picture: Callable[..., Path]) -> Callable[[datetime], Keeper]:
    """A frame of an instant without a filter, as somebody stated, at the quarry."""
    records.edit(book, kinds.SITE, "quarry", {"latitude_deg": 25.7, "longitude_deg": 32.65})
    picture(tmp_path / "p" / "A_0412.JPG", taken="2031:10:14 10:00:00")
    take_in(book, tmp_path / "p", trip=None)
    note_keepers(book, None, "0412", {"viewpoint": "quarry-ledge"})

    def make(at: datetime) -> Keeper:
        with book.writing() as desk:
            keeper = desk.keepers.first(file="A_0412.JPG")
            assert keeper is not None
            made = replace(keeper, taken_utc=at, exposure_s=Fraction(2), f_number=2.8, iso=100, filters=())
            assert made.provenance_of("filters") is Provenance.STATED
            desk.keepers.put(made)
        return made

    return make


def test_a_picture_of_totality_is_no_witness_of_the_light_at_this_height_of_the_sun(
    book: Book, made_at: Callable[[datetime], Keeper]
) -> None:
    account = account_of(book, None)
    for at, bears_witness in ((DAY_BEFORE, True), (TOTALITY, False)):
        made = made_at(at)
        with book.reading() as desk:
            met = met_light_in(desk, account.viewpoints, account.sites)
        assert (made.viewpoint_id in met) is bears_witness


def test_the_light_expected_of_a_frame_counts_the_eclipse_it_was_made_in(
    book: Book, made_at: Callable[[datetime], Keeper]
) -> None:
    evs = []
    for at in (DAY_BEFORE, TOTALITY):
        made = made_at(at)
        account = replace(account_of(book, None), met_light={})
        evs.append(expected_lights(account, [made])[made.id].scene_ev100)
    assert evs[0] - evs[1] == pytest.approx(14.5, abs=0.5)


def test_what_was_covered_is_asked_of_the_sky_on_days_of_an_eclipse_alone(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    nile = Observer(25.7, 32.65)
    assert sun_covered(nile, TOTALITY) == 1.0
    monkeypatch.setattr("logbook.sky.eclipses.discs_covered", None)
    assert sun_covered(nile, datetime(2027, 7, 4, 3, 2, tzinfo=UTC)) == 0.0, "a new moon without an eclipse"
    assert sun_covered(nile, datetime(2027, 8, 10, tzinfo=UTC)) == 0.0
