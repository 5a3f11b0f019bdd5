"""The pictures of a trip on a page: seen, ticked, noted and put in order."""

import re
from dataclasses import replace
from pathlib import Path

import pytest

from logbook.domain.keeper import Keeper
from logbook.domain.words import Audience, Provenance
from logbook.store.book import Book
from tests.faces.private.visitor import Visitor, plain
from tests.services.night.sittings import TRIP, dump_of, now

PAGE = f"/trip/{TRIP}/pictures"


def keepers(path: Path) -> list[Keeper]:
    """The keepers by file name."""
    with Book(path, now, create=False).reading() as desk:
        return sorted(desk.keepers.all(), key=lambda one: one.file)


def ticks(*chosen: Keeper) -> list[tuple[str, str]]:
    """Some pictures ticked."""
    return [("tick", one.id) for one in chosen]


def test_all_pictures_are_there_and_those_of_a_day(visitor: Visitor, book_path: Path) -> None:
    boxes = re.findall(r'name="tick" value="(\w+)"', visitor.ask(PAGE).text)
    assert set(boxes) == {one.id for one in keepers(book_path)}
    of_day = re.findall(r'name="tick" value="(\w+)"', visitor.ask(f"{PAGE}?day=2025-10-18").text)
    assert 0 < len(of_day) < len(boxes)
    assert set(of_day) < set(boxes)


def test_many_pictures_are_noted_at_once(visitor: Visitor, book_path: Path) -> None:
    first, second, third, *_ = keepers(book_path)
    answer = visitor.send_pairs(
        PAGE,
        [
            *ticks(first, second),
            ("filters", "nd8 + pol"),
            ("support", "braced"),
            ("do", "note"),
            ("here", PAGE),
        ],
    )
    assert (answer.status, answer.headers["Location"]) == (303, PAGE)
    first, second, third, *_ = keepers(book_path)
    for one in (first, second):
        assert one.filters == ("nd8", "pol")
        assert (str(one.support), one.provenance_of("support")) == ("braced", Provenance.STATED)
    assert third.filters != ("nd8", "pol")
    assert "Noted for 2 pictures." in plain(visitor.ask(PAGE))


@pytest.mark.slow
def test_pictures_are_hidden_shown_arranged_and_one_opens(visitor: Visitor, book_path: Path) -> None:
    first, second, *_ = keepers(book_path)
    visitor.send_pairs(PAGE, [*ticks(first), ("do", "hide:client")])
    assert keepers(book_path)[0].hidden_from == (Audience.CLIENT,)
    assert first.id not in visitor.ask(f"{PAGE}?order=client").text
    visitor.send_pairs(PAGE, [*ticks(first), ("do", "show:client")])
    assert keepers(book_path)[0].hidden_from == ()
    visitor.send_pairs(PAGE, [*ticks(second, first), ("do", "arrange:client")])
    seen = re.findall(r'name="tick" value="(\w+)"', visitor.ask(f"{PAGE}?order=client").text)
    assert set(seen[:2]) == {first.id, second.id}
    visitor.send_pairs(PAGE, [*ticks(first), ("do", "opening")])
    assert keepers(book_path)[0].opening
    several = visitor.send_pairs(PAGE, [*ticks(first, second), ("do", "opening")])
    assert several.status == 422
    assert "Only one picture opens a trip" in plain(several)


@pytest.mark.parametrize(
    "wrong",
    [
        [("support", "a ladder")],
        [("shot", "nobody")],
        [("sharpness", "quite")],
        [("do", "arrange:archive")],
        [("do", "hide:everybody")],
    ],
)
def test_what_is_not_understood_changes_nothing_and_keeps_ticks_and_words(
    visitor: Visitor, book_path: Path, wrong: list[tuple[str, str]]
) -> None:
    before = dump_of(book_path)
    first, *_ = keepers(book_path)
    answer = visitor.send_pairs(PAGE, [*ticks(first), ("caption", "The <i>gate</i>"), *wrong])
    assert answer.status == 422
    assert "Traceback" not in answer.text
    assert re.search(rf'value="{first.id}" checked', answer.text)
    assert 'value="The &lt;i&gt;gate&lt;/i&gt;"' in answer.text
    assert dump_of(book_path) == before


