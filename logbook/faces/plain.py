"""Records as plain data: the stable keys of `--json`, and the words of tables.

One surprising decision: references are given by slug, never by id alone, because scripts and people speak in
slugs; the id stays beside it for merging.
"""

from collections.abc import Mapping
from datetime import datetime, timedelta, tzinfo
from enum import StrEnum
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from logbook.craft.marks import written_exposure
from logbook.domain.fields import FieldFacts, facts_of
from logbook.domain.keeper import Keeper
from logbook.domain.kinds import RATIONAL, kind_of_value
from logbook.domain.record import Record
from logbook.domain.shot import Shot
from logbook.faces.sharpness_shown import measured_json
from logbook.faces.words.shots import attempts_text, feasibility_words

if TYPE_CHECKING:
    from logbook.craft.expected_light import ExpectedLight
    from logbook.craft.feasible import Feasibility
    from logbook.craft.met_light import Witnesses
    from logbook.craft.plan import Moment
    from logbook.domain.attempts import Attempt
    from logbook.domain.zones import TimeDoubt
    from logbook.services.plans.outcomes import ShotWithOutcome
    from logbook.services.plans.packing import PackedKit
    from logbook.services.records import Listing
    from logbook.sky.eclipses import Eclipse

BESIDE_THE_PLAN = {*facts_of(Record), "slug", "title", "trip_id", "viewpoint_id", "continues_id"}
KEEPER_NAMES = {
    "latitude_deg": "latitude",
    "longitude_deg": "longitude",
    "shot_id": "shot",
    "viewpoint_id": "viewpoint",
}
NOT_SAID_BY_ANYONE = {"id", "created", "updated", "provenance", "slug", "trip_id", "file", "path", "hash"}
NOT_SAID_BY_ANYONE |= {"also", "size_bytes", "format", "doubts", "clock_offset_s", "clock_evidence"}


def plain(value: Any) -> Any:
    """Return a value as an answer holds it: dates as ISO 8601, exact times as numbers, words as text."""
    if isinstance(value, Mapping):
        return {str(name): plain(item) for name, item in value.items()}
    if isinstance(value, tuple | list):
        return [plain(item) for item in value]
    if value is None or isinstance(value, bool | int | float):
        return value
    kind = kind_of_value(value)
    return str(value) if kind is None else kind.to_answer(value)


def field_json(record: Record, field: FieldFacts, names: Mapping[str, str]) -> Any:
    """Return a field of a record as an answer holds it, what it refers to by its slug."""
    value = getattr(record, field.name)
    if field.refers_to is not None:
        return names.get(value) if value else None
    return None if value is None else field.kind.to_answer(value)


def record_json(record: Record, names: Mapping[str, str]) -> dict[str, Any]:
    """Return all fields of a record, references by slug."""
    facts = facts_of(type(record)).values()
    result = {field.name.removesuffix("_id"): field_json(record, field, names) for field in facts}
    return dict(sorted(result.items(), key=lambda item: item[0] not in ("slug", "title")))


def shot_json(one: "ShotWithOutcome", names: Mapping[str, str]) -> dict[str, Any]:
    """Return a shot: its plan as `planned`, its outcome beside it."""
    shot = one.shot
    planned: dict[str, Any] = {}
    for name, field in facts_of(Shot).items():
        if name in BESIDE_THE_PLAN:
            continue
        planned[name.removesuffix("_id")] = field_json(shot, field, names)
        if field.kind is RATIONAL:
            planned["exposure"] = None if shot.exposure_s is None else written_exposure(shot.exposure_s)
    outcome = one.outcome
    return {
        "slug": shot.slug,
        "title": shot.title,
        "trip": names.get(shot.trip_id),
        "viewpoint": names.get(shot.viewpoint_id or ""),
        "continues": names.get(shot.continues_id or ""),
        "planned": planned,
        "outcome": str(outcome.word) if outcome else "open",
        "reasons": [str(reason) for reason in outcome.reasons] if outcome else [],
        "replaced_by": one.replaced_by,
        "note": outcome.note if outcome else None,
        "history": attempts_text(one.attempts) or None,
        "attempts": [attempt_json(attempt) for attempt in one.attempts],
        "feasibility": one.feasibility
        and feasibility_json(one.feasibility) | {"words": feasibility_words(one.feasibility)},
        "id": shot.id,
        "created": plain(shot.created),
        "updated": plain(max(shot.updated, outcome.updated) if outcome else shot.updated),
    }


def attempt_json(one: "Attempt") -> dict[str, Any]:
    """Return one of several tries at a picture."""
    return {
        "shot": one.shot.slug,
        "trip": one.trip,
        "on_date": plain(one.shot.on_date),
        "outcome": str(one.word),
        "reasons": plain(one.outcome.reasons if one.outcome else ()),
    }


def feasibility_json(judged: "Feasibility") -> dict[str, object]:
    """A verdict as JSON holds it."""
    return {
        "verdict": str(judged.verdict),
        "off_stops": judged.off_stops,
        "reason": judged.reason,
    } | ({} if judged.moment is None else expected_json(judged.moment, judged.moment.witnesses))


