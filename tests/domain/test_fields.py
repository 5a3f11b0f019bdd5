"""What the fields of nouns say of themselves."""

from dataclasses import dataclass, fields
from datetime import datetime
from typing import Annotated

import pytest

from logbook.domain.fields import AT_HOME, SEARCHED, SHOWN, STRUCK, Mark, Refers, facts_of
from logbook.domain.kinds import BEARING, ID, INSTANT, NAMES, NUMBER, TEXT, WALL_TIME
from logbook.domain.record import Record
from logbook.domain.viewpoint import Viewpoint


@dataclass
class _Noun:
    plain: float
    facing_deg: Annotated[float | None, BEARING, SHOWN] = None
    site_id: Annotated[str | None, Refers("site")] = None
    note: Annotated[str, SEARCHED, STRUCK] = ""
    names: Annotated[tuple[str, ...], NAMES, Mark.GAINED] = ()
    read_at: Annotated[datetime | None, WALL_TIME] = None
    taken_at: datetime | None = None


def test_a_type_says_its_kind_unless_a_field_names_one() -> None:
    facts = facts_of(_Noun)
    assert facts["plain"].kind is NUMBER
    assert facts["facing_deg"].kind is BEARING
    assert facts["facing_deg"].type is float
    assert facts["note"].kind is TEXT
    assert facts["site_id"].kind is ID
    assert facts["read_at"].kind is WALL_TIME
    assert facts["taken_at"].kind is INSTANT


def test_a_field_that_says_nothing_stays_at_home_and_is_not_searched() -> None:
    facts = facts_of(_Noun)
    assert facts["plain"].seen is AT_HOME
    assert facts["plain"].searched is None
    assert facts["note"].seen is STRUCK
    assert facts["note"].searched is SEARCHED


def test_unknown_and_needed_follow_from_type_and_default() -> None:
    facts = facts_of(_Noun)
    assert [name for name, one in facts.items() if one.may_be_unknown] == [
        "facing_deg",
        "site_id",
        "read_at",
        "taken_at",
    ]
    assert [name for name, one in facts.items() if one.is_needed] == ["plain"]
    assert facts["names"].marks == {Mark.GAINED}
    assert facts["site_id"].refers_to == "site"


def test_facts_stand_in_the_order_of_the_fields_those_of_every_record_first() -> None:
    assert list(facts_of(Viewpoint)) == [field.name for field in fields(Viewpoint)]
    assert list(facts_of(Viewpoint))[:4] == list(facts_of(Record))


def test_facts_are_read_once() -> None:
    assert facts_of(Viewpoint) is facts_of(Viewpoint)
    with pytest.raises(TypeError):
        facts_of(Viewpoint)["slug"] = facts_of(Viewpoint)["title"]  # type: ignore[index]
