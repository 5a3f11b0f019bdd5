"""What one audience is told: names of the whole book, words that may stand, and what was struck."""

from dataclasses import replace

import pytest

from logbook.domain.account import TripAccount
from logbook.domain.discretion import (
    NAME_STRUCK,
    PERSON_STRUCK,
    POSITION_STRUCK,
    Discretion,
    struck_from,
)
from logbook.domain.shown import Struck
from logbook.domain.words import Audience

OTHERS = [Audience.CLIENT, Audience.STUDENTS]


@pytest.mark.parametrize("audience", OTHERS)
def test_other_names_and_people_of_the_whole_book_are_struck(
    account: TripAccount, audience: Audience
) -> None:
    say = Discretion(account, audience)
    assert say.scrub("At Anvarra with Okonjo") == f"At {NAME_STRUCK} with {PERSON_STRUCK}"
    assert say.scrub("with T. O. and IB") == f"with {PERSON_STRUCK}. and {PERSON_STRUCK}"
    assert (
        say.scrub("Kerswell's hide, 47.013 / 12.019")
        == f"{NAME_STRUCK}, {POSITION_STRUCK} / {POSITION_STRUCK}"
    )


def test_the_photographer_loses_no_word(account: TripAccount) -> None:
    text = "Kerswell hide with Tomas Okonjo, 47.01271, 12.01861, 33TUN"
    assert Discretion(account, Audience.ARCHIVE).scrub(text) == text


def test_names_and_positions_withheld_elsewhere_in_the_book_are_struck(account: TripAccount) -> None:
    hide = account.sites["hide"]
    assert hide.position is not None
    other = replace(
        account, sites={}, viewpoints={}, withheld_names=(hide.title,), withheld_positions=(hide.position,)
    )
    left = Discretion(other, Audience.STUDENTS).scrub("Kerswell, 47.013 N 12.019 E")
    assert "Kerswell" not in left
    assert not set("47") & set(left)


def test_a_word_that_may_be_said_stays(account: TripAccount) -> None:
    trip = replace(account.trip, may_say=("Kerswell", "Tomas"))
    say = Discretion(replace(account, trip=trip), Audience.STUDENTS)
    assert say.scrub("Kerswell with Tomas") == "Kerswell with Tomas"
    assert say.scrub("Kerswell hide with Okonjo") == f"{NAME_STRUCK} with {PERSON_STRUCK}"


def test_what_was_struck_is_told_with_its_record_and_field(account: TripAccount) -> None:
    say = Discretion(account, Audience.STUDENTS)
    for text in (account.trip.summary, account.shots[0].intent, "From the bank"):
        say.scrub(text or "")
    say.scrub(f"Put together: {account.lessons[0].text}")
    assert struck_from(say) == (
        Struck("Anvarra", "shot dawn", "intent"),
        Struck("Brandauer", "lesson l1", "text"),
        Struck("Kerswell", "trip spring", "summary"),
        Struck("Tomas", "lesson l1", "text"),
    )
    assert struck_from(Discretion(account, Audience.STUDENTS)) == ()
