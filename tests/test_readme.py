"""What the README shows is run as a newcomer would type it, line by line; answers that it shows are true."""

import os
import re
import shutil
import signal
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

from PIL import Image

ROOT = Path(__file__).parents[1]
BLOCK = re.compile(r"^```(\w+)\n(.*?)^```$", re.MULTILINE | re.DOTALL)


def steps(text: str) -> Iterator[tuple[str, str]]:
    """Yield each command, each line of its answer, and each file that is shown, in their order."""
    for kind, body in BLOCK.findall(text):
        if kind == "markdown":
            yield "file", body
        for line in re.sub(r"\\\n\s*", "", body).splitlines() if kind == "console" else ():
            if line.startswith("$ ") and "pip install" not in line:
                yield "command", line[2:]
            elif line.strip() and not line.startswith("$ "):
                yield "answer", line


def open_and_close(folder: Path, environment: dict[str, str]) -> None:
    """The pages answer with their address until Ctrl-C."""
    command = ["logbook", "open", "--no-browser"]
    with subprocess.Popen(command, cwd=folder, env=environment, stdout=subprocess.PIPE, text=True) as opened:
        assert opened.stdout is not None
        assert opened.stdout.readline().startswith("http://127.0.0.1:")
        opened.send_signal(signal.SIGINT)
        assert opened.wait(60) == 0


def test_every_command_of_the_readme_works_in_the_order_it_is_shown(demo: Path, tmp_path: Path) -> None:
    shutil.copytree(demo, tmp_path / "demo")
    home, programs = tmp_path / "home", tmp_path / "programs"
    (home / "pictures" / "selected").mkdir(parents=True)
    for number in range(412, 416):
        Image.new("RGB", (60, 40), (number - 400, 9, 9)).save(
            home / "pictures" / "selected" / f"IMG_0{number}.JPG"
        )
    programs.mkdir()
    (programs / "logbook").write_text(
        f'#!/bin/sh\nexec "{sys.executable}" -m logbook "$@"\n', encoding="utf-8"
    )
    (programs / "logbook").chmod(0o755)
    environment = {
        **os.environ,
        "HOME": str(home),
        "PATH": f"{programs}{os.pathsep}{os.environ['PATH']}",
        "PYTHONPATH": str(ROOT),
    }
    run = shown = 0
    answered: list[str] = []
    for what, text in steps((ROOT / "README.md").read_text(encoding="utf-8")):
        if what == "file":
            named = re.search(r"^date: (\S+)$", text, re.MULTILINE)
            name = named[1] if named else "plan"
            (tmp_path / f"{name}.md").write_text(text, encoding="utf-8")
        elif what == "answer":
            assert text in answered
            shown += 1
        elif text.startswith("export "):
            name, _, value = text.removeprefix("export ").partition("=")
            environment[name] = value.replace("~", str(home))
        elif text == "logbook open":
            open_and_close(tmp_path, environment)
            run += 1
        else:
            done = subprocess.run(
                ["sh", "-c", text],
                cwd=tmp_path,
                env=environment,
                stdin=subprocess.DEVNULL,
                capture_output=True,
                text=True,
                timeout=120,
            )
            assert done.returncode == 0, f"{text}: {done.stderr}"
            answered = [line.rstrip() for line in done.stdout.splitlines()]
            run += 1
    assert run > 15
    assert shown > 5
