"""How a page speaks of places: their names, and positions as exactly as they are shown.

One surprising decision: what is withheld is known by its type alone; a page has no more to go by.
"""

from collections.abc import Iterable

from logbook.domain.shown import Shown, Withheld
from logbook.domain.site import Site
from logbook.domain.viewpoint import Viewpoint
from logbook.faces.words.phrases import position_text
from logbook.faces.words.prose import line

WITHHELD = "Place withheld"


def place_name(account: Shown, viewpoint_id: str | None, site_id: str | None = None) -> str:
    """Return a place's name, the word for a withheld one, or nothing where no place is known."""
    place = account.place(viewpoint_id, site_id)
    if isinstance(place, Withheld):
        return WITHHELD
    site = account.sites.get(place.site_id) if isinstance(place, Viewpoint) else None
    return ", ".join(dict.fromkeys(line(one.title) for one in (place, site) if one))


def position_words(account: Shown, place: Site | Viewpoint) -> str:
    """Return a place's coordinates; "near" says that they are rounded.

    Why they are is said once for all of a page's places, by `rounding`.
    """
    if not (position := place.position):
        return ""
    if account.is_area(place):
        return f"near {position_text(position.latitude_deg, position.longitude_deg, 1)}"
    return position_text(position.latitude_deg, position.longitude_deg, 5)


def rounding(account: Shown, places: Iterable[Site | Viewpoint]) -> str:
    """Return the sentence that says why positions are only near, or nothing where none of them is."""
    rounded = any(place.position and account.is_area(place) for place in places)
    return "“Near” means a position rounded on purpose to a tenth of a degree." if rounded else ""
