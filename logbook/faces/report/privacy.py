"""The words with which pages speak of places that may not, or not exactly, be shown.

One surprising decision: what may be shown at all is decided in `domain.discretion`, for pages and exports
alike; here it only gets its words.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from markupsafe import Markup

from logbook.domain.discretion import NAME_STRUCK, PERSON_STRUCK, POSITION_STRUCK, Discretion
from logbook.domain.site import Site
from logbook.domain.viewpoint import Viewpoint
from logbook.domain.words import Disclosure
from logbook.faces.words import prose
from logbook.faces.words.phrases import position_text

__all__ = ["NAME_STRUCK", "PERSON_STRUCK", "POSITION_STRUCK", "WITHHELD", "PageDiscretion"]

WITHHELD = "Place withheld"


@dataclass(frozen=True, slots=True)
class PageDiscretion(Discretion):
    """What one audience may know about the places of one account, in words."""

    def place(self, viewpoint_id: str | None, site_id: str | None = None) -> str:
        """Return a place's name, the word for a withheld one, or nothing where no place is known."""
        if self.hides(viewpoint_id, site_id):
            return WITHHELD
        viewpoint = self.viewpoint(viewpoint_id)
        site = self.site(viewpoint.site_id if viewpoint else site_id)
        titles = [self.line(place.title) for place in (viewpoint, site) if place]
        return ", ".join(dict.fromkeys(titles))

    def position(self, place: Site | Viewpoint) -> str:
        """Return a place's coordinates as far as they may be shown; "near" says that they are rounded.

        Why they are is said once for all of a page's places, by `rounding`.
        """
        shown = self.shown(place)
        if shown is Disclosure.WITHHELD or not (position := place.position):
            return ""
        if shown is Disclosure.AREA:
            near = position_text(position.latitude_deg, position.longitude_deg, 1)
            return f"near {near}"
        return position_text(position.latitude_deg, position.longitude_deg, 5)

    def rounding(self, places: Iterable[Site | Viewpoint]) -> str:
        """Return the sentence that says why positions are only near, or nothing where none of them is."""
        rounded = any(place.position and self.shown(place) is Disclosure.AREA for place in places)
        return "What is “near” a position is rounded to a tenth of a degree on purpose." if rounded else ""

    def line(self, text: str | None) -> str:
        """Return free text as one plain line, scrubbed."""
        return prose.line(self.scrub(prose.plain(text)))

    def prose(self, text: str | None) -> Markup | None:
        """Return free Markdown text as cleaned HTML, scrubbed."""
        return prose.prose(self.scrub(prose.plain(text)))
