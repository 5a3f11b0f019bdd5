"""Secrets planted in every free text reach nobody else; `python -m tests.trials.planting` plants hundreds."""

import random
from pathlib import Path

import pytest

from logbook.domain.fields import facts_of
from logbook.store.desk import SHELVES
from tests.trials.planting.forms import names, squeezed
from tests.trials.planting.notations import positions
from tests.trials.planting.trial import (
    Result,
    between,
    marked,
    own_papers,
    planted_book,
    run,
    striking_alone,
    survivors_in,
    views,
)
from tests.trials.planting.trip import NO_TEXT, TEXTS, text_fields

FEW = 20  # forms of names, notations, and harmless texts


@pytest.fixture(scope="module")
def result(tmp_path_factory: pytest.TempPathFactory) -> Result:
    return run(FEW, random.Random(11), tmp_path_factory.mktemp("planting") / "trial")


@pytest.mark.slow
def test_no_form_of_a_name_and_no_notation_of_a_position_survives(result: Result) -> None:
    assert result.survived(result.forms, 0) == []
    assert result.survived(result.notations, FEW) == []
    kinds = {name.rpartition(".")[2] for name in result.survivors.seen}
    assert kinds >= {"json", "csv", "geojson", "gpx", "kml", "ics", "md", "html"}, "each was planted"


@pytest.mark.slow
def test_the_search_for_leaks_finds_every_form_where_nothing_is_struck(result: Result) -> None:
    assert [one.text for one in result.unfound] == []


@pytest.mark.slow
def test_harmless_texts_lose_few_words_and_no_report_or_export_is_refused(result: Result) -> None:
    assert result.words > 10_000
    assert result.share_lost < 0.02
    assert result.refused == ()


def test_striking_alone_leaves_none_of_hundreds_and_few_harmless_words_go(tmp_path: Path) -> None:
    left, words, lost = striking_alone(200, random.Random(5), tmp_path / "trial")
    assert left == []
    assert lost < 0.02 * words


def test_of_every_field_of_every_noun_it_is_decided_whether_it_is_planted() -> None:
    """A field of text that a noun gains is planted, unless it is listed as something else."""
    for noun in SHELVES.values():
        held = {name for name, field in facts_of(noun).items() if field.type in TEXTS}
        listed = {name for name in held if name in NO_TEXT or name.endswith(("_id", "_ids"))}
        assert held - listed == set(text_fields(noun))


def test_the_trial_sees_what_is_not_struck(tmp_path: Path) -> None:
    """The sheet and the brief are for the photographer's own pocket, and say so: there everything stands."""
    rng = random.Random(3)
    pieces = [*names(10, rng), *positions(10, rng)]
    book = planted_book(tmp_path / "trip", [one.text for one in pieces], rng)
    for number, page in enumerate(own_papers(book)):
        assert "not to pass on" in page
        found = survivors_in(iter([(f"{number}.html", page)]), pieces)
        assert found.pieces, "what was planted stands there"


def test_what_stands_between_two_marks_is_read_back_from_any_format() -> None:
    text = marked(7, "Lauterfall & Arch")
    for name, written in (
        ("a.html", f"<p>{text.replace('&', '&amp;').replace('Lau', '<b>Lau</b>')}</p>"),
        ("a.json", '["' + text + '"]'),
        ("a.ics", f"DESCRIPTION:{text[:20]}\r\n {text[20:]}"),
    ):
        (view, _) = views(name, written)
        assert [squeezed(one) for one in between(view, 7)] == ["lauterfallarch"]
