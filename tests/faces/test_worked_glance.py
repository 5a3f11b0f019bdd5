"""How sure an answer sounds follows from the intervals alone."""

import pytest

from logbook.craft.statistics import wilson
from logbook.faces.worked_glance import answer_worked
from logbook.services.worked import By, Denominator, Row, ShotCount, Worked, WorkedQuestion


def _told(counts: dict[str, tuple[int, int]], capsys: pytest.CaptureFixture[str]) -> str:
    rows = tuple(
        Row(name, Denominator.TRIES, wilson(*count), None, 0, ShotCount(), (), {}, ())
        for name, count in counts.items()
    )
    answer_worked(Worked(WorkedQuestion(By.SUPPORT), Denominator.TRIES, rows, (), (), 1))
    return " ".join(capsys.readouterr().out.split())


def test_intervals_that_do_not_meet_make_a_clear_answer(capsys: pytest.CaptureFixture[str]) -> None:
    assert "clearly below" in _told({"tripod": (80, 100), "handheld": (10, 100)}, capsys)


def test_intervals_that_meet_leave_room_for_chance(capsys: pytest.CaptureFixture[str]) -> None:
    told = _told({"tripod": (80, 100), "braced": (75, 100), "handheld": (10, 100)}, capsys)
    assert "overlaps with those of 1 of 2 others, so the difference may be chance" in told


def test_what_was_tried_too_seldom_is_not_the_best(capsys: pytest.CaptureFixture[str]) -> None:
    told = _told({"braced": (1, 1), "tripod": (40, 100)}, capsys)
    assert told.startswith("Best by support: tripod, 40 of 100 tries")
    assert "too few to tell" in _told({"braced": (1, 1)}, capsys)


def test_a_single_approach_is_compared_with_nothing(capsys: pytest.CaptureFixture[str]) -> None:
    assert "nothing of its kind to compare it with" in _told({"tripod": (40, 100)}, capsys)
