"""Shared by all tests: nothing may be skipped where the machine promises everything.

A test whose outside program is missing skips and says so; with LOGBOOK_NO_SKIP=1, as in CI, it fails. Books
that take seconds to make are made once, also where several processes share the tests, and copied.
"""

import gc
import os
import subprocess
import sys
import tempfile
from collections.abc import Generator, Iterator
from pathlib import Path

import pytest

from logbook.faces.main import GARBAGE_THRESHOLD
from tests.examples import settle
from tests.once import Once, copied_book

NO_SKIP = "LOGBOOK_NO_SKIP"
SLOW = "slow"
MEMORY = Path("/dev/shm")  # where Linux keeps files in memory
ENOUGH_BYTES = 4 * 2**30


def pytest_configure(config: pytest.Config) -> None:
    settle(are_slow=config.option.markexpr == SLOW)
    # Hundreds of programs are started; none of them shall compile the package anew.
    os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
    if "TMPDIR" not in os.environ and _is_roomy(MEMORY):  # thousands of books would each wait for the disk
        os.environ["TMPDIR"] = str(MEMORY)
        tempfile.tempdir = None  # so that the variable is read anew


def _is_roomy(folder: Path) -> bool:
    """Whether all that the tests write has room in a folder, and programs written there may run."""
    if not folder.is_dir() or not os.access(folder, os.W_OK):
        return False
    found = os.statvfs(folder)
    return found.f_bavail * found.f_frsize > ENOUGH_BYTES and not found.f_flag & os.ST_NOEXEC


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """With `-m slow` every property is tried again, with more examples."""
    if config.option.markexpr == SLOW:
        for item in items:
            if getattr(getattr(item, "obj", None), "is_hypothesis_test", False):
                item.add_marker(SLOW)


def pytest_collection_finish() -> None:
    """Look for garbage as seldom as the program does, and not among the thousands of tests."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(GARBAGE_THRESHOLD)


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(
    item: pytest.Item, call: pytest.CallInfo[None]
) -> Generator[None, pytest.TestReport, pytest.TestReport]:
    report = yield
    if os.environ.get(NO_SKIP) and report.skipped and not hasattr(report, "wasxfail"):
        report.outcome = "failed"
        report.longrepr = f"{item.nodeid} was skipped, but {NO_SKIP} is set: {report.longrepr}"
    return report


@pytest.fixture(autouse=True)
def _nothing_of_the_person(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """No test may meet the book of whoever runs it, or what is remembered of their files.

    A patch of its own: what a test patches is then put back before its folder is removed.
    """
    with pytest.MonkeyPatch.context() as patch:
        patch.delenv("LOGBOOK_BOOK", raising=False)
        patch.setenv("XDG_CACHE_HOME", str(tmp_path_factory.getbasetemp() / "cache"))
        yield


@pytest.fixture(scope="session")
def shared(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder that all processes of one run share."""
    own = tmp_path_factory.getbasetemp()
    return own.parent if "PYTEST_XDIST_WORKER" in os.environ else own


@pytest.fixture(autouse=True, scope="session")
def _no_state_of_the_person(shared: Path) -> Iterator[None]:
    """What tests write is remembered apart from what whoever runs them wrote."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_STATE_HOME", str(shared / "state"))
        yield


@pytest.fixture(scope="session")
def once(shared: Path) -> Once:
    """Have a folder filled by whoever asks first."""
    return Once(shared)


@pytest.fixture(scope="session")
def demo(once: Once) -> Path:
    """The demo as the README's first command leaves it: `book.sqlite` and a folder for each audience.

    Beside it lies what the command said, in `said.txt`.
    """

    def fill(folder: Path) -> None:
        searched = os.pathsep.join((str(Path(__file__).parents[1]), os.environ.get("PYTHONPATH", "")))
        done = subprocess.run(
            [sys.executable, "-m", "logbook", "demo", "--into", "demo"],
            cwd=folder,
            env=os.environ | {"PYTHONPATH": searched},
            capture_output=True,
            text=True,
            timeout=1200,
        )
        assert done.returncode == 0, done.stderr
        (folder / "said.txt").write_text(done.stdout, encoding="utf-8")

    return once("the-demo", fill) / "demo"


@pytest.fixture
def demo_book(demo: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A copy of the demo's book: one that is opened may be written, and others may be copying it."""
    return copied_book(demo / "book.sqlite", tmp_path_factory.mktemp("demo") / "book.sqlite")


@pytest.fixture
def scripted_book(once: Once, tmp_path: Path) -> Path:
    """A copy of the book of the scripted day; its pictures are those of all copies, and only read."""
    from logbook.store.engine import copy_book
    from tests.services.night.scripted_day import build_scripted_day

    made = once("the-scripted", lambda folder: copy_book(build_scripted_day(folder), folder / "whole.sqlite"))
    return copied_book(made / "whole.sqlite", tmp_path / "book.sqlite")


@pytest.fixture(scope="session")
def sample_book(once: Once) -> Path:
    """The sample trip planned and photographed, with its track, and no day written down."""
    from tests.services.night.sittings import build_sample

    return once("the-sample", lambda folder: build_sample(folder / "book.sqlite")) / "whole.sqlite"
