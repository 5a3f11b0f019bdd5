"""What can be found of each noun: one document a record, made of a title, a body, a context and facts.

One surprising decision: a document also says what was there when (the nearest crowd, water and wind noted
that day, the light of the moment), because a person asks for pictures by what they were up against.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from logbook.store.text_index import moments
from logbook.store.text_index.facts import FactKind, tokens
from logbook.store.text_index.settings_words import (
    filter_facts,
    listed,
    settings_facts,
    settings_text,
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


@dataclass(frozen=True, slots=True)
class Noun:
    """How the documents of one noun are read: its SQL, and what is made of a row."""

    columns: str
    title: Callable[[Row], str]
    body: Callable[[Row], Sequence[str | None]]
    facts: Callable[[Row], list[str]] = lambda _row: []
    joins: str = ""
    context: Callable[[Row], Sequence[str | None]] = lambda _row: ()
    happened: bool = False  # a shot, visit or keeper: carries what was observed there that day


_TRIP = "t.title AS trip_title, t.zone AS trip_zone, t.day_ends_at"
_PLACE = (
    "v.id AS viewpoint_id, v.title AS viewpoint_title, v.tripod_rule, s.id AS site_id, s.title AS site_title,"
    " v.also_called AS viewpoint_names, s.also_called AS site_names, s.kinds, s.region, s.zone AS site_zone,"
    " coalesce(v.latitude_deg, s.latitude_deg) AS place_latitude,"
    " coalesce(v.longitude_deg, s.longitude_deg) AS place_longitude"
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


def _shot_body(row: Row) -> list[str | None]:
    outcome = (
        None if row["word"] is None else ": ".join(filter(None, (row["word"], words_of(row["reasons"]))))
    )
    return [
        row["technique"],
        row["intent"],
        settings_text(row),
        row["priority"],
        outcome,
        row["outcome_note"],
        row["notes"],
    ]


def _shot_facts(row: Row) -> list[str]:
    return [
        *settings_facts(row),
        *tokens(FactKind.OUTCOME, [row["word"] or "open"]),
        *tokens(FactKind.REASON, listed(row["reasons"])),
        *tokens(FactKind.TRIPOD_RULE, [row["tripod_rule"]]),
    ]


def _keeper_facts(row: Row) -> list[str]:
    has = ["caption"] if row["caption"] else []
    has += ["position"] if row["latitude_deg"] is not None else []
    return [
        *settings_facts(row),
        *tokens(FactKind.SHARPNESS, [row["sharpness"]]),
        *tokens(FactKind.HAS, has),
        *tokens(FactKind.OUTCOME, [row["word"]]),
        *tokens(FactKind.TRIPOD_RULE, [row["tripod_rule"]]),
    ]


def _condition_facts(row: Row) -> list[str]:
    levels = {
        "crowd": FactKind.CROWD,
        "water": FactKind.WATER,
        "wind": FactKind.WIND,
        "rule": FactKind.TRIPOD_RULE,
    }
    found = tokens(FactKind.CONDITION, [row["condition_kind"]])
    kind = levels.get(row["condition_kind"])
    if kind is not None and row["level"] is not None:
        found += tokens(kind, [int(row["level"]) if kind is FactKind.WIND else row["level"]])
    return found + (tokens(FactKind.HAS, ["closure"]) if row["condition_kind"] == "closure" else [])


def _condition_title(row: Row) -> str:
    if row["condition_kind"] == "crowd" and row["level"] == "none":
        return "nobody there"  # whoever asks for crowds does not ask for this
    level = f"force {row['level']}" if row["condition_kind"] == "wind" and row["level"] else row["level"]
    return " ".join(filter(None, (row["condition_kind"], level)))


NOUN_DOCUMENTS: Mapping[str, Noun] = {
    "trip": Noun(
        "r.id AS trip_id, r.title, r.purpose, r.client, r.brief, r.summary, r.next_visit,"
        " r.starts_on AS on_date",
        lambda row: row["title"],
        lambda row: [row[name] for name in ("purpose", "client", "brief", "summary", "next_visit")],
    ),
    "site": Noun(
        "r.id AS site_id, r.title, r.also_called, r.kinds, r.region, r.footing, r.access, r.hazards, r.notes",
        lambda row: row["title"],
        lambda row: [
            _names(row["also_called"]),
            words_of(row["kinds"]),
            *(row[n] for n in ("region", "footing", "access", "hazards", "notes")),
        ],
    ),
    "viewpoint": Noun(
        "r.id AS viewpoint_id, r.title, r.also_called, r.looks_at, r.tripod_rule, r.footing, r.access,"
        " r.hazards, r.notes, s.id AS site_id, s.title AS site_title, s.also_called AS site_names, s.kinds,"
        " s.region",
        lambda row: row["title"],
        lambda row: [
            _names(row["also_called"]),
            row["looks_at"],
            None if row["tripod_rule"] == "unknown" else f"tripod {row['tripod_rule']}",
            *(row[name] for name in ("footing", "access", "hazards", "notes")),
        ],
        lambda row: tokens(FactKind.TRIPOD_RULE, [row["tripod_rule"]]),
        "LEFT JOIN site s ON s.id = r.site_id",
        lambda row: [row["site_title"], _names(row["site_names"]), words_of(row["kinds"]), row["region"]],
    ),
    "shot": Noun(
        "r.trip_id, r.title, r.intent, r.technique, r.notes, r.priority, r.on_date, r.window_from,"
        " r.window_to, r.exposure_s, r.f_number, r.iso, r.focal_mm, r.filters, r.support,"
        f" o.word, o.reasons, o.note AS outcome_note, {_TRIP}, {_PLACE}",
        lambda row: row["title"],
        _shot_body,
        _shot_facts,
        f"{_AT_VIEWPOINT} LEFT JOIN outcome o ON o.shot_id = r.id",
        _where,
        happened=True,
    ),
    "visit": Noun(
        "r.trip_id, r.on_date, r.arrived_at AS window_from, r.departed_at AS window_to, r.purpose, r.tries,"
        f" r.support, r.journal, {_TRIP}, {_PLACE}",
        lambda row: row["viewpoint_title"],
        lambda row: [
            row["purpose"],
            None if row["tries"] is None else f"{row['tries']} tries",
            row["support"],
            row["journal"],
        ],
        lambda row: [
            *tokens(FactKind.SUPPORT, [row["support"]]),
            *tokens(FactKind.TRIPOD_RULE, [row["tripod_rule"]]),
        ],
        _AT_VIEWPOINT,
        _where,
        happened=True,
    ),
    "condition": Noun(
        "r.trip_id, r.on_date, r.at AS window_from, NULL AS window_to, r.kind AS condition_kind, r.level,"
        f" r.direction, r.note, r.source, {_TRIP}, {_PLACE}",
        _condition_title,
        lambda row: [row["note"], row["direction"], row["source"]],
        _condition_facts,
        _AT_PLACE,
        _where,
    ),
    "lesson": Noun(
        "r.trip_id, r.on_date, r.verb, r.text, r.technique, p.title AS shot_title,"
        f" p.technique AS shot_technique, {_TRIP}, {_PLACE}",
        lambda _row: "",
        lambda row: [row["text"], row["verb"], row["technique"]],
        lambda row: tokens(FactKind.VERB, [row["verb"]]),
        f"{_OF_TRIP} LEFT JOIN shot p ON p.id = r.shot_id"
        " LEFT JOIN viewpoint v ON v.id = coalesce(r.viewpoint_id, p.viewpoint_id)"
        " LEFT JOIN site s ON s.id = coalesce(v.site_id, r.site_id)",
        lambda row: [row["shot_title"], row["shot_technique"], *_where(row)],
    ),
    "day": Noun(
        f"r.trip_id, r.on_date, r.journal, {_TRIP}",
        lambda row: str(row["on_date"]),
        lambda row: [row["journal"]],
        joins=_OF_TRIP,
        context=lambda row: [row["trip_title"]],
    ),
    "keeper": Noun(
        "r.trip_id, r.file, r.caption, r.alternative, r.note, r.body, r.lens, r.exposure_s, r.f_number,"
        f" r.iso, r.focal_mm, r.filters, r.support, {_JUDGED}, r.taken_local, r.taken_utc, r.zone,"
        " r.latitude_deg,"
        " r.longitude_deg, r.keywords, r.label, r.place, p.title AS shot_title, p.technique, o.word,"
        f" {_TRIP}, {_PLACE}",
        lambda row: row["caption"] or row["file"],
        lambda row: [
            settings_text(row),
            row["note"],
            row["alternative"],
            words_of(row["keywords"]),
            row["label"],
            row["place"],
            row["sharpness"],
            row["body"],
            row["lens"],
            row["file"] if row["caption"] else None,
        ],
        _keeper_facts,
        f"{_AT_VIEWPOINT} LEFT JOIN shot p ON p.id = r.shot_id LEFT JOIN outcome o ON o.shot_id = p.id",
        lambda row: [row["shot_title"], row["technique"], *_where(row)],
        happened=True,
    ),
    "kit": Noun(
        "r.title, r.kind AS kit_kind, r.filter_name, r.body, r.notes, (SELECT group_concat(why, ' ') FROM"
        " (SELECT why FROM packed WHERE item_id = r.id AND why IS NOT NULL ORDER BY id)) AS whys",
        lambda row: row["title"],
        lambda row: [row[name] for name in ("kit_kind", "filter_name", "body", "notes", "whys")],
        lambda row: filter_facts([row["filter_name"]] if row["filter_name"] else []),
    ),
    "loose_line": Noun(
        f"r.trip_id, r.on_date, r.text, r.why, {_TRIP}",
        lambda _row: "",
        lambda row: [row["text"]],
        joins=_OF_TRIP,
        context=lambda row: [row["trip_title"]],
    ),
}


def documents(
    noun: str, rows: Sequence[Row], observed: moments.Observed, sets: Mapping[str, Sequence[str]]
) -> Iterator[Document]:
    """The documents of rows of one noun; `sets` are the kinds of set that keepers belong to, by id."""
    how = NOUN_DOCUMENTS[noun]
    for row in rows:
        on_date = moments.date_of(row)
        facts = [
            *tokens(FactKind.NOUN, [noun]),
            *how.facts(row),
            *moments.date_facts(row, on_date),
            *moments.light_facts(row),
            *tokens(FactKind.SUBJECT, listed(row.get("kinds"))),
            *tokens(FactKind.TRIP, [row.get("trip_id")]),
            *tokens(FactKind.SITE, [row.get("site_id")]),
            *(observed.facts(row, on_date) if how.happened else ()),
            *tokens(FactKind.HAS, sets.get(row["id"], ())),
        ]
        yield Document(
            kind=noun,
            record_id=row["id"],
            title=how.title(row) or "",
            body="\n".join(part for part in (*how.body(row), *sets.get(row["id"], ())) if part),
            context="\n".join(part for part in how.context(row) if part),
            facts=" ".join(dict.fromkeys(facts)),
            trip_id=row.get("trip_id"),
            site_id=row.get("site_id"),
            viewpoint_id=row.get("viewpoint_id"),
            on_date=on_date,
        )
