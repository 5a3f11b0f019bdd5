"""What others may be told: an account and an audience in, the account that this audience may see out.

One surprising decision: striking is generous. A harmless word that is struck now and then can be let stand;
a secret that was published cannot be called back.
"""

from logbook.domain.discretion.audience import (
    NAME_STRUCK,
    PERSON_STRUCK,
    POSITION_STRUCK,
    Discretion,
)
from logbook.domain.discretion.blurred import struck_from
from logbook.domain.discretion.showing import account_for

__all__ = [
    "NAME_STRUCK",
    "PERSON_STRUCK",
    "POSITION_STRUCK",
    "Discretion",
    "account_for",
    "struck_from",
]
