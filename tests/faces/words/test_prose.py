"""Free text becomes clean HTML and nothing else."""

from html.parser import HTMLParser

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logbook.faces.words.prose import line, prose
from tests.examples import examples

HOSTILE = [
    "<script>alert(1)</script>",
    "<img src=x onerror=alert(1)>",
    "![x](https://elsewhere.example/p.gif)",
    "[x](javascript:alert(1))",
    "[x](JaVa\tScript:alert(1))",
    "[x](data:text/html,<script>alert(1)</script>)",
    "[x](../../secret.html)",
    "[x](//elsewhere.example)",
    "<svg onload=alert(1)><style>*{background:url(https://elsewhere.example)}</style>",
    "<a href='https://a.example' onclick='alert(1)' style='position:fixed'>x</a>",
    "<iframe src=https://elsewhere.example></iframe><base href=//e.example>",
    "<meta http-equiv=refresh content=0>",
    "</div></main><form action=https://e.example><input name=a>",
    "<h1 id=content>Title</h1>",
    "[x]: https://a.example 'onmouseover=alert(1)'\n\n[x]",
]
TAGS = {
    "a",
    "b",
    "blockquote",
    "br",
    "code",
    "dd",
    "del",
    "dl",
    "dt",
    "em",
    "hr",
    "i",
    "li",
    "ol",
    "p",
    "pre",
}
TAGS |= {"s", "strong", "sub", "sup", "ul"}


class Checker(HTMLParser):
    """Fails on any tag or attribute that a cleaned text may not have."""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        assert tag in TAGS
        for name, value in attrs:
            assert tag == "a"
            assert name in {"href", "rel"}
            if name == "href":
                assert value is not None
                assert value.startswith(("https://", "http://", "mailto:"))
            else:
                assert value == "noopener noreferrer nofollow"


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_text_leaves_no_hostile_markup(text: str) -> None:
    Checker().feed(str(prose(text) or ""))
    assert "alert(1)" not in str(prose(text) or "") or "script" not in text.lower()[:8]


@settings(max_examples=examples(2))
@given(st.text(st.sampled_from("<>/=\"'[]()!ahrefscriptonx: \n*_`&;\\#"), max_size=120))
def test_no_arrangement_of_marks_makes_a_tag_that_is_not_allowed(text: str) -> None:
    Checker().feed(str(prose(text) or ""))


def test_markdown_is_kept() -> None:
    assert (
        str(prose("a *b* **c**\n\n- d")) == "<p>a <em>b</em> <strong>c</strong></p>\n<ul>\n<li>d</li>\n</ul>"
    )


def test_a_heading_becomes_a_bold_line() -> None:
    assert str(prose("# Day")) == "<p><strong>Day</strong></p>"


def test_a_picture_becomes_its_alternative_text() -> None:
    assert str(prose("![the old mill](mill.jpg)")) == "<p>the old mill</p>"


def test_text_cannot_turn_the_reading_direction_round() -> None:
    assert line("a\u202eb\u2066c\u0007") == "abc"
    hello = "\u05e9\u05dc\u05d5\u05dd \U0001f98c"
    assert line(hello) == f"\u2068{hello}\u2069"  # apart from whatever sentence it becomes part of


def test_nothing_is_nothing() -> None:
    assert prose(None) is None
    assert prose(" \n") is None
    assert prose("<script>x</script>") is None
