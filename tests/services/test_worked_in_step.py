"""Worked counts by tallies what the records say one by one, whatever was asked and whatever was changed."""

from datetime import UTC, datetime
from pathlib import Path
from random import Random

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from logbook.domain.condition_kinds import KINDS
from logbook.domain.errors import WrongUseError
from logbook.domain.words import ConditionKind, SubjectKind, Support, TripodRule
from logbook.services.worked.question import By, WorkedQuestion
from logbook.services.worked.scope import scope_of
from logbook.services.worked.units import units
from logbook.store import comparisons
from logbook.store.book import Book
from tests.benchmarks.generated_book import make_book
from tests.examples import examples
from tests.once import Once, copied_book
from tests.services.plain_worked import PlainUnits
from tests.store.tallies.changed import change_at_random

LEVELS = [(kind, str(level)) for kind, of in KINDS.items() for level in of.levels]
FILTERS = st.fixed_dictionaries(
    {},
    optional={
        "kind": st.sampled_from(SubjectKind),
        "within_km": st.sampled_from((5.0, 3000.0)),
        "levels": st.sampled_from(LEVELS).map(lambda one: dict([one])),
        "tripod": st.sampled_from(TripodRule),
        "technique": st.sampled_from(("water", "PANNING", "star trails", "nothing like it")),
        "support": st.sampled_from(Support),
    },
)


@pytest.fixture(scope="session")
def three_trips(once: Once) -> Path:
    """A book of three trips, never changed."""
    return once("three-trips", lambda folder: make_book(folder / "book.sqlite", 220, seed=5)) / "book.sqlite"


@pytest.mark.slow
@settings(max_examples=examples(0.15), suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    seed=st.integers(0, 2**32),
    asked=st.lists(st.tuples(st.sampled_from((*By, *ConditionKind)), FILTERS), min_size=1, max_size=6),
    changes=st.integers(0, 200),
)
@example(seed=374172281, asked=[(By.SUPPORT, {})], changes=165)  # in a pair of a trip that it has left
def test_whatever_is_asked_of_any_book_is_counted_as_one_by_one(
    three_trips: Path,
    tmp_path_factory: pytest.TempPathFactory,
    seed: int,
    asked: list[tuple[By | ConditionKind, dict[str, object]]],
    changes: int,
) -> None:
    path = copied_book(three_trips, tmp_path_factory.mktemp("worked") / "book.sqlite")
    book = Book(path, lambda: datetime(2032, 1, 1, tzinfo=UTC), create=False)
    with book.writing() as desk:
        change_at_random(desk.connection.exec_driver_sql, Random(seed), changes)
    with book.reading() as desk:
        near = Random(seed).choice(comparisons.sites(desk)).slug
        for by, filters in asked:
            more = filters | ({"near": near} if "within_km" in filters else {})
            try:
                scope = scope_of(desk, WorkedQuestion(by, **more))  # type: ignore[arg-type]
            except WrongUseError:  # no place to measure from
                continue
            found, plain = units(desk, scope), PlainUnits(desk, scope)
            ids = found.kept.ids
            assert {
                value: {ids[one] for one in some} for value, some in found.keepers.items()
            } == plain.keepers
            told = {value: {found.plans.ids[one] for one in some} for value, some in found.shots.items()}
            assert told == plain.by_plan()
            for one in found.sittings:
                kept = {ids[number]: value for number, value in zip(one.keepers, one.values, strict=True)}
                assert (kept, one.apart) == (plain.sittings[one.id].keepers, plain.sittings[one.id].apart)
