"""Plan files: trips, places, shots and kit as TOML, whose keys are the nouns' own field names.

One surprising decision: what a key may hold is what the noun's field says of itself, so that a plan file can
say everything that a noun can, and nothing else.
"""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from logbook.domain import nouns
from logbook.domain.errors import InvalidValueError, UnreadableFileError
from logbook.domain.fields import facts_of
from logbook.domain.kinds import FILTERS, RATIONAL, Kind, ListOf, Stored
from logbook.domain.record import Record

PLANNED = ("kit", "site", "viewpoint", "trip", "shot", "packed")
NOUNS: Mapping[str, type[Record]] = {word: nouns.NOUNS[word] for word in PLANNED}


@dataclass(frozen=True, slots=True)
class PlanFile:
    """What a plan file holds: for each noun, the fields of its records, references by slug."""

    nouns: Mapping[str, tuple[Mapping[str, Any], ...]]


def read_plan(path: Path) -> PlanFile:
    """Read a plan file; raises UnreadableFileError or InvalidValueError with one sentence."""
    try:
        data = tomllib.loads(path.read_text(encoding="utf-8"))
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        raise UnreadableFileError(f"The plan {path} cannot be read ({error}).") from error
    nouns: dict[str, tuple[Mapping[str, Any], ...]] = {}
    for name, entries in data.items():
        if name not in NOUNS:
            raise InvalidValueError(f'{path}: "{name}" is no noun of a plan; it takes {", ".join(NOUNS)}.')
        listed = entries if isinstance(entries, list) else [entries]
        nouns[name] = tuple(_fields(NOUNS[name], entry, f"{path}, {name}") for entry in listed)
    return PlanFile(nouns)


def _fields(noun: type[Record], entry: Mapping[str, Any], where: str) -> dict[str, Any]:
    facts = facts_of(noun)
    result: dict[str, Any] = {}
    for name, value in entry.items():
        if f"{name}_id" in facts:
            result[name] = value
        elif name == "exposure" and "exposure_s" in facts:
            result["exposure_s"] = _value(RATIONAL, str(value), where)
        elif name in facts:
            result[name] = _value(facts[name].kind, value, f"{where}, {name}")
        else:
            raise InvalidValueError(f'{where}: there is no field "{name}".')
    return result


def _value(kind: Kind[Any], value: Any, where: str) -> Any:
    """Return a value: texts are read as everywhere, what TOML has values of its own for is taken."""
    if kind is FILTERS and isinstance(value, list):
        value = " + ".join(map(str, value)) or "none"
    elif isinstance(kind, ListOf) and isinstance(value, list):
        return tuple(_value(kind.item, one, where) for one in value)
    if isinstance(value, str):
        try:
            return kind.typed(value)
        except InvalidValueError as error:
            raise InvalidValueError(f"{where}: {error}") from None
    return float(value) if kind.stored is Stored.REAL and isinstance(value, int) else value
