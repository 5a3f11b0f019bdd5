"""Plan files: trips, places, shots and kit as TOML, whose keys are the nouns' own field names.

One surprising decision: what a key may hold is read from the noun's own type annotations, so that a plan file
can say everything that a noun can, and nothing else.
"""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, time
from enum import StrEnum
from pathlib import Path
from types import UnionType
from typing import Any, get_args, get_type_hints

from logbook.craft.errors import CraftValueError
from logbook.craft.marks import parse_exposure
from logbook.domain.errors import InvalidValueError, UnreadableFileError
from logbook.domain.kit import KitItem, PackedItem
from logbook.domain.record import Record
from logbook.domain.shot import Shot
from logbook.domain.site import Site
from logbook.domain.trip import Trip
from logbook.domain.viewpoint import Viewpoint
from logbook.domain.written.choices import support_written
from logbook.domain.written.filters import filter_written, stack_written
from logbook.domain.written.moments import date_written, time_written

NOUNS: Mapping[str, type[Record]] = {
    "kit": KitItem,
    "site": Site,
    "viewpoint": Viewpoint,
    "trip": Trip,
    "shot": Shot,
    "packed": PackedItem,
}
REFERENCES = ("trip", "site", "viewpoint", "fallback_for", "item")


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
    hints = get_type_hints(noun)
    result: dict[str, Any] = {}
    for name, value in entry.items():
        if name in REFERENCES:
            result[name] = value
        elif name == "exposure":
            try:
                result["exposure_s"] = parse_exposure(str(value))
            except CraftValueError as error:
                raise InvalidValueError(f"{where}: {error}") from None
        elif name in ("filters", "filter_name", "support") and isinstance(value, str | list):
            result[name] = _written(name, value, f"{where}, {name}")
        elif name in hints:
            result[name] = _value(hints[name], value, f"{where}, {name}")
        else:
            raise InvalidValueError(f'{where}: there is no field "{name}".')
    return result


def _written(name: str, value: str | list[Any], where: str) -> Any:
    """What a person may write for filters and supports, read as everywhere."""
    try:
        if name == "filters":
            return stack_written(value if isinstance(value, str) else " + ".join(map(str, value)) or "none")
        return (support_written if name == "support" else filter_written)(str(value))
    except InvalidValueError as error:
        raise InvalidValueError(f"{where}: {error}") from None


def _value(hint: Any, value: Any, where: str) -> Any:
    kinds = get_args(hint) if isinstance(hint, UnionType) else (hint,)
    if isinstance(value, str) and time in kinds:
        return time_written(value)
    if isinstance(value, str) and date in kinds:
        return date_written(value) or value
    for kind in kinds:
        if isinstance(value, list) and getattr(kind, "__origin__", None) is tuple:
            return tuple(_value(get_args(kind)[0], item, where) for item in value)
        if isinstance(kind, type) and issubclass(kind, StrEnum):
            try:
                return kind(value)
            except ValueError:
                raise InvalidValueError(f'{where}: "{value}" is none of {", ".join(kind)}.') from None
    return float(value) if float in kinds and isinstance(value, int) else value
