"""Pieces of SVG: escaped, well formed, and words that keep apart."""

from itertools import pairwise
from xml.etree import ElementTree

from hypothesis import given
from hypothesis import strategies as st

from logbook.faces.report.drawings.svg import Rows, drawing, number, shortened, width_of, words


@given(st.text())
def test_any_text_gives_well_formed_markup(text: str) -> None:
    drawn = drawing("d-1", text, text, (10, 10), [words(text, 1, 2)], "map")
    root = ElementTree.fromstring(str(drawn))
    assert [child.tag for child in root] == ["title", "desc", "text"]


def test_a_hostile_name_stays_a_word() -> None:
    drawn = words('</text><script>alert("x")</script>', 0, 0)
    assert "<script" not in drawn
    assert "&lt;script&gt;" in drawn


def test_a_number_has_one_decimal_and_no_negative_nought() -> None:
    assert [number(value) for value in (1.0, 1.26, -0.01)] == ["1", "1.3", "0"]


def test_a_cut_text_says_so_and_fits() -> None:
    cut = shortened("The very long name of a ledge above the river", 100)
    assert cut.endswith("…")
    assert width_of(cut) <= 100


@given(st.lists(st.tuples(st.text("abc ", min_size=1, max_size=30), st.floats(0, 300)), max_size=20))
def test_words_in_rows_never_overlap(placed: list[tuple[str, float]]) -> None:
    rows = Rows(0, 300)
    by_row: dict[int, list[tuple[float, float]]] = {}
    for text, middle in sorted(placed, key=lambda one: one[1]):
        told, start, row = rows.place(text, middle)
        by_row.setdefault(row, []).append((start, start + width_of(told)))
        assert start >= 0
        assert start + width_of(told) <= 300.001
    for spans in by_row.values():
        assert all(first[1] <= second[0] for first, second in pairwise(spans))
