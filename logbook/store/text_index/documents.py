"""What can be found of each noun: one document a record, made of a title, a body, a context and facts.

One surprising decision: a document also says what was there when (the nearest crowd, water and wind noted
that day, the light of the moment), because a person asks for pictures by what they were up against.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache, partial
from typing import Any

from logbook.domain.condition_kinds import KINDS
from logbook.domain.fields import FieldFacts, facts_of
from logbook.domain.kinds import ListOf, Names
from logbook.domain.nouns import NOUNS
from logbook.domain.words import ConditionKind
from logbook.store.text_index import about, moments
from logbook.store.text_index.facts import (
    filter_facts,
    listed,
    settings_facts,
    settings_text,
    tokens,
    words_of,
)

Row = Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Document:
    """What the index holds of one record; `facts` are words that nobody types."""

    kind: str
    record_id: str
    title: str
    body: str
    context: str
    facts: str
    trip_id: str | None = None
    site_id: str | None = None
    viewpoint_id: str | None = None
    on_date: str | None = None


Part = str | Callable[[Row], str | None]  # a searched field, or what is worked out from a row

_SETTINGS = ("exposure_s", "f_number", "iso", "focal_mm", "filters", "support")


def _title(row: Row) -> str | None:
    title: str | None = row["r_title"]
    return title


@dataclass(frozen=True, slots=True)
class Noun:
    """How the documents of a noun are read: what SQL asks beside its searched fields, and what is made of it.

    `first` stands at the beginning of the body; the searched fields that it does not name follow, but for
    those that stand `elsewhere`, in the title or in a part that is worked out.
    """

    columns: str
    title: Callable[[Row], str | None] = _title
    first: Sequence[Part] = ()
    elsewhere: Sequence[str] = ("title",)
    facts: Callable[[Row], list[str]] = lambda _row: []
    joins: str = ""
    context: Callable[[Row], Sequence[str | None]] = lambda _row: ()
    happened: bool = False  # a shot, visit or keeper: carries what was observed there that day


@cache
def searched(noun: str) -> Mapping[str, FieldFacts]:
    """Return the fields of a noun that `find` looks into, by name."""
    return {name: field for name, field in facts_of(NOUNS[noun]).items() if field.searched is not None}


def columns_of(noun: str) -> str:
    """Return the columns that the documents of a noun are made from; `r` is its table."""
    return ", ".join([f"r.{name} AS r_{name}" for name in searched(noun)] + [NOUN_DOCUMENTS[noun].columns])


@cache
def _parts(noun: str) -> tuple[Callable[[Row], str | None], ...]:
    """What the body of a noun's documents is made of, in order."""
    how, fields = NOUN_DOCUMENTS[noun], searched(noun)
    rest = [name for name in fields if name not in how.first and name not in how.elsewhere]
    return tuple(
        partial(_said, fields[part]) if isinstance(part, str) else part for part in (*how.first, *rest)
    )


def _said(field: FieldFacts, row: Row) -> str | None:
    """Return a field as it reads in a body; what nobody knows is not there."""
    value = row[f"r_{field.name}"]
    if value is None or field.searched is None or value == field.searched.but:
        return None
    if isinstance(field.kind, ListOf):
        value = _names(value) if isinstance(field.kind, Names) else words_of(value)
    return field.searched.words.format(value)


_TRIP = "t.title AS trip_title, t.zone AS trip_zone, t.day_ends_at"
_PLACE = (
    "v.id AS viewpoint_id, v.title AS viewpoint_title, v.tripod_rule, s.id AS site_id, s.title AS site_title,"
    " v.also_called AS viewpoint_names, s.also_called AS site_names, s.kinds, s.region, s.zone AS site_zone,"
    " coalesce(v.latitude_deg, s.latitude_deg) AS place_latitude,"
    " coalesce(v.longitude_deg, s.longitude_deg) AS place_longitude"
)
_DAY = (  # whose clock its hours are read by, where that was stated for the day
    "(SELECT d.zone FROM day d WHERE d.trip_id = r.trip_id AND d.on_date = r.on_date AND d.zone IS NOT NULL)"
    " AS day_zone"
)
_OF_TRIP = "LEFT JOIN trip t ON t.id = r.trip_id"
# What a person judged: an inferred word is not a judgement.
_JUDGED = "CASE WHEN json_extract(r.provenance, '$.sharpness') IS NULL THEN r.sharpness END AS sharpness"
_AT_VIEWPOINT = (
    f"{_OF_TRIP} LEFT JOIN viewpoint v ON v.id = r.viewpoint_id LEFT JOIN site s ON s.id = v.site_id"
)
_AT_PLACE = (
    f"{_OF_TRIP} LEFT JOIN viewpoint v ON v.id = r.viewpoint_id"
    " LEFT JOIN site s ON s.id = coalesce(v.site_id, r.site_id)"
)


