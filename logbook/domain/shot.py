"""A shot: a picture that was planned, and the outcome that stands beside the plan.

One surprising decision: the outcome is a record of its own, so that writing down what happened cannot touch
what was planned, and a substitute picture never counts as the planned shot achieved.
"""

from dataclasses import dataclass
from datetime import date, time
from fractions import Fraction
from typing import Annotated

from logbook.domain.checks import check_range, check_text, check_title
from logbook.domain.errors import InvalidValueError
from logbook.domain.fields import (
    SEARCHED,
    SHOWN,
    SHOWN_TO_STUDENTS,
    STRUCK,
    STRUCK_FOR_STUDENTS,
    UNIQUE,
    Refers,
)
from logbook.domain.kinds import APERTURE, FILTERS, FOCAL, ISO, SLUG
from logbook.domain.record import Record
from logbook.domain.words import OutcomeWord, Priority, Reason, Support

WINDOW = ("window_from", "window_to")  # the fields of a shot that say when on its day
LONGEST_EXPOSURE_S = 86_400  # s; one day, beyond which a number is a slip


@dataclass(frozen=True, slots=True, kw_only=True)
class Shot(Record):
    """The plan of one picture; `filters` None is unknown, an empty tuple is none."""

    slug: Annotated[str, SLUG, UNIQUE, SHOWN]
    title: Annotated[str, SEARCHED, STRUCK]
    trip_id: Annotated[str, Refers("trip"), SHOWN]
    viewpoint_id: Annotated[str | None, Refers("viewpoint"), SHOWN] = None
    intent: Annotated[str | None, SEARCHED, STRUCK_FOR_STUDENTS] = None
    on_date: Annotated[date | None, SHOWN] = None
    window_from: Annotated[time | None, SHOWN] = None
    window_to: Annotated[time | None, SHOWN] = None
    technique: Annotated[str | None, SEARCHED, STRUCK_FOR_STUDENTS] = None
    focal_mm: Annotated[float | None, FOCAL, SEARCHED, SHOWN] = None
    f_number: Annotated[float | None, APERTURE, SEARCHED, SHOWN_TO_STUDENTS] = None
    exposure_s: Annotated[Fraction | None, SEARCHED, SHOWN_TO_STUDENTS] = None
    iso: Annotated[int | None, ISO, SEARCHED, SHOWN_TO_STUDENTS] = None
    filters: Annotated[tuple[str, ...] | None, FILTERS, SEARCHED, STRUCK_FOR_STUDENTS] = None
    support: Annotated[Support | None, SEARCHED, SHOWN_TO_STUDENTS] = None
    priority: Annotated[Priority, SEARCHED, SHOWN] = Priority.WANTED
    fallback_for_id: Annotated[str | None, Refers("shot"), SHOWN_TO_STUDENTS] = None
    continues_id: Annotated[str | None, Refers("shot")] = None  # the shot of an earlier trip it comes from
    notes: Annotated[str | None, SEARCHED] = None

    def __post_init__(self) -> None:
        check_title(self.title, "shot")
        for name in ("intent", "technique", "notes"):
            check_text(getattr(self, name), name)
        check_settings(self.focal_mm, self.f_number, self.exposure_s, self.iso)
        if self.fallback_for_id == self.id:
            raise InvalidValueError("A shot cannot be its own fallback; name another shot.")
        if self.continues_id == self.id:
            raise InvalidValueError("A shot cannot continue itself; name a shot of an earlier trip.")


def check_settings(
    focal_mm: float | None, f_number: float | None, exposure_s: Fraction | None, iso: int | None
) -> None:
    """Refuse settings that no camera has; InvalidValueError says which."""
    check_range(focal_mm, "focal length", 1, 5000, " mm")
    check_range(f_number, "aperture f/", 0.5, 128)
    check_range(iso, "ISO", 1, 10_000_000)
    if exposure_s is not None and not 0 < exposure_s <= LONGEST_EXPOSURE_S:
        raise InvalidValueError(
            "A shutter speed must be above 0 and at most 24 hours; write one such as 1/125 s or 2 min."
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome(Record):
    """What became of a shot, with reasons, and what was made in its place."""

    shot_id: Annotated[str, Refers("shot"), UNIQUE, SHOWN]
    word: Annotated[OutcomeWord, SEARCHED, SHOWN]
    reasons: Annotated[tuple[Reason, ...], SEARCHED, SHOWN] = ()
    note: Annotated[str | None, SEARCHED, STRUCK] = None
    replaced_by_shot_id: Annotated[str | None, Refers("shot"), SHOWN] = None
    replaced_by_keeper_id: Annotated[str | None, Refers("keeper"), SHOWN] = None

    @property
    def is_stated(self) -> bool:
        """Whether a person said so; that a picture fits a plan says no more than that it may serve it."""
        return "word" not in self.provenance

    def __post_init__(self) -> None:
        check_text(self.note, "outcome note")
        replaced = self.replaced_by_shot_id or self.replaced_by_keeper_id
        if replaced and self.word is not OutcomeWord.REPLACED:
            raise InvalidValueError(
                f'Only the outcome "replaced" names what replaced the shot; this outcome is "{self.word}".'
            )
        if self.replaced_by_shot_id == self.shot_id:
            raise InvalidValueError("A shot cannot be replaced by itself; name another shot or a keeper.")
