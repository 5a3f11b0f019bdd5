"""Comparable sites: which are alike, in what, and what worked and failed there.

One surprising decision: what is unknown of a site is left out of the comparison instead of counting for or
against, and with too little known of both there is no figure at all.
"""

from logbook.domain.site_traits import PartOfDay, means_of
from logbook.services.alike.found import (
    ALIKE_ENOUGH,
    SHOWN,
    Alike,
    AlikeSite,
    SiteTraits,
    TraitValue,
    alike,
    alike_in,
    those_like,
)
from logbook.services.alike.happened import Happened, PastLesson, PastShot, happened_at

__all__ = [
    "ALIKE_ENOUGH",
    "SHOWN",
    "Alike",
    "AlikeSite",
    "Happened",
    "PartOfDay",
    "PastLesson",
    "PastShot",
    "SiteTraits",
    "TraitValue",
    "alike",
    "alike_in",
    "happened_at",
    "means_of",
    "those_like",
]
