"""Long work in the background, whose state a page can read: an import, a report, a look at every original.

One surprising decision: work has a name, and is under way once. Whoever asks for it again, in a second window
too, is shown the work that is being done.
"""

from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from enum import StrEnum
from threading import Event, Lock, Thread
from typing import Any

from logbook.domain.errors import LogbookError
from logbook.faces.private.mistakes import our_mistake

ENDING_S = 10.0  # that a closing book waits for work to put its things away

Tell = Callable[[str, int, int], None]  # what is being done, how much of it, of how much


class JobState(StrEnum):
    """How a job stands."""

    RUNNING = "running"
    DONE = "done"
    FAILED = "failed"


@dataclass(frozen=True, slots=True)
class Job:
    """Work as it stands: what is being done, how much of how much; what came of it, or why nothing did."""

    state: JobState
    doing: str = ""
    done: int = 0
    total: int = 0
    result: Any = None
    why: str = ""

    @property
    def is_running(self) -> bool:
        """Whether it is under way."""
        return self.state is JobState.RUNNING


class _Stopped(BaseException):
    """The book was closed; raised where work tells how far it is, so that it puts its things away."""


class Jobs:
    """All work of one run of the pages, by name; of work that is over, how it ended the last time."""

    def __init__(self) -> None:
        """Begin with none."""
        self._jobs: dict[str, Job] = {}
        self._threads: list[Thread] = []
        self._lock = Lock()
        self._closing = Event()

    def of(self, name: str) -> Job | None:
        """Return how work stands, or None where nobody asked for it."""
        return self._jobs.get(name)

    def begin(self, name: str, work: Callable[[Tell], Any]) -> bool:
        """Begin work and return True; False where it is under way already."""
        with self._lock:
            before = self._jobs.get(name)
            if self._closing.is_set() or (before and before.is_running):
                return False
            self._jobs[name] = Job(JobState.RUNNING)
            thread = Thread(target=self._do, args=(name, work), name=name, daemon=True)
            self._threads = [one for one in self._threads if one.is_alive()] + [thread]
        thread.start()
        return True

    @property
    def is_at_work(self) -> bool:
        """Whether anything is under way."""
        return any(one.is_alive() for one in self._threads)

    def stop(self) -> None:
        """End all work; what it has acknowledged stays, and what it had half done is put away."""
        self._closing.set()
        for thread in self._threads:
            thread.join(ENDING_S)

    def _do(self, name: str, work: Callable[[Tell], Any]) -> None:
        def tell(doing: str, done: int, total: int) -> None:
            if self._closing.is_set():
                raise _Stopped
            self._jobs[name] = Job(JobState.RUNNING, doing, done, total)

        with suppress(_Stopped):
            self._jobs[name] = self._ended(lambda: work(tell))

    def _ended(self, work: Callable[[], Any]) -> Job:
        try:
            return Job(JobState.DONE, result=work())
        except LogbookError as error:
            return Job(JobState.FAILED, why=str(error))
        except OSError as error:
            return Job(JobState.FAILED, why=f"It could not be finished: {error.strerror or error}.")
        except Exception as error:
            return Job(JobState.FAILED, why=our_mistake(error))
