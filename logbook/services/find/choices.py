"""Where to look, and what a record has: the choices of a question's limits."""

from enum import StrEnum


class In(StrEnum):
    """Where to look."""

    TRIPS = "trips"
    SITES = "sites"
    VIEWPOINTS = "viewpoints"
    SHOTS = "shots"
    VISITS = "visits"
    CONDITIONS = "conditions"
    LESSONS = "lessons"
    DAYS = "days"
    KEEPERS = "keepers"
    KIT = "kit"
    NOTES = "notes"


class Has(StrEnum):
    """What a record has."""

    FILTERS = "filters"
    BRACKET = "bracket"
    PANORAMA = "panorama"
    BURST = "burst"
    PAIR = "pair"
    TRACK = "track"
    CLOSURE = "closure"
    CAPTION = "caption"
    POSITION = "position"
