"""`logbook report` at the command line: checking, opening, packing, and what it refuses."""

import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

Run = Callable[..., Any]
FOR_CLIENT = ("report", "high-valley", "--for", "client", "--into", "client")


def test_a_report_says_what_to_open_and_passes_its_own_check(on_report: Run, tmp_path: Path) -> None:
    built = on_report(*FOR_CLIENT)
    assert (built.status, built.out) == (0, f"Open {tmp_path / 'client' / 'index.html'}\n")
    checked = on_report("report", "--check", "client")
    assert checked.status == 0
    assert checked.out == f"Nothing found in {tmp_path / 'client'} that a client must not see.\n"
    assert on_report("report", "--check", "client", "--json").data == {
        "for": "client",
        "trip": "high-valley-autumn",
        "found": [],
        "not_listed": [],
    }


@pytest.mark.slow
def test_a_check_names_the_file_and_what_it_shows_and_fails(on_report: Run, tmp_path: Path) -> None:
    on_report(*FOR_CLIENT)
    page = tmp_path / "client" / "index.html"
    html = page.read_text(encoding="utf-8")
    page.write_text(html.replace("Delivered", "By the Mere hide", 1), encoding="utf-8")
    checked = on_report("report", "--check", "client")
    assert (checked.status, checked.out) == (1, "")
    assert "index.html shows the name of a withheld place" in checked.err
    assert "Mere hide" not in checked.err  # the refusal must not tell the secret either
    assert "No record in the book contains it: the folder was changed from outside" in checked.err
    assert "Remove it from the texts" not in checked.err
    found = on_report("report", "--check", "client", "--json")
    assert found.status == 1
    assert {one["file"] for one in found.data["found"]} == {"index.html"}


@pytest.mark.slow
def test_a_build_that_would_leak_leaves_the_report_before_as_it_was(on_report: Run, tmp_path: Path) -> None:
    on_report(*FOR_CLIENT)
    before = (tmp_path / "client" / "index.html").read_bytes()
    keeper = on_report("keeper", "list", "--trip", "high-valley", "--json").data[0]
    name = Path(keeper["path"]).name
    assert (
        on_report(
            "keeper", "note", keeper["slug"], "--trip", "high-valley", "--caption", f"See {name}"
        ).status
        == 0
    )
    again = on_report(*FOR_CLIENT)
    assert again.status == 1
    assert "the file name of an original" in again.err
    assert (tmp_path / "client" / "index.html").read_bytes() == before


@pytest.mark.slow
def test_a_report_says_which_words_it_struck(on_report: Run) -> None:
    assert on_report("trip", "edit", "high-valley", "--private-name", "Ilse Brandauer").status == 0
    assert on_report("trip", "edit", "high-valley", "--summary", "Two weeks; Brandauers drove.").status == 0
    built = on_report(*FOR_CLIENT, "--json")
    assert {"word": "Brandauers", "record": "trip high-valley-autumn", "field": "summary"} in built.data[
        "struck"
    ]
    assert "Not shown to others: “Brandauers” (trip high-valley-autumn, summary)" in built.err


@pytest.mark.slow
def test_the_archive_is_never_called_fit_to_send(on_demo: Run) -> None:
    assert on_demo("report", "high-valley", "--for", "archive", "--into", "mine").status == 0
    checked = on_demo("report", "--check", "mine")
    assert checked.status == 1
    assert "for the photographer alone" in checked.err


@pytest.mark.slow
def test_zip_makes_one_file_to_send(on_report: Run, tmp_path: Path) -> None:
    answer = on_report(*FOR_CLIENT, "--zip")
    assert answer.status == 0
    assert "To send: " in answer.out
    with zipfile.ZipFile(tmp_path / "client.zip") as packed:
        assert packed.testzip() is None
        assert "client/index.html" in packed.namelist()
    assert on_report(*FOR_CLIENT, "--zip", "--json").data["zip"] == str(tmp_path / "client.zip")


@pytest.mark.slow
def test_open_hands_the_page_to_the_browser(
    on_report: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    opened = tmp_path / "opened"
    browser = tmp_path / "browser"
    browser.write_text(f'#!/bin/sh\nprintf %s "$1" > "{opened}"\n', encoding="utf-8")
    browser.chmod(0o755)
    monkeypatch.setenv("BROWSER", f"{browser} %s")
    import webbrowser

    monkeypatch.setattr(webbrowser, "_tryorder", None)  # so that BROWSER is read anew
    assert on_report(*FOR_CLIENT, "--open").status == 0
    assert opened.read_text(encoding="utf-8") == (tmp_path / "client" / "index.html").as_uri()


@pytest.mark.parametrize(
    ("arguments", "status", "said"),
    [
        (("report",), 2, "--for client, students or archive"),
        (("report", "high-valley", "--for", "client"), 2, "--into DIR"),
        (("report", "--check", "nowhere"), 1, "no folder"),
        (("report", "--check", "sample_trip"), 2, "does not say which trip"),
        ((*FOR_CLIENT, "--serve", "--host", "0.0.0.0"), 2, "this machine only"),
        ((*FOR_CLIENT, "--serve", "--port", "70000"), 2, "no port 70000"),
    ],
)
def test_what_it_cannot_do_is_said_in_one_sentence(
    on_demo: Run, tmp_path: Path, arguments: tuple[str, ...], status: int, said: str
) -> None:
    answer = on_demo(*arguments)
    assert (answer.status, answer.out) == (status, "")
    assert said in answer.err
    assert answer.err.count("\n") == 1
    assert not (tmp_path / "client").exists()


def test_many_missing_originals_are_told_in_one_line_and_none_left_is_refused(
    logbook: Run, tmp_path: Path
) -> None:
    logbook("trip", "add", "Valley", "--zone", "Asia/Dushanbe")
    (tmp_path / "pictures").mkdir()
    for number in range(6):
        Image.new("RGB", (40, 30), (40 * number, 90, 60)).save(tmp_path / "pictures" / f"P_{number}.JPG")
    logbook("keeper", "import", "pictures")
    for number in range(1, 6):
        (tmp_path / "pictures" / f"P_{number}.JPG").unlink()
    built = logbook("report", "valley", "--for", "client", "--into", "out")
    assert built.status == 0
    assert "5 of 6 pictures are not shown, such as" in built.err
    assert "logbook keeper locate FOLDER" in built.err
    assert built.err.count("original is gone") == 1
    (tmp_path / "pictures" / "P_0.JPG").unlink()
    refused = logbook("report", "valley", "--for", "client", "--into", "other")
    assert (refused.status, refused.out) == (1, "")
    assert "None of the 6 pictures can be shown" in refused.err
    assert not (tmp_path / "other").exists()
    assert logbook("report", "valley", "--for", "archive", "--into", "mine").status == 0
