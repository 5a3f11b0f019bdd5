"""Looking back by the page: find, alike, worked and before, with pictures, in the words of the commands."""

import re
from dataclasses import replace
from html import unescape
from pathlib import Path

import pytest

from logbook.faces.alike_shown import how_alike, site_lines
from logbook.faces.worked_shown import counted_words, row_lines
from logbook.services.alike import alike
from logbook.services.worked import By, WorkedQuestion, worked
from logbook.store.book import Book
from tests.faces.private.test_pictures import keepers, ticks
from tests.faces.private.visitor import Answer, Visitor, plain
from tests.services.night.sittings import TRIP, dump_of, now


def boxes(text: str) -> list[str]:
    """The ids of the pictures that can be ticked."""
    return re.findall(r'name="tick" value="(\w+)"', text)


def behind_pages(answer: Answer) -> list[str]:
    """Where all the pictures behind each row are."""
    return [unescape(one) for one in re.findall(r'href="(/look/worked/pictures[^"]+)"', answer.text)]


def test_a_question_is_understood_and_answered_with_pictures(visitor: Visitor, book_path: Path) -> None:
    before = dump_of(book_path)
    answer = visitor.ask("/look?q=f%2F16+dusk")
    assert "Read as: aperture f/16 (within a third of a stop), light dusk." in plain(answer)
    shown = re.findall(r'src="/picture/(\w+)/small"', answer.text)
    assert shown
    assert visitor.ask(f"/picture/{shown[0]}/small").body.startswith(b"\xff\xd8")
    for link in set(re.findall(r'href="(/(?:trip|look)/[^"]+)"', answer.text)):
        assert visitor.ask(link.replace("&amp;", "&")).status == 200, link
    assert dump_of(book_path) == before, "asking changes nothing"


@pytest.mark.parametrize("page", [f"/trip/{TRIP}/pictures", "/look/pictures?q=windblown"])
def test_wherever_pictures_can_be_ticked_they_are_seen_large_over_the_page(
    visitor: Visitor, book_path: Path, page: str
) -> None:
    with Book(book_path, now, create=False).writing() as desk:
        desk.keepers.put(replace(desk.keepers.all()[0], caption="windblown lantern"))
    text = visitor.ask(page).text
    assert 0 < len(boxes(text)) == len(re.findall(r"<a [^>]* data-large", text))
    assert text.count("<dialog") == 1


def test_nothing_found_and_nothing_asked_are_said(visitor: Visitor) -> None:
    assert "Nothing was found" in plain(visitor.ask("/look?q=zzzqqq"))
    for question in ("", "%20", "%22", "*", "%3Cb%3E%27%27%22%29%28"):
        assert visitor.ask(f"/look?q={question}").status == 200


@pytest.mark.slow
def test_the_pictures_of_a_question_are_noted_at_once_and_undone_as_one(
    visitor: Visitor, book_path: Path
) -> None:
    opened = Book(book_path, now, create=False)
    with opened.writing() as desk:  # a second trip, so that what is found is of both
        trip = next(one for one in desk.trips.all() if one.slug == TRIP)
        other = replace(trip, id="other-trip", slug="other-trip", title="Another")
        desk.trips.add(other)
        one, two, *_ = sorted(desk.keepers.all(), key=lambda one: one.file)
        desk.keepers.put(replace(one, caption="windblown lantern"))
        desk.keepers.put(replace(two, caption="windblown gate", trip_id=other.id))
    page = "/look/pictures?q=windblown"
    assert set(boxes(visitor.ask(page).text)) == {one.id, two.id}
    was = [found.support for found in keepers(book_path)[:2]]
    answer = visitor.send_pairs(
        page, [*ticks(one, two), ("support", "braced"), ("do", "note"), ("here", page)]
    )
    assert (answer.status, answer.headers["Location"]) == (303, page)
    assert "Noted for 2 pictures." in plain(visitor.ask(page))
    assert [str(found.support) for found in keepers(book_path)[:2]] == ["braced", "braced"]
    visitor.send("/undo")
    assert [found.support for found in keepers(book_path)[:2]] == was
    before = dump_of(book_path)
    refused = visitor.send_pairs(page, [*ticks(one, two), ("do", "opening")])
    assert (refused.status, "Only one picture opens a trip" in plain(refused)) == (422, True)
    gone = visitor.send_pairs(page, [*ticks(one), ("tick", "nobody"), ("support", "braced")])
    assert (gone.status, "reload the page" in plain(gone)) == (422, True)
    assert dump_of(book_path) == before, "all or none"


