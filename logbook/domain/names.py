"""Names: how a title becomes a slug, how what is typed finds its slug again, how a list of names is changed.

Surprising decisions: letters that do not decompose (ø, ł, æ) are folded by their Unicode *name* ("LATIN SMALL
LETTER O WITH STROKE" is an o), so no table of letters has to be kept. Naming something adds to what is in a
list: one that the last command replaced would lose a private person or an other name without a word.
"""

import difflib
import re
import unicodedata
from collections.abc import Container, Iterable, Mapping, Sequence
from dataclasses import dataclass

from logbook.domain.errors import AmbiguousNameError, InvalidValueError, NotFoundError
from logbook.domain.said import counted

LONGEST_SLUG = 60  # characters, numbering included
LISTED = 5  # how many candidates an ambiguous name lists
WHOLE_NEAR, PART_NEAR = 0.5, 0.75  # of difflib's ratio; a part must be nearer than a whole name
NEAREST = 3  # how many names a miss offers

_SLUG = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*")
_LETTER_NAME = re.compile(r"LATIN SMALL LETTER ([A-Z]{1,2})(?: WITH .*)?")
_LETTERS_WITH_OTHER_NAMES = {"ð": "d", "þ": "th", "ı": "i"}
_APOSTROPHES = re.compile(r"['’‘ʼ`]")


def slug_of(title: str, taken: Container[str] = ()) -> str:
    """The slug of a title: lower-case ASCII words joined by "-", at most 60 characters.

    A title without a letter or digit becomes "untitled"; a slug already in `taken` is numbered -2, -3, ...
    """
    return _free(_slugified(title) or "untitled", taken, 1)[0]


class Slugs:
    """The slugs in use, and where the numbering of those that begin alike goes on."""

    def __init__(self, taken: Iterable[str]) -> None:
        self._taken = set(taken)
        self._numbered: dict[str, int] = {}  # by base, below which all are taken

    def __contains__(self, slug: object) -> bool:
        return slug in self._taken

    def take(self, slug: str) -> None:
        """Count a slug among those in use."""
        self._taken.add(slug)

    def free(self, title: str) -> str:
        """The slug that `slug_of` gives."""
        base = _slugified(title) or "untitled"
        slug, self._numbered[base] = _free(base, self._taken, self._numbered.get(base, 1))
        return slug


def name_key(name: str) -> str:
    """What tells a name from others however it is written: its words, folded; letters of any script stay."""
    folded = "".join(_ascii(letter).strip() or letter for letter in _decomposed(_APOSTROPHES.sub("", name)))
    return " ".join(re.findall(r"[^\W_]+", folded)) or " ".join(name.split())


def is_slug(text: str) -> bool:
    """Whether a text is written as a slug is."""
    return len(text) <= LONGEST_SLUG and _SLUG.fullmatch(text) is not None


def check_slug(text: str) -> str:
    """The text itself when it is a slug; raises InvalidValueError, which offers one, when it is not."""
    if is_slug(text):
        return text
    raise InvalidValueError(
        f"{_quoted(text)} cannot be a short name: use lower-case letters, digits and single hyphens, "
        f"at most {LONGEST_SLUG} characters, such as {slug_of(text)}."
    )


def resolve(wanted: str, slugs: Iterable[str], noun: str) -> str:
    """The one slug meant by a slug, a title, or an unambiguous beginning of either.

    Raises AmbiguousNameError when a beginning fits several, and NotFoundError with the nearest names when
    none fits.
    """
    known = sorted(set(slugs))
    typed = wanted.strip().lower()
    slugified = _slugified(wanted)
    for candidate in (typed, slugified):
        if candidate in known:
            return candidate
    beginning = typed if _SLUG.fullmatch(typed.rstrip("-")) else slugified
    fitting = [slug for slug in known if slug.startswith(beginning)] if beginning else []
    if len(fitting) == 1:
        return fitting[0]
    if fitting:
        raise _ambiguous(wanted, fitting, noun)
    raise NotFoundError(_miss(wanted, slugified, known, noun))


def meant(
    wanted: str,
    slugs: Mapping[str, str],
    titles: Mapping[str, Iterable[str]],
    others: Mapping[str, Iterable[str]],
    noun: str,
) -> str:
    """The id that is meant, given ids by slug, by title and by other name.

    Whole names go before beginnings, slugs before titles, and titles before other names; an other name that
    also begins the slug of something else is ambiguous. Raises as `resolve` does.
    """
    whole = _as_slug(wanted)
    titled = {name: ids.pop() for name, ids in _by_name(titles).items() if len(ids) == 1}
    if whole not in slugs and whole in titled:
        return titled[whole]
    called = _by_name(others).get(whole)
    if whole not in slugs and called:
        fitting = [slug for slug in slugs if slug.startswith(whole) or slugs[slug] in called]
        if len(fitting) > 1:
            raise _ambiguous(wanted, fitting, noun)
        return slugs[fitting[0]]
    try:
        return slugs[resolve(wanted, slugs, noun)]
    except NotFoundError:
        try:
            return titled[resolve(wanted, titled, noun)]
        except NotFoundError:
            pass
        raise


