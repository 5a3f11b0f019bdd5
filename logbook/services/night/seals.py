"""What a page showed of an evening, short enough to travel with its forms and buttons.

One surprising decision: what is asked is sealed together with what it is about. A value may read the same
while its stay has become another one, and nothing may be noted of a stay that nobody saw.
"""

from dataclasses import dataclass

from logbook.services.night.cards import EveningItem
from logbook.services.night.planned import NightPlan, sign_of

_SIGN = "."  # between the parts of a seal
UNSEEN = "This has changed since the page was opened; look again. Nothing was noted."


@dataclass(frozen=True, slots=True)
class ItemSeal:
    """What stood at a question, what it offered, and the stay or pictures that it was about."""

    value: str
    shown: str
    about: str

    def __str__(self) -> str:
        """Return the seal as it is written into a form."""
        return _SIGN.join((self.value, self.shown, self.about))


def seal_of(item: EveningItem, plan: NightPlan | None) -> ItemSeal:
    """Return the seal of what an evening shows at a question."""
    value = sign_of([item.value, str(item.word)])
    return ItemSeal(value, sign_of([item.shown]), sign_of([_about(item, plan)]))


def seal_written(text: str) -> ItemSeal | None:
    """Return the seal that a form sent back, None where it sent none."""
    parts = text.split(_SIGN)
    return ItemSeal(*parts) if len(parts) == 3 else None


def _about(item: EveningItem, plan: NightPlan | None) -> str:
    stem = item.question.key.rpartition(".")[0]
    stay = next((one for one in plan.visits if one.key == stem), None) if plan else None
    return stay.sign if stay else item.question.about.partition(";")[0]
