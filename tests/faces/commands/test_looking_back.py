"""`alike`, `worked` and `before` on the demo's book: honest words, stable keys, every number traceable."""

import re
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest

from tests.faces.conftest import OnTerminal

Run = Callable[..., Any]
BEFORE = ("before", "long-dune", "--on", "2026-10-20", "--wish", "6s", "--f-number", "16")


@pytest.fixture
def ids(on_demo: Run, tmp_path: Path) -> set[str]:
    """The id of every record in the book."""
    with closing(sqlite3.connect(tmp_path / "book.sqlite")) as book:
        tables = (
            "trip",
            "site",
            "viewpoint",
            "shot",
            "outcome",
            "kit",
            "visit",
            "condition",
            "lesson",
            "keeper",
        )
        return {row[0] for table in tables for row in book.execute(f"SELECT id FROM {table}")}


def slugs(tmp_path: Path, table: str) -> set[str]:
    with closing(sqlite3.connect(tmp_path / "book.sqlite")) as book:
        return {row[0] for row in book.execute(f"SELECT slug FROM {table}")}


def _ids_in(value: Any, key: str = "") -> Iterator[str]:
    if isinstance(value, dict):
        for name, item in value.items():
            yield from _ids_in(item, name)
    elif isinstance(value, list):
        for item in value:
            yield from _ids_in(item, key)
    elif isinstance(value, str) and re.fullmatch(r"[0-9a-f]{32}", value):
        yield value


@pytest.mark.slow
def test_alike_has_the_stable_keys_and_its_facts_name_rows_of_the_book(on_demo: Run, tmp_path: Path) -> None:
    answer = on_demo("alike", "long-dune", "--json")
    assert answer.status == 0, answer.err
    assert answer.data[0]["site"] == "white-pan"
    for one in answer.data:
        assert {"site", "similarity", "shared", "for", "against", "outcomes"} <= set(one)
        assert 0 <= one["similarity"] <= 1
        assert one["shared"] == len(one["scores"])
        whole = sum(part["score"] * part["weight"] for part in one["scores"].values())
        assert one["similarity"] == pytest.approx(whole / sum(p["weight"] for p in one["scores"].values()))
        for fact in (*one["facts"].values(), *one["compared_with"]["facts"].values()):
            assert fact["from"]
            for source in fact["from"]:
                noun, _, slug = source.partition(" ")
                assert slug in slugs(tmp_path, noun)


def test_alike_tells_failures_beside_successes(on_demo: Run) -> None:
    answer = on_demo("alike", "long-dune", "--limit", "1", "--explain")
    assert "alike in 6 of 9 things known about both" in answer.out
    assert "worked   " in answer.out
    assert "missed: From the salt islands" in answer.out
    assert max(map(len, answer.out.splitlines())) <= 80


SCREEN = 23  # lines that 24 have room for, above the next prompt


@pytest.mark.slow
@pytest.mark.parametrize(
    "line",
    [
        ("alike", "quarry-gorge"),
        ("worked", "--by", "phase", "--near", "quarry-gorge"),
        ("alike", "long-dune"),
        ("alike", "slip-harbour"),
        ("worked",),
        ("worked", "--by", "technique"),
    ],
)
def test_a_long_answer_fits_one_screen_and_its_working_is_asked_for(
    on_demo: Run, on_terminal: OnTerminal, line: tuple[str, ...]
) -> None:
    lines = on_terminal(*line)
    assert len(lines) <= SCREEN
    assert max(map(len, lines)) <= 80
    assert len(on_demo(*line, "--explain").out) > len(on_demo(*line).out)


def test_alike_begins_with_the_site_most_alike_and_what_happened_there(on_demo: Run) -> None:
    first = " ".join(on_demo("alike", "long-dune").out.partition("\n\n")[0].split())
    assert first.startswith("Most like Long dune: White pan, alike in 6 of 9 things known about both")
    assert "There: 2 made, 1 missed, 1 with no outcome noted." in first


def test_a_description_is_enough_and_words_nobody_knows_are_refused(on_demo: Run) -> None:
    answer = on_demo("alike", "--kind", "river", "--crowd", "dozens", "--tripod", "forbidden", "--json")
    assert answer.data[0]["site"] == "quarry-gorge"
    assert answer.data[0]["compared_with"]["facts"]["crowd"]["from"] == ["asked"]
    described = on_demo(
        "alike", "--light", "side", "--light", "golden hour", "--season", "oct", "--access", "bus"
    )
    assert described.status == 0, described.err
    for wrong in (
        ("--light", "purple"),
        ("--season", "spring"),
        ("--access", "by dragon"),
        ("--tripod", "unknown"),
        ("--season", "may", "--on", "2031-05-01"),
        (),
    ):
        refused = on_demo("alike", *wrong)
        assert (refused.status, refused.out, len(refused.err.splitlines())) == (2, "", 1)
    assert on_demo("alike", "long-dunes").status == 1


