"""Every type of filter is read, reckoned with, looked for and shown by its entry alone."""

import re

import pytest

from logbook.craft.filter_types import TYPES, FilterKind
from logbook.craft.filters import parse_filter


def test_every_kind_but_other_has_an_entry() -> None:
    assert set(TYPES) == set(FilterKind) - {FilterKind.OTHER}


@pytest.mark.parametrize(
    ("kind", "written", "name"),
    [(kind, written, name) for kind, of in TYPES.items() for written, name in of.names.items()],
)
def test_every_name_means_its_type(kind: FilterKind, written: str, name: str) -> None:
    found = parse_filter(written.upper())
    assert (found.kind, found.name) == (kind, name)
    assert (found.low_stops, found.typical_stops, found.high_stops) == (TYPES[kind].stops or (None,) * 3)


@pytest.mark.parametrize(
    ("kind", "example"), [(kind, example) for kind, of in TYPES.items() for example in of.examples]
)
def test_every_example_is_of_its_type_and_is_named_in_sentences(kind: FilterKind, example: str) -> None:
    of = TYPES[kind]
    assert parse_filter(example).kind is kind
    assert of.shown(example)
    assert not of.code or re.fullmatch(of.code, example)


@pytest.mark.parametrize(
    ("kind", "phrase"), [(kind, phrase) for kind, of in TYPES.items() for phrase in of.phrases]
)
def test_a_type_that_a_question_asks_for_is_said_back(kind: FilterKind, phrase: str) -> None:
    assert TYPES[kind].says
    assert phrase == phrase.lower()
