"""The evening of a day on a page: whatever was typed is kept, from any button, in any order."""

import re
from pathlib import Path

import pytest

from logbook.domain.words import Provenance
from logbook.services.night.cards import WholeEvening
from logbook.services.night.questions import Asks
from logbook.services.night.session import Night, day_to_write
from logbook.services.night.whole import whole_evening
from logbook.store.book import Book
from tests.examples import first
from tests.faces.private.routes import Elements
from tests.faces.private.visitor import Visitor, plain
from tests.services.night.sittings import TRIP, dump_of, now

DAY = "2025-10-18"
PAGE = f"/trip/{TRIP}/evening/{DAY}"


def evening(path: Path) -> WholeEvening:
    """The evening as the book has it."""
    book = Book(path, now, create=False)
    trip, day = day_to_write(book, TRIP, None)
    return whole_evening(Night(book, trip, day))


def key_of(path: Path, asks: Asks, number: int = 0) -> str:
    """The key of the first question of a kind, or of another."""
    return [one.question.key for one in evening(path).items if one.question.asks is asks][number]


def value_of(path: Path, key: str) -> tuple[str, Provenance | None]:
    """What stands in the book at a question."""
    return next((one.value, one.word) for one in evening(path).items if one.question.key == key)


def shown_on(visitor: Visitor, path: str = PAGE) -> list[tuple[str, str]]:
    """What the form of a page sends unseen: what it showed."""
    (form,) = (one for one in Elements(visitor.ask(path).text).forms if one.typed)
    return [(name, value) for name, value in form.fields if name not in ("token", "tick")]


@pytest.mark.slow
def test_the_page_shows_the_day_with_its_pictures(visitor: Visitor) -> None:
    answer = visitor.ask(PAGE)
    assert answer.status == 200
    shown = plain(answer)
    assert "Saturday 18 October 2025" in shown
    assert len(re.findall(r'<img src="/picture/\w+/small"', answer.text)) >= 7
    (first, *_) = re.findall(r'src="(/picture/\w+/small)"', answer.text)
    picture = visitor.ask(first)
    assert (picture.status, picture.headers["Content-Type"]) == (200, "image/jpeg")
    assert picture.body.startswith(b"\xff\xd8")


@pytest.mark.slow
def test_looking_changes_nothing(visitor: Visitor, book_path: Path) -> None:
    before = dump_of(book_path)
    visitor.ask(PAGE)
    visitor.send(f"{PAGE}/understood", key=key_of(book_path, Asks.CHANGES), line="gate locked at 10:40")
    assert dump_of(book_path) == before


@pytest.mark.slow
def test_all_that_was_typed_is_kept_with_any_button(visitor: Visitor, book_path: Path) -> None:
    tries, crowd = key_of(book_path, Asks.TRIES), key_of(book_path, Asks.CROWD)
    changes, support = key_of(book_path, Asks.CHANGES), key_of(book_path, Asks.SUPPORT)
    answer = visitor.send_pairs(
        PAGE,
        [
            (f"line:{tries}", "14"),
            (f"line:{crowd}", "few dozens none"),
            (f"line:{changes}", "north rim road closed, said the warden"),
            ("do", f"pick:{support}=braced"),
        ],
    )
    assert answer.status == 303
    assert value_of(book_path, tries) == ("14", Provenance.STATED)
    assert value_of(book_path, crowd) == ("few, dozens, none", Provenance.STATED)
    assert value_of(book_path, support) == ("braced", Provenance.STATED)
    with Book(book_path, now, create=False).reading() as desk:
        assert [one.source for one in desk.conditions.all() if str(one.kind) == "closure"] == ["the warden"]


def said_in(path: Path) -> dict[str, list[tuple[object, ...]]]:
    """Every row but its two instants: taking back is a change of now."""
    return {name: [(row[0], *row[3:]) for row in rows] for name, rows in dump_of(path).items()}


