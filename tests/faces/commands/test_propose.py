"""`logbook keeper propose`: stable keys, nothing stored, and what the sample's last day is made to show."""

import shlex
import shutil
from pathlib import Path
from typing import Any

import pytest

from logbook.domain.words import KitKind, Packing
from logbook.services.plans import packing
from tests.faces.conftest import OnTerminal, Run
from tests.services.conftest import valley_book
from tests.services.keepers.test_asked_filters import QUESTION, take
from tests.services.night.sittings import dump_of

ON_LAST_DAY = ("keeper", "propose", "--trip", "high-valley", "--on", "2025-10-18")


@pytest.fixture
def proposed(logbook: Run, sample_book: Path, tmp_path: Path) -> Any:
    """What is proposed for the sample's last day."""
    shutil.copyfile(sample_book, tmp_path / "book.sqlite")
    before = dump_of(tmp_path / "book.sqlite")
    answer = logbook(*ON_LAST_DAY, "--json")
    assert answer.status == 0, answer.err
    assert dump_of(tmp_path / "book.sqlite") == before
    return answer.data


def test_the_keys_are_stable(proposed: Any) -> None:
    assert {"clocks", "sets", "filters", "matches", "visits"} <= set(proposed)
    for name, keys in (
        ("clocks", {"body", "offset_s", "zone", "evidence", "doubts"}),
        ("sets", {"kind", "keepers"}),
        ("filters", {"keepers", "jump_stops", "explanations"}),
        ("matches", {"keeper", "shot", "kind", "reason"}),
        ("visits", {"viewpoint", "arrived", "departed", "keepers"}),
    ):
        assert proposed[name], name
        assert all(keys <= set(one) for one in proposed[name])
    for one in proposed["filters"]:
        assert all(set(why) == {"filters", "stops", "cost"} for why in one["explanations"])
        costs = [why["cost"] for why in one["explanations"]]
        assert costs == sorted(costs)
    assert {one["kind"] for one in proposed["matches"]} <= {"shot", "replacement"}


def test_the_body_seven_minutes_off_is_found(proposed: Any) -> None:
    (thistle,) = (one for one in proposed["clocks"] if one["body"] == "Halvern Thistle")
    assert thistle["offset_s"] == 420
    assert thistle["zone"] == "Asia/Dushanbe"
    assert "gps time" in thistle["evidence"][0]


def test_the_bracket_is_found(proposed: Any) -> None:
    (bracket,) = (one for one in proposed["sets"] if one["kind"] == "bracket")
    assert bracket["keepers"] == ["TRN_0472.JPG", "TRN_0473.JPG", "TRN_0474.JPG"]


def test_the_ten_stop_jump_has_all_its_explanations(proposed: Any) -> None:
    (jump,) = (one for one in proposed["filters"] if one["keepers"] == ["TRN_0479.JPG"])
    assert jump["jump_stops"] == pytest.approx(10, abs=1 / 3)
    stacks = [sorted(why["filters"]) for why in jump["explanations"]]
    assert ["nd1000"] in stacks
    assert ["nd128", "nd8"] in stacks


def test_dusk_and_the_bracket_are_not_taken_for_filters(proposed: Any) -> None:
    asserted = {keeper for one in proposed["filters"] for keeper in one["keepers"]}
    assert not asserted & {"TRN_0472.JPG", "TRN_0473.JPG", "TRN_0474.JPG", "TRN_0484.JPG"}


def test_the_same_in_words(logbook: Run, sample_book: Path, tmp_path: Path) -> None:
    shutil.copyfile(sample_book, tmp_path / "book.sqlite")
    answer = logbook(*ON_LAST_DAY)
    assert answer.status == 0
    assert "nd8 + nd128 (10.0 stops)" in answer.out
    assert (
        "Clock of Halvern Thistle: 7 min slow, by gps time: TRN_0424.JPG (proposed, not taken; "
        in " ".join(answer.out.split())
    )
    assert max(len(line) for line in answer.out.splitlines()) <= 80


def test_a_clock_that_nobody_took_is_a_proposal_with_the_command_that_takes_it(
    logbook: Run, sample_book: Path, tmp_path: Path
) -> None:
    shutil.copyfile(sample_book, tmp_path / "book.sqlite")
    listing = ("keeper", "clock", "--trip", "high-valley", "--body", "halv")
    taking = "logbook keeper clock --trip high-valley --body 'Halvern Thistle' --slow 420"
    assert f'(proposed, not taken; "{taking}" takes it)' in " ".join(logbook(*listing).out.split())
    assert [one["taken"] for one in logbook(*listing, "--json").data] == [False]
    assert logbook(*shlex.split(taking)[1:]).status == 0
    assert logbook(*listing).out == "Clock of Halvern Thistle: 7 min slow, as stated\n"
    assert [one["taken"] for one in logbook(*listing, "--json").data] == [True]


@pytest.fixture
def doubtful_book(tmp_path: Path) -> Path:
    """A day on which the light behind the lens fell by 2.6 stops, set by hand, with an nd8 packed."""
    book = valley_book(tmp_path / "book.sqlite")
    kit = {"title": "nd8", "kind": KitKind.FILTER, "filter_name": "nd8"}
    packing.add_kit(book, kit, None, "valley", {"packing": Packing.TAKEN})
    take(book, tmp_path / "doubtful", {1205: 250, 1206: 250, 1207: 40, 1208: 40})
    return tmp_path / "book.sqlite"


def test_what_cannot_be_decided_is_asked_with_both_answers(logbook: Run, doubtful_book: Path) -> None:
    before = dump_of(doubtful_book)
    answer = logbook("keeper", "propose", "--on", "2031-10-14", "--json")
    assert answer.status == 0, answer.err
    (asked,) = answer.data["filters"]
    assert asked["asked"] is True
    assert asked["question"] == QUESTION
    assert asked["keepers"] == ["TRN_1207.JPG", "TRN_1208.JPG"]
    assert asked["answers"] == [
        {"answer": "nd8 on", "filters": ["nd8"]},
        {"answer": "the light has fallen", "filters": []},
    ]
    assert dump_of(doubtful_book) == before


def test_an_answered_question_is_no_longer_asked(logbook: Run, doubtful_book: Path) -> None:
    noting = ("keeper", "note", "1205-1208", "--filters", "1205 none, 1206 none, rest nd8")
    assert logbook(*noting).status == 0
    assert logbook("keeper", "propose", "--on", "2031-10-14", "--json").data["filters"] == []


def test_what_is_asserted_is_not_asked(proposed: Any) -> None:
    asserted = [one for one in proposed["filters"] if not one["asked"]]
    assert asserted
    assert all((one["question"], one["answers"]) == (None, []) for one in asserted)


def test_the_question_fits_a_terminal(on_terminal: OnTerminal, doubtful_book: Path) -> None:
    lines = on_terminal("keeper", "propose", "--on", "2031-10-14")
    assert max(map(len, lines)) <= 80
    assert QUESTION in " ".join(" ".join(lines).split())
