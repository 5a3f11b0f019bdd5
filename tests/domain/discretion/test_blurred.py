"""Of every field it is decided who may see it, and nothing is shown because it was forgotten."""

from dataclasses import dataclass

import pytest

from logbook.domain.checks import LONGEST_TEXT
from logbook.domain.discretion import Discretion
from logbook.domain.discretion.blurred import Blur
from logbook.domain.fields import AT_HOME, facts_of
from logbook.domain.kinds import DIRECTION, FILTER, TEXT, ListOf
from logbook.domain.nouns import NOUNS
from logbook.domain.shot import Shot
from logbook.domain.track import TrackRecord
from logbook.domain.words import Audience
from tests.domain.discretion.conftest import record, small_trip


@dataclass(frozen=True, slots=True, kw_only=True)
class Longer(Shot):
    """A shot that gained two fields, one of which it cannot be without."""

    whim: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Needy(Shot):
    """A shot that gained a field that it cannot be without."""

    need: str


TEXT_KINDS = {TEXT, DIRECTION, FILTER}
CHECKED = {"format", "taken_text", "utc_offset_text", "level"}  # texts that no person makes up


def test_free_text_is_seen_only_as_struck() -> None:
    for noun in NOUNS.values():
        for name, field in facts_of(noun).items():
            kind = field.kind.item if isinstance(field.kind, ListOf) else field.kind
            if kind in TEXT_KINDS and field.seen.by and name not in CHECKED:
                assert field.seen.is_struck, f"{noun.__name__}.{name}"


def test_what_a_person_keeps_to_themselves_is_marked_for_nobody() -> None:
    kept = {"notes", "private_names", "also_called", "may_say", "path", "hash", "file", "also", "keywords"}
    for noun in NOUNS.values():
        for name, field in facts_of(noun).items():
            if name in kept and noun is not TrackRecord:
                assert field.seen is AT_HOME, f"{noun.__name__}.{name}"


@pytest.mark.parametrize("audience", [Audience.CLIENT, Audience.STUDENTS])
def test_a_field_that_a_noun_gains_stays_at_home(audience: Audience) -> None:
    longer = Longer(**record("x"), slug="x", title="x", trip_id="trip", whim="a secret")
    assert Blur(Discretion(small_trip(), audience)).record(longer).whim is None


def test_a_needed_field_of_which_nobody_decided_is_an_error_and_not_shown() -> None:
    needy = Needy(**record("x"), slug="x", title="x", trip_id="trip", need="a secret")
    with pytest.raises(TypeError, match=r"Nobody decided what others see of Needy\.need"):
        Blur(Discretion(small_trip(), Audience.STUDENTS)).record(needy)


@pytest.mark.slow
def test_a_text_that_striking_makes_longer_than_a_noun_allows_is_cut() -> None:
    blur = Blur(Discretion(small_trip(), Audience.STUDENTS))
    shot = Shot(**record("x"), slug="x", title="x", trip_id="trip", intent="Kerswell " * 22_000)
    assert len(shot.intent or "") < LONGEST_TEXT
    struck = blur.record(shot).intent or ""
    assert len(struck) == LONGEST_TEXT
    assert "Kerswell" not in struck
