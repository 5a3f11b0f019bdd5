"""What the tests of the faces share: running the program in this process, books to run it on, a browser."""

import fcntl
import io
import json
import os
import pty
import re
import shutil
import struct
import subprocess
import sys
import termios
from collections.abc import Callable, Iterator
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from logbook.faces.main import status_of
from logbook.intake import workers
from tests.examples import slow
from tests.faces.fonts import SETS, configured
from tests.kept_helpers import KeptHelper
from tests.once import Once, copied_book

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


@pytest.fixture(autouse=True)
def _helpers_are_kept(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(workers, "_Helper", KeptHelper)


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


OnTerminal = Callable[..., list[str]]


@pytest.fixture
def on_terminal(tmp_path: Path) -> OnTerminal:
    """Run the program in a terminal of 80 columns, in this test's folder, and return the lines it wrote."""

    def run(*arguments: str, columns: int = 80) -> list[str]:
        ours, its = pty.openpty()
        fcntl.ioctl(its, termios.TIOCSWINSZ, struct.pack("HHHH", 24, columns, 0, 0))
        line = [sys.executable, "-m", "logbook", "--book", str(tmp_path / "book.sqlite"), *arguments]
        path = os.pathsep.join((str(Path(__file__).parents[2]), os.environ.get("PYTHONPATH", "")))
        hidden = ("COLUMNS", "LINES", "NO_COLOR", "FORCE_COLOR")
        environment = {name: value for name, value in os.environ.items() if name not in hidden}
        environment |= {"PYTHONPATH": path, "TERM": "xterm"}
        program = subprocess.Popen(line, stdin=its, stdout=its, stderr=its, cwd=tmp_path, env=environment)
        os.close(its)
        written = b""
        with suppress(OSError):  # as a terminal says that nobody writes any more
            while more := os.read(ours, 65536):
                written += more
        os.close(ours)
        program.wait(timeout=60)
        plain = re.sub(r"\x1b\[[0-9;]*m", "", written.decode())
        return plain.replace("\r\n", "\n").rstrip("\n").split("\n")

    return run


@pytest.fixture(scope="session")
def stocked_book(once: Once) -> Path:
    """A book with a trip, a site, a viewpoint and a shot."""

    def fill(folder: Path) -> None:
        for line in (
            ("trip", "add", "High valley", "--zone", "Asia/Dushanbe"),
            ("site", "add", "Quarry", "--position", "38.2 N 73.4 E"),
            ("viewpoint", "add", "Quarry ledge", "--site", "quarry", "--facing", "NW"),
            ("shot", "add", "Bridge flow", "--viewpoint", "quarry-ledge", "--on", "2031-10-14"),
        ):
            assert status_of(["--book", str(folder / "book.sqlite"), *line]) == 0

    return once("the-stocked", fill) / "book.sqlite"


@pytest.fixture
def stocked(logbook: Run, stocked_book: Path, tmp_path: Path) -> Run:
    """Run the program on a copy of that book."""
    copied_book(stocked_book, tmp_path / "book.sqlite")
    return logbook


@pytest.fixture
def on_demo(demo: Path, logbook: Run, tmp_path: Path) -> Run:
    """Run the program on a copy of the demo's book, beside the sample trip and a second copy."""
    for name in ("book.sqlite", "laptop.sqlite"):
        copied_book(demo / "book.sqlite", tmp_path / name)
    (tmp_path / "sample_trip").symlink_to(Path(__file__).parents[2] / "sample_trip")
    return logbook


@pytest.fixture(scope="session")
def all_trips(demo: Path, once: Once) -> Path:
    """The report over all trips of the demo's book."""

    def fill(folder: Path) -> None:
        book = copied_book(demo / "book.sqlite", folder / "book.sqlite")
        line = ("report", "--all", "--for", "archive", "--into", str(folder / "all"))
        assert status_of(["--book", str(book), *line]) == 0

    return once("the-trips", fill) / "all"


@pytest.fixture
def on_report(demo: Path, on_demo: Run, tmp_path: Path) -> Run:
    """The same with the demo's report for the client in `client`: built again, it takes the pictures over."""
    shutil.copytree(demo / "client", tmp_path / "client")
    return on_demo


Launch = Callable[..., "Browser"]


@pytest.fixture(scope="module")
def launch() -> Iterator[Launch]:
    """Start headless Chromium of the system; closed after each module, since it occupies the event loop."""
    found = [path for name in CHROMIUM_NAMES if (path := shutil.which(name))]
    if not found:
        pytest.skip("Chromium is not installed")
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        yield lambda **how: playwright.chromium.launch(executable_path=found[0], args=list(QUIET), **how)


@pytest.fixture(scope="module")
def browser(launch: Launch) -> Iterator["Browser"]:
    """A browser with the fonts of this machine."""
    opened = launch()
    yield opened
    opened.close()


FIRST, *OTHERS = SETS


@pytest.fixture(scope="module", params=[FIRST, *slow(*OTHERS)])
def browser_with_fonts(
    request: pytest.FixtureRequest, launch: Launch, tmp_path_factory: pytest.TempPathFactory
) -> Iterator["Browser"]:
    """A browser that knows one set of fonts alone, whatever is installed."""
    file = configured(request.param, tmp_path_factory.mktemp("fonts"))
    opened = launch(env={**os.environ, "FONTCONFIG_FILE": str(file)})
    yield opened
    opened.close()
