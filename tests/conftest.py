"""Shared by all tests: nothing may be skipped where the machine promises everything.

A test whose outside program is missing skips and says so; with LOGBOOK_NO_SKIP=1, as in CI, that is a failure.
"""

import os
from collections.abc import Iterator

import pytest

NO_SKIP = "LOGBOOK_NO_SKIP"


@pytest.fixture(autouse=True)
def _no_book_of_the_person(monkeypatch: pytest.MonkeyPatch) -> None:
    """No test may meet the book of whoever runs it."""
    monkeypatch.delenv("LOGBOOK_BOOK", raising=False)


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(item: pytest.Item, call: pytest.CallInfo[None]) -> Iterator[None]:
    report = yield
    if os.environ.get(NO_SKIP) and report.skipped and not hasattr(report, "wasxfail"):
        report.outcome = "failed"
        report.longrepr = f"{item.nodeid} was skipped, but {NO_SKIP} is set: {report.longrepr}"
    return report
