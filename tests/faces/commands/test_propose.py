"""`logbook keeper propose`: stable keys, nothing stored, and what the sample's last day is made to show."""

import shlex
import shutil
from pathlib import Path
from typing import Any

import piexif
import pytest
from PIL import Image

from logbook.domain.words import KitKind, Packing
from logbook.services.plans import packing
from tests.faces.conftest import Answer, OnTerminal, Run
from tests.once import copied_book
from tests.services.conftest import valley_book
from tests.services.keepers.test_asked_filters import QUESTION, take
from tests.services.night.sittings import dump_of

ON_LAST_DAY = ("keeper", "propose", "--trip", "high-valley", "--on", "2025-10-18")


@pytest.fixture
def proposed(logbook: Run, sample_book: Path, tmp_path: Path) -> Any:
    """What is proposed for the sample's last day."""
    copied_book(sample_book, tmp_path / "book.sqlite")
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
    copied_book(sample_book, tmp_path / "book.sqlite")
    answer = logbook(*ON_LAST_DAY)
    assert answer.status == 0
    told = " ".join(answer.out.split())
    assert (
        "Clocks 1 The clock of Halvern Thistle is 7 min slow: by GPS time: TRN_0424.JPG Sets 2 Bracket of"
        in told
    )
    assert "nd1000 on TRN_0479.JPG: 10 stops darker or nd128 + pol, nd8 + nd128" in told
    assert max(len(line) for line in answer.out.splitlines()) <= 80


def test_a_clock_that_nobody_took_is_a_proposal_with_the_command_that_takes_it(
    logbook: Run, sample_book: Path, tmp_path: Path
) -> None:
    copied_book(sample_book, tmp_path / "book.sqlite")
    listing = ("keeper", "clock", "--trip", "high-valley", "--body", "halv")
    taking = "logbook keeper clock --trip high-valley --body 'Halvern Thistle' --slow 420"
    assert f'(proposed, not stated; "{taking}" states it)' in " ".join(logbook(*listing).out.split())
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


@pytest.mark.slow
def test_the_question_fits_a_terminal(on_terminal: OnTerminal, doubtful_book: Path) -> None:
    lines = on_terminal("keeper", "propose", "--on", "2031-10-14")
    assert max(map(len, lines)) <= 80
    told = " ".join(" ".join(lines).split())
    assert "nd8 on TRN_1207-1208: if a filter was changed there; 2.7 stops less light" in told
    assert "no filter on TRN_1207-1208: if only the light has fallen; 2.7 stops less light" in told


@pytest.fixture
def day(logbook: Run, sample_book: Path, tmp_path: Path) -> Run:
    """The sample's last day, of which nothing is written down, with its list shown."""
    copied_book(sample_book, tmp_path / "book.sqlite")
    assert logbook(*ON_LAST_DAY).status == 0
    return logbook


def accept(run: Run, numbers: str) -> Answer:
    return run("keeper", "accept", numbers, "--trip", "high-valley")


def keepers(run: Run) -> list[dict[str, Any]]:
    listed = run("keeper", "list", "--trip", "high-valley", "--json").data
    return [{name: value for name, value in one.items() if name != "updated"} for one in listed]


def numbered(run: Run) -> list[tuple[int, str]]:
    return [(one["number"], one["says"]) for one in run(*ON_LAST_DAY, "--json").data["numbered"]]


@pytest.mark.slow
def test_what_is_taken_by_number_is_stated_at_once_and_undone_at_once(day: Run) -> None:
    before, listed = keepers(day), numbered(day)
    answer = accept(day, "1-2,4-5,9")
    assert answer.status == 0, answer.err
    assert '5 stated; "logbook undo" reverses this.' in answer.out
    smooth = day("keeper", "show", "0479", "--trip", "high-valley", "--json").data
    assert (smooth["filters"], smooth["shot"]) == (["nd1000"], "gorge-smooth")
    assert {smooth["provenance"].get(name, "stated") for name in ("filters", "shot")} == {"stated"}
    assert smooth["clock_offset_s"] == 420
    assert [one["kind"] for one in day("keeper", "sets", "--trip", "high-valley", "--json").data] == [
        "bracket"
    ]
    (visit,) = day("visit", "list", "--json").data
    assert visit["viewpoint"] == "north-rim"
    assert visit["provenance"]["arrived_at"] == "inferred", "its times are those of its frames"
    assert {says for _, says in numbered(day)} < {says for _, says in listed}
    assert keepers(day) != before
    assert day("undo").status == 0
    assert keepers(day) == before
    assert numbered(day) == listed


def test_numbers_mean_the_list_that_was_shown_until_another_is_shown(day: Run) -> None:
    last = numbered(day)[-1]
    assert accept(day, "1").status == 0
    assert accept(day, "2").status == 0
    assert last[1] in accept(day, str(last[0])).out


def test_what_has_changed_or_was_taken_is_refused_and_nothing_is_stated(day: Run, tmp_path: Path) -> None:
    (number,) = (number for number, says in numbered(day) if says == "nd1000 on TRN_0479.JPG")
    assert day("keeper", "note", "0479", "--trip", "high-valley", "--filters", "nd64").status == 0
    before = dump_of(tmp_path / "book.sqlite")
    answer = accept(day, f"1,{number}")
    assert (answer.status, answer.out) == (1, "")
    assert (
        f"Nothing was stated: {number} has already been accepted, or has changed since it was shown"
        in answer.err
    )
    assert dump_of(tmp_path / "book.sqlite") == before
    assert accept(day, "1").status == 0
    assert accept(day, "1").status == 1


