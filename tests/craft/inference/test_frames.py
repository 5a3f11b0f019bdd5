"""Tries approximated from file numbers."""

from logbook.craft.inference.frames import Frame, tries_from_numbers


def frame(number: int | None, at_s: float, body: str = "one", key: str = "") -> Frame:
    return Frame(key or f"{body}{number}{at_s}", at_s, body=body, file_number=number)


def test_gaps_in_numbers_are_frames_that_were_not_kept() -> None:
    tries = tries_from_numbers([frame(412, 0), frame(419, 60), frame(425, 300)])
    assert tries.count == 14
    assert tries.approximate
    assert tries.reason == "about 14, from file numbers 0412 to 0425"


def test_a_single_keeper_is_no_range_of_numbers() -> None:
    assert tries_from_numbers([frame(412, 0)]).reason == "about 1, from file numbers 0412 alone"


def test_after_9999_comes_1() -> None:
    assert tries_from_numbers([frame(9998, 0), frame(2, 30)]).count == 4


def test_each_body_counts_for_itself() -> None:
    tries = tries_from_numbers([frame(10, 0), frame(7000, 1, "two"), frame(12, 9), frame(7003, 9, "two")])
    assert tries.count == 3 + 4
    assert [(one.body, one.count) for one in tries.bodies] == [("one", 3), ("two", 4)]


def test_a_new_card_does_not_invent_thousands_of_tries() -> None:
    tries = tries_from_numbers([frame(4000, 0), frame(4002, 60), frame(1, 120), frame(3, 180)])
    assert tries.count == 3 + 3
    assert "restarted" in tries.reason


def test_two_files_of_one_frame_count_once() -> None:
    assert tries_from_numbers([frame(5, 0, key="raw"), frame(5, 0, key="jpg"), frame(6, 9)]).count == 2


def test_files_written_in_another_order_than_taken_are_no_new_card() -> None:
    tries = tries_from_numbers([frame(5, 0), frame(7, 1.0), frame(6, 1.4), frame(8, 2)])
    assert tries.count == 4
    assert tries.bodies[0].resets == 0


def test_without_numbers_the_tries_are_unknown_not_none() -> None:
    assert tries_from_numbers([frame(None, 0)]).count is None
    assert tries_from_numbers([]).count is None
