"""Every field of every noun is in the book, in options, in --clear, in answers, in exports and in the search.

Where one is not, the reason stands here. Whoever gives a noun a field meets this test, and nothing else that
lists fields, but for the list of what each audience sees (`report/test_allow_lists`).
"""

import inspect
from collections.abc import Mapping
from dataclasses import fields, replace
from datetime import date
from fractions import Fraction
from importlib import import_module
from pathlib import Path
from typing import Any

import pytest

from logbook.domain.camera import CameraFacts
from logbook.domain.fields import FieldFacts, facts_of
from logbook.domain.kinds import FILTERS, ID, SLUG, ZONE, ListOf, Names, Word
from logbook.domain.nouns import NOUNS
from logbook.domain.record import Record
from logbook.domain.words import OutcomeWord
from logbook.faces.told import Told, tellable
from logbook.services.exports.book_json import book_schema, plain_record, read_record, shelf_of
from logbook.store.book import Book
from logbook.store.desk import SHELVES
from logbook.store.tables import table_of
from tests.faces.conftest import Run
from tests.trials.planting.trip import NOW, book_of, records

FACES = ("trip", "site", "viewpoint", "shot", "kit", "visit", "condition", "lesson", "keeper")
EVERY = [(word, name) for word, noun in NOUNS.items() for name in facts_of(noun)]

# What no option tells, and why.
OWN = dict.fromkeys(facts_of(Record), "the book's own")
OF_FILES = {one.name: "read from the picture's file" for one in fields(CameraFacts)}
UNTOLD: Mapping[str, Mapping[str, str]] = {
    "packed": {"item_id": "the piece that the command is about"},
    "trip": dict.fromkeys(("client_order", "students_order"), "keeper arrange"),
    "keeper": OF_FILES
    | dict.fromkeys(("slug", "file", "path", "hash", "size_bytes", "also"), "follows from the file")
    | dict.fromkeys(("zone", "taken_utc", "clock_offset_s", "clock_evidence"), "keeper clock")
    | dict.fromkeys(("trip_id", "left_trip_ids"), "keeper import, keeper move")
    | {"doubts": "what reading the file met", "hidden_from": "keeper note --hide-from"},
}
UNTOLD_NOUNS = {
    "outcome": "shot edit --outcome, which reads it as a day file does",
    "keeper_set": "keeper sets",
    "day": "day files and the night",
    "day_line": "what the program remembers of a day file",
    "loose_line": "what a day file left",
    "body_clock": "keeper clock",
    "track": "track add",
    "night_answer": "what the program remembers of a night",
}
CALLED = {"on": "on_date"}  # a parameter that is called otherwise than its field

# What an answer calls otherwise, or does not hold.
ANSWERED = {"latitude_deg": "latitude", "longitude_deg": "longitude"}
UNANSWERED = {
    ("shot", "provenance"): "a plan is what a person says",
    ("keeper", "left_trip_ids"): "only an import asks it",
}

# Texts that find does not look into, and why.
UNSEARCHED: Mapping[str, Mapping[str, str]] = {
    "trip": dict.fromkeys(("credit", "rights", "contact"), "a line for every page")
    | {"private_names": "nobody is looked for", "may_say": "words of other texts"}
    | dict.fromkeys(("client_order", "students_order"), "ids"),
    "keeper": dict.fromkeys(("credit", "copyright"), "the same on all pictures")
    | dict.fromkeys(("path", "hash", "format", "also"), "of the file; its name is searched")
    | dict.fromkeys(("taken_text", "utc_offset_text", "doubts"), "found as the moment that they tell of")
    | {"left_trip_ids": "ids"},
    "loose_line": {"file": "where it stood", "why": "the program's own words"},
}
NEEDLE = "needleinahaystack"
SAMPLES = {"filter_name": "nd64", "level": "thousands", "word": OutcomeWord.MISSED}
NO_TEXT = (ID, SLUG, ZONE)
SEARCHED_NOUNS = (*FACES, "outcome", "day", "packed", "loose_line")


@pytest.fixture
def made(tmp_path: Path) -> dict[str, tuple[Record, ...]]:
    """A small trip, every noun at least once."""
    return dict(records(tmp_path))


def of(noun: str, made: Mapping[str, tuple[Record, ...]]) -> Record:
    """Return a record of a noun."""
    return next(ones[0] for name, ones in made.items() if SHELVES[name] is NOUNS[noun])


@pytest.mark.parametrize(("noun", "name"), EVERY)
def test_a_field_lies_in_the_book_and_in_the_schema(noun: str, name: str) -> None:
    assert name in table_of(NOUNS[noun]).c
    (listed,) = (one for one, made in SHELVES.items() if made is NOUNS[noun])
    assert name in book_schema()["properties"][listed]["items"]["properties"]


def test_every_record_comes_back_from_its_json(made: dict[str, tuple[Record, ...]]) -> None:
    for ones in made.values():
        for one in ones:
            assert list(plain_record(one)) == list(facts_of(type(one)))
            assert read_record(type(one), plain_record(one), "here") == one