def _by_name(names: Mapping[str, Iterable[str]]) -> dict[str, set[str]]:
    """Ids by name, however that is written."""
    result: dict[str, set[str]] = {}
    for name, ids in names.items():
        result.setdefault(_as_slug(name), set()).update(ids)
    return result


def _as_slug(name: str) -> str:
    return name_key(name).replace(" ", "-")


def _ambiguous(wanted: str, fitting: Sequence[str], noun: str) -> AmbiguousNameError:
    return AmbiguousNameError(
        f"{_quoted(wanted)} could be more than one {noun}: {_listed(fitting, LISTED)}; type more of the name."
    )


def _miss(wanted: str, slugified: str, known: Sequence[str], noun: str) -> str:
    missed = f"No {counted(noun, 1).removeprefix('1 ')} is called {_quoted(wanted)}"
    if not known:
        how = "import FOLDER" if noun == "keeper" else "add"
        none = counted(noun, 0).removeprefix("0 ")
        return f'{missed}: the book has no {none} yet; add one with "logbook {noun} {how}".'
    near = _nearest(slugified, known) if slugified else []
    if not near:
        return f'{missed}; "logbook {noun} list" lists them all.'
    if len(near) == 1:
        return f"{missed}; the nearest name is {near[0]}."
    return f"{missed}; the nearest names are {_listed(near, NEAREST)}."


def _nearest(slugified: str, known: Sequence[str]) -> list[str]:
    """The names of which a beginning, here or at a hyphen, is near, then those that are near as a whole."""
    parts: dict[str, list[str]] = {}
    for slug in known:
        for start in [0, *(found.end() for found in re.finditer("-", slug))]:
            parts.setdefault(slug[start : start + len(slugified)].rstrip("-"), []).append(slug)
    whole = difflib.get_close_matches(slugified, known, n=NEAREST, cutoff=WHOLE_NEAR)
    near = difflib.get_close_matches(slugified, parts, n=NEAREST, cutoff=PART_NEAR)
    near = [slug for part in near for slug in parts[part]]
    return list(dict.fromkeys((*near, *whole)))[:NEAREST]


def _free(base: str, taken: Container[str], number: int) -> tuple[str, int]:
    """The first free of a base and its numbered forms, where all below `number` are taken, and its number."""
    if base not in taken:
        return base, number
    while True:
        number += 1
        suffix = f"-{number}"
        slug = base[: LONGEST_SLUG - len(suffix)].rstrip("-") + suffix
        if slug not in taken:
            return slug, number - 1


def _slugified(title: str) -> str:
    words = re.findall(r"[a-z0-9]+", _folded(_APOSTROPHES.sub("", title)))
    slug = "-".join(words)
    if len(slug) <= LONGEST_SLUG:
        return slug
    whole_words, _, _ = slug[: LONGEST_SLUG + 1].rpartition("-")
    return whole_words or slug[:LONGEST_SLUG]


def _folded(text: str) -> str:
    return "".join(map(_ascii, _decomposed(text)))


def _decomposed(text: str) -> list[str]:
    """The letters of a text without case and accents."""
    decomposed = unicodedata.normalize("NFKD", text.casefold()).casefold()
    return [letter for letter in decomposed if not unicodedata.combining(letter)]


def _ascii(letter: str) -> str:
    if letter.isascii():
        return letter
    if other := _LETTERS_WITH_OTHER_NAMES.get(letter):
        return other
    named = _LETTER_NAME.fullmatch(unicodedata.name(letter, ""))
    return named[1].lower() if named else " "


def _listed(names: Sequence[str], at_most: int) -> str:
    if len(names) > at_most:
        return f"{', '.join(names[:at_most])} and {len(names) - at_most} more"
    return f"{', '.join(names[:-1])} and {names[-1]}"


def _quoted(text: str) -> str:
    shown = "".join(letter if letter.isprintable() else "�" for letter in " ".join(text.split()))
    return f'"{shown[:LONGEST_SLUG]}…"' if len(shown) > LONGEST_SLUG else f'"{shown}"'


@dataclass(frozen=True, slots=True)
class Amended:
    """A change of a list; `anew` drops what was there."""

    add: tuple[str, ...] = ()
    drop: tuple[str, ...] = ()
    anew: bool = False

    def of(self, names: Sequence[str]) -> tuple[str, ...]:
        """Return the list after the change, each name once; NotFoundError where one to drop is not there."""
        kept = {name_key(name): name for name in ([] if self.anew else names)}
        for name in self.drop:
            if kept.pop(name_key(name), None) is None:
                there = f"it has {', '.join(kept.values())}" if kept else "it has none"
                raise NotFoundError(f'"{name}" is not one of its names; {there}.')
        for name in self.add:
            kept.setdefault(name_key(name), " ".join(name.split()))
        return tuple(kept.values())
