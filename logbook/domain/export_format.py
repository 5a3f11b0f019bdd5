"""The open formats that leave the book."""

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
