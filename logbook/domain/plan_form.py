"""What a plan is written out as."""

from enum import StrEnum


class PlanForm(StrEnum):
    """A text that a phone can write, or a sheet of any office program; the words are those that one types."""

    MARKDOWN = "markdown"
    CSV = "csv"