def local_iso(at: datetime, zone: tzinfo) -> str:
    """Local time to the second, with its offset from UTC."""
    return (at + timedelta(milliseconds=500)).astimezone(zone).isoformat(timespec="seconds")


def eclipse_json(eclipse: "Eclipse", zone: tzinfo) -> dict[str, Any]:
    """An eclipse as JSON holds it, by the clock of a zone."""
    return {
        "of": str(eclipse.body),
        "kind": str(eclipse.kind),
        "begins": local_iso(eclipse.begins, zone),
        "greatest": local_iso(eclipse.greatest, zone),
        "ends": local_iso(eclipse.ends, zone),
        "covered": eclipse.covered,
        "central_from": eclipse.central_from and local_iso(eclipse.central_from, zone),
        "central_to": eclipse.central_to and local_iso(eclipse.central_to, zone),
        "rises": eclipse.rises,
        "sets": eclipse.sets,
    }


def expected_json(light: "Moment | ExpectedLight", witnesses: "Witnesses | None") -> dict[str, object]:
    """The light to expect as JSON holds it, and what pictures of the place met."""
    return {
        "expected_ev100": light.scene_ev100,
        "expected_ev100_low": light.low_ev100,
        "expected_ev100_high": light.high_ev100,
        "met": None
        if witnesses is None
        else {
            "keepers": witnesses.count,
            "low_ev100": witnesses.low_ev100,
            "high_ev100": witnesses.high_ev100,
        },
    }


def kit_json(one: "PackedKit", names: Mapping[str, str]) -> dict[str, Any]:
    """Return a piece of kit with what was decided about it, by trip."""
    decisions = {
        trip: {"state": str(packed.packing), "why": packed.why, "used": packed.used}
        for trip, packed in one.packed.items()
    }
    return record_json(one.item, names) | {"trips": decisions}


def keeper_json(keeper: Keeper, listing: "Listing") -> dict[str, Any]:
    """Return a keeper: unknown values are null, and `provenance` tells where each known one came from."""
    result: dict[str, Any] = {}
    provenance: dict[str, str] = {}
    for name, field in facts_of(Keeper).items():
        if name in ("provenance", "trip_id", "left_trip_ids"):
            continue
        value = getattr(keeper, name)
        shown = KEEPER_NAMES.get(name, name)
        result[shown] = field_json(keeper, field, listing.names)
        word = keeper.provenance_of(name)
        if name in ("keywords", "hidden_from") and not value:
            word = None  # there are none, which nobody stated
        if word is not None and name not in NOT_SAID_BY_ANYONE:
            provenance[shown] = str(word)
        if name == "exposure_s":
            result["exposure"] = None if value is None else written_exposure(value)
        if name == "taken_local":
            result["place_time"] = None if keeper.is_by_camera else plain(keeper.place_time)
            result["camera_time"] = plain(keeper.camera_time)
    if result["place_time"] and "taken_utc" in provenance:
        provenance["place_time"] = provenance["taken_utc"]
        if keeper.place_time != keeper.camera_time and "zone" in provenance:  # the camera showed another time
            provenance["place_time"] = provenance["zone"]
    flag = listing.light_doubts.get(keeper.id)
    result["light_doubt"] = flag and {
        "words": str(flag.kind),
        "by_stops": round(flag.by_stops, 1),
        "reason": flag.reason,
    }
    result["time_doubt"] = _time_doubt(listing.time_doubts.get(keeper.id))
    result["measured"] = measured_json(listing.measured.get(keeper.id))
    result["also"] = [{"path": one.path, "hash": one.hash} for one in keeper.companions]
    result["trip"] = listing.names.get(keeper.trip_id)
    result["site"] = listing.sites.get(keeper.viewpoint_id or "")
    if result["site"]:
        provenance["site"] = provenance["viewpoint"]
    if result["exposure"]:
        provenance["exposure"] = provenance["exposure_s"]
    return result | {"provenance": provenance}


def _time_doubt(doubt: "TimeDoubt | None") -> dict[str, Any] | None:
    if doubt is None:
        return None
    return {
        "words": doubt.words,
        "reading": plain(doubt.reading),
        "zone": doubt.zone,
        "instants": plain(doubt.instants),
        "taken": doubt.taken,
        "reason": doubt.reason,
    }


def words(value: Any) -> str:
    """Return a value as a table shows it: an unknown one as nothing, none as `none`."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Fraction):
        return written_exposure(value)
    if isinstance(value, float):
        return f"{value:.6f}".rstrip("0").rstrip(".")
    if isinstance(value, tuple | list):
        return " + ".join(str(item) for item in value) or "none"
    if isinstance(value, StrEnum | str):
        return str(value)
    return str(plain(value))


def marked(row: Mapping[str, Any], name: str) -> str:
    """Return a value as a table shows it, with the word for where it came from unless a person stated it."""
    value = row[name]
    if value is None:
        return "unknown"
    word = row["provenance"].get(name, "stated")
    return words(value) if word == "stated" else f"{words(value)} ({word})"
