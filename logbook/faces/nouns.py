"""What the commands of all nouns share: showing one, listing many, removing one."""

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from logbook.domain.names import slug_of
from logbook.domain.said import field_words, unit_of
from logbook.domain.words import Provenance
from logbook.faces import options
from logbook.faces.opened import open_book
from logbook.faces.terminal import answer, answer_json, answer_pairs, answer_table, say

if TYPE_CHECKING:
    from logbook.services.records import Listing
    from logbook.store.book import Book

Name = Annotated[str, typer.Argument(metavar="NAME", help="Short name, or the start of it.")]
WithDependents = Annotated[
    bool,
    typer.Option(
        "--with-dependents",
        help="Also remove what depends on it, and clear other references to it.",
    ),
]
_NUMBERED = re.compile(r"(.+)-[0-9]+")
MADE = ("added", "planned")  # what is said of a record that is new
SAYS_NONE = ("filters",)  # an empty list is an answer there: no filter
HIDDEN = ("id", "created", "updated", "provenance", "taken_local", "attempts")  # two are shown in words


@dataclass(frozen=True, slots=True)
class Face:
    """How records of one noun are shown: as JSON, and as rows of a table.

    `if_any` names columns that are left out where no row has anything for them.
    """

    noun: str
    columns: Sequence[str]
    as_json: Callable[[Any, "Listing"], dict[str, Any]]
    as_row: Callable[[Mapping[str, Any]], Sequence[str]]
    in_words: Mapping[str, Callable[[Any], str]] = field(default_factory=dict)
    if_any: Sequence[str] = ()

    def show(self, listing: "Listing", as_json: bool, done: str | None = None) -> None:
        """Print one record; `done` says in a word what was done to it."""
        data = self.as_json(listing.records[0], listing)
        if done in MADE and (namesake := _namesake(data, listing)):
            say(
                f"There is already a {namesake}; this one is {data['slug']}. "
                'Not intended? "logbook undo" removes it again.'
            )
        if as_json:
            answer_json(data)
        elif done:
            answer(f"{self.noun} {data['slug']} {done}.")
        else:
            origins = data.get("provenance", {})
            heading = "title" if data.get("title") else "slug"
            known = {
                field_words(name): self._value(name, value) + _origin(origins.get(name))
                for name, value in _flat(data).items()
                if value is not None and name not in (*HIDDEN, heading) and (value != [] or name in SAYS_NONE)
            }
            answer_pairs(str(data[heading]), known)

    def _value(self, name: str, value: Any) -> str:
        said = self.in_words.get(name, _words)(value)
        is_number = isinstance(value, int | float) and not isinstance(value, bool)
        return said + unit_of(name) if is_number else said

    def list(self, listing: "Listing", as_json: bool, empty: str) -> None:
        """Print all records."""
        rows = [self.as_json(record, listing) for record in listing.records]
        if as_json:
            answer_json(rows)
        else:
            cells = [self.as_row(row) for row in rows]
            shown = [
                at
                for at, name in enumerate(self.columns)
                if name not in self.if_any or any(row[at] for row in cells)
            ]
            answer_table(
                [self.columns[at] for at in shown], [[row[at] for at in shown] for row in cells], empty
            )


def remark_on_day(book: "Book", listing: "Listing") -> None:
    """Say where a record's date is outside its trip: a slip of the year is easily typed."""
    from logbook.services.keepers.strangers import dates_of, trip_without

    record = getattr(listing.records[0], "shot", listing.records[0])
    if record.on_date and (trip := trip_without(book, record.trip_id, record.on_date)):
        dates = f"the dates of {trip.slug} ({dates_of(trip)})"
        say(f'{record.on_date} is outside {dates}. Not intended? "logbook undo".')


def _namesake(data: Mapping[str, Any], listing: "Listing") -> str | None:
    """Return the older record of the same title, where a number in a name tells that there is one."""
    if not data.get("title"):
        return None
    plain = slug_of(data["title"])
    numbered = _NUMBERED.fullmatch(data["slug"])
    same = numbered is not None and plain != data["slug"] and plain.startswith(numbered[1])
    return plain if same and plain in listing.names.values() else None


def _flat(data: Mapping[str, Any]) -> dict[str, Any]:
    result: dict[str, Any] = {}
    for name, value in data.items():
        result.update(value if name == "planned" else {name: value})
    return result


def _origin(word: str | None) -> str:
    """Return where a value came from, unless a person stated it."""
    return f"  ({word})" if word not in (None, Provenance.STATED) else ""


def _words(value: Any) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return f"{value:.6f}".rstrip("0").rstrip(".")
    if isinstance(value, list):
        return ", ".join(_words(item) for item in value) or "none"
    if isinstance(value, dict) and "words" in value:
        return f"{value['words']}: {value['reason']}"
    if isinstance(value, dict):
        return "; ".join(f"{name}: {_words(item)}" for name, item in value.items() if item is not None)
    return str(value)


def add_show(app: typer.Typer, face: Face, example: str) -> None:
    """Give a noun its `show` command."""

    @options.command(app, "show", example)
    def show(name: Name, as_json: options.Json = False, book: options.Book = None) -> None:
        """Show one in full."""
        from logbook.services import kinds, records

        opened = open_book(book)
        face.show(records.show(opened, kinds.BY_WORD[face.noun], name), as_json)


def add_remove(app: typer.Typer, noun: str, example: str) -> None:
    """Give a noun its `remove` command, which refuses while others refer to it."""

    @options.command(app, "remove", example, short="Remove one, unless others still need it.")
    def remove(
        name: Name,
        with_dependents: WithDependents = False,
        as_json: options.Json = False,
        book: options.Book = None,
    ) -> None:
        """Remove one; refused while others need it, unless --with-dependents is given."""
        remove_record(noun, name, with_dependents, as_json, book)


def remove_record(
    noun: str, name: str, with_dependents: bool, as_json: bool, book: Path | None, **within: Any
) -> None:
    """Remove one record and say what went with it."""
    from logbook.services import kinds, records

    gone = records.remove(
        open_book(book), kinds.BY_WORD[noun], name, with_dependents=with_dependents, **within
    )
    if as_json:
        removed, let_go = records.in_words(gone.removed), records.in_words(gone.let_go)
        answer_json({"removed": gone.slug, "with_it": removed, "let_go": let_go})
        return
    answer(f"{noun} {gone.slug} removed.")
    if gone.removed:
        say(f"Removed with it: {records.told_briefly(gone.removed)}.")
    if gone.let_go:
        say(f"No longer linked to it: {records.told_briefly(gone.let_go)}.")
