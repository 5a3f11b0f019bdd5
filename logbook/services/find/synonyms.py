"""Trade words for the same thing: our list, and a person's own.

One surprising decision: the lists are plain text that a photographer can edit; a line that makes no sense is
passed over, because a slip in a list of words must not stop a question.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files
from pathlib import Path

from logbook.craft.filter_types import TYPES
from logbook.domain.condition_kinds import KINDS
from logbook.domain.errors import UnreadableFileError

LONGEST_FILE_BYTES = 1_000_000  # bytes; a list of words is shorter


def folded(text: str) -> str:
    """A phrase for comparing: lower case, single spaces, without the plural's s."""
    return " ".join(_singular(word) for word in text.casefold().replace("-", " ").split())


def _singular(word: str) -> str:
    return word[:-1] if len(word) > 3 and word.endswith("s") and not word.endswith("ss") else word


@dataclass(frozen=True, slots=True)
class Synonyms:
    """Groups of phrases that stand for one another, by folded phrase."""

    others: Mapping[str, tuple[str, ...]]
    longest: int  # words of the longest phrase

    def knows(self, phrase: str) -> bool:
        """Whether a phrase is in any group."""
        return folded(phrase) in self.others

    def of(self, phrase: str) -> tuple[str, ...]:
        """Return the other phrases of all groups that a phrase is in."""
        return self.others.get(folded(phrase), ())


def read_groups(text: str) -> Iterator[tuple[str, ...]]:
    """Yield the groups of a list: one a line, separated by commas; `#` begins a remark."""
    for line in text.splitlines():
        group = tuple(" ".join(part.split()) for part in line.partition("#")[0].split(","))
        group = tuple(part for part in group if any(letter.isalnum() for letter in part))
        if len(group) > 1:
            yield group


def gathered(groups: Iterable[tuple[str, ...]]) -> Synonyms:
    """Return groups as one set of synonyms; a phrase in two groups has the others of both."""
    others: dict[str, dict[str, None]] = {}
    for group in groups:
        for phrase in group:
            rest = [other for other in group if folded(other) != folded(phrase)]
            others.setdefault(folded(phrase), {}).update(dict.fromkeys(rest))
    longest = max((len(phrase.split()) for phrase in others), default=1)
    return Synonyms({phrase: tuple(rest) for phrase, rest in others.items()}, longest)


def synonyms_with(own: Iterable[Path] = ()) -> Synonyms:
    """Return our list with a person's own files where they exist; raises UnreadableFileError for no text."""
    groups = list(_ours())
    for path in own:
        if not path.is_file():
            continue
        try:
            with path.open("rb") as file:
                groups += read_groups(file.read(LONGEST_FILE_BYTES).decode("utf-8-sig"))
        except (OSError, UnicodeDecodeError) as error:
            raise UnreadableFileError(
                f"The word list {path} cannot be read as text ({error}); save it as UTF-8, or remove it."
            ) from error
    return gathered(groups)


@lru_cache(maxsize=1)
def _ours() -> tuple[tuple[str, ...], ...]:
    listed = read_groups(files("logbook.services.find").joinpath("synonyms.txt").read_text("utf-8"))
    filters = (of.synonyms for of in TYPES.values() if of.synonyms)
    return (*listed, *filters, *(group for of in KINDS.values() for group in of.synonyms))
