"""What the tests of the faces share: running the program in this process, and books to run it on."""

import io
import json
import shutil
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from logbook.faces.main import status_of


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
