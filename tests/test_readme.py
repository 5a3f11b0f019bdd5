"""What the README shows is run as a newcomer would type it, in a terminal of 80 by 24, and is true.

One surprising decision: a line `…` stands for lines left out, and what stands behind a prompt of the night is
typed there; all else that is shown must be what is answered, line for line.
"""

import fcntl
import os
import pty
import re
import shutil
import signal
import struct
import subprocess
import sys
import termios
from collections.abc import Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")
BLOCK = re.compile(r"^```(\w+)\n(.*?)^```$", re.MULTILINE | re.DOTALL)
COLUMNS, LINES = 80, 24
LONGEST = 195  # lines of the README
LEFT_OUT = "…"
HOME = "/home/you/logbook"  # stands for the folder in which one is
SHORT = 45  # characters of its path
PROMPT = re.compile(r"^((?:The day|Clocks|Stay \d+|Plans|Looking back)>) ?(.*)$", re.MULTILINE)
ESCAPES = re.compile(r"\x1b\[[0-9;?]*[A-Za-z]|\x1b[=>]")
SCREENS = {
    "logbook",
    "logbook night",
    "logbook report",
    "logbook worked",
    "logbook light",
}


@dataclass
class Step:
    """A command and what is shown of its answer, or a file that is shown."""

    command: str = ""
    shown: list[str] = field(default_factory=list)
    file: str = ""


def steps(text: str) -> list[Step]:
    """Return each command and each file that is shown, in their order."""
    found: list[Step] = []
    for kind, body in BLOCK.findall(text):
        if kind == "markdown":
            found.append(Step(file=body))
        for line in re.sub(r"\\\n\s*", "", body).splitlines() if kind == "console" else ():
            if line.startswith("$ "):
                found.append(Step(line[2:]))
            else:
                found[-1].shown.append(line)
    return found


def answered(command: str, typed: Sequence[str], folder: Path, environment: Mapping[str, str]) -> list[str]:
    """Return the lines that a command writes to a terminal, while these lines are typed."""
    ours, its = pty.openpty()
    fcntl.ioctl(its, termios.TIOCSWINSZ, struct.pack("HHHH", LINES, COLUMNS, 0, 0))
    with subprocess.Popen(
        ["sh", "-c", command],
        cwd=folder,
        env=environment,
        stdin=subprocess.PIPE,
        stdout=its,
        stderr=subprocess.PIPE,
    ) as program:
        os.close(its)
        assert program.stdin is not None
        assert program.stderr is not None
        with suppress(BrokenPipeError):  # of a command that asks nothing
            program.stdin.write("".join(f"{line}\n" for line in typed).encode())
            program.stdin.close()
        written = b""
        with suppress(OSError):  # as a terminal says that nobody writes any more
            while more := os.read(ours, 65536):
                written += more
        os.close(ours)
        assert program.wait(120) == 0, f"{command}: {program.stderr.read().decode()}"
    text = ESCAPES.sub("", written.decode()).replace("\r\n", "\n").replace(str(folder), HOME)
    return [line.rstrip() for line in PROMPT.sub(r"\1", text).splitlines()]


def shows(shown: Sequence[str], answer: Sequence[str]) -> bool:
    """Whether the lines shown are those of the answer in order, with none left out but where `…` says so."""
    chunks: list[list[str]] = [[]]
    for line in shown:
        if line == LEFT_OUT:
            chunks.append([])
        else:
            chunks[-1].append(PROMPT.sub(r"\1", line).rstrip())
    at = 0
    for number, chunk in enumerate(chunks):
        first = {0: [0]}.get(number, range(at, len(answer) - len(chunk) + 1))
        if number == len(chunks) - 1 and number and chunk:
            first = [len(answer) - len(chunk)]
        found = next((one for one in first if list(answer[one : one + len(chunk)]) == chunk), None)
        if found is None or found < at:
            return False
        at = found + len(chunk)
    return at == len(answer) or chunks[-1] == []


def open_and_close(folder: Path, environment: Mapping[str, str]) -> None:
    """The pages answer with their address until Ctrl-C."""
    command = ["logbook", "open", "--no-browser"]
    with subprocess.Popen(command, cwd=folder, env=environment, stdout=subprocess.PIPE, text=True) as opened:
        assert opened.stdout is not None
        assert opened.stdout.readline().startswith("http://127.0.0.1:")
        opened.send_signal(signal.SIGINT)
        assert opened.wait(60) == 0


def newcomer(home: Path) -> dict[str, str]:
    """The environment of somebody who has just put `logbook` on their path."""
    programs = home / "programs"
    programs.mkdir(parents=True)
    (programs / "logbook").write_text(
        f'#!/bin/sh\nexec "{sys.executable}" -m logbook "$@"\n', encoding="utf-8"
    )
    (programs / "logbook").chmod(0o755)
    hidden = ("COLUMNS", "LINES", "FORCE_COLOR")
    return {name: value for name, value in os.environ.items() if name not in hidden} | {
        "HOME": str(home),
        "PATH": f"{programs}{os.pathsep}{os.environ['PATH']}",
        "PYTHONPATH": str(ROOT),
        "TERM": "xterm",
    }


@pytest.fixture
def here() -> Iterator[Path]:
    """A folder with a path as short as a person's: a long one would break lines where the README does not."""
    with TemporaryDirectory(prefix="you-") as folder:
        assert len(folder) <= SHORT
        yield Path(folder)


@pytest.mark.slow
def test_every_command_of_the_readme_works_in_order_and_answers_as_shown(demo: Path, here: Path) -> None:
    shutil.copytree(demo, here / "demo")
    home = here / "home"
    environment = newcomer(home)
    said = (demo.parent / "said.txt").read_text(encoding="utf-8").replace(str(demo.parent), HOME)
    run = 0
    for step in steps(README):
        command = step.command
        if step.file:
            named = re.search(r"^date: (\S+)$", step.file, re.MULTILINE)
            (here / f"{named[1] if named else 'plan'}.md").write_text(step.file, encoding="utf-8")
        elif "pip install" in command:
            assert not step.shown or shows(step.shown, said.splitlines()), said
        elif command.startswith("export "):
            name, _, value = command.removeprefix("export ").partition("=")
            environment[name] = value.replace("~", str(home))
        else:
            typed = [found[2] for line in step.shown if (found := PROMPT.match(line))]
            answer = answered(command, typed, here, environment)
            assert not step.shown or shows(step.shown, answer), "\n".join([command, *answer])
            run += 1
    assert run >= 10
    open_and_close(here, environment)


def test_the_readme_is_short_fits_80_columns_and_shows_the_screens_of_the_main_commands() -> None:
    assert len(README.splitlines()) <= LONGEST
    shown = {" ".join(step.command.split()[:2]): step.shown for step in steps(README) if step.shown}
    assert set(shown) >= SCREENS
    for command, lines in shown.items():
        assert max(map(len, lines)) <= COLUMNS, command


def test_lines_may_be_left_out_only_where_it_is_said() -> None:
    answer = ["one", "two", "", "three", "four"]
    assert shows(answer, answer)
    assert shows(["one", "…", "three", "…"], answer)
    assert shows(["…", "four"], answer)
    assert not shows(["one", "two"], answer)
    assert not shows(["two", "…"], answer)
    assert not shows(["one", "three", "…"], answer)
    assert not shows(["…", "three", "…", "two", "…"], answer)
    assert not shows(["…", "three"], answer)
