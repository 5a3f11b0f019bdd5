"""A number that is not one picture's alone is asked about on a terminal, and refused elsewhere."""

import os
import sys
from pathlib import Path

import pexpect
import pytest

from tests.faces.conftest import Run
from tests.services.test_naming import shoot

BOTH = ("0102",)


@pytest.fixture
def two_cameras(stocked: Run, tmp_path: Path) -> Run:
    for body in ("Bramble", "Thistle"):
        shoot(tmp_path / "in", f"{body}_0102.JPG", "2031:10:14 17:00:00", body)
    assert stocked("keeper", "import", "in").status == 0
    return stocked


@pytest.mark.parametrize(
    "line",
    [
        ("note", *BOTH, "--support", "tripod"),
        ("show", *BOTH),
        ("remove", *BOTH),
        ("split", *BOTH),
        ("join", *BOTH, "--as", "bracket"),
        ("clock", "--slow", "60", "--since", *BOTH),
    ],
)
def test_without_a_terminal_it_is_refused_in_one_sentence(two_cameras: Run, line: tuple[str, ...]) -> None:
    answer = two_cameras("keeper", *line)
    assert (answer.status, answer.out) == (1, "")
    told = " ".join(answer.err.split())
    assert (
        "Bramble_0102.JPG from 2031-10-14 (Halvern Bramble) or "
        "Thistle_0102.JPG from 2031-10-14 (Halvern Thistle)" in told
    )
    assert "--body NAME" in told
    assert all(one["support"] is None for one in two_cameras("keeper", "list", "--json").data)


def test_a_camera_or_a_day_settles_it(two_cameras: Run) -> None:
    assert two_cameras("keeper", "note", *BOTH, "--body", "thistle", "--support", "tripod").status == 0
    assert two_cameras("keeper", "note", *BOTH, "--on", "2031-10-13", "--support", "tripod").status == 1
    shown = {one["file"]: one["support"] for one in two_cameras("keeper", "list", "--json").data}
    assert shown == {"Bramble_0102.JPG": None, "Thistle_0102.JPG": "tripod"}


@pytest.mark.slow
@pytest.mark.parametrize(("answers", "noted"), [(("7", "2"), "Thistle_0102.JPG"), (("",), None)])
def test_on_a_terminal_one_is_chosen(
    two_cameras: Run, tmp_path: Path, answers: tuple[str, ...], noted: str | None
) -> None:
    line = ["-m", "logbook", "keeper", "note", *BOTH, "--support", "tripod"]
    path = {"PYTHONPATH": str(Path(__file__).parents[3]), "TERM": "xterm"}
    program = pexpect.spawn(sys.executable, line, env=os.environ | path, cwd=tmp_path, timeout=60)
    for answer in answers:
        program.expect("Which one")
        program.sendline(answer)
    program.expect(pexpect.EOF)
    program.close()
    assert program.exitstatus == (0 if noted else 1)
    shown = {one["file"] for one in two_cameras("keeper", "list", "--json").data if one["support"]}
    assert shown == ({noted} if noted else set())


@pytest.mark.slow
def test_moving_asks_which_is_meant_too(two_cameras: Run, tmp_path: Path) -> None:
    (old,) = (one["slug"] for one in two_cameras("trip", "list", "--json").data)
    assert two_cameras("trip", "add", "Slate coast").status == 0
    move = ("keeper", "move", *BOTH, "--trip", old, "--to-trip", "slate-coast")
    refused = two_cameras(*move)
    assert (refused.status, "--body NAME" in refused.err) == (1, True)
    path = {"PYTHONPATH": str(Path(__file__).parents[3]), "TERM": "xterm"}
    line = ["-m", "logbook", *move]
    program = pexpect.spawn(sys.executable, line, env=os.environ | path, cwd=tmp_path, timeout=60)
    program.expect("Which one")
    program.sendline("2")
    program.expect(pexpect.EOF)
    program.close()
    assert program.exitstatus == 0
    moved = [one["file"] for one in two_cameras("keeper", "list", "--trip", "slate-coast", "--json").data]
    assert moved == ["Thistle_0102.JPG"]
    assert two_cameras(*move, "--body", "bramble").status == 0
