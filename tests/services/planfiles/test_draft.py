"""What a plan is written out as reads back as the same plan, as a text and as a sheet."""

from dataclasses import fields
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from logbook.domain.formats import PlanForm
from logbook.domain.shot import Shot
from logbook.domain.words import OutcomeWord
from logbook.services import kinds, records
from logbook.services.planfiles.draft import draft_plan
from logbook.services.planfiles.taking import PlanRead, take_plan
from logbook.services.plans import outcomes
from logbook.services.plans.outcomes import OutcomeSaid
from logbook.store.book import Book
from tests.domain.written.planned import plans
from tests.examples import examples
from tests.services.conftest import ticking, valley_book

NOT_PLANNED = {"id", "created", "updated", "trip_id", "provenance"}
SUFFIX = {PlanForm.MARKDOWN: "md", PlanForm.CSV: "csv"}
PLACES = st.sampled_from([None, "quarry-ledge", "dune-crest"])


@pytest.fixture(scope="module")
def empty(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A book with places and a trip, and no shot."""
    path = tmp_path_factory.mktemp("empty") / "book.sqlite"
    book = valley_book(path)
    for slug in ("bridge-flow", "bridge-rough"):
        records.remove(book, kinds.SHOT, slug, with_dependents=False)
    return path


def copied(path: Path, folder: Path, name: str) -> Book:
    from logbook.store.engine import copy_book

    there = folder / name
    there.unlink(missing_ok=True)
    return Book(copy_book(path, there), ticking(600), create=False)


def shots_of(book: Book) -> dict[str, dict[str, Any]]:
    """Every shot by its slug, without what another book cannot share; fallbacks by slug."""
    shots = [one.shot for one in outcomes.list_shots(book, {}).records]
    slugs = {shot.id: shot.slug for shot in shots}
    return {
        shot.slug: {
            field.name: slugs.get(value, value) if field.name == "fallback_for_id" else value
            for field in fields(Shot)
            if field.name not in NOT_PLANNED
            for value in (getattr(shot, field.name),)
        }
        for shot in shots
    }


def read_back(book: Book, text: bytes, form: PlanForm, folder: Path) -> PlanRead:
    path = folder / f"plan.{SUFFIX[form]}"
    path.write_bytes(text)
    return take_plan(book, path, trip="valley")


@pytest.mark.slow
@pytest.mark.parametrize("form", PlanForm)
@settings(
    max_examples=examples(0.3),
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@given(shots=st.lists(st.tuples(plans(), PLACES), min_size=1, max_size=5), data=st.data())
def test_a_draft_read_into_an_empty_copy_gives_equal_shots_and_again_nothing(
    empty: Path,
    tmp_path: Path,
    form: PlanForm,
    shots: list[tuple[dict[str, Any], str | None]],
    data: st.DataObject,
) -> None:
    book = copied(empty, tmp_path, "first.sqlite")
    made: list[str] = []
    for planned, place in shots:
        primary = data.draw(st.sampled_from([None, *made]))
        wanted = {**planned, "viewpoint": place, "fallback_for": primary}
        made.append(outcomes.plan_shot(book, "valley", wanted, None).records[0].shot.slug)
    draft = draft_plan(book, "valley", form)
    assert draft.shots == len(shots)
    again = read_back(book, draft.content, form, tmp_path)
    assert (again.added, again.changed, again.removed, again.elsewhere, again.loose) == (0, 0, 0, (), ())
    other = copied(empty, tmp_path, "other.sqlite")
    first = read_back(other, draft.content, form, tmp_path)
    assert (first.added, first.loose, first.elsewhere) == (len(shots), (), ())
    assert shots_of(other) == shots_of(book)
    again = read_back(other, draft.content, form, tmp_path)
    assert (again.added, again.changed, again.unchanged, again.removed) == (0, 0, len(shots), 0)


@pytest.mark.slow
@settings(
    max_examples=examples(0.2),
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@given(
    shots=st.lists(plans(), min_size=2, max_size=5),
    edited=st.integers(0, 4),
    news=plans(),
)
def test_an_edit_of_a_draft_changes_that_shot_and_no_other(
    empty: Path, tmp_path: Path, shots: list[dict[str, Any]], edited: int, news: dict[str, Any]
) -> None:
    book = copied(empty, tmp_path, "first.sqlite")
    slugs = [outcomes.plan_shot(book, "valley", one, None).records[0].shot.slug for one in shots]
    read_back(book, draft_plan(book, "valley", PlanForm.MARKDOWN).content, PlanForm.MARKDOWN, tmp_path)
    edited %= len(slugs)
    wished = copied(book.path, tmp_path, "wished.sqlite")
    gone = {name: None for name in shots[edited] if name not in ("title", "priority")}
    outcomes.edit_shot(wished, slugs[edited], {**gone, **news}, None)
    text = draft_plan(wished, "valley", PlanForm.MARKDOWN).content
    read = read_back(book, text, PlanForm.MARKDOWN, tmp_path)
    assert (read.added, read.removed, read.loose, read.elsewhere) == (0, 0, (), ())
    assert read.changed <= 1
    assert shots_of(book) == shots_of(wished)


def test_only_open_shots_are_written(book: Book) -> None:
    outcomes.edit_shot(book, "bridge-flow", {}, OutcomeSaid(OutcomeWord.MADE))
    text = draft_plan(book, "valley", PlanForm.MARKDOWN).text
    assert "[bridge-rough]" in text
    assert "bridge-flow" not in text


def test_days_and_viewpoints_are_headings(book: Book) -> None:
    outcomes.edit_shot(book, "bridge-flow", {"on_date": date(2031, 10, 14)}, None)
    lines = draft_plan(book, "valley", PlanForm.MARKDOWN).text.splitlines()
    assert lines == [
        *("---", "trip: valley", "---", "", "## Tuesday 2031-10-14", "", "### Quarry ledge"),
        *("- Bridge flow [bridge-flow]", "", "## Any day", "- Bridge rough [bridge-rough]"),
    ]


@pytest.fixture
def nothing_planned(book: Book) -> Book:
    """A book whose trip has no shot."""
    for slug in ("bridge-flow", "bridge-rough"):
        records.remove(book, kinds.SHOT, slug, with_dependents=False)
    return book


@pytest.mark.parametrize("form", PlanForm)
def test_an_empty_plan_has_an_example_and_viewpoints_and_reads_back_as_nothing(
    nothing_planned: Book, tmp_path: Path, form: PlanForm
) -> None:
    draft = draft_plan(nothing_planned, "valley", form)
    assert draft.shots == 0
    assert "Mill at low water" in draft.text
    assert ("## Quarry ledge" if form is PlanForm.MARKDOWN else "quarry-ledge") in draft.text
    read = read_back(nothing_planned, draft.content, form, tmp_path)
    assert (read.added, read.loose, read.remarks) == (0, (), ())


def test_what_no_file_can_say_stays_in_the_book_and_is_named(book: Book, tmp_path: Path) -> None:
    outcomes.edit_shot(book, "bridge-flow", {"notes": "ends in a space "}, None)
    for form in PlanForm:
        draft = draft_plan(book, "valley", form)
        assert "not in this file: note of bridge-flow" in draft.text
        read_back(book, draft.content, form, tmp_path)
        assert outcomes.show_shot(book, "bridge-flow").records[0].shot.notes == "ends in a space "