def told_of(noun: str) -> set[str]:
    """Return the fields of a noun that an option or an argument tells."""
    module = import_module(f"logbook.faces.commands.{'kit' if noun == 'packed' else noun}")
    groups = [
        one
        for one in vars(module).values()
        if isinstance(one, type) and issubclass(one, Told) and one is not Told and one.noun is NOUNS[noun]
    ]
    commands = [one.callback for one in module.app.registered_commands if one.name in ("add", "edit")]
    beside = {name for one in commands if one for name in inspect.signature(one).parameters}
    beside |= {field for name, field in CALLED.items() if name in beside}
    return {field.name for group in groups for field in tellable(group, beside).values()}


@pytest.mark.parametrize("noun", [noun for noun in NOUNS if noun not in UNTOLD_NOUNS])
def test_a_field_is_told_by_an_option_or_a_reason_says_why_not(noun: str) -> None:
    untold = {**OWN, **UNTOLD.get(noun, {})}
    assert set(facts_of(NOUNS[noun])) - told_of(noun) <= set(untold)


@pytest.mark.parametrize("noun", FACES)
def test_what_can_be_told_and_may_be_unknown_can_be_cleared(
    noun: str, made: dict[str, tuple[Record, ...]], tmp_path: Path, logbook: Run
) -> None:
    book_of(tmp_path / "book.sqlite", made)
    record: Any = of(noun, made)
    verb = "note" if noun == "keeper" else "edit"
    refused = logbook(noun, verb, record.slug, "--clear", "nonsense")
    assert refused.status == 2
    takes = refused.err.partition("--clear takes ")[2].strip().removesuffix(".").split(", ")
    facts = facts_of(NOUNS[noun])
    optional = {name for name, one in facts.items() if one.may_be_unknown or isinstance(one.kind, Names)}
    assert set(takes) == {name.removesuffix("_id") for name in optional & told_of(noun)}


@pytest.mark.parametrize("noun", FACES)
def test_an_answer_holds_every_field(
    noun: str, made: dict[str, tuple[Record, ...]], tmp_path: Path, logbook: Run
) -> None:
    book_of(tmp_path / "book.sqlite", made)
    record: Any = of(noun, made)
    answer = logbook(noun, "show", record.slug, "--json").data
    held = {*answer, *answer.get("planned", ())}
    for name in facts_of(NOUNS[noun]):
        shown = ANSWERED.get(name, name) if noun == "keeper" else name.removesuffix("_id")
        assert shown.removesuffix("_id") in held or (noun, name) in UNANSWERED, name


def another(field: FieldFacts, now: Any) -> Any:
    """Return another value of a field than it has."""
    if field.kind is FILTERS:
        return ("nd64",)
    if field.name in SAMPLES:
        return SAMPLES[field.name]
    if isinstance(field.kind, ListOf):
        item = field.kind.item
        return (list(item.vocabulary)[-1],) if isinstance(item, Word) else (NEEDLE,)
    if isinstance(field.kind, Word):
        return next(word for word in field.kind.vocabulary if word != now)
    return {str: NEEDLE, int: 41, float: 41.0, Fraction: Fraction(1, 40), date: date(2031, 10, 21)}[
        field.type
    ]


def texts(book: Book) -> str:
    """Return all that find looks into."""
    with book.reading() as desk:
        query = (
            "SELECT t.title || ' ' || t.body || ' ' || t.facts FROM search_document d"
            " JOIN search_text t ON t.rowid = d.rowid ORDER BY d.kind, d.record_id"
        )
        return "\n".join(map(str, desk.connection.exec_driver_sql(query).scalars()))


@pytest.mark.slow
@pytest.mark.parametrize("noun", SEARCHED_NOUNS)
def test_a_field_that_says_so_is_searched(
    noun: str, made: dict[str, tuple[Record, ...]], tmp_path: Path
) -> None:
    book, record = book_of(tmp_path / "book.sqlite", made), of(noun, made)
    (listed,) = (one for one, held in SHELVES.items() if held is NOUNS[noun])
    before = texts(book)
    for name, field in facts_of(NOUNS[noun]).items():
        if field.searched is None:
            continue
        value = another(field, getattr(record, name))
        with book.writing() as desk:
            shelf_of(desk, listed).put(replace(record, **{name: value}, updated=NOW))
        after = texts(book)
        assert after != before, name
        assert NEEDLE in after or NEEDLE not in (value if isinstance(value, tuple) else (value,)), name
        with book.writing() as desk:
            shelf_of(desk, listed).put(record)
        assert texts(book) == before, name


@pytest.mark.parametrize("noun", SEARCHED_NOUNS)
def test_a_text_is_searched_or_a_reason_says_why_not(noun: str) -> None:
    unsearched = {
        name
        for name, field in facts_of(NOUNS[noun]).items()
        if field.type in (str, tuple[str, ...]) and field.kind not in NO_TEXT and field.searched is None
    }
    assert unsearched == set(UNSEARCHED.get(noun, ()))
