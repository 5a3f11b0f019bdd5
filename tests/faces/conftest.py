"""What the tests of the faces share: running the program in this process, books to run it on, a browser."""

import io
import json
import shutil
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from logbook.faces.main import status_of

if TYPE_CHECKING:
    from playwright.sync_api import Browser

CHROMIUM_NAMES = ("chromium", "chromium-browser", "google-chrome")
QUIET = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-first-run",
)


@dataclass(frozen=True)
class Answer:
    """What the program answered."""

    status: int
    out: str
    err: str

    @property
    def data(self) -> Any:
        """The answer read as JSON."""
        return json.loads(self.out)


Run = Callable[..., Answer]


@pytest.fixture
def logbook(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Run:
    """Run the program on a book of this test's own, in a folder of its own."""
    monkeypatch.setenv("LOGBOOK_BOOK", str(tmp_path / "book.sqlite"))
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr("sys.stdin", io.StringIO())  # whoever asks a question here meets the end of the input

    def run(*arguments: str) -> Answer:
        capsys.readouterr()
        status = status_of(list(arguments))
        out, err = capsys.readouterr()
        return Answer(status, out, err)

    return run


@pytest.fixture
def stocked(logbook: Run) -> Run:
    """Run the program on a book with a trip, a site, a viewpoint and a shot."""
    for line in (
        ("trip", "add", "High valley", "--zone", "Asia/Dushanbe"),
        ("site", "add", "Quarry", "--position", "38.2 N 73.4 E"),
        ("viewpoint", "add", "Quarry ledge", "--site", "quarry", "--facing", "NW"),
        ("shot", "add", "Bridge silk", "--viewpoint", "quarry-ledge", "--on", "2031-10-14"),
    ):
        answer = logbook(*line)
        assert answer.status == 0, answer.err
    return logbook


@pytest.fixture
def on_demo(demo: Path, logbook: Run, tmp_path: Path) -> Run:
    """Run the program on a copy of the demo's book, beside the sample trip and a second copy."""
    for name in ("book.sqlite", "laptop.sqlite"):
        shutil.copyfile(demo / "book.sqlite", tmp_path / name)
    (tmp_path / "sample_trip").symlink_to(Path(__file__).parents[2] / "sample_trip")
    return logbook


@pytest.fixture(scope="module")
def browser() -> Iterator["Browser"]:
    """Headless Chromium of the system; closed after each module, since it occupies the event loop."""
    found = [path for name in CHROMIUM_NAMES if (path := shutil.which(name))]
    if not found:
        pytest.skip("Chromium is not installed")
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        opened = playwright.chromium.launch(executable_path=found[0], args=list(QUIET))
        yield opened
        opened.close()
