"""Random books that are valid in every noun, made from the nouns' own annotations.

A field that a noun gains is made here by its type; only what a noun checks beyond types is said by name.
"""

import json
from collections.abc import Callable, Mapping
from datetime import UTC, date, datetime, time
from enum import StrEnum
from fractions import Fraction
from typing import Any, get_args, get_origin

from hypothesis import strategies as st

from logbook.domain.condition_kinds import KINDS
from logbook.domain.fields import FieldFacts, facts_of
from logbook.domain.horizon import Horizon
from logbook.domain.kinds import WALL_TIME
from logbook.domain.names import slug_of
from logbook.domain.nouns import NOUNS
from logbook.domain.record import Record
from logbook.domain.words import OutcomeWord, Provenance
from logbook.services.exports.book_json import Records
from logbook.store.desk import SHELVES

Draw = Callable[[st.SearchStrategy[Any]], Any]

ANY_TEXT = st.text(st.characters(codec="utf-8"), max_size=12)
PLAIN = st.text(st.characters(codec="utf-8", exclude_categories=("Cc", "Cs")), max_size=20)
TITLES = PLAIN.filter(lambda text: bool(text.strip()))
ZONES = st.sampled_from(["Asia/Dushanbe", "Europe/Vienna", "UTC", "America/St_Johns"])
INSTANTS = st.datetimes(
    datetime.fromisoformat("1900-01-01"), datetime.fromisoformat("2200-01-01"), timezones=st.just(UTC)
)
FLOATS = st.floats(allow_nan=False, allow_infinity=False)
POINTS = st.lists(
    st.lists(
        st.tuples(
            INSTANTS.map(datetime.isoformat),
            st.floats(-90, 90),
            st.floats(-180, 180),
            st.none() | FLOATS,
        ),
        max_size=3,
    ),
    max_size=2,
).map(json.dumps)
SEEN = st.dictionaries(
    PLAIN.filter(lambda name: name != "?"),
    st.none() | st.booleans() | st.integers(-99, 99) | ANY_TEXT | st.lists(ANY_TEXT, max_size=2),
    max_size=3,
).map(lambda data: json.dumps(data | {"?": {"tries": "inferred"}}, ensure_ascii=False))
IDS = st.lists(st.from_regex(r"[0-9A-Za-z_-]{1,64}", fullmatch=True), max_size=2).map(tuple)
RANGES: Mapping[str, st.SearchStrategy[Any]] = {
    "elevation_m": st.floats(-500, 9000),
    "facing_deg": st.floats(0, 360, exclude_max=True),
    "walk_min": st.integers(0, 10_000),
    "focal_mm": st.floats(1, 5000),
    "focal_min_mm": st.floats(1, 5000),
    "focal_max_mm": st.floats(1, 5000),
    "f_number": st.floats(0.5, 128),
    "iso": st.integers(1, 10_000_000),
    "sensor_width_mm": st.floats(1, 200),
    "sensor_height_mm": st.floats(1, 200),
    "stabilisation_stops": st.floats(0, 12),
    "exposure_s": st.fractions(Fraction(1, 10**9), 86_400, max_denominator=10**9),
    "tries": st.integers(0, 1_000_000),
    "ahead_s": st.integers(-60 * 86_400, 60 * 86_400),
    "zone": ZONES,
    "title": TITLES,
    "private_names": st.lists(TITLES, max_size=2).map(tuple),
    "may_say": st.lists(TITLES, max_size=2).map(tuple),
    "also_called": st.lists(TITLES, max_size=2).map(tuple),
    "points": POINTS,
    "seen": SEEN,
    "client_order": IDS,
    "students_order": IDS,
    "hash": st.text("0123456789abcdef", min_size=64, max_size=64),
}
FREE = frozenset(("file", "path", "taken_text", "section", "key", "answer"))  # that no noun checks


def by_type(name: str, kind: Any) -> st.SearchStrategy[Any]:
    """Values of a field by its type."""
    if get_origin(kind) is tuple:
        return st.lists(by_type("", get_args(kind)[0]), max_size=3).map(tuple)
    if isinstance(kind, type) and issubclass(kind, StrEnum):
        return st.sampled_from(kind)
    known: dict[Any, st.SearchStrategy[Any]] = {
        datetime: INSTANTS,
        str: ANY_TEXT if name in FREE else PLAIN,
        int: st.integers(-(2**63) + 1, 2**63 - 1),
        float: FLOATS,
        bool: st.booleans(),
        date: st.dates(),
        time: st.times(),
        Fraction: st.fractions(max_denominator=10**9),
        Horizon: st.builds(Horizon, st.none() | st.floats(-45, 45)),
    }
    return known[kind]


