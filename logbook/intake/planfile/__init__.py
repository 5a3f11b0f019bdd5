"""Plan files: the shots of a trip as a text that a phone can write or as a sheet of any office program.

One surprising decision: both are read into the same values, and a shot of which one word is not understood
waits whole in the list to sort out: half a plan looks like a plan. A file is a sheet where its first filled
line is a row of headings, whatever its suffix; phones and mail programs rename files.
"""

from pathlib import Path

from logbook.domain.written.plan_tokens import Around
from logbook.intake.planfile.markdown import plan_in, trip_in
from logbook.intake.planfile.model import PlanFile, PlanHeading, PlanText
from logbook.intake.planfile.sheets import is_sheet, plan_in_sheet
from logbook.intake.written_files import GUESSED, text_in

SHEET_SUFFIXES = frozenset((".csv", ".tsv", ".tab"))


def open_plan(path: Path) -> PlanText:
    """Return the text of a plan file; UnreadableFileError if it is not text or exceeds 2 MB."""
    text, is_guessed = text_in(path, "plan")
    sheet = path.suffix.lower() in SHEET_SUFFIXES or is_sheet(text)
    remarks = (f"{GUESSED[0].upper()}{GUESSED[1:]}.",) if is_guessed else ()
    return PlanText(text, sheet, None if sheet else trip_in(text), remarks)


def read_plan(plan: PlanText, around: Around) -> PlanFile:
    """Return what a plan says; dates without a year are of the trip's.

    Raises UnreadableFileError for a sheet without a row of headings.
    """
    read = plan_in_sheet(plan.text, around) if plan.is_sheet else plan_in(plan.text, around)
    return PlanFile(read.shots, read.headings, read.loose, (*plan.remarks, *read.remarks))


__all__ = ["PlanFile", "PlanHeading", "PlanText", "open_plan", "read_plan"]