def test_without_a_tick_nothing_is_noted(visitor: Visitor, book_path: Path) -> None:
    before = dump_of(book_path)
    answer = visitor.send(PAGE, caption="Nobody's")
    assert (answer.status, "Tick the pictures first" in plain(answer)) == (422, True)
    assert dump_of(book_path) == before


@pytest.mark.slow
def test_a_picture_is_seen_large_between_its_neighbours(visitor: Visitor, book_path: Path) -> None:
    links = re.findall(rf'href="(/trip/{TRIP}/picture/\w+)"', visitor.ask(PAGE).text)
    answer = visitor.ask(links[1])
    assert f"2 of {len(keepers(book_path))}" in plain(answer)
    assert re.search(rf'rel="prev" href="{links[0]}"', answer.text)
    assert re.search(rf'rel="next" href="{links[2]}"', answer.text)
    (source,) = re.findall(r'src="(/picture/\w+/large)"', answer.text)
    assert visitor.ask(source).body.startswith(b"\xff\xd8")
    assert visitor.ask(f"/trip/{TRIP}/picture/nobody").status == 404


def test_a_plan_of_the_evening_shows_its_pictures_even_those_of_another_day(
    visitor: Visitor, book_path: Path
) -> None:
    evening = f"/trip/{TRIP}/evening/2025-10-14"
    text = visitor.ask(evening).text
    slug, plan = re.findall(r'id="(plan-\d+)".*?value="serve:([\w-]+)"', text, re.DOTALL)[0][::-1]
    of_day, elsewhere = (
        [one for one in keepers(book_path) if f"picture-{one.id}" in part]
        for part in (text, visitor.ask("/trip/" + TRIP + "/evening/2025-10-18").text)
    )
    visitor.send_pairs(PAGE, [*ticks(of_day[0], elsewhere[0]), ("shot", slug), ("do", "note")])
    card = visitor.ask(evening).text.partition(f'id="{plan}"')[2].partition("</h3>")[2].partition("serve:")[0]
    shown = re.findall(r'<a [^>]*href="([^"]+)"[^>]*>\s*<img src="/picture/(\w+)/small"', card)
    assert {one for _, one in shown} == {of_day[0].id, elsewhere[0].id}
    for link, _ in shown:
        assert visitor.ask(link.replace("&amp;", "&")).status == 200


def test_pictures_without_a_word_about_filters_are_in_sight_where_the_button_says_so(
    visitor: Visitor,
) -> None:
    text = visitor.ask(f"/trip/{TRIP}/evening/2025-10-18").text
    reading = text.partition('id="reading"')[2]
    bare = re.findall(r'value="bare:([\w,]+)"', reading)
    assert bare, "some have no filter noted"
    before = reading.partition('value="bare:')[0]
    assert set(re.findall(r'src="/picture/(\w+)/small"', before)) == set(bare[0].split(","))


def test_a_panorama_has_a_row_of_its_own_and_is_never_drawn_larger_than_its_file(
    visitor: Visitor, book_path: Path
) -> None:
    one, two, *_ = keepers(book_path)
    with Book(book_path, now, create=False).writing() as desk:
        desk.keepers.put(replace(one, width_px=6000, height_px=600, orientation=None))
        desk.keepers.put(replace(two, width_px=300, height_px=30, orientation=None))
    for page in (PAGE, f"/trip/{TRIP}/send/client"):
        text = visitor.ask(page).text
        for keeper, size in ((one, 'width="960" height="96"'), (two, 'width="300" height="30"')):
            shown = text.partition(f'src="/picture/{keeper.id}/large"')
            assert shown[0].rpartition("<li ")[2].startswith('class="thumb broad"')
            assert size in shown[2].partition(">")[0]
