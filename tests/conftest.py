"""Shared by all tests: nothing may be skipped where the machine promises everything.

A test whose outside program is missing skips and says so; with LOGBOOK_NO_SKIP=1, as in CI, it fails.
"""

import os
import subprocess
import sys
from collections.abc import Generator, Iterator
from pathlib import Path

import hypothesis
import pytest

NO_SKIP = "LOGBOOK_NO_SKIP"

# Busy machines are slow, which is no fault of an example. CI tries the same examples every time; a person's
# runs try others, and what they find is written down as a test of its own.
hypothesis.settings.register_profile("logbook", deadline=None, derandomize=bool(os.environ.get("CI")))
hypothesis.settings.load_profile("logbook")


@pytest.fixture(autouse=True)
def _no_book_of_the_person(monkeypatch: pytest.MonkeyPatch) -> None:
    """No test may meet the book of whoever runs it."""
    monkeypatch.delenv("LOGBOOK_BOOK", raising=False)


@pytest.fixture(autouse=True, scope="session")
def _no_state_of_the_person(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """What tests write is remembered apart from what whoever runs them wrote."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_STATE_HOME", str(tmp_path_factory.mktemp("state")))
        yield


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(
    item: pytest.Item, call: pytest.CallInfo[None]
) -> Generator[None, pytest.TestReport, pytest.TestReport]:
    report = yield
    if os.environ.get(NO_SKIP) and report.skipped and not hasattr(report, "wasxfail"):
        report.outcome = "failed"
        report.longrepr = f"{item.nodeid} was skipped, but {NO_SKIP} is set: {report.longrepr}"
    return report


@pytest.fixture(scope="session")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo as the README's first command leaves it: `book.sqlite` and a folder for each audience."""
    folder = tmp_path_factory.mktemp("demo") / "demo"
    done = subprocess.run(
        [sys.executable, "-m", "logbook", "demo", "--into", str(folder)],
        capture_output=True,
        text=True,
        timeout=300,
    )
    assert done.returncode == 0, done.stderr
    return folder


@pytest.fixture(autouse=True)
def _no_list_of_the_person(monkeypatch: pytest.MonkeyPatch, tmp_path_factory: pytest.TempPathFactory) -> None:
    """What is remembered of files lies in a folder of the tests."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path_factory.getbasetemp() / "cache"))
