"""Before going back: everything the book knows that helps to do better at a place than last time.

One surprising decision: everything observed is given with its date and is nothing more than that; the brief
never says how a place is today.
"""

from logbook.services.before.brief import Before, StillWanted, before
from logbook.services.before.lighting import USUAL_ISO, Fall, Hour, ViewLight, Wish

__all__ = ["USUAL_ISO", "Before", "Fall", "Hour", "StillWanted", "ViewLight", "Wish", "before"]
