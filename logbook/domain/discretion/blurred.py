"""One record as others may know it: texts struck, a slug that tells nothing, what stays at home emptied.

Which words were struck, and where in the book they stand, is listed for the photographer.

Surprising decisions: a field that cannot be empty and stays at home must be blurred by name; nothing is shown
because nobody thought of it. The list names what was struck from texts that were asked for, not from all the
book holds; a note to oneself that nobody else gets loses nothing.
"""

from collections.abc import Iterable, Iterator
from dataclasses import MISSING, dataclass, field, fields
from enum import Enum
from typing import Any

from logbook.domain.checks import LONGEST_TEXT, LONGEST_TITLE
from logbook.domain.discretion.audience import Discretion
from logbook.domain.fields import facts_of
from logbook.domain.names import slug_of
from logbook.domain.plain_text import plain
from logbook.domain.record import Noun, Record, known
from logbook.domain.shot import Outcome
from logbook.domain.shown import Struck
from logbook.domain.words import Disclosure

SHORTEST_RUN = 5  # letters of a name that is looked for within others; shorter ones are found by chance
_TOGETHER = " + "  # how words of a list are read together
_NO_TEXT = frozenset(("id", "path", "hash", "provenance"))


@dataclass(frozen=True, slots=True)
class Blur:
    """Makes records of one account what an audience may know of them."""

    say: Discretion
    _runs: frozenset[str] = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "_runs", frozenset(_hidden_runs(self.say)))

    def record(
        self, record: Noun, plain_slug: str = "", *, is_of_hidden: bool = False, **blurred: Any
    ) -> Noun:
        """Return a record as the audience may know it; `blurred` are fields that its noun decides about.

        In a slug a name may stand without a word's end ("ledgeshot"): a record of a hidden place always loses
        its own, and so does one in whose letters a hidden name is found anywhere.
        """
        changes = dict(blurred)
        facts = facts_of(type(record))
        for one in fields(record):
            if one.name in blurred:
                continue
            value, seen = getattr(record, one.name), facts[one.name].seen
            if self.say.audience in seen.by:
                if seen.is_struck:
                    changes[one.name] = self._struck(value, one.name)
                elif one.name == "slug" and (is_of_hidden or self._tells(value)):
                    changes["slug"] = plain_slug
            else:
                if one.default is MISSING:
                    raise TypeError(f"Nobody decided what others see of {type(record).__name__}.{one.name}.")
                changes[one.name] = one.default
        return known(record, changes)

    def text(self, text: str) -> str:
        """Return free text without what is withheld."""
        return self.say.scrub(plain(text))

    def _struck(self, value: Any, name: str) -> Any:
        if isinstance(value, tuple):  # words that people made up, which may tell something only together
            words = tuple(map(self.text, value))
            together = _TOGETHER.join(words)
            struck = self.text(together)
            return words if struck == together else (struck,)
        if not isinstance(value, str) or isinstance(value, Enum):
            return value
        struck = self.text(value)  # which may have grown longer than a noun allows
        return struck[:LONGEST_TITLE].strip() if name == "title" else struck[:LONGEST_TEXT]

    def _tells(self, slug: str) -> bool:
        """Whether the letters of a slug hold a name that is withheld; too much costs a short name only."""
        run = slug.replace("-", "")
        return self.say.scrub(slug) != slug or any(one in run for one in self._runs)


def with_plain_slugs(records: Iterable[Noun], noun: str) -> Iterator[tuple[str, Noun]]:
    """Yield records, each with a slug that tells nothing and that none of them has: `shot-3`."""
    every = tuple(records)
    taken = {getattr(one, "slug", None) for one in every}
    for number, one in enumerate(every, start=1):
        plain_slug = f"{noun}-{number}"
        while plain_slug in taken:
            plain_slug += "x"
        yield plain_slug, one


def _hidden_runs(say: Discretion) -> Iterator[str]:
    account = say.account
    names = [*account.withheld_names, *account.people, *account.trip.private_names]
    for place in account.places:
        if say.shown(place) is Disclosure.WITHHELD:
            names += [place.title, place.slug, *place.also_called]
    for name in names:
        run = slug_of(name).replace("-", "")
        if name not in account.trip.may_say and len(run) >= SHORTEST_RUN and run != "untitled":
            yield run


def struck_from(say: Discretion) -> tuple[Struck, ...]:
    """Return every word that was struck so far, each once for a field, in order of the words."""
    asked = {text.casefold(): words for text, words in say.struck().items() if words}
    if not asked:
        return ()
    found: dict[Struck, None] = {}
    told: set[str] = set()
    for record, name in _records(say):
        for name_of_field, text in _texts(record):
            whole = text.strip().casefold()
            if whole and any(whole in one for one in asked):
                for word in say.words_struck(text):
                    found[Struck(word, name, name_of_field, record.id)] = None
                    told.add(word)
    rest = {word for words in asked.values() for word in words} - told
    found |= dict.fromkeys(Struck(word, "", "") for word in rest)  # of a text that was put together
    return tuple(sorted(found, key=lambda one: (one.word.casefold(), one.record, one.field)))


def _records(say: Discretion) -> Iterator[tuple[Record, str]]:
    account = say.account
    slugs = {shot.id: shot.slug for shot in account.shots}
    several: tuple[Record, ...] = (
        account.trip,
        *account.sites.values(),
        *account.viewpoints.values(),
        *account.shots,
        *account.outcomes.values(),
        *account.visits,
        *account.conditions,
        *account.lessons,
        *account.days,
        *account.keepers,
        *account.kit.values(),
    )
    for one in several:
        name = getattr(one, "slug", None) or getattr(one, "on_date", "")
        if isinstance(one, Outcome):
            name = slugs.get(one.shot_id, "")
        yield one, f"{type(one).__name__.lower()} {name}"


def _texts(record: Record) -> Iterator[tuple[str, str]]:
    for one in fields(record):
        value = getattr(record, one.name)
        if one.name in _NO_TEXT or isinstance(value, Enum):
            continue
        for text in value if isinstance(value, tuple) else (value,):
            if isinstance(text, str) and not isinstance(text, Enum):
                yield one.name, plain(text)
