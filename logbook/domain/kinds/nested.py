"""Kinds whose values are made of several: where values came from, a track's points, what a line set.

One surprising decision: the last two are texts in a record, kept as they were written, and in a document what
these texts say, so that whoever reads one can look into them.
"""

import json
from collections.abc import Mapping
from typing import Any

from logbook.domain.checks import check_place
from logbook.domain.errors import LogbookError
from logbook.domain.kinds.kind import (
    DocumentError,
    Kind,
    Schema,
    Stored,
    a_list,
    a_text,
    an_object,
    shown,
    wrong,
)
from logbook.domain.kinds.numbers import NUMBER
from logbook.domain.kinds.texts import Text, word_of
from logbook.domain.kinds.times import INSTANT
from logbook.domain.words import Provenance

_ORIGIN = word_of(Provenance)


class Origins(Kind[Mapping[str, Provenance]]):
    """Where a record's values came from, by field."""

    stored = Stored.CODED

    @property
    def schema(self) -> Schema:
        """An object of words."""
        return {"type": "object", "additionalProperties": _ORIGIN.schema}

    def coded(self, value: Mapping[str, Provenance]) -> str:
        """Return a JSON object, its fields in order."""
        return json.dumps(self.to_json(value))

    def decoded(self, text: str) -> dict[str, Provenance]:
        """Return the map."""
        return {name: Provenance(word) for name, word in json.loads(text or "{}").items()}

    def to_json(self, value: Mapping[str, Provenance]) -> dict[str, str]:
        """Return the map, its fields in order."""
        return {name: str(word) for name, word in sorted(value.items())}

    def to_answer(self, value: Mapping[str, Provenance]) -> dict[str, str]:
        """Return the map as it stands."""
        return {name: str(word) for name, word in value.items()}

    def from_json(self, data: Any, where: str) -> dict[str, Provenance]:
        """Return the map."""
        return {
            a_text(name, where): Provenance(_ORIGIN.from_json(word, f"{where}.{shown(name)}"))
            for name, word in an_object(data, where).items()
        }


class Points(Text):
    """A track's segments of points, as JSON text."""

    @property
    def schema(self) -> Schema:
        """Lists of [instant, latitude, longitude, elevation or null]."""
        point: Schema = {
            "type": "array",
            "prefixItems": [
                INSTANT.schema,
                {"type": "number", "minimum": -90, "maximum": 90},
                {"type": "number", "minimum": -180, "maximum": 180},
                {"type": ["number", "null"]},
            ],
            "items": False,
            "minItems": 4,
        }
        return {"type": "array", "items": {"type": "array", "items": point}}

    def to_json(self, value: str) -> Any:
        """Return the segments."""
        return json.loads(value)

    def from_json(self, data: Any, where: str) -> str:
        """Read lists of [instant, latitude, longitude, elevation or null]."""
        for at, segment in enumerate(a_list(data, where)):
            for number, point in enumerate(a_list(segment, f"{where}[{at}]")):
                _check_point(point, f"{where}[{at}][{number}]")
        return json.dumps(data)


def _check_point(point: Any, where: str) -> None:
    if not isinstance(point, list) or len(point) != 4:
        raise DocumentError(where, "a point is [instant, latitude, longitude, elevation].")
    moment, latitude_deg, longitude_deg, elevation_m = point
    INSTANT.from_json(moment, where)
    place = NUMBER.from_json(latitude_deg, where), NUMBER.from_json(longitude_deg, where)
    if elevation_m is not None:
        NUMBER.from_json(elevation_m, where)
    try:
        check_place(*place, "point")
    except LogbookError as error:
        raise DocumentError(where, str(error)) from None


class SetFields(Text):
    """What a line of a day file set, as JSON text."""

    @property
    def schema(self) -> Schema:
        """Any object."""
        return {"type": "object"}

    def to_json(self, value: str) -> Any:
        """Return the fields."""
        return json.loads(value)

    def from_json(self, data: Any, where: str) -> str:
        """Read plain values by field, and under "?" what the line only proposed."""
        for name, value in an_object(data, where).items():
            a_text(name, where)
            here = f"{where}.{shown(name)}"
            if isinstance(value, dict):
                ORIGINS.from_json(value, here)
                continue
            for item in value if isinstance(value, list) else (value,):
                if isinstance(item, str):
                    a_text(item, here)
                elif item is not None and not isinstance(item, bool | int | float):
                    raise wrong(here, item, "a plain value")
        return json.dumps(data, ensure_ascii=False)


ORIGINS = Origins()
POINTS = Points()
SET_FIELDS = SetFields()