def _names(text: str | None) -> str:
    return ", ".join(listed(text))


def _where(row: Row) -> list[str | None]:
    return [
        row["viewpoint_title"],
        row["site_title"],
        _names(row["viewpoint_names"]),
        _names(row["site_names"]),
        words_of(row["kinds"]),
        row["region"],
        row["trip_title"],
    ]


def _outcome(row: Row) -> str | None:
    return None if row["word"] is None else ": ".join(filter(None, (row["word"], words_of(row["reasons"]))))


def _shot_facts(row: Row) -> list[str]:
    return [
        *settings_facts(row),
        *tokens(about.OUTCOME, [row["word"] or "open"]),
        *tokens(about.REASON, listed(row["reasons"])),
        *tokens(about.TRIPOD_RULE, [row["tripod_rule"]]),
    ]


def _keeper_facts(row: Row) -> list[str]:
    has = ["caption"] if row["caption"] else []
    has += ["position"] if row["latitude_deg"] is not None else []
    return [
        *settings_facts(row),
        *tokens(about.SHARPNESS, [row["sharpness"]]),
        *tokens(about.HAS, has),
        *tokens(about.OUTCOME, [row["word"]]),
        *tokens(about.TRIPOD_RULE, [row["tripod_rule"]]),
    ]


def _condition_facts(row: Row) -> list[str]:
    kind = ConditionKind(row["condition_kind"])
    found = tokens(about.CONDITION, [kind.value])
    fact = about.LEVELS.get(kind)
    if fact is not None and row["level"] is not None:
        found += tokens(fact, [int(row["level"]) if fact.is_number else row["level"]])
    return found + (tokens(about.HAS, ["closure"]) if KINDS[kind].is_barrier else [])


def _condition_title(row: Row) -> str:
    kind, level = ConditionKind(row["condition_kind"]), row["level"]
    return KINDS[kind].titles.get(level) or " ".join(filter(None, (kind, level)))