@pytest.mark.slow
def test_worked_never_gives_a_share_without_its_count_and_interval(on_demo: Run) -> None:
    for by in ("support", "filters", "technique", "phase", "crowd", "reason"):
        for working in ((), ("--explain",)):
            answer = on_demo("worked", "--by", by, *working)
            assert answer.status == 0, answer.err
            shares = re.sub("90% chance|95% interval", "", answer.out)
            assert "%" not in shares, "the only percentages are the interval's own and a chance to plan for"
            assert re.search(r"\d+ of \d+ \w+ \(95% interval", answer.out)
            assert max(map(len, answer.out.splitlines())) <= 80


def test_worked_has_the_stable_keys_and_counts_rows_of_the_book(on_demo: Run, ids: set[str]) -> None:
    for by in ("support", "filters", "technique", "phase", "crowd", "reason"):
        answer = on_demo("worked", "--by", by, "--json")
        assert answer.data["denominator"] in ("tries", "shots", "file numbers", "mixed")
        keys = {"approach", "k", "n", "low", "high", "reasons", "settings", "lessons", "denominator"}
        for row in answer.data["rows"]:
            assert keys <= set(row)
            assert 0 <= row["low"] <= row["high"] <= 1
            assert set(_ids_in(row["counted_from"])) <= ids
            if row["denominator"] == "tries":
                assert row["k"] == len(row["counted_from"]["counted"])
                assert row["n"]
                assert row["counted_from"]["visits"]
            if row["denominator"] == "shots" and by != "reason":
                assert (row["k"], row["n"]) == (
                    row["shots"]["made"],
                    sum(row["shots"][word] for word in ("made", "partly", "replaced", "missed")),
                )


def test_the_braced_frames_of_the_demo_are_one_of_forty(on_demo: Run) -> None:
    answer = on_demo("worked", "--by", "support", "--json")
    row = next(row for row in answer.data["rows"] if row["approach"] == "braced")
    assert (row["k"], row["n"]) == (1, 40)
    assert row["more_tries"] == {"chance": 0.9, "from_low": 519, "from_share": 91, "from_high": 17}


def test_worked_begins_with_the_best_and_with_what_that_is_worth(on_demo: Run) -> None:
    first = " ".join(on_demo("worked").out.partition("\n\n")[0].split())
    assert first == (
        "Best by support: tripod, 21 of 346 tries (95% interval 4 to 9.1 in 100). "
        "Its interval overlaps with those of all others, so the difference may be chance. "
        "At that rate, plan 37 more frames for a 90% chance of one keeper, 57 to be on the safe side."
    )
    assert on_demo("worked", "--by", "reason").out.startswith("Cost the most shots: weather, 3 of 26 shots (")
    technique = on_demo("worked", "--by", "technique").out
    assert technique.startswith("Best by technique: dusk glow, 2 of 21"), "1 of 2 says little"


