"""A line without a first word is what it says, and no rule that nobody made."""

import pytest

from logbook.domain.words import ConditionKind, Support, TripodRule
from logbook.domain.written.entry import ConditionEntry, Entry, KeepersEntry, SupportEntry
from logbook.domain.written.lines import opening, read_entries
from logbook.domain.written.understanding import NotUnderstoodError

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


@pytest.mark.parametrize(
    "line",
    [
        "- nobody in town knew why it closed",
        "- few people know this place",
        "- 1845 none",
        "- 1830-1900 tripod",
        "- 2025 was a better year",
        "- 0412 was the best",
    ],
)
def test_prose_that_begins_like_an_entry_is_none(line: str) -> None:
    assert opening(line) is None


@pytest.mark.parametrize("text", ["- nd1000 pol", "- nd1000 + nd8", "- ND1000 GND8"])
def test_a_filter_of_four_figures_is_no_frame(text: str) -> None:
    found = opening(text)
    assert found is not None
    assert found.word == "filter"
    with pytest.raises(NotUnderstoodError, match="filters need their keepers"):
        read_entries(text)


def test_frames_need_no_colon_before_what_was_before_the_lens() -> None:
    (entry,) = read_entries("- 0412-0413 nd8, tripod")
    assert isinstance(entry, KeepersEntry)
    assert (entry.first, entry.last, entry.filters, entry.support) == ("0412", "0413", ("nd8",), "tripod")
