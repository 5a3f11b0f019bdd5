"""`logbook open`: the address first, then pages until somebody closes them."""

import os
import re
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from html import unescape
from pathlib import Path
from urllib.parse import urlsplit
from urllib.request import url2pathname

import pytest

from tests.faces.private.visitor import Visitor


@contextmanager
def running(book: Path, *more: str, browser: str = "") -> Iterator[subprocess.Popen[str]]:
    """The command as a process of its own, with a browser or without."""
    command = [sys.executable, "-m", "logbook", "--book", str(book), "open", *more]
    command += [] if browser else ["--no-browser"]
    surroundings = os.environ | {"BROWSER": browser}
    with subprocess.Popen(
        command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, env=surroundings
    ) as process:
        try:
            yield process
        finally:
            if process.poll() is None:
                process.kill()


def port_of(line: str) -> int:
    """The port of the printed address."""
    found = re.fullmatch(r"http://127\.0\.0\.1:([0-9]+)/\?key=[\w-]{43}(?:&to=\S+)?\n", line)
    assert found is not None, line
    return int(found[1])


@pytest.mark.slow
@pytest.mark.parametrize("example", [("--trip", "high-valley", "--on", "2025-10-18"), ()])
def test_the_first_line_is_the_address_and_ctrl_c_ends_it_well(
    book_path: Path, example: tuple[str, ...]
) -> None:
    with running(book_path, *example) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        line = process.stdout.readline()
        visitor = Visitor(port_of(line))
        entered = visitor.come_in(line.strip())
        assert entered.status == 303
        asked_for_day = entered.headers["Location"].endswith("/high-valley-autumn/evening/2025-10-18")
        assert asked_for_day == bool(example)
        assert visitor.ask(entered.headers["Location"]).status == 200
        process.send_signal(signal.SIGINT)
        assert process.wait(30) == 0
        assert process.stdout.read() == "", "nothing but the address goes to standard output"
        assert "Traceback" not in process.stderr.read()


@pytest.mark.slow
def test_the_list_of_processes_does_not_show_the_key(book_path: Path, tmp_path: Path) -> None:
    called = tmp_path / "called"
    browser = tmp_path / "browser"
    browser.write_text(
        f'#!/bin/sh\necho "$@" > {called}.part && mv {called}.part {called}\n', encoding="utf-8"
    )
    browser.chmod(0o700)
    with running(book_path, "--port", "0", browser=f"{browser} %s") as process:
        assert process.stdout is not None
        address = process.stdout.readline().strip()
        while not called.exists():
            assert process.poll() is None
            time.sleep(0.05)
        letter = Path(url2pathname(urlsplit(called.read_text(encoding="utf-8").strip()).path))
        assert address not in called.read_text(encoding="utf-8")
        assert address in unescape(letter.read_text(encoding="utf-8"))
        assert (letter.stat().st_mode & 0o777, letter.parent.stat().st_mode & 0o777) == (0o600, 0o700)
        process.send_signal(signal.SIGINT)
        assert process.wait(30) == 0
    assert not letter.exists()


@pytest.mark.slow
def test_a_page_can_close_the_book(book_path: Path) -> None:
    with running(book_path) as process:
        assert process.stdout is not None
        line = process.stdout.readline()
        visitor = Visitor(port_of(line))
        visitor.come_in(line.strip())
        assert visitor.send("/close").status == 200
        assert process.wait(30) == 0


@pytest.mark.slow
def test_a_port_that_is_taken_is_one_sentence(book_path: Path) -> None:
    with running(book_path) as process:
        assert process.stdout is not None
        port = port_of(process.stdout.readline())
        with running(book_path, "--port", str(port)) as second:
            out, err = second.communicate(timeout=60)
        assert (second.returncode, out) == (1, "")
        assert err.startswith(f"logbook: Port {port} cannot be used")


@pytest.mark.slow
def test_where_there_is_no_book_nothing_is_served(tmp_path: Path) -> None:
    with running(tmp_path / "none.sqlite") as process:
        out, err = process.communicate(timeout=60)
    assert (process.returncode, out) == (1, "")
    assert "There is no book at" in err
    assert not (tmp_path / "none.sqlite").exists()
