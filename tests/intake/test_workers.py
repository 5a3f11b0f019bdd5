"""A helper process does what it is asked, and is ended where it takes too much; the others go on."""

import os
import signal
import subprocess
import sys
import time
from threading import Timer
from typing import Any

import pytest

from logbook.domain.errors import UnreadableFileError
from logbook.intake import workers
from logbook.intake.workers import BROKE_OFF, TOO_MUCH_MEMORY, TOO_SLOW, Ended, allow_memory, in_helpers


def doubled(number: int) -> int:
    return 2 * number


def helper_of(_item: int) -> int:
    return os.getpid()


def odd_ones_fail(number: int) -> int:
    """1 works for ever, 3 dies, 5 takes all memory, 7 waits for ever, 9 prints, 11 refuses, 13 is wrong."""
    if number == 1:
        while True:
            pass
    if number == 3:
        os.kill(os.getpid(), signal.SIGSEGV)
    if number == 5:
        allow_memory(2**20)
        return len(bytearray(2**31))
    if number == 7:
        time.sleep(1000)
    if number == 9:
        os.write(1, b"libtiff: a word to standard output\n")
    if number == 11:
        raise UnreadableFileError("That picture is odd.")
    if number == 13:
        raise ZeroDivisionError
    return number


def with_limits(monkeypatch: pytest.MonkeyPatch, processor_s: float, waiting_s: float) -> None:
    """Shorter limits: in helpers by what starts them, here by the clock."""
    begin = f"import logbook.intake.workers as w; w.PROCESSOR_S = {processor_s}; w.serve()"
    monkeypatch.setattr(workers, "_SERVE", f"import sys; sys.path[:] = sys.argv[1:]; {begin}")
    monkeypatch.setattr(workers, "WAITING_S", waiting_s)


def test_answers_come_in_the_order_of_the_items() -> None:
    assert list(in_helpers(doubled, range(20))) == [2 * n for n in range(20)]
    assert list(in_helpers(doubled, [])) == []


def test_helpers_are_other_processes_and_are_kept_for_the_next_item() -> None:
    used = list(in_helpers(helper_of, range(6), most=1))
    assert len(set(used)) == 1
    assert os.getpid() not in used


@pytest.mark.slow
@pytest.mark.skipif(sys.platform == "win32", reason="Windows counts no processor time")
def test_who_takes_too_much_is_ended_and_the_others_are_done(monkeypatch: pytest.MonkeyPatch) -> None:
    with_limits(monkeypatch, 0.5, 60)
    assert list(in_helpers(odd_ones_fail, [0, 1, 2, 3, 4, 5, 6, 9], most=2)) == [
        0, TOO_SLOW, 2, BROKE_OFF, 4, TOO_MUCH_MEMORY, 6, 9,
    ]  # fmt: skip


@pytest.mark.slow
def test_who_only_waits_is_ended_by_the_clock(monkeypatch: pytest.MonkeyPatch) -> None:
    with_limits(monkeypatch, 60, 1)
    asked_s: list[float] = []

    def patient(limit_s: float, *rest: Any) -> Timer:
        """Only the first item is hurried: on a busy machine the next helper may take long to start."""
        asked_s.append(limit_s)
        return Timer(limit_s if len(asked_s) == 1 else 60, *rest)

    monkeypatch.setattr(workers, "Timer", patient)
    assert list(in_helpers(odd_ones_fail, [7, 8], most=1)) == [TOO_SLOW, 8]
    assert asked_s == [1, 1]


@pytest.mark.slow
def test_a_refusal_and_a_mistake_of_ours_are_raised_here() -> None:
    with pytest.raises(UnreadableFileError, match="That picture is odd"):
        list(in_helpers(odd_ones_fail, [0, 11, 2]))
    with pytest.raises(RuntimeError, match="ZeroDivisionError"):
        list(in_helpers(odd_ones_fail, [0, 13]))


@pytest.mark.slow
def test_who_stops_asking_leaves_no_helper_behind() -> None:
    asked = in_helpers(helper_of, range(1000), most=2)
    first = next(asked)
    assert not isinstance(first, Ended)
    asked.close()
    with pytest.raises(ProcessLookupError):
        os.kill(first, 0)


@pytest.mark.slow
def test_helpers_end_with_a_killed_program() -> None:
    program = (
        "import sys; from tests.intake.test_workers import helper_of\n"
        "from logbook.intake.workers import in_helpers\n"
        "asked = in_helpers(helper_of, range(3), most=1); print(next(asked), flush=True); sys.stdin.read()"
    )
    with subprocess.Popen(
        [sys.executable, "-c", program],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        env=os.environ | {"PYTHONPATH": os.pathsep.join(filter(None, (os.getcwd(), *sys.path)))},  # noqa: PTH109
    ) as running:
        assert running.stdout is not None
        helper = int(running.stdout.readline())
        running.kill()
    for _ in range(100):
        try:
            os.kill(helper, 0)
        except ProcessLookupError:
            return
        time.sleep(0.05)
    pytest.fail("the helper goes on without its program")


def test_a_helper_that_cannot_be_started_is_one_sentence(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "executable", "/nowhere/python")
    with pytest.raises(UnreadableFileError, match="no helper process could be started"):
        list(in_helpers(doubled, [1]))
