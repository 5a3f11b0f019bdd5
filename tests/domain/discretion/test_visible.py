"""Of every field it is decided who may see it, and nothing is shown because it was forgotten."""

from dataclasses import dataclass, fields

import pytest

from logbook.domain.discretion import Discretion
from logbook.domain.discretion.blurred import Blur
from logbook.domain.discretion.visible import AS_THEY_ARE, KEPT_HOME, TEXTS, Sight, sight_of
from logbook.domain.shot import Shot
from logbook.domain.words import Audience
from logbook.services.exports.nouns import NOUNS
from tests.domain.discretion.conftest import record, small_trip


@dataclass(frozen=True, slots=True, kw_only=True)
class Longer(Shot):
    """A shot that gained two fields, one of which it cannot be without."""

    whim: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Needy(Shot):
    """A shot that gained a field that it cannot be without."""

    need: str


def test_of_every_field_it_is_decided_whether_others_may_have_it() -> None:
    """Where a noun gained a field: list it in `visible` as text, as it is, or kept home."""
    shown = (
        "trips",
        "sites",
        "viewpoints",
        "shots",
        "keepers",
        "outcomes",
        "visits",
        "conditions",
        "lessons",
    )
    for name in shown:
        found = {field.name for field in fields(NOUNS[name])}
        assert found <= TEXTS | AS_THEY_ARE | KEPT_HOME, name
    assert not KEPT_HOME & (TEXTS | AS_THEY_ARE)


@pytest.mark.parametrize("audience", [Audience.CLIENT, Audience.STUDENTS])
def test_a_field_that_a_noun_gains_stays_at_home(audience: Audience) -> None:
    longer = Longer(**record("x"), slug="x", title="x", trip_id="trip", whim="a secret")
    assert sight_of(Longer, audience)["whim"] is Sight.NOTHING
    assert Blur(Discretion(small_trip(), Audience.STUDENTS)).record(longer).whim is None


def test_a_needed_field_of_which_nobody_decided_is_an_error_and_not_shown() -> None:
    needy = Needy(**record("x"), slug="x", title="x", trip_id="trip", need="a secret")
    with pytest.raises(TypeError, match=r"Nobody decided what others see of Needy\.need"):
        Blur(Discretion(small_trip(), Audience.STUDENTS)).record(needy)
