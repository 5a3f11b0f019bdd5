"""Records are counted in plain words, and few names are told."""

from logbook.domain.said import counted, counted_names, field_words


def test_many_records_are_counted_by_noun_the_most_first() -> None:
    many = [("condition", f"crowd-{number}") for number in range(60)]
    told = counted_names([("night_answer", "")] * 46 + many + [("packed", "")])
    assert told == "60 conditions, 46 answers of the nightly session, 1 packing decision"


def test_few_records_are_named() -> None:
    assert counted_names([("shot", "silk"), ("visit", "a"), ("visit", "b")]) == "2 visits (a, b), shot silk"
    assert counted_names([("outcome", "")]) == "1 outcome"


def test_no_table_or_column_is_called_by_its_name_in_the_database() -> None:
    assert counted("body_clock", 2) == "2 camera clocks"
    assert [field_words(name) for name in ("size_bytes", "elevation_m", "next_visit", "shot_id")] == [
        "file size",
        "elevation",
        "next visit",
        "shot",
    ]
