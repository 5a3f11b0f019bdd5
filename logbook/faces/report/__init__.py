"""Room `report`: one trip as a self-contained folder of pages, for a client, for students or for oneself."""

from logbook.faces.report.build import BuiltReport, MissingPicture, build_report

__all__ = ["BuiltReport", "MissingPicture", "build_report"]
