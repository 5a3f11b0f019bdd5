"""Long work in the background: once at a time, failing in one sentence, ended with the book."""

from threading import Event

from logbook.domain.errors import NotFoundError
from logbook.faces.private.jobs import Jobs, JobState, Tell
from tests.faces.private.visitor import until


def ended(jobs: Jobs, name: str) -> None:
    """Wait until work is over."""
    until(lambda: (found := jobs.of(name)) is not None and not found.is_running)


def test_work_of_a_name_is_under_way_once_and_others_beside_it() -> None:
    jobs, go = Jobs(), Event()

    def work(tell: Tell) -> str:
        tell("reading", 3, 9)
        go.wait(10)
        return "came in"

    assert jobs.of("first") is None
    assert jobs.begin("first", work)
    assert not jobs.begin("first", work), "who asks again is shown the one under way"
    assert jobs.begin("second", work)
    until(lambda: (found := jobs.of("first")) is not None and found.done == 3)
    found = jobs.of("first")
    assert found is not None
    assert (found.doing, found.total, found.is_running) == ("reading", 9, True)
    go.set()
    ended(jobs, "first")
    found = jobs.of("first")
    assert found is not None
    assert (found.state, found.result) == (JobState.DONE, "came in")
    assert jobs.begin("first", work), "what is over can be done again"


def test_whatever_fails_is_one_sentence() -> None:
    jobs = Jobs()
    for number, (error, sentence) in enumerate(
        (
            (NotFoundError("There is no such trip."), "There is no such trip."),
            (OSError(28, "No space left on device"), "It could not be finished: No space left on device."),
            (ZeroDivisionError("a mistake"), "Something went wrong in the program"),
        )
    ):

        def work(_tell: Tell, error: Exception = error) -> None:
            raise error

        jobs.begin(str(number), work)
        ended(jobs, str(number))
        found = jobs.of(str(number))
        assert found is not None
        assert found.state is JobState.FAILED
        assert found.why.startswith(sentence)


def test_closing_the_book_ends_work_where_it_puts_its_things_away() -> None:
    jobs, begun, put_away = Jobs(), Event(), Event()

    def work(tell: Tell) -> None:
        try:
            while True:
                tell("turning", 1, 2)
                begun.set()
        except Exception:  # what work takes for its own errors is none of them
            begun.wait()
        finally:
            put_away.set()

    jobs.begin("endless", work)
    assert begun.wait(10)
    jobs.stop()
    assert put_away.is_set()
    assert not jobs.begin("late", work)
