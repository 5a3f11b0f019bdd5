"""Which approach a picture or a plan followed: what held the camera, its filters, its light, what was met.

One surprising decision: unknown is an approach of its own and is never counted with another.
"""

import json
from collections.abc import Callable
from functools import lru_cache

from logbook.domain.words import Support

NO_FILTER = "no filter"
Value = str | None


@lru_cache(maxsize=4096)
def stack_name(listed: str | None) -> Value:
    """Return filters as one name, whatever their order: `nd8 + pol`, `no filter`; None is unknown."""
    if not listed:
        return None
    return " + ".join(sorted(json.loads(listed))) or NO_FILTER


def held(support: str | None) -> str | None:
    """Return what held the camera; a support that is unknown is None."""
    return None if support == Support.UNKNOWN else support or None


def named(technique: str) -> Value:
    """Return a technique from JSON; None where none was named."""
    return _named(technique) if technique else None


@lru_cache(maxsize=4096)
def _named(technique: str) -> str:
    return str(json.loads(technique))


def each(values: list[str], name: Callable[[str], Value]) -> list[Value]:
    """Return what each of many values is called; equal ones are asked about once."""
    names = {one: name(one) for one in set(values)}
    return [names[one] for one in values]
