"""A line without a first word is what it says, and no rule that nobody made."""

import pytest

from logbook.domain.words import ConditionKind, Support, TripodRule
from logbook.domain.written.entry import ConditionEntry, Entry, SupportEntry
from logbook.domain.written.lines import opening, read_entries

FORBIDDEN = ConditionEntry(ConditionKind.RULE, TripodRule.FORBIDDEN.value)


@pytest.mark.parametrize(
    ("text", "entry"),
    [
        ("- tripod", SupportEntry(Support.TRIPOD)),
        ("- 📷 on a monopod.", SupportEntry(Support.MONOPOD)),
        ("* hand held", SupportEntry(Support.HANDHELD)),
        ("- no tripods", FORBIDDEN),
        ("- no tripod allowed", FORBIDDEN),
        ("- tripods are not allowed", FORBIDDEN),
    ],
)
def test_a_bare_word_for_a_support_is_a_support_and_only_a_rule_is_a_rule(text: str, entry: Entry) -> None:
    assert read_entries(text) == (entry,)


@pytest.mark.parametrize("text", ["- tripods", "- no tripod", "- tripod left in the car"])
def test_what_says_no_rule_is_prose(text: str) -> None:
    assert opening(text) is None
