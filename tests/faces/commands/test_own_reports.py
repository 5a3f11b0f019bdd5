"""What this program published does not come back as a picture, and a rebuild takes nothing from a person."""

import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

Run = Callable[..., Any]
IMPORT = ("keeper", "import", "pics", "-r", "--trip", "valley")
CLIENT = ("report", "valley", "--for", "client", "--into", "pics/web/client")


@pytest.fixture
def run(logbook: Run, tmp_path: Path) -> Run:
    """A trip with one picture, and its reports inside the picture folder."""
    (tmp_path / "pics" / "web").mkdir(parents=True)
    Image.effect_noise((640, 480), 60).convert("RGB").save(tmp_path / "pics" / "a.jpg")
    assert logbook("trip", "add", "Valley", "--zone", "UTC").status == 0
    assert logbook(*IMPORT).status == 0
    assert logbook(*CLIENT, "--zip").status == 0
    assert logbook("report", "--all", "--for", "archive", "--into", "pics/web/all").status == 0
    return logbook


@pytest.mark.slow
def test_reports_in_the_picture_folder_are_passed_by_and_named(run: Run, tmp_path: Path) -> None:
    taken = run(*IMPORT)
    assert taken.out.startswith("1 already known")
    for name in ("client", "all"):
        assert f"Skipped {tmp_path}/pics/web/{name}: " in taken.err
    assert run(*CLIENT).status == 0


@pytest.mark.slow
def test_so_are_they_under_another_name_and_unpacked_from_a_zip(run: Run, tmp_path: Path) -> None:
    shutil.unpack_archive(tmp_path / "pics" / "web" / "client.zip", tmp_path / "pics" / "sent")
    shutil.move(tmp_path / "pics" / "web" / "client", tmp_path / "pics" / "best of")
    shutil.copytree(tmp_path / "pics" / "best of", tmp_path / "pics" / "copy")
    taken = run(*IMPORT, "--json").data
    assert (taken["added"], taken["known"]) == (0, 1)
    names = {Path(name).relative_to(tmp_path / "pics").as_posix() for name in taken["made_here"]}
    assert names == {"sent/client", "best of", "copy", "web/all"}


def test_the_demo_is_passed_by(logbook: Run, demo: Path, tmp_path: Path) -> None:
    shutil.copytree(demo, tmp_path / "pics" / "demo")
    Image.new("RGB", (64, 48)).save(tmp_path / "pics" / "a.jpg")
    logbook("trip", "add", "Valley", "--zone", "UTC")
    taken = logbook(*IMPORT, "--json").data
    assert (taken["added"], len(taken["made_here"])) == (1, 3)


@pytest.mark.slow
def test_a_folder_of_nothing_else_is_refused_in_one_sentence(run: Run, tmp_path: Path) -> None:
    refused = run("keeper", "import", "pics/web/client/pictures", "--trip", "valley")
    assert refused.status == 1
    assert "only those of a report made by this program" in refused.err.replace("\n", " ")


@pytest.mark.slow
def test_an_edited_report_is_kept_when_told(run: Run, tmp_path: Path) -> None:
    folder = tmp_path / "pics" / "web" / "client"
    (folder / "index.html").write_text("mine", encoding="utf-8")
    (folder / "own").mkdir()
    refused = run(*CLIENT)
    assert refused.status == 1
    assert '"index.html" changed, "own/" added' in refused.err.replace("\n", " ")
    assert (folder / "index.html").read_text(encoding="utf-8") == "mine"
    built = run(*CLIENT, "--keep-mine", "--zip", "--json")
    assert (built.status, built.data["kept"]) == (0, ["index.html.mine", "own/"])
    assert (folder / "index.html.mine").read_text(encoding="utf-8") == "mine"
    assert "Take them out before you send the folder." in built.err.replace("\n", " ")
    checked = run("report", "--check", "pics/web/client", "--json")
    assert (checked.status, checked.data["not_listed"]) == (0, ["index.html.mine", "own/"])
    assert run(*CLIENT, "--json").data["kept"] == []
    whole = ("report", "--all", "--for", "archive", "--into", "pics/web/all")
    (tmp_path / "pics" / "web" / "all" / "notes.txt").write_text("mine", encoding="utf-8")
    assert run(*whole).status == 1
    assert run(*whole, "--keep-mine", "--json").data["kept"] == ["notes.txt"]
