"""A place that is not in the book yet: described in words, and what a wish comes to there."""

from logbook.services.described.place import Described, described
from logbook.services.described.wish import WishJudged, WishThere, judged_there

__all__ = ["Described", "WishJudged", "WishThere", "described", "judged_there"]