@pytest.mark.slow
def test_a_form_is_one_change_that_undo_takes_back(visitor: Visitor, book_path: Path) -> None:
    before = said_in(book_path)
    tries, crowd = key_of(book_path, Asks.TRIES), key_of(book_path, Asks.CROWD)
    visitor.send_pairs(PAGE, [(f"line:{tries}", "14"), (f"line:{crowd}", "few"), ("do", "keep")])
    assert said_in(book_path) != before
    answer = visitor.send("/undo", here=PAGE)
    assert (answer.status, answer.headers["Location"]) == (303, PAGE)
    assert said_in(book_path) == before
    assert f"Undone: evening of {DAY}." in plain(visitor.ask(PAGE))


@pytest.mark.slow
def test_what_is_not_understood_stays_in_its_field_with_a_sentence(visitor: Visitor, book_path: Path) -> None:
    tries, support = key_of(book_path, Asks.TRIES), key_of(book_path, Asks.SUPPORT)
    answer = visitor.send_pairs(PAGE, [(f"line:{tries}", "a <b>few</b>"), ("do", f"pick:{support}=tripod")])
    assert answer.status == 422
    assert 'value="a &lt;b&gt;few&lt;/b&gt;"' in answer.text
    assert "is not a number of tries" in plain(answer)
    assert value_of(book_path, tries)[1] is not Provenance.STATED


@pytest.mark.slow
def test_a_proposal_is_stated_by_a_yes_and_unknown_by_not_known(visitor: Visitor, book_path: Path) -> None:
    proposed = [
        one.question
        for one in evening(book_path).items
        if one.question.asks is Asks.FILTERS and one.question.default
    ]
    visitor.send(PAGE, do=f"take:{proposed[0].key}")
    assert value_of(book_path, proposed[0].key) == (proposed[0].default, Provenance.STATED)
    visitor.send(PAGE, do=f"unknown:{proposed[0].key}")
    assert value_of(book_path, proposed[0].key)[0] == ""


@pytest.mark.slow
def test_a_refusal_without_a_field_to_stand_at_is_said_above(visitor: Visitor, book_path: Path) -> None:
    seen, crowd = key_of(book_path, Asks.CONDITIONS), key_of(book_path, Asks.CROWD)
    visitor.send_pairs(PAGE, [(f"line:{seen}", "crowd: dozens at 16:33"), ("do", "keep")])
    assert f'value="pick:{crowd}=' not in visitor.ask(PAGE).text
    answer = visitor.send(PAGE, do=f"pick:{crowd}=few")
    assert answer.status == 422
    assert 'dozens at 16:33" is noted for this stay' in plain(answer)


@pytest.mark.parametrize(
    ("place", "why"), [("", "Say where that stay was"), ("Nowhere at all", "No viewpoint is called")]
)
def test_a_stay_without_a_picture_that_is_refused_keeps_its_fields_filled(
    visitor: Visitor, book_path: Path, place: str, why: str
) -> None:
    typed = {"place": place, "times": "12:10-12:20", "seen": "crowd: few; water: low", "note": "Turned back."}
    before = dump_of(book_path)
    fields = [(f"stay:{name}", text) for name, text in typed.items()]
    answer = visitor.send_pairs(PAGE, [*fields, ("stay:purpose", "scouting"), ("do", "keep")])
    assert answer.status == 422
    assert plain(answer).count(why) == 1
    for name, text in typed.items():
        assert re.search(rf'name="stay:{name}"[^>]* value="{re.escape(text)}"', answer.text)
    assert "<option selected>scouting</option>" in answer.text
    assert dump_of(book_path) == before


@pytest.mark.slow
def test_everything_shown_is_stated_by_one_act_but_no_outcome(visitor: Visitor, book_path: Path) -> None:
    shown = [one.question.key for one in evening(book_path).to_state]
    count = len(shown)
    assert count > 5
    visitor.send_pairs(PAGE, [*shown_on(visitor), ("do", "state")])
    after = evening(book_path)
    assert not [one for one in after.to_state if one.question.key in shown]
    carried = [(one.question.asks, one.shown, one.origin) for one in after.to_state]
    assert carried == [(Asks.FILTERS, "nd1000", Provenance.ASSUMED)], "seen only now, and nobody's word yet"
    assert not [one for one in after.items if one.question.asks is Asks.OUTCOME and not one.is_open]
    visitor.send("/undo")
    assert len(evening(book_path).to_state) == count


