"""Words to the terminal: results to stdout, everything else to stderr, lines and tables that fit its columns.

One surprising decision: text that came from a file or a person is printed without control characters, so that
no name or note can steer the terminal.
"""

import json
import os
import re
import sys
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from typing import Any, TextIO

from logbook.faces.ink import Ink, inked
from logbook.faces.words.scripts import POP, SET_APART

_CONTROL = re.compile(r"[\x00-\x08\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]")
# What is not broken: a command behind a colon, what stands in quotes, and any other word.
_PIECE = re.compile(r'(?<=: )logbook .*|(?:(?<!\S)\(?"[^"]+"|\S)+')
_MARGIN = re.compile(r"\s*(?:[-*] )?")
WIDTH_WITHOUT_TERMINAL = 100  # columns, when the output is a file or a pipe
PROSE_WIDTH = 79  # columns; one less than the narrowest usual terminal has


def clean(text: str) -> str:
    """Return text without control and direction-override characters; a terminal needs no isolating signs."""
    return _CONTROL.sub("�", text.replace(SET_APART, "").replace(POP, ""))


def say(text: str) -> None:
    """Tell the person something that is not the result."""
    print(_fitted(clean(text), sys.stderr), file=sys.stderr)


def answer(text: str) -> None:
    """Print the result."""
    print(_fitted(clean(text), sys.stdout))


def answer_unbroken(text: str) -> None:
    """Print a result whose lines are its own, such as a file that somebody copies."""
    print(clean(text))


def answer_file(text: str) -> None:
    """Print a file's text as it is: its format keeps out what could steer a terminal."""
    sys.stdout.write(text)


CHECK_AGAIN = (
    "Closures, rules and water are as observed on the dates given; check them again before you rely on them."
)


def answer_prose(text: str, indent: str = "", ink: Ink | None = None) -> None:
    """Print sentences, broken between words so that they fit 80 columns."""
    lines = _broken(f"{indent}{clean(text)}", min(PROSE_WIDTH, columns_of(sys.stdout)))
    print("\n".join(inked(line, ink) for line in lines))


def columns_of(stream: TextIO) -> int:
    """Return how many columns lines may have on a terminal; elsewhere those of the narrowest usual one."""
    try:
        return os.get_terminal_size(stream.fileno()).columns or PROSE_WIDTH
    except (OSError, ValueError):  # no terminal
        return PROSE_WIDTH


def _fitted(text: str, stream: TextIO) -> str:
    """Return text broken between words where it goes to a terminal; elsewhere its lines stay as they are."""
    if not stream.isatty():
        return text
    columns = columns_of(stream)
    return "\n".join(piece for line in text.split("\n") for piece in _broken(line, columns))


def _broken(line: str, columns: int) -> list[str]:
    """Break a line between words, but never a command, a path, or, where it fits a line, what is quoted."""
    margin = _MARGIN.match(line)
    first = margin[0] if margin else ""
    if len(line) <= columns or line.startswith("logbook ", len(first)):
        return [line]
    room = max(1, columns - len(first))
    pieces = [
        word
        for piece in _PIECE.findall(line[len(first) :])
        for word in ([piece] if len(piece) <= room or "logbook " in piece else piece.split())
    ]
    lines: list[str] = []
    for piece in pieces:
        if lines and len(lines[-1]) + 1 + len(piece) <= room:
            lines[-1] += f" {piece}"
        else:
            lines.append(piece)
    return [f"{' ' * len(first) if number else first}{text}" for number, text in enumerate(lines)]


def answer_json(value: Any) -> None:
    """Print the result as JSON; control characters are escaped, so that reading it back loses nothing."""
    text = json.dumps(value, ensure_ascii=False, indent=2)
    print(_CONTROL.sub(lambda found: f"\\u{ord(found[0]):04x}", text))


def answer_table(columns: Sequence[str], rows: Sequence[Sequence[str]], empty: str) -> None:
    """Print rows as a table, or the sentence `empty` on stderr where there are none."""
    if not rows:
        say(empty)
        return
    from logbook.faces.tables import table_lines

    rule = "─" if (sys.stdout.encoding or "utf-8").lower().startswith("utf") else "-"
    cells = [[clean(cell) for cell in row] for row in rows]
    print("\n".join(table_lines(columns, cells, _room(), rule)))


def _room() -> int:
    """How many columns a table may have; whoever sets COLUMNS knows better than the terminal."""
    if not sys.stdout.isatty():
        return WIDTH_WITHOUT_TERMINAL
    told = os.environ.get("COLUMNS", "")
    return int(told) if told.isdecimal() else columns_of(sys.stdout)


def answer_pairs(title: str, pairs: Mapping[str, str]) -> None:
    """Print one record: its title, then its known fields, one a line."""
    from logbook.faces.tables import record_lines

    cleaned = {name: clean(value) for name, value in pairs.items()}
    print("\n".join(record_lines(clean(title), cleaned, _room())))


@contextmanager
def progress(what: str) -> Iterator[Callable[[int, int], None]]:
    """Show a progress bar on a terminal (stderr); elsewhere nothing."""
    if not sys.stderr.isatty():
        yield lambda _done, _total: None
        return
    from rich.console import Console
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

    with Progress(
        TextColumn("{task.description}"),
        BarColumn(),
        MofNCompleteColumn(),
        TimeRemainingColumn(),
        console=Console(stderr=True),
        transient=True,
    ) as bar:
        task = bar.add_task(what, total=None)
        yield lambda done, total: bar.update(task, completed=done, total=total)
