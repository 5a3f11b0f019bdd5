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


@pytest.mark.parametrize(
    "line",
    [
        *("crowd: dozens expected, none came", "crowd: hundreds yesterday", "crowd: dozens last year"),
        *("crowd: hundreds due tomorrow", "water: flood forecast", "water: high yesterday, low now"),
        "crowd: dozens earlier, none now",
        *(
            "wind: gale forecast",
            "wind: storm warning for tomorrow",
            "wind: storm coming",
            "wind: 6 expected",
        ),
    ],
)
def test_what_was_so_at_another_time_or_only_expected_is_no_observation(line: str) -> None:
    with pytest.raises(NotUnderstoodError, match=r"a plan, a forecast or a guess"):
        read_entries(f"- {line}")


@pytest.mark.parametrize(
    ("line", "level"),
    [
        *(("wind: 3 (forecast 6)", "3"), ("wind: 3 forecast 6", "3"), ("wind: calm before the storm", "0")),
        *(("crowd: none due to rain", "none"), ("crowd: dozens coming and going", "dozens")),
        *(("crowd: few, more expected", "few"), ("crowd: few hundred", "hundreds")),
    ],
)
def test_a_level_that_was_seen_stays_beside_what_was_expected(line: str, level: str) -> None:
    (entry,) = read_entries(f"- {line}")
    assert isinstance(entry, ConditionEntry)
    assert entry.level == level


@pytest.mark.parametrize(
    "line",
    [
        *("crowd: nobody?", "crowd: none?? maybe few", "wind: calm? no", "water: normal?"),
        *("rule: tripod forbidden? ask the warden", "kit tripod: used? no idea", "kit tripod: not used?"),
    ],
)
def test_a_question_is_no_statement(line: str) -> None:
    with pytest.raises(NotUnderstoodError, match="question mark"):
        read_entries(f"- {line}")


def test_a_span_that_shares_its_half_of_the_day_gives_a_level_no_time_in_the_morning() -> None:
    for text in ("dozens at 5:30-6pm", "dozens at 5:30pm-6pm"):
        (entry,) = read_entries(f"- crowd: {text}")
        assert isinstance(entry, ConditionEntry)
        assert (entry.level, entry.at, entry.note) == ("dozens", None, text.removeprefix("dozens "))


def test_a_lesson_without_words_is_none() -> None:
    with pytest.raises(NotUnderstoodError, match="nothing follows lesson"):
        read_entries("- lesson keep")


def test_a_word_that_is_known_is_not_offered_for_itself() -> None:
    with pytest.raises(NotUnderstoodError, match="is not a word that starts an entry, such as crowd"):
        read_entries("- tripod: no")
