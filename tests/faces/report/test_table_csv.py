"""The table as a file: strict RFC 4180 bytes, read back by outside readers, and no formula in it."""

import csv
import io
import re
from collections.abc import Callable
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.domain.account import TripAccount
from logbook.domain.words import Audience, Provenance
from logbook.faces.report import BuiltReport
from logbook.faces.report.models import Cell, Column, Table, Value
from logbook.faces.report.table_csv import table_csv

# RFC 4180, section 2, the grammar, with TEXTDATA and escaped text widened to UTF-8 as RFC 7111 has it; every
# record of ours ends with a CRLF, the last too (rule 2 leaves that open).
FIELD = rb'(?:"(?:[^"]|"")*"|[^",\r\n]*)'
STRICT = re.compile(rb"(?:" + FIELD + rb"(?:," + FIELD + rb")*\r\n)+")
STARTS = "=+-@\t\r"  # OWASP, "CSV Injection"


def table(*texts: str) -> Table:
    """One column of text beside a picture's number."""
    rows = tuple(
        (Cell((Value(f"Picture {n}"),), exact=str(n)), Cell((Value(text),)))
        for n, text in enumerate(texts, 1)
    )
    return Table(
        "", ("Picture", "Words"), rows, explained=(Column("Picture", "", "Picture"), Column("Words", ""))
    )


def read(content: bytes) -> list[list[str]]:
    return list(csv.reader(io.StringIO(content.decode("utf-8"), newline=""), strict=True))


@given(st.lists(st.text(st.characters(codec="utf-8", exclude_characters="\x00")), min_size=1, max_size=5))
def test_any_text_comes_back_as_it_was_or_with_one_apostrophe_before_a_formula(texts: list[str]) -> None:
    content = table_csv(table(*texts))
    assert STRICT.fullmatch(content)
    rows = read(content)
    assert rows[0] == ["Picture", "Words"]
    for n, (text, row) in enumerate(zip(texts, rows[1:], strict=True), 1):
        assert row[0] == str(n)
        assert row[1] in (text, f"'{text}")
        assert not row[1].startswith(tuple(STARTS)) or re.fullmatch(r"-?\d+(\.\d+)?", row[1], re.ASCII)


@pytest.mark.parametrize("text", ["=1+1", "+1 EV", "-2+3", "@SUM(A1)", "=cmd|' /C calc'!A0", "＝1"])
def test_what_a_spreadsheet_would_calculate_is_made_text(text: str) -> None:
    assert read(table_csv(table(text)))[1][1] == f"'{text}"


@pytest.mark.parametrize("text", ["-0.67", "f/8", "1/125 s", "−⅔ EV", "nd8 + nd8"])
def test_numbers_and_plain_text_stay_as_they_are(text: str) -> None:
    assert read(table_csv(table(text)))[1][1] == text


def test_commas_quotes_and_line_ends_are_quoted() -> None:
    content = table_csv(table('a "b", c\nd'))
    assert content == b'Picture,Words\r\n1,"a ""b"", c\nd"\r\n'


@pytest.mark.parametrize("audience", Audience)
def test_a_report_holds_the_settings_that_its_page_shows_and_links_to_them(
    account: TripAccount, build: Callable[..., BuiltReport], audience: Audience
) -> None:
    origins = {**account.keepers[0].provenance, "filters": Provenance.ASSUMED}
    one = replace(account.keepers[0], provenance=origins)
    report = build(replace(account, keepers=(one, *account.keepers[1:])), audience)
    content = (report.index.parent / "settings.csv").read_bytes()
    assert STRICT.fullmatch(content)
    header, *rows = read(content)
    assert len({len(row) for row in rows} | {len(header)}) == 1
    assert len(header) == len(set(header))
    by_number = {row[0]: dict(zip(header, row, strict=True)) for row in rows}
    first = by_number["1" if audience is Audience.CLIENT else "2"]  # before it "gone", of the same minute
    assert (first["Shutter speed"], float(first["Shutter speed (s)"]), first["Shutter speed from"]) == (
        "1/125 s",
        1 / 125,
        "camera",
    )
    assert (first["Aperture"], first["Aperture (f-number)"]) == ("f/8", "8")
    assert (first["Filters"], first["Filters (stops)"], first["Filters from"]) == (
        "nd8 + nd8",
        "6",
        "assumed",
    )
    if audience is not Audience.CLIENT:
        gone = by_number["1"]
        assert (gone["Filters"], gone["Filters (stops)"], gone["Filters from"]) == ("unknown", "", "")
    assert ("Support" in header) is (audience is not Audience.CLIENT)
    assert '<a href="settings.csv" download>' in report.index.read_text("utf-8")


def test_a_trip_without_pictures_has_no_file_and_no_link(
    account: TripAccount, build: Callable[..., BuiltReport]
) -> None:
    report = build(replace(account, keepers=(), sets=()), Audience.STUDENTS)
    assert not (report.index.parent / "settings.csv").exists()
    assert "settings.csv" not in report.index.read_text("utf-8")


def test_a_data_frame_reads_the_same(account: TripAccount, build: Callable[..., BuiltReport]) -> None:
    pandas = pytest.importorskip("pandas")
    report = build(account, Audience.STUDENTS)
    frame = pandas.read_csv(report.index.parent / "settings.csv", keep_default_na=False)
    assert list(frame["Picture"]) == [1, 2, 3, 4]
    assert frame["Shutter speed (s)"].tolist() == [1 / 125] * 4
    assert set(frame["ISO (number)"]) == {200}