@pytest.mark.slow
def test_a_stay_is_cut_between_two_pictures_and_joined_again(visitor: Visitor, book_path: Path) -> None:
    before = evening(book_path).stays
    ids = [one.id for one in before[1].keepers]
    cuts = [one for one in re.findall(r'value="(cut:\w+)"', visitor.ask(PAGE).text) if one[4:] in ids]
    assert len(cuts) == len(before[1].frames) - 1, "a set is not cut"
    visitor.send(PAGE, do=cuts[-1])
    after = evening(book_path).stays
    assert [len(one.keepers) for one in after] == [1, len(before[1].keepers) - 1, 1]
    joins = re.findall(r'value="(join:\w+)"', visitor.ask(PAGE).text)
    visitor.send(PAGE, do=joins[1])
    assert [one.id for one in evening(book_path).stays[1].keepers] == ids


@pytest.mark.slow
def test_a_line_over_what_another_window_wrote_is_not_kept_unseen(visitor: Visitor, book_path: Path) -> None:
    tries = key_of(book_path, Asks.TRIES)
    page = visitor.ask(PAGE).text
    (seen,) = re.findall(rf'name="seen:{re.escape(tries)}" value="(\S+)"', page)
    visitor.send_pairs(PAGE, [(f"line:{tries}", "9")])  # the other window
    stale = [(f"seen:{tries}", seen), (f"line:{tries}", "14")]
    answer = visitor.send_pairs(PAGE, stale)
    assert answer.status == 422
    assert "Another window has since written 9 here" in plain(answer)
    assert 'value="14"' in answer.text, "nothing typed is lost"
    assert value_of(book_path, tries)[0] == "9"
    (seen,) = re.findall(rf'name="seen:{re.escape(tries)}" value="(\S+)"', answer.text)
    visitor.send_pairs(PAGE, [(f"seen:{tries}", seen), (f"line:{tries}", "14")])
    assert value_of(book_path, tries)[0] == "14"


@pytest.mark.parametrize(
    "do", first(["take:nobody", "pick:visit.x=few", "cut:nobody", "cut:", "join:99", "join:", "what"], 2)
)
def test_a_button_of_another_page_is_one_sentence(visitor: Visitor, book_path: Path, do: str) -> None:
    before = dump_of(book_path)
    answer = visitor.send(PAGE, do=do)
    assert answer.status in (303, 422)
    assert "Traceback" not in answer.text
    assert dump_of(book_path) == before


def test_a_clock_in_doubt_is_shown_first_and_holds_nothing_up(visitor: Visitor, book_path: Path) -> None:
    shown = evening(book_path)
    assert [one.question.asks for one in shown.opening] in ([], [Asks.CLOCK])
    assert shown.stays


def test_a_line_whose_question_is_gone_is_shown_and_not_lost(visitor: Visitor) -> None:
    answer = visitor.send_pairs(PAGE, [("line:visit.nobody.tries", "14 & <more>"), ("do", "keep")])
    assert answer.status == 422
    assert "That question is gone" in plain(answer)
    assert "You wrote: <q>14 &amp; &lt;more&gt;</q>" in answer.text


@pytest.mark.slow
def test_a_form_is_kept_in_one_go_and_a_line_that_is_refused_leaves_the_others(
    visitor: Visitor, book_path: Path
) -> None:
    before = said_in(book_path)
    tries, crowd = key_of(book_path, Asks.TRIES), key_of(book_path, Asks.CROWD)
    pairs = [(f"line:{crowd}", "few"), (f"line:{tries}", "quite a few"), ("line:journal", "Ice at six.")]
    assert visitor.send_pairs(PAGE, [*pairs, ("do", "keep")]).status == 422
    assert value_of(book_path, crowd) == ("few", Provenance.STATED)
    assert value_of(book_path, tries)[1] is not Provenance.STATED
    visitor.send("/undo", here=PAGE)
    assert said_in(book_path) == before


def test_what_is_proposed_of_pictures_shows_them(visitor: Visitor) -> None:
    blocks = visitor.ask(PAGE).text.split('<div class="proposed"')[1:]
    assert blocks, "something is proposed of this day's pictures"
    for block in blocks:
        assert re.search(r'data-large[^>]*><img src="/picture/\w+/small"', block.partition("</p>")[0])
