"""The plan as a page without script: rows typed, kept, refused, changed meanwhile, taken over, taken back."""

import re
from dataclasses import replace
from datetime import date
from html import unescape
from pathlib import Path

import pytest

from logbook.domain.shot import Shot
from logbook.domain.words import ConditionKind, OutcomeWord
from logbook.services import kinds, records
from logbook.services.plans import outcomes
from logbook.services.plans.cells import COLUMNS
from logbook.services.plans.outcomes import OutcomeSaid
from logbook.store.book import Book
from tests.faces.private.routes import Elements
from tests.faces.private.visitor import Answer, Visitor, plain
from tests.services.night.sittings import TRIP, dump_of, now

PAGE = f"/trip/{TRIP}/plan"
Form = dict[str, str]


def shots(path: Path) -> dict[str, Shot]:
    """The shots by their short names."""
    with Book(path, now, create=False).reading() as desk:
        return {one.slug: one for one in desk.shots.all()}


def form(answer: Answer) -> Form:
    """The fields of the table as a browser would send them."""
    text = answer.text
    found = dict(re.findall(r'<input[^>]* name="(cell:[^"]+)"[^>]* value="([^"]*)"', text))
    found |= dict(re.findall(r'<textarea[^>]* name="(cell:[^"]+)"[^>]*>\n([^<]*)</textarea>', text))
    found |= dict(re.findall(r'name="(seen:[^"]+)" value="([^"]*)"', text))
    return {name: unescape(value) for name, value in found.items()}


def sent(visitor: Visitor, fields: Form) -> Answer:
    """Send a form of the table."""
    return visitor.send_pairs(PAGE, list(fields.items()))


def test_every_shot_is_a_row_and_an_empty_one_waits(visitor: Visitor, book_path: Path) -> None:
    fields = form(visitor.ask(PAGE))
    for one in shots(book_path).values():
        assert fields[f"cell:{one.id}:title"] == one.title
        assert len(fields[f"seen:{one.id}"].split()) == len(COLUMNS)
    assert fields["cell:new-0:title"] == ""
    assert len([name for name in fields if name.startswith("cell:")]) == len(COLUMNS) * 21


def test_a_form_that_nobody_touched_changes_nothing(visitor: Visitor, book_path: Path) -> None:
    before = dump_of(book_path)
    answer = sent(visitor, form(visitor.ask(PAGE)))
    assert answer.status == 303
    assert "Nothing was changed." in plain(visitor.ask(PAGE))
    assert dump_of(book_path) == before


@pytest.mark.slow
def test_cells_and_new_rows_are_kept_as_one_undo(visitor: Visitor, book_path: Path) -> None:
    fields, before = form(visitor.ask(PAGE)), shots(book_path)
    pan = before["pan-mirror"]
    fields |= {f"cell:{pan.id}:iso": "200", f"cell:{pan.id}:notes": "two\r\nlines", "at": f"{pan.id}-iso"}
    fields |= {"cell:new-0:title": "Mill at low water", "cell:new-0:exposure_s": "1/4"}
    answer = sent(visitor, fields)
    assert (answer.status, answer.headers["Location"]) == (303, f"{PAGE}#{pan.id}-iso")
    after = shots(book_path)
    assert (after["pan-mirror"].iso, after["pan-mirror"].notes) == (200, "two\nlines")
    assert float(after["mill-at-low-water"].exposure_s or 0) == 0.25
    shown = plain(visitor.ask(PAGE))
    assert "1 shot planned, 1 shot changed." in shown
    assert '"1/4" is kept as 1/4 s.' in shown
    visitor.send("/undo", here=PAGE)
    assert "mill-at-low-water" not in shots(book_path)
    assert shots(book_path)["pan-mirror"].iso == pan.iso


@pytest.mark.slow
def test_refused_cells_keep_what_was_typed_and_say_why_beside_it(visitor: Visitor, book_path: Path) -> None:
    pan = shots(book_path)["pan-mirror"]
    fields = form(visitor.ask(PAGE))
    fields |= {f"cell:{pan.id}:iso": "a <b>lot</b>", f"cell:{pan.id}:focal_mm": "50"}
    fields |= {"cell:new-0:title": "Ford", "cell:new-0:f_number": "wide open"}
    answer = sent(visitor, fields)
    assert answer.status == 422
    shown = form(answer)
    assert shown[f"cell:{pan.id}:iso"] == "a <b>lot</b>"
    assert f'aria-describedby="why-{pan.id}-iso"' in answer.text
    why = re.search(rf'<span class="refusal" id="why-{pan.id}-iso">([^<]*)<', answer.text)
    assert why is not None
    assert "lot" in why[1]
    after = shots(book_path)
    assert (after["pan-mirror"].focal_mm, after["pan-mirror"].iso) == (50, pan.iso)
    assert shown[f"cell:{after['ford'].id}:f_number"] == "wide open", "the new shot is there already"
    shown |= {f"cell:{pan.id}:iso": "400", f"cell:{after['ford'].id}:f_number": "2.8"}
    assert sent(visitor, shown).status == 303
    assert (shots(book_path)["pan-mirror"].iso, shots(book_path)["ford"].f_number) == (400, 2.8)


