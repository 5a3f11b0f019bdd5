"""Days that are not like others: past midnight, without pictures, without plans, several in arrears."""

import re
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from urllib.parse import urlsplit

import pytest

from logbook.domain.zones import zone_of
from logbook.services import kinds, records
from logbook.store.book import Book
from tests.faces.private.visitor import Visitor, plain
from tests.services.night.sittings import TRIP, now

EVENINGS = f"/trip/{TRIP}/evening"


def pictures_on(visitor: Visitor, day: str) -> int:
    """How many pictures the evening of a day shows."""
    answer = visitor.ask(f"{EVENINGS}/{day}")
    assert answer.status == 200, answer.text
    return len(set(re.findall(r'id="picture-(\w+)"', answer.text)))


@pytest.mark.slow
def test_a_stay_past_midnight_is_of_the_day_on_which_it_began(visitor: Visitor, book_path: Path) -> None:
    assert pictures_on(visitor, "2025-10-19") == 0
    before = pictures_on(visitor, "2025-10-18")
    with Book(book_path, now, create=False).writing() as desk:
        ledge = desk.viewpoints.first(slug="quarry-ledge")
        assert ledge is not None
        late = [one for one in desk.keepers.all() if f"{one.place_time:%dT%H}" in ("18T16", "18T17")]
        assert len(late) > 1
        begins = datetime(2025, 10, 18, 23, 30, tzinfo=zone_of("Asia/Dushanbe")).astimezone(UTC)
        for number, one in enumerate(late):
            at = begins + timedelta(minutes=70 * number // (len(late) - 1))
            local = (at + timedelta(hours=5)).replace(tzinfo=None)
            desk.keepers.put(replace(one, taken_utc=at, taken_local=local, viewpoint_id=ledge.id))
    assert pictures_on(visitor, "2025-10-18") == before
    assert pictures_on(visitor, "2025-10-19") == 0
    stays = plain(visitor.ask(f"{EVENINGS}/2025-10-18"))
    assert re.search(r"Quarry ledge 23:\d\d–00:\d\d", stays), "as its clock is put right"
    assert "2025-10-19" not in plain(visitor.ask(f"/trip/{TRIP}"))


def test_a_day_without_pictures_or_plans_can_be_written_down(visitor: Visitor, book_path: Path) -> None:
    records.add(Book(book_path, now, create=False), kinds.TRIP, {"title": "Rain", "zone": "Europe/Oslo"})
    page = "/trip/rain/evening/2031-02-03"
    assert visitor.ask(page).status == 200
    assert visitor.send_pairs(page, [("line:journal", "Rain all day."), ("do", "keep")]).status == 303
    with Book(book_path, now, create=False).reading() as desk:
        assert [one.journal for one in desk.days.all()] == ["Rain all day."]
    assert "1 day" in plain(visitor.ask("/"))


@pytest.mark.slow
def test_days_in_arrears_are_named_and_lead_from_one_to_the_next(visitor: Visitor) -> None:
    first = visitor.ask("/")
    waiting = re.findall(rf'href="({EVENINGS}/[0-9-]+)">[^<]+</a> \((\d+)', first.text)
    assert len(waiting) >= 3
    for path, count in waiting:
        answer = visitor.ask(path)
        day = path.rpartition("/")[2]
        assert len(set(re.findall(r'id="picture-(\w+)"', answer.text))) <= int(count)
        others = {urlsplit(one).path for one in re.findall(r'href="([^"]+)"', answer.text)}
        assert {one for one, _ in waiting} - {path} <= others, f"{day} leads to the others"