def test_a_bar_is_drawn_beside_each_rate_and_left_out_where_it_is_not_wanted(
    on_demo: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert "4 to 9.1 in 100    -o··················" in on_demo("worked").out
    for plain in (("--plain", "worked"), ("worked", "--plain")):
        assert not re.search("o··|50 ", on_demo(*plain).out)
    assert "o··" in on_demo("worked").out, "an early one is forgotten afterwards"
    monkeypatch.setenv("LOGBOOK_PLAIN", "1")
    assert "o··" not in on_demo("worked").out


def test_one_of_one_says_little(on_demo: Run) -> None:
    answer = on_demo("worked", "--by", "technique", "--explain")
    assert re.search(r"available light: 1 of 1 \(95% interval 21 to 100 in 100\): says little", answer.out)


def test_before_says_what_a_photographer_would_act_on(on_demo: Run) -> None:
    answer = on_demo(*BEFORE)
    assert answer.status == 0, answer.err
    text = " ".join(answer.out.split())
    for told in (
        # what is still to get, and why
        "The dune from above, Dune foot: missed because a local rule forbade it.",
        "check each again before you rely on it",
        "Blown sand from force 5",
        "side, 83° left",  # the light on that view
        "6 s at f/16: feasible",
        "1/250 s f/8 ISO 200 70 mm, no filter, handheld",  # what was kept last time
        "A tripod on the crest in force 6",  # the lesson
        "3 of 81 (95% interval",
        "White pan Alike in 6 of 9",
        "Never look at the sun through an optical finder",
        "A closed path is closed",
    ):
        assert told in text
    assert max(map(len, answer.out.splitlines())) <= 80


def test_every_number_of_before_leads_to_rows_of_the_book(on_demo: Run, ids: set[str]) -> None:
    data = on_demo(*BEFORE, "--json").data
    found = set(_ids_in(data))
    assert found
    assert found <= ids
    assert all(one["shot_id"] in ids for one in data["still_to_get"])
    assert all(one["check_again"] and one["id"] in ids and one["on_date"] for one in data["observed"])
    assert len(data["here"]["outcomes"]) == sum(data["here"]["counts"].values())
    assert [hour["name"] for hour in data["light"]["hours"]][1] == "sunrise"
    assert data["cautions"]


def test_all_that_is_still_to_get_is_named_in_the_first_lines(on_demo: Run) -> None:
    head = " ".join(on_demo(*BEFORE).out.split("Last observed")[0].split())
    assert "1 missed, 1 with no outcome noted here. still to get The dune from above and Walkers" in head


def test_what_replaced_a_shot_is_named_by_its_title(on_demo: Run) -> None:
    told = " ".join(on_demo("before", "terrace-town").out.split())
    assert "First sun on the terraces, Upper terrace: replaced by The town in valley fog because" in told


def test_a_danger_is_as_old_as_its_first_note_whatever_was_mended_since(on_demo: Run) -> None:
    before = on_demo(*BEFORE, "--json").data["hazards"]
    on_demo("site", "edit", "long-dune", "--title", "The long dune")
    assert on_demo(*BEFORE, "--json").data["hazards"] == before


def test_a_dune_ridge_is_found_by_its_shot_too(on_demo: Run) -> None:
    assert on_demo("before", "dune-ridge", "--json").data["site"] == "long-dune"


def test_a_closure_stands_first_with_its_date(on_demo: Run) -> None:
    answer = on_demo("before", "quarry-gorge")
    head = " ".join(answer.out.split("Still to get")[0].split())
    assert "our permit ran from one. Seen 18 Oct 2025, the sergeant at the barrier; ask again." in head


def test_a_wish_needs_its_aperture_and_a_setting_needs_its_wish(on_demo: Run) -> None:
    for wrong in (("--wish", "6s"), ("--f-number", "16"), ("--wish", "soon", "--f-number", "16")):
        refused = on_demo("before", "long-dune", *wrong)
        assert (refused.status, refused.out, len(refused.err.splitlines())) == (2, "", 1)


def test_the_page_is_whole_shut_and_never_over_another_file(on_demo: Run, tmp_path: Path) -> None:
    answer = on_demo(*BEFORE, "--into", "brief.html")
    assert answer.status == 0, answer.err
    page = (tmp_path / "brief.html").read_text(encoding="utf-8")
    assert "default-src 'none'" in page
    assert "<script" not in page
    assert not re.search(r"(?:src|href)=", page), "it asks nobody for anything"
    assert "not to pass on" in page
    shown = re.sub("<[^>]+>", " ", page.split("<body>")[1])
    assert not re.search(r"(?<![\w-])--[a-z]", shown), "no options of commands"
    assert not re.search(r"dune-(foot|drone|ridge|caravan|shoulder)|white-pan|trn-0|high-valley", shown)
    assert "High valley in autumn" in shown, "the trip by its title"
    assert re.search(r"\d stops? too dark", shown)
    for told in ("The dune from above", "check each again", "3 of 81 (95% interval", "Cautions"):
        assert told in page
    assert on_demo(*BEFORE, "--into", "brief.html").status == 0, "its own page may be made again"
    (tmp_path / "mine.html").write_text("mine")
    assert on_demo(*BEFORE, "--into", "mine.html").status == 1
    assert (tmp_path / "mine.html").read_text() == "mine"


def test_what_people_wrote_cannot_become_markup_or_steer_the_terminal(on_demo: Run, tmp_path: Path) -> None:
    on_demo("site", "edit", "long-dune", "--hazards", "<script>alert(1)</script>\x1b[31m")
    on_demo(*BEFORE, "--into", "brief.html")
    page = (tmp_path / "brief.html").read_text(encoding="utf-8")
    assert "<script" not in page
    assert "\x1b" not in on_demo(*BEFORE).out
