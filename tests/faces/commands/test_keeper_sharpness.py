"""`logbook keeper sharpness`, and the measuring that follows an import."""

from pathlib import Path

import pytest

from logbook.domain.errors import UnreadableFileError
from logbook.services.keepers import sharpness
from tests.faces.conftest import Run
from tests.services.shaken import OUT_OF_FOCUS, SHAKEN, STILL, shoot


@pytest.fixture
def folder(logbook: Run, tmp_path: Path) -> str:
    shoot(tmp_path / "pictures", (STILL, SHAKEN, OUT_OF_FOCUS))
    assert logbook("trip", "add", "High valley", "--zone", "Asia/Dushanbe").status == 0
    return str(tmp_path / "pictures")


@pytest.mark.slow
def test_an_import_says_what_it_took_in_and_then_which_seem_soft(logbook: Run, folder: str) -> None:
    answer = logbook("keeper", "import", folder)
    assert (answer.status, answer.out) == (0, "3 added.\n")
    assert answer.err == (
        'Sharpness of 3 measured: 2 pictures seem soft; "logbook keeper sharpness" shows which.\n'
    )
    assert logbook("keeper", "import", folder).err == ""


@pytest.mark.slow
def test_the_pictures_that_seem_soft_are_named_with_the_command_that_confirms_it(
    logbook: Run, folder: str
) -> None:
    logbook("keeper", "import", folder)
    answer = logbook("keeper", "sharpness")
    told = " ".join(answer.out.split())
    assert told.startswith("TRN_2102.JPG seems soft: its edges are ")
    assert "those of TRN_2101.JPG, the sharpest of 3 frames of this view; the blur runs one way" in told
    assert "TRN_2103.JPG seems soft" in told
    assert "the blur runs in all directions" in told
    assert max(map(len, answer.out.splitlines())) < 80
    command = next(line for line in answer.err.splitlines() if line.endswith("--judged soft"))
    assert logbook(*command.split()[1:]).status == 0
    shown = logbook("keeper", "show", "2102", "--json").data
    assert (shown["sharpness"], shown["provenance"]["sharpness"]) == ("soft", "stated")


@pytest.mark.slow
def test_json_tells_the_measure_and_where_it_came_from(logbook: Run, folder: str) -> None:
    logbook("keeper", "import", folder, "--json")
    rows = logbook("keeper", "sharpness", "--json").data
    assert list(rows[1]) == ["keeper", "file", "said", "measured"]
    found = rows[1]["measured"]
    assert (found["proposed"], found["provenance"], found["frames"]) == ("soft", "inferred", 3)
    assert found["lost_px"] > 5
    assert found["sharpest"] == "TRN_2101.JPG"
    listed = logbook("keeper", "list", "--json").data
    assert [one["measured"] for one in listed] == [one["measured"] for one in rows]
    assert {one["sharpness"] for one in listed} == {None}
    proposed = logbook("keeper", "propose", "--json").data["sharpness"]
    assert proposed == rows


@pytest.mark.slow
def test_an_import_can_do_without_and_the_measuring_be_made_up_for(logbook: Run, folder: str) -> None:
    assert logbook("keeper", "import", folder, "--no-measure").err == ""
    rows = logbook("keeper", "sharpness", "--no-measure", "--json").data
    assert [one["measured"] for one in rows] == [None] * 3
    assert "not measured yet" in logbook("keeper", "sharpness", "--no-measure").err
    assert "3 measured" in logbook("keeper", "import", folder).err


@pytest.mark.slow
def test_an_import_is_done_where_nothing_can_be_measured(
    logbook: Run, folder: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(*_: object) -> None:
        raise UnreadableFileError("no helper process could be started")

    monkeypatch.setattr(sharpness, "measure", fail)
    answer = logbook("keeper", "import", folder)
    assert (answer.status, answer.out) == (0, "3 added.\n")
    assert "was not measured: no helper" in answer.err


@pytest.mark.slow
def test_stopped_while_it_measures_the_import_stands(
    logbook: Run, folder: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    def stop(*_: object) -> None:
        raise KeyboardInterrupt

    with monkeypatch.context() as patched:
        patched.setattr(sharpness, "measure", stop)
        answer = logbook("keeper", "import", folder)
    assert answer.out.startswith("3 added")
    assert "Stopped; what was confirmed is kept" in answer.err
    assert "Sharpness of 3 measured" in logbook("keeper", "import", folder).err


@pytest.mark.slow
def test_undo_after_an_import_takes_the_pictures_back_and_not_the_measuring(
    logbook: Run, folder: str
) -> None:
    logbook("keeper", "import", folder)
    assert logbook("undo").status == 0
    assert logbook("keeper", "list", "--json").data == []
    assert "3 added" in logbook("keeper", "import", folder).out
    assert [one["said"] for one in logbook("keeper", "sharpness", "--json").data] == [None] * 3
