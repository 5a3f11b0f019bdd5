"""Room `whole`: all trips of a book as one folder of pages that can be searched from disk.

One surprising decision: it exists for the photographer alone; there is no whole book for others, because what
may be shown of a place is decided trip by trip.
"""

from logbook.faces.report.whole.build import BuiltWhole, build_whole

__all__ = ["BuiltWhole", "build_whole"]