NOUN_DOCUMENTS: Mapping[str, Noun] = {
    "trip": Noun("r.id AS trip_id, r.starts_on AS on_date"),
    "site": Noun("r.id AS site_id, r.kinds", first=("also_called",)),
    "viewpoint": Noun(
        "r.id AS viewpoint_id, r.tripod_rule, s.id AS site_id, s.title AS site_title,"
        " s.also_called AS site_names, s.kinds, s.region",
        first=("also_called",),
        facts=lambda row: tokens(about.TRIPOD_RULE, [row["tripod_rule"]]),
        joins="LEFT JOIN site s ON s.id = r.site_id",
        context=lambda row: [
            row["site_title"],
            _names(row["site_names"]),
            words_of(row["kinds"]),
            row["region"],
        ],
    ),
    "shot": Noun(
        "r.trip_id, r.on_date, r.window_from, r.window_to, r.exposure_s, r.f_number, r.iso, r.focal_mm,"
        f" r.filters, r.support, o.word, o.reasons, o.note AS outcome_note, {_TRIP}, {_DAY}, {_PLACE}",
        first=(
            "technique",
            "intent",
            settings_text,
            "priority",
            _outcome,
            lambda row: row["outcome_note"],
            "notes",
        ),
        elsewhere=("title", *_SETTINGS),
        facts=_shot_facts,
        joins=f"{_AT_VIEWPOINT} LEFT JOIN outcome o ON o.shot_id = r.id",
        context=_where,
        happened=True,
    ),
    "visit": Noun(
        "r.trip_id, r.on_date, r.arrived_at AS window_from, r.departed_at AS window_to, r.tries,"
        f" r.support, {_TRIP}, {_DAY}, {_PLACE}",
        title=lambda row: row["viewpoint_title"],
        facts=lambda row: [
            *tokens(about.SUPPORT, [row["support"]]),
            *tokens(about.TRIPOD_RULE, [row["tripod_rule"]]),
        ],
        joins=_AT_VIEWPOINT,
        context=_where,
        happened=True,
    ),
    "condition": Noun(
        "r.trip_id, r.on_date, r.at AS window_from, NULL AS window_to, r.kind AS condition_kind, r.level,"
        f" {_TRIP}, {_DAY}, {_PLACE}",
        title=_condition_title,
        first=("note", "direction", "source"),
        elsewhere=("kind", "level"),
        facts=_condition_facts,
        joins=_AT_PLACE,
        context=_where,
    ),
    "lesson": Noun(
        "r.trip_id, r.on_date, r.verb, p.title AS shot_title, p.technique AS shot_technique,"
        f" {_TRIP}, {_PLACE}",
        title=lambda _row: "",
        first=("text", "verb", "technique"),
        facts=lambda row: tokens(about.VERB, [row["verb"]]),
        joins=f"{_OF_TRIP} LEFT JOIN shot p ON p.id = r.shot_id"
        " LEFT JOIN viewpoint v ON v.id = coalesce(r.viewpoint_id, p.viewpoint_id)"
        " LEFT JOIN site s ON s.id = coalesce(v.site_id, r.site_id)",
        context=lambda row: [row["shot_title"], row["shot_technique"], *_where(row)],
    ),
    "day": Noun(
        f"r.trip_id, r.on_date, {_TRIP}",
        title=lambda row: str(row["on_date"]),
        elsewhere=("on_date",),
        joins=_OF_TRIP,
        context=lambda row: [row["trip_title"]],
    ),
    "keeper": Noun(
        "r.trip_id, r.caption, r.exposure_s, r.f_number, r.iso, r.focal_mm, r.filters, r.support,"
        f" {_JUDGED}, r.taken_local, r.taken_utc, r.zone, r.latitude_deg, r.longitude_deg,"
        f" p.title AS shot_title, p.technique, o.word, {_TRIP}, {_PLACE}",
        title=lambda row: row["r_caption"] or row["r_file"],
        first=(
            settings_text,
            "note",
            "alternative",
            "keywords",
            "label",
            "place",
            lambda row: row["sharpness"],
            "body",
            "lens",
            lambda row: row["r_file"] if row["r_caption"] else None,
        ),
        elsewhere=("caption", "file", "sharpness", *_SETTINGS),
        facts=_keeper_facts,
        joins=f"{_AT_VIEWPOINT} LEFT JOIN shot p ON p.id = r.shot_id LEFT JOIN outcome o ON o.shot_id = p.id",
        context=lambda row: [row["shot_title"], row["technique"], *_where(row)],
        happened=True,
    ),
    "kit": Noun(
        "(SELECT group_concat(why, ' ') FROM"
        " (SELECT why FROM packed WHERE item_id = r.id AND why IS NOT NULL ORDER BY id)) AS whys",
        first=("kind", "filter_name", "body", "notes", lambda row: row["whys"]),
        facts=lambda row: filter_facts([row["r_filter_name"]] if row["r_filter_name"] else []),
    ),
    "loose_line": Noun(
        f"r.trip_id, r.on_date, {_TRIP}",
        title=lambda _row: "",
        joins=_OF_TRIP,
        context=lambda row: [row["trip_title"]],
    ),
}


def documents(
    noun: str, rows: Sequence[Row], observed: moments.Observed, sets: Mapping[str, Sequence[str]]
) -> Iterator[Document]:
    """The documents of rows of one noun; `sets` are the kinds of set that keepers belong to, by id."""
    how, parts = NOUN_DOCUMENTS[noun], _parts(noun)
    for row in rows:
        on_date = moments.date_of(row)
        facts = [
            *tokens(about.NOUN, [noun]),
            *how.facts(row),
            *moments.date_facts(row, on_date),
            *moments.light_facts(row),
            *tokens(about.SUBJECT, listed(row.get("kinds"))),
            *tokens(about.TRIP, [row.get("trip_id")]),
            *tokens(about.SITE, [row.get("site_id")]),
            *(observed.facts(row, on_date) if how.happened else ()),
            *tokens(about.HAS, sets.get(row["id"], ())),
        ]
        yield Document(
            kind=noun,
            record_id=row["id"],
            title=how.title(row) or "",
            body="\n".join(filter(None, (*(said(row) for said in parts), *sets.get(row["id"], ())))),
            context="\n".join(part for part in how.context(row) if part),
            facts=" ".join(dict.fromkeys(facts)),
            trip_id=row.get("trip_id"),
            site_id=row.get("site_id"),
            viewpoint_id=row.get("viewpoint_id"),
            on_date=on_date,
        )
