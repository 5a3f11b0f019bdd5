"""Work on other people's files in helper processes that can be ended: whoever decodes a picture does it here.

One surprising decision: a helper is a plain Python process spoken to through its pipes, not one of
`multiprocessing`, which would run the program's main module again and waits for ever for a helper that hangs.
What one item may take is counted in processor time, so that a busy machine refuses nothing; the clock only
ends what waits.
"""

import os
import pickle
import signal
import subprocess
import sys
from collections.abc import Callable, Generator, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from dataclasses import dataclass
from queue import SimpleQueue
from threading import Event, Timer
from typing import Any, BinaryIO, TypeVar

from logbook.domain.errors import LogbookError, UnreadableFileError

Item = TypeVar("Item")
Result = TypeVar("Result")

PROCESSOR_S = 10.0  # that one item may take: the slowest ordinary picture takes a third of it (measured)
WAITING_S = 60.0  # of clock time, for a file that never answers or a system that cannot count processor time
MEBIBYTE = 2**20  # bytes
OWN_BYTES = 192 * MEBIBYTE  # a helper with its libraries and what is made of a picture (measured: 120)

_SERVE = "import sys; sys.path[:] = sys.argv[1:]; from logbook.intake.workers import serve; serve()"
_ONE_THREAD = {"OMP_NUM_THREADS": "1", "OPENBLAS_NUM_THREADS": "1"}  # there is one helper for each core
_OUT_OF_TIME = -signal.SIGPROF if hasattr(signal, "SIGPROF") else None


@dataclass(frozen=True, slots=True)
class Ended:
    """An item whose helper was ended, or that needed too much memory; `why` is a sentence's part."""

    why: str


TOO_SLOW = Ended(f"it takes more than {PROCESSOR_S:.0f} s to open; export a plain copy")
TOO_MUCH_MEMORY = Ended("it takes more memory to open than a picture of its size should; export a plain copy")
BROKE_OFF = Ended("the program that opens it failed; export a plain copy")


def in_helpers(
    work: Callable[[Item], Result], items: Sequence[Item], most: int | None = None
) -> Generator[Result | Ended]:
    """Yield what `work` makes of each item, in their order; a helper process for each core, at most `most`.

    `work` is a function of a module; items and results can be pickled. MemoryError ends its item alone; what
    else it raises is raised here. Raises UnreadableFileError where no helper can be started.
    """
    if not items:
        return
    helpers = [_Helper() for _ in range(min(most or os.cpu_count() or 1, len(items)))]
    free: SimpleQueue[_Helper] = SimpleQueue()
    for helper in helpers:
        free.put(helper)

    def done(item: Item) -> Any:
        helper = free.get()
        try:
            return helper.ask(work, item)
        finally:
            free.put(helper)

    threads = ThreadPoolExecutor(len(helpers))
    try:
        yield from threads.map(done, items)
    finally:
        threads.shutdown(wait=False, cancel_futures=True)
        for helper in helpers:
            helper.end()
        threads.shutdown()


def allow_memory(needed_bytes: int) -> None:
    """Let this helper use so much for the item at hand; outside a helper, or on Windows, nothing is held."""
    if not _serving:
        return
    try:
        import resource
    except ImportError:  # Windows
        return
    with suppress(OSError, ValueError):
        hard = resource.getrlimit(resource.RLIMIT_DATA)[1]
        resource.setrlimit(resource.RLIMIT_DATA, (OWN_BYTES + needed_bytes, hard))


class _Helper:
    """One helper process, started when it is first asked and again after it was ended."""

    def __init__(self) -> None:
        self._process: subprocess.Popen[bytes] | None = None
        self._over = False

    def ask(self, work: Callable[[Any], Any], item: object) -> Any:
        if self._over:
            return BROKE_OFF
        process = self._process = self._process or _started()
        late = Event()
        watch = Timer(WAITING_S, _end_late, (process, late))
        watch.daemon = True
        watch.start()
        try:
            _send(process.stdin, (work, item))
            answer = pickle.load(process.stdout)  # type: ignore[arg-type]  # noqa: S301 - our own process
        except (EOFError, OSError, pickle.UnpicklingError):
            self._process = None
            _ended(process)
            return TOO_SLOW if late.is_set() or process.returncode == _OUT_OF_TIME else BROKE_OFF
        finally:
            watch.cancel()
        if isinstance(answer, Exception):
            raise answer
        return answer

    def end(self) -> None:
        self._over = True
        process = self._process  # as whoever waits for its answer gives it up meanwhile
        if process is not None:
            process.kill()
            _ended(process)


def _end_late(process: "subprocess.Popen[bytes]", late: Event) -> None:
    late.set()
    process.kill()


def _ended(process: "subprocess.Popen[bytes]") -> None:
    """Wait for the end of a process that is ending, and close what led to it."""
    try:
        process.wait(1)
    except subprocess.TimeoutExpired:  # it closed its pipe and goes on
        process.kill()
        process.wait()
    for stream in (process.stdin, process.stdout):
        with suppress(OSError):
            stream.close()  # type: ignore[union-attr]


def _started() -> "subprocess.Popen[bytes]":
    try:
        return subprocess.Popen(
            [sys.executable, "-c", _SERVE, *sys.path],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            env=os.environ | _ONE_THREAD,
        )
    except OSError as error:
        raise UnreadableFileError(
            f"Pictures cannot be opened, because no helper process could be started "
            f"({error.strerror}); close other programs and run this again."
        ) from error


def _send(stream: Any, value: object) -> None:
    pickle.dump(value, stream, pickle.HIGHEST_PROTOCOL)
    stream.flush()


_serving = False


def serve() -> None:
    """Work on what comes through standard input until it ends: what a helper process runs."""
    global _serving
    _serving = True
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the program ends its helpers itself
    asked, answers = sys.stdin.buffer, _kept_for_answers()
    while True:
        try:
            work, item = pickle.load(asked)  # noqa: S301 - from our own program
        except EOFError:
            return
        _send(answers, _bounded(work, item))


def _bounded(work: Callable[[Any], Any], item: object) -> object:
    allow_memory(0)
    _count_processor_time(PROCESSOR_S)
    try:
        return work(item)
    except MemoryError:
        return TOO_MUCH_MEMORY
    except LogbookError as error:
        return error
    except Exception as error:  # many cannot be pickled
        return RuntimeError(f"{type(error).__name__}: {error}")
    finally:
        _count_processor_time(0)


def _count_processor_time(left_s: float) -> None:
    """Let the system's signal end this process when so much is used; 0 ends the counting."""
    if hasattr(signal, "setitimer"):
        signal.setitimer(signal.ITIMER_PROF, left_s)


def _kept_for_answers() -> BinaryIO:
    """Standard output for us alone: what decoders print must neither come between the answers nor be seen."""
    answers = os.fdopen(os.dup(1), "wb")
    nowhere = os.open(os.devnull, os.O_WRONLY)
    for stream in (1, 2):
        os.dup2(nowhere, stream)
    os.close(nowhere)
    return answers