def test_a_row_without_a_title_is_no_shot_and_is_not_lost(visitor: Visitor, book_path: Path) -> None:
    before = dump_of(book_path)
    answer = sent(visitor, form(visitor.ask(PAGE)) | {"cell:new-0:notes": "bring a rope"})
    assert (answer.status, "A shot needs a title" in plain(answer)) == (422, True)
    shown = form(answer)
    assert shown["cell:new-0:notes"] == "bring a rope"
    assert shown["cell:new-1:title"] == "", "and the next empty row"
    assert dump_of(book_path) == before


@pytest.mark.slow
def test_what_was_changed_meanwhile_is_said_and_nothing_is_lost(visitor: Visitor, book_path: Path) -> None:
    pan = shots(book_path)["pan-mirror"]
    fields = form(visitor.ask(PAGE))
    outcomes.edit_shot(Book(book_path, now, create=False), "pan-mirror", {"iso": 800, "focal_mm": 70.0}, None)
    answer = sent(visitor, fields | {f"cell:{pan.id}:iso": "200"})
    assert answer.status == 422
    assert 'Another window has since written "800" here.' in plain(answer)
    shown = form(answer)
    assert (shown[f"cell:{pan.id}:iso"], shown[f"cell:{pan.id}:focal_mm"]) == ("200", "70")
    assert shots(book_path)["pan-mirror"].iso == 800
    assert sent(visitor, shown).status == 303
    assert (shots(book_path)["pan-mirror"].iso, shots(book_path)["pan-mirror"].focal_mm) == (200, 70)


@pytest.mark.slow
def test_a_shot_that_was_taken_out_meanwhile_can_be_planned_anew(visitor: Visitor, book_path: Path) -> None:
    caravan = shots(book_path)["dune-drone"]
    fields = form(visitor.ask(PAGE))
    out = visitor.send_pairs(PAGE, [(f"out:{caravan.id}", "on")])
    assert out.status == 303
    assert "dune-drone" not in shots(book_path)
    answer = sent(visitor, fields | {f"cell:{caravan.id}:iso": "200"})
    assert "This shot has since been removed." in plain(answer)
    shown = form(answer)
    assert (shown["cell:new-0:title"], shown["cell:new-0:iso"]) == (caravan.title, "200")
    assert sent(visitor, shown).status == 303
    assert [one.iso for one in shots(book_path).values() if one.title == caravan.title] == [200]


@pytest.mark.slow
def test_a_plan_whose_outcome_is_known_can_only_be_read(visitor: Visitor, book_path: Path) -> None:
    pan = shots(book_path)["pan-mirror"]
    fields = form(visitor.ask(PAGE))
    said = OutcomeSaid(OutcomeWord.MADE)
    outcomes.edit_shot(Book(book_path, now, create=False), "pan-mirror", {}, said)
    page = visitor.ask(PAGE)
    assert re.search(rf'id="{pan.id}-iso"[^>]* readonly', page.text)
    assert "made : the outcome is known, so the plan is closed." in plain(page)
    answer = sent(visitor, fields | {f"cell:{pan.id}:iso": "200"})
    assert answer.status == 422
    assert 'The outcome is "made", so the plan was not changed' in plain(answer)
    assert form(answer)[f"cell:{pan.id}:iso"] == "200"
    assert shots(book_path)["pan-mirror"].iso == pan.iso


@pytest.mark.slow
def test_each_day_has_its_strip_and_each_shot_its_verdict_and_its_sun(
    visitor: Visitor, book_path: Path
) -> None:
    page = visitor.ask(PAGE)
    assert f'href="{PAGE}?day=2025-10-17#' in page.text
    assert "<svg" not in page.text, "nobody waits for the sun before they can type"
    day = visitor.ask(f"{PAGE}?day=2025-10-17")
    assert "The light of 17 October 2025" in unescape(day.text)
    assert re.search(r"golden hour at \d\d:\d\d: sun (?:\d+° (?:up|below)|on the horizon)", plain(day))
    part = visitor.ask(f"{PAGE}/light/2025-10-17")
    of_day = {one.id for one in shots(book_path).values() if str(one.on_date) == "2025-10-17"}
    assert set(re.findall(r'data-about="(\w+)"', part.text)) == of_day
    assert visitor.ask(f"{PAGE}/light/undated").status == 200
    assert visitor.ask(f"{PAGE}/light/yesterday").status == 404


