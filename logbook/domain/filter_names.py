"""Filter names that are none: a word of another vocabulary, typed one question too late.

One surprising decision: any other name is kept, since photographers put odd things before a lens.
"""

from collections.abc import Iterable

from logbook.craft.filters import Filter, FilterKind
from logbook.domain.errors import InvalidValueError
from logbook.domain.words import Crowd, Sharpness, Support, Water

_OTHER_WORDS = frozenset(map(str, (*Support, *Crowd, *Water, *Sharpness)))


def unknown_filters(stack: Iterable[Filter] | None) -> tuple[str, ...]:
    """Return the names that no filter is known by, whose stops are therefore unknown.

    Raises InvalidValueError where one can only be a slip: a single letter, or a word of another question
    (support, crowd, water, sharpness).
    """
    names = tuple(one.name for one in stack or () if one.kind is FilterKind.OTHER)
    for name in names:
        if (len(name) == 1 and name.isalpha()) or set(name.split()) <= _OTHER_WORDS:
            raise InvalidValueError(
                f'"{name}" is no filter; write them like nd8 + pol, none for no filter, or unknown.'
            )
    return names
