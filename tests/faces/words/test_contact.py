"""How a photographer is reached: addresses are links, everything else is words."""

import re

import pytest

from logbook.faces.words.contact import contact


@pytest.mark.parametrize(
    ("text", "links"),
    [
        ("ask@studio.example", ["mailto:ask@studio.example"]),
        ("mailto:ask@studio.example", ["mailto:ask@studio.example"]),
        ("https://studio.example/hire", ["https://studio.example/hire"]),
        ("Write to ask@studio.example, or see https://studio.example.", ["mailto:ask@studio.example",
            "https://studio.example"]),
        ("(ask@studio.example)", ["mailto:ask@studio.example"]),
        ("+43 5550 1234, ask for Ada", []),
        ("studio.example", []),
        ("http://studio.example", []),
        ("javascript:alert(1)", []),
        ("https://studio.example@evil.example", []),
        ("data:text/html,x@y.example", []),
    ],
)  # fmt: skip
def test_only_mail_and_secure_web_addresses_become_links(text: str, links: list[str]) -> None:
    shown = contact(text)
    assert shown is not None
    assert re.findall('href="([^"]*)"', shown) == links
    assert shown.striptags() == text.removeprefix("mailto:")


def test_markup_is_words() -> None:
    shown = str(contact('<b onclick="x()">ask@studio.example</b> "><script>'))
    assert "<b" not in shown
    assert "<script" not in shown
    assert "&lt;script&gt;" in shown


@pytest.mark.parametrize("text", [None, "", "  "])
def test_who_says_nothing_has_no_line(text: str | None) -> None:
    assert contact(text) is None
