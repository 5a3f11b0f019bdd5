"""`logbook find` and `logbook check`, on the demo's book."""

import json
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from tests.faces.conftest import Run


def test_the_answer_says_how_the_question_was_read_and_groups_by_trip_and_site(on_demo: Run) -> None:
    answer = on_demo("find", "f/11", "tripod", "dusk")
    assert answer.status == 0, answer.err
    assert answer.out.startswith(
        "Read as: aperture f/11 (within a third of a stop), support tripod, light dusk.\n"
    )
    assert "High valley in autumn · Quarry gorge\n" in answer.out
    assert "shot ledge-dusk" in answer.out
    assert all(len(line) <= 80 for line in answer.out.splitlines())


def test_words_that_matched_are_marked(on_demo: Run) -> None:
    assert "[lantern]" in on_demo("find", "lantern").out.lower()


def test_json_has_the_reading_and_the_results(on_demo: Run) -> None:
    data = on_demo("find", "silky water", "--in", "shots", "--json").data
    assert set(data) == {"reading", "results", "more", "near_words"}
    assert data["reading"]["text"].startswith("Read as: words: silky water (or ")
    assert data["results"]
    for result in data["results"]:
        assert set(result) == {
            "kind",
            "id",
            "slug",
            "trip",
            "site",
            "date",
            "title",
            "snippet",
            "score",
            "whole",
            "matched",
            "contradicted",
        }
        assert result["kind"] == "shot"
        assert "\x02" not in json.dumps(result)


def test_what_was_let_go_is_said(on_demo: Run) -> None:
    answer = on_demo("find", "monopod", "lantern")
    assert answer.status == 0
    assert "Nothing matches all you asked for. The nearest, without support monopod:" in answer.out


def test_rows_say_which_parts_they_have_and_contradict(on_demo: Run) -> None:
    asked = ("find", "crowded lanterns no tripod 8s f/16", "--in", "shots")
    answer = on_demo(*asked)
    assert answer.out.startswith(
        "Read as: crowd dozens or more, no tripod (other support, or forbidden there)"
    )
    assert "has crowded, lanterns, no tripod; contradicts 8s, f/16" in answer.out
    best = on_demo(*asked, "--json").data["results"][0]
    assert (best["whole"], best["matched"]) == (False, ["crowded", "lanterns", "no tripod"])
    assert best["contradicted"] == ["8s", "f/16"]
    (whole, *_) = on_demo("find", "star trails", "--json").data["results"]
    assert (whole["whole"], whole["matched"], whole["contradicted"]) == (True, None, None)


def test_nothing_found_is_no_mistake(on_demo: Run) -> None:
    answer = on_demo("find", "xyzzy")
    assert (answer.status, "Nothing was found" in answer.err) == (0, True)
    assert on_demo("find", "🎉").out == "There is nothing to search for in that.\n"


@pytest.mark.parametrize("typed", ['"', "it's", "NEAR(", "a AND", "*", "^", "{", "\x00", "\ud800", "facts:x"])
def test_any_text_is_safe(on_demo: Run, typed: str) -> None:
    assert on_demo("find", typed).status == 0


def test_a_question_needs_words_or_limits(on_demo: Run) -> None:
    answer = on_demo("find")
    assert (answer.status, "Say what to look for" in answer.err) == (2, True)
    assert on_demo("find", "--outcome", "missed", "--json").data["results"]
    assert on_demo("find", "x", "--since", "soon").status == 2
    assert on_demo("find", "x", "--site", "nowhere").status == 1


def test_a_persons_own_words_beside_the_book_are_known(on_demo: Run, tmp_path: Path) -> None:
    assert not on_demo("find", "hooplah", "--json").data["results"]
    (tmp_path / "book.words.txt").write_text("hooplah, lantern\n", encoding="utf-8")
    assert on_demo("find", "hooplah", "--json").data["results"]


@pytest.mark.slow
def test_an_index_out_of_step_is_said_and_put_right(on_demo: Run, tmp_path: Path) -> None:
    assert on_demo("check", "--json").data["index"]["in_step"]
    with closing(sqlite3.connect(tmp_path / "book.sqlite")) as connection:
        connection.execute("DELETE FROM search_document WHERE kind = 'lesson'")
        connection.commit()
    answer = on_demo("check", "--json")
    assert (answer.status, answer.data["index"]["in_step"]) == (1, False)
    assert answer.data["index"]["missing"] > 0
    answer = on_demo("check", "--rebuild-index", "--json")
    assert (answer.status, answer.data["index"]["in_step"], answer.data["index"]["rebuilt"]) == (
        0,
        True,
        True,
    )
    assert "matches the book" in on_demo("check", "--rebuild-index").out


def test_nothing_found_offers_near_words_of_the_book(on_demo: Run) -> None:
    answer = on_demo("find", "lantrens")
    assert answer.err == "Nothing was found; the book does have lantern, lanterns.\n"
    assert "lanterns" in on_demo("find", "lantrens", "--json").data["near_words"]
