"""`logbook condition add`: words typed in place are read as the line of a day file would be."""

import pytest

from tests.faces.conftest import Run

HERE = ("--trip", "high-valley", "--viewpoint", "quarry-ledge", "--on", "2025-10-14", "--json")


def test_opening_hours_are_a_rule_and_said_so(on_demo: Run) -> None:
    answer = on_demo("condition", "add", "closure", "gate closes at 18:00", *HERE)
    assert [answer.data[name] for name in ("kind", "at", "note")] == ["rule", None, "gate closes at 18:00"]
    assert '"closure: gate closes at 18:00" is kept as rule: gate closes at 18:00.' in answer.err


def test_a_time_in_the_words_is_its_time(on_demo: Run) -> None:
    answer = on_demo("condition", "add", "weather", "drizzle ~17:20", *HERE)
    assert [answer.data[name] for name in ("at", "note")] == ["17:20", "drizzle, about 17:20"]
    assert '"weather: drizzle ~17:20" is kept as weather: ~17:20 drizzle.' in answer.err
    both = on_demo("condition", "add", "weather", "drizzle at 17:20", "--at", "17:30", *HERE)
    assert both.status == 2
    assert both.err.endswith('logbook: "drizzle at 17:20" gives 17:20 and --at 17:30; give one.\n')


@pytest.mark.parametrize(
    ("kind", "words"),
    [
        *(("closure", "path closed tomorrow"), ("closure", "?"), ("weather", "rain expected tmrw")),
        *(("wind", "5 tmrw"), ("crowd", "hundreds last year"), ("rule", "tripods allowed last year")),
    ],
)
def test_what_nobody_saw_is_refused_in_one_sentence(on_demo: Run, kind: str, words: str) -> None:
    answer = on_demo("condition", "add", kind, words, *HERE)
    assert answer.status == 2
    assert answer.err.count("\n") == 1
    assert f'"{words}" is not a' in answer.err


def test_a_note_is_kept_word_for_word(on_demo: Run) -> None:
    answer = on_demo("condition", "add", "closure", "--note", "path closed tomorrow", *HERE)
    assert [answer.data[name] for name in ("kind", "note")] == ["closure", "path closed tomorrow"]
