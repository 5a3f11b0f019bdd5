"""The open formats in which trips, plans and the whole book leave it."""

from enum import StrEnum


class ExportFormat(StrEnum):
    """What a trip can be written as; the words are those that a person types."""

    JSON = "json"
    CSV = "csv"
    GPX = "gpx"
    GEOJSON = "geojson"
    KML = "kml"
    ICS = "ics"
    MARKDOWN = "markdown"

    @property
    def suffix(self) -> str:
        """The end of a file's name."""
        return "md" if self is ExportFormat.MARKDOWN else str(self)


class PlanForm(StrEnum):
    """A text that a phone can write, or a sheet of any office program; the words are those that one types."""

    MARKDOWN = "markdown"
    CSV = "csv"