def test_sites_alike_stand_with_the_commands_own_words_and_pictures(
    visitor: Visitor, book_path: Path
) -> None:
    opened = Book(book_path, now, create=False)
    with opened.reading() as desk:
        site = desk.sites.all()[0].slug
    found = alike(opened, site, {})
    answer = visitor.ask(f"/look/alike?site={site}")
    for one in found.sites:
        assert one.site.title in plain(answer)
        assert how_alike(one) in plain(answer)
        for _, text in site_lines(one, found):
            assert " ".join(text.split()) in plain(answer)
    assert visitor.ask("/look/alike").status == 200
    missed = visitor.ask("/look/alike?site=nowhere-at-all")
    assert (missed.status, "Traceback" in missed.text) == (404, False)


@pytest.mark.parametrize("by", [*By, "crowd"])
def test_what_worked_has_its_rates_and_the_pictures_behind_each_row(
    visitor: Visitor, book_path: Path, by: str
) -> None:
    answer = visitor.ask(f"/look/worked?by={by}")
    assert answer.status == 200
    if by not in list(By):
        return
    found = worked(Book(book_path, now, create=False), WorkedQuestion(By(by)))
    for row in found.rows:
        assert counted_words(row) in plain(answer)
        for _, text in row_lines(row, by):
            assert " ".join(text.split()) in plain(answer)
    behind = {keeper for row in found.rows for keeper in row.sources.get("keepers", ())}
    assert set(re.findall(r'id="picture-(\w+)"', answer.text)) <= behind
    pages = [
        one.replace("&amp;", "&") for one in re.findall(r'href="(/look/worked/pictures[^"]+)"', answer.text)
    ]
    assert len(pages) == sum(bool(row.sources.get("keepers")) for row in found.rows)
    assert {one for path in pages for one in boxes(visitor.ask(path).text)} == behind


def test_a_row_of_what_worked_shows_pictures_under_its_count(visitor: Visitor, book_path: Path) -> None:
    some = keepers(book_path)[:8]
    stated = [("viewpoint", "quarry-ledge"), ("support", "tripod"), ("do", "note")]
    visitor.send_pairs(f"/trip/{TRIP}/pictures", [*ticks(*some), *stated])
    text = visitor.ask("/look/worked").text
    row = text[text.index("<h2>tripod") :]
    shown = re.findall(r'src="/picture/(\w+)/small"', row.partition("</section>")[0])
    assert len(shown) == 6
    assert set(shown) <= {one.id for one in some}
    assert row.index('class="counted"') < row.index("<img")
    assert "<img" not in "".join(re.findall(r"<details.*?</details>", row, re.DOTALL)), "none is folded away"
    assert "See all 8 pictures behind it" in plain(visitor.ask("/look/worked"))


@pytest.mark.slow
def test_the_pictures_behind_a_row_are_noted_at_once(visitor: Visitor, book_path: Path) -> None:
    stated = [("viewpoint", "quarry-ledge"), ("support", "tripod"), ("do", "note")]
    visitor.send_pairs(f"/trip/{TRIP}/pictures", [*ticks(*keepers(book_path)[:3]), *stated])
    (page,) = behind_pages(visitor.ask("/look/worked"))
    one, two = boxes(visitor.ask(page).text)[:2]
    said = [("tick", one), ("tick", two), ("caption", "Behind it"), ("do", "note"), ("here", page)]
    assert visitor.send_pairs(page, said).headers["Location"] == page
    assert sum(found.caption == "Behind it" for found in keepers(book_path)) == 2
    assert visitor.send_pairs(page, said[2:]).status == 422


@pytest.mark.parametrize(
    "question",
    [
        "by=weight",
        "kind=spoon",
        "tripod=perhaps",
        "of=luck",
        "crowd=many",
        "within_km=far",
        "support=ladder",
        "within_km=3",
    ],
)
def test_a_condition_that_cannot_be_is_one_sentence(visitor: Visitor, question: str) -> None:
    answer = visitor.ask(f"/look/worked?{question}")
    assert (answer.status, "Traceback" in answer.text) == (422, False)


