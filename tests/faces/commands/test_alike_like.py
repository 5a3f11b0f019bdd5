"""`logbook alike --like TEXT`: a place that is not in the book, in the words of `find`."""

from pathlib import Path

import pytest

from tests.faces.conftest import Run
from tests.once import copied_book

LIKE = ("alike", "--like", "crowded pier, no tripod")
WISH = ("--wish", "1s", "--f-number", "16", "--ev", "15", "--owned", "nd8,nd4")


@pytest.fixture
def on_demo(logbook: Run, demo_book: Path, tmp_path: Path) -> Run:
    """Run the program on a copy of the demo's book."""
    copied_book(demo_book, tmp_path / "book.sqlite")
    return logbook


def test_it_answers_as_alike_does_and_says_what_the_wish_comes_to(on_demo: Run) -> None:
    answer = on_demo(*LIKE, *WISH)
    assert answer.status == 0
    assert answer.err.startswith("Read as crowd dozens or more, pier")
    assert "Your wish there: too bright" in answer.out
    assert "Most like that description: Slip harbour" in answer.out
    data = on_demo(*LIKE, *WISH, "--json").data
    assert list(data) == ["read", "not_compared", "wish", "sites"]
    assert data["wish"]["verdict"] == "too bright"
    assert data["sites"][0]["site"] == "slip-harbour"
    assert on_demo(*LIKE, "--json").data["wish"] is None


@pytest.mark.parametrize(
    ("line", "why"),
    [
        (("alike", "--like", "xyzzy"), 'Nothing in "xyzzy" can be compared'),
        (("alike", "long-dune", "--like", "dune"), "either a SITE in the book or --like"),
        (("alike", "long-dune", "--wish", "1s"), "goes with a place described by --like"),
        ((*LIKE, "--ev", "15"), "go with a --wish"),
        ((*LIKE, "--wish", "1s", "--f-number", "16", "--owned", "nd4"), "--ev 15"),
        ((*LIKE, "--wish", "1s"), "--f-number"),
    ],
)
def test_a_slip_gets_one_sentence(on_demo: Run, line: tuple[str, ...], why: str) -> None:
    answer = on_demo(*line)
    assert (answer.status, answer.out) == (2, "")
    assert why in " ".join(answer.err.split())
