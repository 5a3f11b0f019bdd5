"""Words to the terminal: results to stdout, everything else to stderr, tables that fit 80 columns.

One surprising decision: text that came from a file or a person is printed without control characters, so that
no name or note can steer the terminal.
"""

import json
import re
import sys
import textwrap
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from typing import Any

_CONTROL = re.compile(r"[\x00-\x08\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]")
NARROW_SLUG = 11  # columns of a slug on a narrow screen
WIDTH_WITHOUT_TERMINAL = 100  # columns, when the output is a file or a pipe
PROSE_WIDTH = 79  # columns; one less than the narrowest usual terminal has


def clean(text: str) -> str:
    """Return text without control and direction-override characters."""
    return _CONTROL.sub("�", text)


def say(text: str) -> None:
    """Tell the person something that is not the result."""
    print(clean(text), file=sys.stderr)


def answer(text: str) -> None:
    """Print the result."""
    print(clean(text))


CHECK_AGAIN = (
    "Closures, rules and water are as observed on their dates; check them again before you rely on them."
)


def answer_prose(text: str, indent: str = "") -> None:
    """Print sentences, broken between words so that they fit 80 columns."""
    from textwrap import fill

    print(fill(clean(text), PROSE_WIDTH, initial_indent=indent, subsequent_indent=indent))


def answer_json(value: Any) -> None:
    """Print the result as JSON; control characters are escaped, so that reading it back loses nothing."""
    text = json.dumps(value, ensure_ascii=False, indent=2)
    print(_CONTROL.sub(lambda found: f"\\u{ord(found[0]):04x}", text))


def answer_table(columns: Sequence[str], rows: Sequence[Sequence[str]], empty: str) -> None:
    """Print rows as a table, or the sentence `empty` on stderr where there are none."""
    if not rows:
        say(empty)
        return
    from rich import box
    from rich.console import Console
    from rich.table import Table
    from rich.text import Text

    console = Console(width=None if sys.stdout.isatty() else WIDTH_WITHOUT_TERMINAL, highlight=False)
    narrow = console.width < WIDTH_WITHOUT_TERMINAL
    table = Table(box=box.SIMPLE_HEAD, pad_edge=False, show_edge=False, padding=(0, 1, 0, 0))
    for column in columns:
        table.add_column(column, overflow="fold")
    for row in rows:
        table.add_row(*(Text(_broken(clean(cell)) if narrow else clean(cell)) for cell in row))
    console.print(table)


def _broken(cell: str) -> str:
    """Break a long slug at its hyphens, because a table on a narrow screen would break it anywhere."""
    if " " in cell or len(cell) <= NARROW_SLUG:
        return cell
    return textwrap.fill(cell, NARROW_SLUG, break_long_words=False)


def answer_pairs(title: str, pairs: Mapping[str, str]) -> None:
    """Print one record: its title, then its known fields, one a line."""
    from rich.console import Console
    from rich.table import Table
    from rich.text import Text

    console = Console(width=None if sys.stdout.isatty() else WIDTH_WITHOUT_TERMINAL, highlight=False)
    console.print(Text(clean(title), style="bold"))
    table = Table(box=None, show_header=False, pad_edge=False)
    table.add_column(style="dim", no_wrap=True)
    table.add_column(overflow="fold")
    for name, value in pairs.items():
        table.add_row(name, Text(clean(value)))
    console.print(table)


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
