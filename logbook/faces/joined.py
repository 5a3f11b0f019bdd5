"""The command that joins two records of one place, for sites and viewpoints alike."""

from typing import TYPE_CHECKING, Annotated, Any

import typer

from logbook.domain.position import Position
from logbook.domain.said import counted_names, field_words
from logbook.faces import options
from logbook.faces.opened import open_book
from logbook.faces.plain import plain, words
from logbook.faces.terminal import answer_json, answer_prose, say

if TYPE_CHECKING:
    from logbook.services.places.joins import PlacesJoined

DryRun = Annotated[bool, typer.Option("--dry-run", help="Only show what would be done.")]


def add_join(app: typer.Typer, noun: str, example: str) -> None:
    """Give a noun of places its `join` command."""

    @options.command(app, "join", example, short="Join two records of the same place into one.")
    def join(
        old: Annotated[str, typer.Argument(metavar="OLD", help="The record that becomes part of the other.")],
        into: Annotated[str, typer.Option("--into", metavar="KEPT", help="The record that stays.")],
        dry_run: DryRun = False,
        as_json: options.Json = False,
        book: options.Book = None,
    ) -> None:
        """Join two records of one place: whatever refers to OLD then refers to KEPT.

        KEPT takes what it did not know. Where both say something, KEPT's words stay and OLD's are
        listed. The stricter of their privacy settings holds. OLD's names find KEPT from then on.
        """
        from logbook.services.places.joins import join_places

        done = join_places(open_book(book), noun, old, into, dry_run=dry_run)
        if as_json:
            answer_json(_as_json(done))
        else:
            _show(done)


def _as_json(done: "PlacesJoined") -> dict[str, Any]:
    return {
        "old": done.old,
        "kept": done.kept,
        "moved": [{"noun": one.table, "name": one.name, "id": one.id} for one in done.moved],
        "taken": list(done.taken),
        "differing": [
            {"field": one.field, "stays": _plain(one.stays), "said": _plain(one.said)}
            for one in done.differing
        ],
        "also_called": list(done.also_called),
        "location_shown": plain(done.shown),
        "twins": [list(pair) for pair in done.twins],
        "dry_run": done.dry_run,
    }


def _plain(value: Any) -> Any:
    return [value.latitude_deg, value.longitude_deg] if isinstance(value, Position) else plain(value)


def _words(value: Any) -> str:
    if isinstance(value, Position):
        return f"{words(value.latitude_deg)}, {words(value.longitude_deg)}"
    return words(value)


def _show(done: "PlacesJoined") -> None:
    would = "would be" if done.dry_run else "is"
    answer_prose(f"{done.old} {would} part of {done.kept}{'' if done.dry_run else ' now'}.")
    if done.moved:
        moved = counted_names((one.table, one.name) for one in done.moved)
        answer_prose(f"Moved to it: {moved}.")
    if done.taken:
        answer_prose(f"Taken from {done.old}: {', '.join(dict.fromkeys(map(field_words, done.taken)))}.")
    if done.also_called:
        answer_prose(f"Also called {', '.join(done.also_called)}.")
    if done.shown is not None:
        say(f"Others now see less of {done.kept} than before: {done.shown}, the stricter of the two.")
    for one in done.differing:
        stays, said = (_words(value).removesuffix(".") for value in (one.stays, one.said))
        say(f"{done.kept} keeps its {field_words(one.field)}: {stays}; {done.old} had {said}.")
    for first, second in done.twins:
        say(
            "Two viewpoints share this title. If they are one place: "
            f'"logbook viewpoint join {first} --into {second}".'
        )