@pytest.mark.slow
def test_a_brief_has_light_wish_and_the_pictures_that_were_made(visitor: Visitor, book_path: Path) -> None:
    links = re.findall(r'href="(/look/before\?[^"]+)"', visitor.ask("/look/before").text)
    assert links, "the places of a trip's plan lead to their briefs"
    answer = visitor.ask(links[0].replace("&amp;", "&") + "&wish=6s&f_number=16")
    assert answer.status == 200
    assert "Last observed: check again" in plain(answer)
    assert "Your wish: 6 s at f/16" in plain(answer)
    assert book_path.exists()


def test_places_to_go_back_to_are_known_by_their_pictures(visitor: Visitor, book_path: Path) -> None:
    opened = Book(book_path, now, create=False)
    with opened.writing() as desk:
        stand = next(one for one in desk.viewpoints.all() if desk.shots.first(viewpoint_id=one.id))
        one, two = sorted(desk.keepers.all(), key=lambda one: one.file)[:2]
        for keeper in (one, two):
            desk.keepers.put(replace(keeper, viewpoint_id=stand.id))
        site = next(one.slug for one in desk.sites.all() if one.id == stand.site_id)
    offered = dict(
        re.findall(r'href="/look/before\?place=([\w-]+)[^"]*">(.*?)</a>', visitor.ask("/look/before").text)
    )
    assert f'src="/picture/{one.id}/small"' in offered.pop(stand.slug), "the first of those not planned"
    assert offered
    assert all("<img" not in said and "no picture yet" in said for said in offered.values())
    text = visitor.ask(f"/look/before?place={site}").text
    first = re.findall(r'src="/picture/(\w+)/small"', text.partition('<section class="part wide">')[0])
    assert first == [one.id, two.id], "before anything is read about the place"


def test_a_place_is_shown_by_a_planned_picture_and_a_brief_beside_what_it_says(
    visitor: Visitor, book_path: Path
) -> None:
    one, two, *_ = keepers(book_path)
    with Book(book_path, now, create=False).writing() as desk:
        shot = next(one for one in desk.shots.all() if one.viewpoint_id)
        stand = desk.viewpoints.get(shot.viewpoint_id)
        assert stand is not None
        desk.keepers.put(replace(one, viewpoint_id=stand.id, shot_id=None))
        desk.keepers.put(replace(two, viewpoint_id=stand.id, shot_id=shot.id))
    offered = visitor.ask("/look/before").text
    assert f"/picture/{two.id}/small" in offered, "the planned picture, though it is the later one"
    assert f"/picture/{one.id}/small" not in offered
    brief = visitor.ask(f"/look/before?place={stand.slug}").text
    top, _, rest = brief.partition("Where to stand")
    for picture in (one, two):
        assert f"/picture/{picture.id}/small" in top
        assert f"/picture/{picture.id}/small" in rest


@pytest.mark.parametrize(
    "question",
    [
        "place=quarry&on=yesterdayish",
        "place=quarry&wish=long&f_number=8",
        "place=quarry&iso=100",
        "place=quarry&wish=6s",
    ],
)
def test_a_brief_that_cannot_be_made_is_one_sentence(visitor: Visitor, question: str) -> None:
    answer = visitor.ask(f"/look/before?{question}")
    assert (answer.status, "Traceback" in answer.text) == (422, False)


def test_a_page_of_a_trip_leads_to_looking_back(visitor: Visitor) -> None:
    assert 'href="/look"' in visitor.ask(f"/trip/{TRIP}").text


@pytest.mark.slow
@pytest.mark.parametrize("page", ["worked", "worked/pictures", "before", "alike"])
def test_what_stands_in_an_address_is_text(visitor: Visitor, page: str) -> None:
    hostile = "%22%3E%3Cscript%3Ealert(1)%3C/script%3E"
    names = (
        "by",
        "kind",
        "near",
        "technique",
        "support",
        "of",
        "row",
        "place",
        "on",
        "wish",
        "site",
        "_external",
    )
    for name in names:
        answer = visitor.ask(f"/look/{page}?{name}={hostile}")
        assert answer.status < 500, f"{name}: {answer.text}"
        assert "<script>alert" not in answer.text
