"""What others may be told: which places and positions are shown, and what is struck from free text.

One surprising decision: striking is generous. A harmless word that is struck now and then can be let stand;
a secret that was published cannot be called back.
"""

from logbook.domain.discretion.audience import (
    NAME_STRUCK,
    PERSON_STRUCK,
    POSITION_STRUCK,
    Discretion,
)
from logbook.domain.discretion.struck import Struck, struck_from

__all__ = [
    "NAME_STRUCK",
    "PERSON_STRUCK",
    "POSITION_STRUCK",
    "Discretion",
    "Struck",
    "struck_from",
]
