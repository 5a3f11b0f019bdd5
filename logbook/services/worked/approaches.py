"""Which approach a picture or a plan followed: what held the camera, its filters, its light, what was met.

One surprising decision: unknown is an approach of its own and is never counted with another.
"""

import json
from collections.abc import Callable
from datetime import date
from functools import lru_cache

from logbook.domain.dates import counts
from logbook.domain.rough_phase import phase_there
from logbook.domain.words import Support
from logbook.services.worked.scope import Scope

NO_FILTER = "no filter"
Value = str | None


def phase_of(scope: Scope, viewpoint_id: str, local: str | None) -> Value:
    """Return the kind of light at a viewpoint at a local moment, or None where place or time is unknown."""
    place = scope.places.get(viewpoint_id)
    if place is None or not local or not counts(date.fromisoformat(local[:10]), scope.last_day):
        return None
    return phase_there(*place, local)


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
