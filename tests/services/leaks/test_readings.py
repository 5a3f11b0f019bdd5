"""A file is read as what it is: words without markup, figures without measures, views out of drawings."""

import pytest

from logbook.faces.report.drawings.map import cone_path
from logbook.faces.report.drawings.svg import element
from logbook.services.leaks.readings import reading_of


def test_words_run_on_through_tags_but_not_through_cells() -> None:
    reading = reading_of("a.html", "<p>hol<b>low</b> Arch<td>one</td><td>two</td><p title='said'>")
    assert "hollow Arch" in reading.words
    assert "one | " in reading.words
    assert "said" in reading.words
    assert "ilse@mail.example" in reading_of("a.md", "write to <ilse@mail.example>").words


def test_a_drawings_measures_are_no_figures_but_its_words_are() -> None:
    reading = reading_of("a.svg", '<path d="M 47.333 1"/><text x="61.23">61.5 N</text><a href="?q=12.5">')
    assert "47.333" not in reading.figures
    assert "61.23" not in reading.figures
    assert "61.5 N" in reading.figures
    assert "12.5" in reading.figures


def test_of_json_the_values_are_read_and_keys_only_name_figures() -> None:
    reading = reading_of("a.json", '{"latitude_deg": 61.5, "title": "Arch <b>x</b>", "at": [1.5, 2.5]}')
    assert "title" not in reading.words
    assert "Arch x" in reading.words
    assert "latitude_deg 61.5" in reading.figures
    assert "at 1.5 2.5" in reading.figures


def test_a_calendar_is_unfolded_and_unescaped() -> None:
    assert "Hollow Arch, at six\nand" in reading_of("a.ics", "SUMMARY:Hol\r\n low Arch\\, at six\\nand").words


def test_a_tables_figures_stand_beside_the_head_of_their_column() -> None:
    assert "Direction 225" in reading_of("a.csv", "File,Direction\r\na,225\r\n").figures


def test_what_a_description_holds_as_data_is_read_too() -> None:
    assert "Hollow Arch" in reading_of("a.kml", "<k><![CDATA[<p>Hollow <i>Arch</i></p>]]></k>").words


@pytest.mark.parametrize("text", ["{broken", "<p <b>>", "a,\x00,b", '"', ""])
def test_what_is_broken_is_read_as_it_stands(text: str) -> None:
    for name in ("a.json", "a.html", "a.csv", "a.ics"):
        assert isinstance(reading_of(name, text).words, str)


@pytest.mark.parametrize("facing", [0.0, 37.5, 123.0, 225.0, 359.0])
@pytest.mark.parametrize("angle", [20.0, 84.0, 200.0])
def test_a_view_is_read_out_of_its_drawing(facing: float, angle: float) -> None:
    cone = element("path", d=cone_path(100, 80, facing, angle, 46), class_="cone")
    (view,) = reading_of("a.html", cone).views
    assert (view - facing + 180) % 360 - 180 == pytest.approx(0, abs=0.1)
