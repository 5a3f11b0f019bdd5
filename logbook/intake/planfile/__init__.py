"""Plan files: the shots of a trip as a text that a phone can write or as a sheet of any office program.

One surprising decision: both are read into the same values, and a shot of which one word is not understood
waits whole in the list to sort out: half a plan looks like a plan.
"""

from logbook.intake.planfile.model import PlanFile, PlanHeading, PlanText
from logbook.intake.planfile.reading import open_plan, read_plan

__all__ = ["PlanFile", "PlanHeading", "PlanText", "open_plan", "read_plan"]