class Maker:
    """Makes the records of one random book, noun after noun."""

    def __init__(self, draw: Draw) -> None:
        self.draw = draw
        self.made: dict[str, list[Any]] = {}
        self.slugs: set[str] = set()
        self.count = 0

    def book(self) -> Records:
        """Return a book with a few records of each noun."""
        for name, noun in SHELVES.items():
            self.made[name] = []
            for _ in range(self.draw(st.integers(0, 3))):
                record = self.record(noun, name)
                if record is not None:
                    self.made[name].append(record)
        return {name: tuple(found) for name, found in self.made.items()}

    def record(self, noun: type[Record], name: str) -> Record | None:
        """Return a record, or None where it needs another that the book does not have."""
        values: dict[str, Any] = {}
        for field in facts_of(noun).values():
            if field.may_be_unknown and self.draw(st.booleans()):
                values[field.name] = None
                continue
            value = self.value(field)
            if value is None and not field.may_be_unknown:
                return None
            values[field.name] = value
        self.mend(name, values)
        if any(self.clashes(name, values, key) for key in _UNIQUE.get(name, ())):
            return None
        return noun(**values)

    def value(self, field: FieldFacts) -> Any:
        """Return a value of one field."""
        name = field.name
        self.count += 1
        if name in ("id", "record_id"):
            return f"{self.draw(st.integers(0, 2**64)):032x}{self.count:04x}"
        if name == "slug":
            slug = slug_of(self.draw(PLAIN), self.slugs)
            self.slugs.add(slug)
            return slug
        if field.refers_to is not None:
            noun = NOUNS[field.refers_to]
            ids = [one.id for made in self.made.values() for one in made if type(one) is noun]
            return self.draw(st.sampled_from(ids)) if ids else None
        if name == "keeper_ids":
            return tuple(one.id for one in self.made["keepers"])
        if name == "provenance":
            words = st.sampled_from(Provenance)
            return self.draw(st.dictionaries(st.sampled_from(["filters", "tries"]), words, max_size=2))
        if field.kind is WALL_TIME:
            return self.draw(st.datetimes())
        return self.draw(RANGES[name] if name in RANGES else by_type(name, field.type))

    def mend(self, name: str, values: dict[str, Any]) -> None:
        """Make values agree where a noun wants two of them to."""
        if "latitude_deg" in values:
            known = values["latitude_deg"] is not None and values["longitude_deg"] is not None
            values["latitude_deg"] = self.draw(st.floats(-90, 90)) if known else None
            values["longitude_deg"] = self.draw(st.floats(-180, 180)) if known else None
        if name == "trips" and values["starts_on"] and values["ends_on"]:
            values["starts_on"], values["ends_on"] = sorted((values["starts_on"], values["ends_on"]))
        if name == "conditions":
            levels = KINDS[values["kind"]].levels
            values["level"] = self.draw(st.sampled_from(levels)) if levels else None
            values["note"] = values["note"] if levels else f"seen {values['note']}"
        if name == "lessons":
            values["text"] = f"stay {values['text']}"
        if name == "outcomes":
            if (
                values["word"] is not OutcomeWord.REPLACED
                or values["replaced_by_shot_id"] == values["shot_id"]
            ):
                values["replaced_by_shot_id"] = None
            if values["word"] is not OutcomeWord.REPLACED:
                values["replaced_by_keeper_id"] = None

    def clashes(self, name: str, values: Mapping[str, Any], key: tuple[str, ...]) -> bool:
        """Whether another record holds what may be there once."""
        wanted = [values[field] for field in key]
        return any([getattr(one, field) for field in key] == wanted for one in self.made[name])


_UNIQUE: Mapping[str, tuple[tuple[str, ...], ...]] = {
    "packed": (("trip_id", "item_id"),),
    "outcomes": (("shot_id",),),
    "days": (("trip_id", "on_date"),),
    "keepers": (("trip_id", "hash"),),
    "tracks": (("trip_id", "hash"),),
    "night_answers": (("trip_id", "on_date", "key"),),
}


@st.composite
def books(draw: Draw) -> Records:
    """Random valid books, as records by the names of their lists."""
    return Maker(draw).book()
