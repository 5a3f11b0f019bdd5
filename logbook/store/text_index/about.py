"""What a fact of the index is about, and what follows from knowing it: used as `about.APERTURE`.

One surprising decision: the levels of each kind of condition are a kind of fact of their own, worked out from
the kinds; only the rule for tripods is the same fact of an observation as of a viewpoint.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from logbook.domain.condition_kinds import KINDS
from logbook.domain.words import ConditionKind


@dataclass(frozen=True, slots=True)
class FactKind:
    """What a fact is about; `value` is its beginning as a word of the index, which no typed word has.

    `decides`: a record that knows its own is not found by words that speak of another. `tells`: another value
    contradicts; of the rest a record may say several, or say it in passing. `is_told`: it is worked out, and
    a person may say it as well. `untold` are words by which a record says that nobody knows.
    """

    value: str
    is_number: bool = False
    decides: bool = False
    tells: bool = False
    is_told: bool = False
    untold: tuple[str, ...] = ()


APERTURE = FactKind("qap", is_number=True, decides=True, tells=True)
EXPOSURE = FactKind("qex", is_number=True, decides=True, tells=True)
FOCAL = FactKind("qfo", is_number=True, decides=True, tells=True)
ISO = FactKind("qis", is_number=True, decides=True, tells=True)
FILTER = FactKind("qfn", decides=True, tells=True)
FILTER_KIND = FactKind("qfk", decides=True, tells=True)
FILTER_STOPS = FactKind("qfs", is_number=True, decides=True, tells=True)
SUPPORT = FactKind("qsu", decides=True, tells=True)
TRIPOD_RULE = FactKind("qru", decides=True, tells=True, untold=("unknown",))
LIGHT = FactKind("qli", decides=True, tells=True, is_told=True)
OUTCOME = FactKind("qou", tells=True, is_told=True, untold=("open",))
REASON = FactKind("qre")
SHARPNESS = FactKind("qsh", tells=True, is_told=True)
MONTH = FactKind("qmo", tells=True)
YEAR = FactKind("qye", tells=True)
SEASON = FactKind("qse", tells=True, is_told=True)
SUBJECT = FactKind("qki")
NOUN = FactKind("qno")
TRIP = FactKind("qtr")
SITE = FactKind("qst")
HAS = FactKind("qha")
CONDITION = FactKind("qco")
VERB = FactKind("qve")

# What pictures, shots and visits take over from what was observed.
LEVELS_MET: Mapping[ConditionKind, FactKind] = {
    kind: FactKind(
        of.fact, is_number=of.is_figure, decides=not of.is_figure, tells=True, is_told=of.is_figure
    )
    for kind, of in KINDS.items()
    if of.fact
}
LEVELS: Mapping[ConditionKind, FactKind] = {**LEVELS_MET, ConditionKind.RULE: TRIPOD_RULE}

NUMBERS = (
    *(APERTURE, EXPOSURE, FOCAL, ISO, FILTER_STOPS),
    *(fact for fact in LEVELS.values() if fact.is_number),
)
