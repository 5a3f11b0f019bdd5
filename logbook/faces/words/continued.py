"""Going back: what a new trip takes over from an earlier one, in words, and the command that plans it."""

from typing import TYPE_CHECKING

from logbook.domain.condition import Condition
from logbook.domain.said import counted, counted_names, field_words
from logbook.faces.words.phrases import clock, condition_text, short_date
from logbook.faces.words.prose import line

if TYPE_CHECKING:
    from logbook.services.plans.continuing import Continued


def return_command(trip: str) -> str:
    """Return the command that plans a trip for what an earlier one (a slug) left to get."""
    return f"logbook trip add TITLE --from DATE --plan-from {trip} --only to-get"


def continued_text(one: "Continued") -> str:
    """Return what came along, in a sentence or two."""
    from logbook.services.keepers.strangers import plans_outside

    if not one.shots and not one.packed:
        return f"There was nothing left to copy from {one.earlier.slug}."
    shots = counted_names(("shot", shot.slug) for shot in one.shots) or "no shot"
    if one.days:
        shots += f", {counted('day', abs(one.days))} {'later' if one.days > 0 else 'earlier'}"
    told = [f"From {one.earlier.slug}: {shots}; {counted('kit', one.packed)} on the packing list."]
    if one.taken_over:
        told.append(f"As before: {', '.join(map(field_words, one.taken_over))}.")
    return " ".join(filter(None, (*told, plans_outside(one.trip, (shot.on_date for shot in one.shots)))))


def seen_text(one: Condition) -> str:
    """Return what was observed: "closed: the ledge road, rockfall"."""
    said = condition_text(one.kind, one.level, line(one.direction) or None) if one.level else ""
    return ": ".join(filter(None, (said, line(one.note))))


def seen_when(one: Condition) -> str:
    """Return when, and by whom: "14 Oct 2031 16:10, the warden"."""
    at = f" {clock(one.at)}" if one.at else ""
    return f"{short_date(one.on_date)} {one.on_date.year}{at}, {line(one.source) or 'source not noted'}"
