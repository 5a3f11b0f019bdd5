"""Tables break, fill and colour their cells as the table library does, which answers no longer load."""

import io

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich import box
from rich.cells import cell_len
from rich.console import Console
from rich.table import Table
from rich.text import Text

from logbook.faces import tables
from logbook.faces.ink import Ink, marks_in
from logbook.faces.tables import column_widths, hyphened, record_lines, table_lines

WORDS = (
    *("made", "made (light)", "x", "doubtful, 0.3 stops too bright", "nd8 (inferred)", "long\nlines here"),
    *("high-valley-autumn", "a-very-long-name-2031-10-14-of-x", "2031-10-14", "  begins with blanks", ""),
    *("日本語テキスト", "Übergang", "🙂", "e\u0301x", "ته", "supercalifragilistic" * 3),
)
CELLS = st.lists(st.sampled_from(WORDS), max_size=12).map(" ".join)
Drawn = tuple[list[str], list[list[str]], int]


@st.composite
def drawn(draw: st.DrawFn) -> Drawn:
    """Heads, rows, and room in which each column keeps a few columns."""
    number = draw(st.integers(1, 6))
    heads = draw(st.lists(st.sampled_from(("at", "what was planned")), min_size=number, max_size=number))
    rows = draw(st.lists(st.lists(CELLS, min_size=number, max_size=number), min_size=1, max_size=4))
    return heads, rows, draw(st.integers(10 * number, 150))


def coloured(text: str) -> Text:
    """A cell as the library takes it."""
    shown = Text(text)
    for start, end, ink in marks_in(text):
        shown.stylize(str(ink), start, end)
    return shown


def by_library(heads: list[str], rows: list[list[str]], room: int) -> str:
    """What the table library writes, coloured, for columns of the same widths."""
    widths = column_widths([list(column) for column in zip(heads, *rows, strict=True)], room)
    table = Table(box=box.SIMPLE_HEAD, pad_edge=False, show_edge=False, padding=(0, 1, 0, 0))
    for head, wide in zip(heads, widths, strict=True):
        table.add_column(head, overflow="fold", width=wide)
    for row in rows:
        table.add_row(*(coloured(hyphened(cell, wide)) for cell, wide in zip(row, widths, strict=True)))
    return written_by_library(table)


def written_by_library(*shown: Table | Text, room: int = 1000) -> str:
    """What the table library writes to a terminal of 16 colours."""
    file = io.StringIO()
    console = Console(
        file=file, width=room, highlight=False, force_terminal=True, color_system="standard", no_color=False
    )
    for one in shown:
        console.print(one)
    return file.getvalue()


def seen(text: str) -> list[list[tuple[str, str]]]:
    """The signs of each line with their colours; the colours of blanks nobody sees."""
    lines = Text.from_ansi(text).split("\n", allow_blank=True)
    result = []
    for line in lines:
        styles = [""] * len(line)
        for span in line.spans:
            styles[span.start : span.end] = [str(span.style)] * (span.end - span.start)
        pairs = zip(line.plain, styles, strict=True)
        result.append([(sign, "" if sign.isspace() else style) for sign, style in pairs])
    return result


@pytest.fixture(autouse=True)
def _coloured(monkeypatch: pytest.MonkeyPatch) -> None:
    codes = {Ink.HEADING: 1, Ink.ASIDE: 2, Ink.GOOD: 32, Ink.DOUBT: 33, Ink.BAD: 31}
    monkeypatch.setattr(tables, "inked", lambda text, ink: f"\x1b[{codes[ink]}m{text}\x1b[0m")


@pytest.mark.slow
@given(drawn())
def test_a_table_has_the_lines_and_colours_of_the_library(table: Drawn) -> None:
    assert seen("\n".join(table_lines(*table))) == seen(by_library(*table).rstrip("\n"))


@given(drawn())
def test_a_table_keeps_to_its_room_and_its_lines_are_equally_long(table: Drawn) -> None:
    lengths = {Text.from_ansi(line).cell_len for line in table_lines(*table)}
    assert len(lengths) == 1
    assert lengths.pop() <= table[2]


@given(CELLS, st.dictionaries(st.sampled_from(("at", "the light", "planned settings")), CELLS, min_size=1))
def test_a_record_has_the_lines_and_colours_of_the_library(title: str, pairs: dict[str, str]) -> None:
    title = " ".join(title.split())
    beside = Table(box=None, show_header=False, pad_edge=False)
    beside.add_column(style="dim", no_wrap=True)
    beside.add_column(overflow="fold")
    for name, value in pairs.items():
        beside.add_row(name, Text(value))
    expected = written_by_library(Text(title, style="bold"), beside, room=60).rstrip("\n")
    found = "\n".join(record_lines(title, pairs, 60))
    assert [stripped(line) for line in seen(found)] == [stripped(line) for line in seen(expected)]


def stripped(line: list[tuple[str, str]]) -> list[tuple[str, str]]:
    """A line without the blanks at its end."""
    while line and line[-1][0].isspace():
        line = line[:-1]
    return line


def test_a_head_that_is_broken_ends_beside_the_others(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(tables, "inked", lambda text, _ink: text)
    assert [line.rstrip() for line in table_lines(("at", "what was planned"), [["1", "2"]], 12)] == [
        "    what was",
        "at  planned",
        "────────────",
        "1   2",
    ]


def test_a_sign_that_is_wider_than_its_column_ends() -> None:
    lines = list(record_lines("", {"name": "日本語"}, 5))
    assert [cell_len(Text.from_ansi(line).plain) for line in lines[1:]] == [8, 8, 8]
