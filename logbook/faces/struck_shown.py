"""The words that others do not get, for the person who may let one of them stand.

One surprising decision: a word is told once with all the places it stands in, because people decide by words.
"""

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from logbook.domain.said import field_words

if TYPE_CHECKING:
    from logbook.domain.shown import Struck

TOLD = 12  # words that are told one by one
_PLACES = 3  # in which a word stands that are named


def struck_words(struck: "Sequence[Struck]") -> dict[str, str]:
    """Return every word that was struck, and where it stands."""
    places: dict[str, list[str]] = {}
    for one in struck:
        where = f"{one.record}, {field_words(one.field)}" if one.record else "a text made from several fields"
        places.setdefault(one.word, []).append(where)
    return {word: _listed(stands) for word, stands in places.items()}


def _listed(stands: Sequence[str]) -> str:
    more = f" and {len(stands) - _PLACES} more" if len(stands) > _PLACES else ""
    return f"{'; '.join(stands[:_PLACES])}{more}"


def struck_lines(struck: "Sequence[Struck]", trip: str) -> Iterator[str]:
    """Yield what was struck as lines for a person: each word and where it stands, and how it may stay."""
    places = struck_words(struck)
    for word, stands in list(places.items())[:TOLD]:
        yield f"Not shown to others: “{word}” ({stands})"
    if len(places) > TOLD:
        yield f"{len(places) - TOLD} more words are not shown; --json lists them all."
    if places:
        yield f'To allow a word: "logbook trip edit {trip} --may-say WORD".'


def plain_struck(struck: "Sequence[Struck]") -> list[dict[str, str]]:
    """Return what was struck as the stable keys of `--json`."""
    return [{"word": one.word, "record": one.record, "field": one.field} for one in struck]
