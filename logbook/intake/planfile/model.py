"""What a plan file says, as frozen values: its shots, its headings, and the lines to sort out."""

from dataclasses import dataclass

from logbook.domain.written.plans import PlannedWords
from logbook.intake.dayfile.model import UnreadLine


@dataclass(frozen=True, slots=True)
class PlanHeading:
    """A heading that names the viewpoint of the shots below it, as typed."""

    line: int
    text: str
    viewpoint: str


@dataclass(frozen=True, slots=True)
class PlanText:
    """The text of a plan file before it is read; `trip` as it names it, None where it does not."""

    text: str
    is_sheet: bool
    trip: str | None
    remarks: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class PlanFile:
    """A plan; `remarks` are sentences about the file as a whole."""

    shots: tuple[PlannedWords, ...]
    headings: tuple[PlanHeading, ...] = ()
    loose: tuple[UnreadLine, ...] = ()
    remarks: tuple[str, ...] = ()
