"""The pages to look things up, in the browser."""

import pytest

from logbook.faces.topics import topics
from tests.faces.private.visitor import Visitor


@pytest.mark.slow
def test_the_private_pages_show_every_topic(visitor: Visitor) -> None:
    index = visitor.ask("/help").text
    for one in topics():
        assert f'href="/help/{one.name}"' in index
        page = visitor.ask(f"/help/{one.name}").text
        assert f"<h1>{one.title}</h1>" in page
        assert page.count("<table>") == one.text.count("| --- | --- |")
        assert "\\|" not in page


def test_another_topic_is_not_there(visitor: Visitor) -> None:
    answer = visitor.ask("/help/nothing")
    assert 400 <= answer.status < 500
    assert "There is no topic" in answer.text