def test_closures_and_rules_of_its_places_stand_there_with_their_day(
    visitor: Visitor, book_path: Path
) -> None:
    assert "Observed there; check again" not in plain(visitor.ask(PAGE))
    seen = {"trip": TRIP, "kind": ConditionKind.CLOSURE, "on_date": date(2025, 10, 1), "site": "quarry-gorge"}
    book = Book(book_path, now, create=False)
    records.add(book, kinds.CONDITION, seen | {"note": "the ledge road", "source": "the warden"})
    page = plain(visitor.ask(PAGE))
    assert "Observed there; check again" in page
    assert "the ledge road 1 Oct 2025, the warden" in page


@pytest.mark.slow
def test_a_plan_is_taken_over_from_an_earlier_trip_and_into_a_next_one(
    visitor: Visitor, book_path: Path
) -> None:
    answer = visitor.send(f"{PAGE}/next", **{"title": "Valley again", "from": "2027-10-11", "only": "all"})
    assert (answer.status, answer.headers["Location"]) == (303, "/trip/valley-again/plan")
    page = visitor.ask("/trip/valley-again/plan")
    assert "20 shots, 728 days later; 19 pieces of kit on the packing list." in plain(page)
    assert len(shots(book_path)) == 40
    assert "Planned 2025, open; planned 2027, open." in plain(page)
    taken = visitor.send("/trip/valley-again/plan/copy", earlier=TRIP, only="to-get")
    assert taken.status == 303
    assert f"There was nothing left to copy from {TRIP}." in plain(visitor.ask("/trip/valley-again/plan"))
    assert visitor.send("/trip/valley-again/plan/copy", earlier="").status == 422
    refused = visitor.send(f"{PAGE}/next", **{"title": 'Once "more"', "from": "soon"})
    assert (refused.status, '"soon" is' in plain(refused)) == (422, True)
    assert 'name="title" value="Once &#34;more&#34;"' in refused.text, "what was typed is not lost"
    visitor.send("/undo", here=PAGE)
    assert len(shots(book_path)) == 20


@pytest.mark.parametrize(
    "fields",
    [
        {"cell:nobody:title": "x"},
        {"cell:new-0:slug": "x", "cell:new-0:trip_id": "x", "cell:new-0:": "x", "cell::title": ""},
        {"cell:new-0:title": "\x07"},
        {"cell:new-0:title": "t" * 500},
        {"out:nobody": "on", "at": "../../nowhere"},
    ],
)
def test_forms_of_other_pages_change_nothing_and_break_nothing(
    visitor: Visitor, book_path: Path, fields: Form
) -> None:
    before = dump_of(book_path)
    answer = sent(visitor, fields)
    assert answer.status in (303, 422)
    assert answer.headers.get("Location", PAGE) == PAGE
    assert dump_of(book_path) == before


@pytest.mark.slow
def test_what_others_wrote_is_text_in_the_table(visitor: Visitor, book_path: Path) -> None:
    hostile = '"></textarea><script src=//elsewhere.example></script><img src=x onerror=alert(1)>{{ 7 * 7 }}'
    with Book(book_path, now, create=False).writing() as desk:
        for shot in desk.shots.all():
            desk.shots.put(replace(shot, title=hostile, technique=hostile, notes=hostile, filters=(hostile,)))
        for place in desk.viewpoints.all():
            desk.viewpoints.put(replace(place, title=hostile))
        for trip in desk.trips.all():
            desk.trips.put(replace(trip, title=hostile))
    before = dump_of(book_path)
    for path in (PAGE, f"{PAGE}?day=2025-10-17", f"{PAGE}/light/2025-10-17"):
        answer = visitor.ask(path)
        assert answer.status == 200
        elements = Elements(answer.text)
        assert {one["src"] for name, one in elements.seen if name == "script"} <= {
            "/brought/desk.js",
            "/brought/plan.js",
        }
        assert not [key for _, found in elements.seen for key in found if key.startswith("on")]
        assert not [one for name, one in elements.seen if name == "img"]
    fields = form(visitor.ask(PAGE))
    assert fields[f"cell:{shots(book_path)['pan-mirror'].id}:notes"] == hostile
    assert sent(visitor, fields).status == 303
    assert dump_of(book_path) == before


def test_a_planned_shot_shows_what_was_made_of_it(visitor: Visitor, book_path: Path) -> None:
    planned = next(iter(shots(book_path).values()))
    with Book(book_path, now, create=False).writing() as desk:
        made, other = desk.keepers.all()[:2]
        desk.keepers.put(replace(made, shot_id=planned.id))
        desk.keepers.put(replace(other, shot_id=None))
    text = visitor.ask(PAGE).text
    assert f'<img src="/picture/{made.id}/small"' in text
    assert other.id not in text