def test_numbers_that_were_not_shown_are_refused_in_one_sentence(
    day: Run, logbook: Run, tmp_path: Path
) -> None:
    for wrong, status in (("99", 1), ("0", 1), ("3x", 2), ("7-5", 2), ("", 2)):
        answer = accept(day, wrong)
        assert (answer.status, answer.out, answer.err.count("\n")) == (status, "", 1), wrong
    shutil.copyfile(tmp_path / "book.sqlite", tmp_path / "other.sqlite")
    answer = logbook("keeper", "accept", "1", "--trip", "high-valley", "--book", "other.sqlite")
    assert answer.status == 1
    assert '"logbook keeper propose --trip high-valley-autumn" shows them' in answer.err


@pytest.mark.slow
def test_both_answers_to_one_question_contradict_each_other(logbook: Run, doubtful_book: Path) -> None:
    shown = logbook("keeper", "propose", "--on", "2031-10-14", "--json").data["numbered"]
    one, other = (row["number"] for row in shown if row["about"] == "filters")
    before = dump_of(doubtful_book)
    answer = logbook("keeper", "accept", f"{one},{other}")
    assert answer.status == 1
    assert f"{one} and {other} contradict each other" in answer.err
    assert dump_of(doubtful_book) == before
    assert logbook("keeper", "accept", str(other)).status == 0
    assert logbook("keeper", "show", "1207", "--json").data["filters"] == []
    assert logbook("keeper", "propose", "--on", "2031-10-14", "--json").data["filters"] == []


def at_the_wall(path: Path, taken: str) -> None:
    """A picture taken at a position, by a camera that says nothing of its zone."""
    where = {
        piexif.GPSIFD.GPSLatitude: ((38, 1), (42, 1), (0, 1)),
        piexif.GPSIFD.GPSLatitudeRef: "N",
        piexif.GPSIFD.GPSLongitude: ((9, 1), (24, 1), (0, 1)),
        piexif.GPSIFD.GPSLongitudeRef: "W",
    }
    body = {piexif.ImageIFD.Make: "Halvern", piexif.ImageIFD.Model: "Thistle"}
    exif = {"0th": body, "Exif": {piexif.ExifIFD.DateTimeOriginal: taken}, "GPS": where}
    Image.new("RGB", (60, 40), (len(taken), int(taken[-5:-3]), int(taken[-8:-6]))).save(
        path, exif=piexif.dump(exif)
    )


@pytest.fixture
def over_the_change(logbook: Run, tmp_path: Path) -> Run:
    """A trip over the change to winter time, with a camera that nobody turned back."""
    (tmp_path / "p").mkdir()
    at_the_wall(tmp_path / "p" / "A_0001.JPG", "2025:10:25 17:00:00")
    at_the_wall(tmp_path / "p" / "A_0002.JPG", "2025:10:26 18:00:00")
    at_the_wall(tmp_path / "p" / "A_0003.JPG", "2025:10:26 18:05:00")
    for args in (
        ("trip", "add", "Autumn coast", "--zone", "Europe/Lisbon"),
        ("site", "add", "Mill"),
        ("viewpoint", "add", "Sluice wall", "--site", "mill", "--position", "38.7 -9.4"),
        ("keeper", "import", str(tmp_path / "p")),
    ):
        assert logbook(*args).status == 0
    return logbook


def test_a_clock_accepted_after_a_change_of_the_clocks_is_that_of_the_days_before_too(
    over_the_change: Run,
) -> None:
    shown = over_the_change("keeper", "propose", "--on", "2025-10-26")
    assert "1 The clock of Halvern Thistle is 1 h fast" in " ".join(shown.out.split())
    accepted = over_the_change("keeper", "accept", "1,2", "--json")
    assert accepted.status == 0, accepted.err
    found = over_the_change("keeper", "list", "--json").data
    assert [(one["file"], one["clock_offset_s"]) for one in found] == [
        ("A_0001.JPG", 0),
        ("A_0002.JPG", -3600),
        ("A_0003.JPG", -3600),
    ]


def test_a_visit_by_a_corrected_clock_is_not_stated_without_the_correction(over_the_change: Run) -> None:
    over_the_change("keeper", "propose", "--on", "2025-10-26")
    refused = over_the_change("keeper", "accept", "2")
    assert refused.status == 1
    assert "depend on the clock of Halvern Thistle, which 1 corrects" in refused.err
    assert over_the_change("visit", "list", "--json").data == []


def test_of_a_stay_without_pictures_only_its_times_are_worked_out(logbook: Run, tmp_path: Path) -> None:
    """Nobody knows what it was for, and an unknown purpose is not one that somebody left unstated."""
    points = "".join(
        f'<trkpt lat="38.7" lon="-9.4"><time>2025-10-27T10:{minute:02d}:00Z</time></trkpt>'
        for minute in range(50)
    )
    (tmp_path / "walk.gpx").write_text(
        '<gpx version="1.1" creator="receiver" xmlns="http://www.topografix.com/GPX/1/1">'
        f"<trk><trkseg>{points}</trkseg></trk></gpx>",
        encoding="utf-8",
    )
    for args in (
        ("trip", "add", "Autumn coast", "--zone", "Europe/Lisbon"),
        ("site", "add", "Mill"),
        ("viewpoint", "add", "Sluice wall", "--site", "mill", "--position", "38.7 -9.4"),
        ("track", "import", str(tmp_path / "walk.gpx")),
        ("keeper", "propose", "--on", "2025-10-27"),
        ("keeper", "accept", "1"),
    ):
        answer = logbook(*args)
        assert answer.status == 0, (args, answer.err)
    (visit,) = logbook("visit", "list", "--json").data
    assert visit["purpose"] is None
    assert visit["provenance"] == {"arrived_at": "inferred", "departed_at": "inferred"}
    assert "times" in logbook("visit", "list").out
