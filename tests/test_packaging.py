"""The templates and the sample trip are found from a checkout, an editable install and a built wheel."""

import os
import sqlite3
import subprocess
import sys
from contextlib import closing
from pathlib import Path

import pytest

from logbook.store.migrations import CURRENT
from tests.once import Once
from tests.store.older import older_book

ROOT = Path(__file__).resolve().parent.parent


def run(*command: str | Path, cwd: Path, path: Path | None = None) -> str:
    """Run a command outside the checkout's own environment and return what it printed."""
    environment = {
        name: value for name, value in os.environ.items() if not name.startswith(("LOGBOOK", "PYTHON"))
    }
    if path is not None:
        environment["PYTHONPATH"] = str(path)
    done = subprocess.run(
        [str(part) for part in command], cwd=cwd, env=environment, capture_output=True, text=True, timeout=300
    )
    assert done.returncode == 0, done.stderr
    return done.stdout


@pytest.fixture(scope="session")
def unpacked_wheel(once: Once) -> Path:
    """A wheel built from the checkout, installed into a folder of its own without its dependencies."""

    def fill(folder: Path) -> None:
        pip = (sys.executable, "-m", "pip", "--quiet", "--disable-pip-version-check")
        run(*pip, "wheel", "--no-deps", "--no-build-isolation", "--wheel-dir", folder, ROOT, cwd=folder)
        (wheel,) = folder.glob("shoot_logbook-*.whl")
        run(*pip, "install", "--no-deps", "--target", folder / "site", wheel, cwd=folder)

    return once("the-wheel", fill) / "site"


WHERE = """
import logbook
from logbook.faces.resources import resource
print(logbook.__file__, resource("templates") / "report" / "style.css", resource("sample_trip") / "book.json")
"""


def files_seen_by(python: str | Path, cwd: Path, path: Path | None = None) -> tuple[Path, Path, Path]:
    """Where the program, a template and the sample's plan are found."""
    program, template, plan = map(Path, run(python, "-c", WHERE, cwd=cwd, path=path).split())
    assert template.is_file()
    assert plan.is_file()
    return program, template, plan


def assert_demo_stands(folder: Path) -> None:
    """The demo's book and reports lie in the folder."""
    assert (folder / "book.sqlite").stat().st_size > 0
    for audience in ("client", "students", "archive"):
        assert (folder / audience / "index.html").is_file()
        assert any((folder / audience / "pictures").iterdir())


@pytest.mark.slow
def test_a_built_wheel_holds_its_templates_and_the_sample(unpacked_wheel: Path, tmp_path: Path) -> None:
    for found in files_seen_by(sys.executable, tmp_path, unpacked_wheel):
        assert found.is_relative_to(unpacked_wheel)


def test_a_checkout_that_is_not_installed_has_them_at_its_root(tmp_path: Path) -> None:
    for found in files_seen_by(sys.executable, tmp_path, ROOT):
        assert found.is_relative_to(ROOT)


@pytest.mark.slow
def test_the_demo_runs_from_a_built_wheel(unpacked_wheel: Path, tmp_path: Path) -> None:
    run(sys.executable, "-m", "logbook", "demo", "--into", "demo", cwd=tmp_path, path=unpacked_wheel)
    assert_demo_stands(tmp_path / "demo")


@pytest.mark.slow
def test_a_book_of_the_first_version_is_brought_up_to_date_by_a_built_wheel(
    unpacked_wheel: Path, tmp_path: Path
) -> None:
    older_book(tmp_path / "old.sqlite", 1)
    words = ("-m", "logbook", "--book", "old.sqlite", "trip", "list")
    run(sys.executable, *words, cwd=tmp_path, path=unpacked_wheel)
    with closing(sqlite3.connect(tmp_path / "old.sqlite")) as connection:
        assert connection.execute("PRAGMA user_version").fetchone() == (CURRENT,)


@pytest.mark.slow
def test_the_demo_runs_from_a_checkout_that_is_not_installed(tmp_path: Path) -> None:
    run(sys.executable, "-m", "logbook", "demo", "--into", tmp_path / "demo", cwd=ROOT, path=ROOT)
    assert_demo_stands(tmp_path / "demo")


@pytest.mark.slow
def test_the_demo_runs_from_an_editable_install(tmp_path: Path) -> None:
    environment = tmp_path / "environment"
    run(sys.executable, "-m", "venv", environment, cwd=tmp_path)
    python = environment / "bin" / "python"
    # The dependencies come from the environment that runs the tests; only the project itself is installed.
    paths = run(sys.executable, "-c", "import site; print(site.getsitepackages()[0])", cwd=tmp_path).strip()
    packages = run(python, "-c", "import site; print(site.getsitepackages()[0])", cwd=tmp_path).strip()
    (Path(packages) / "dependencies.pth").write_text(paths + "\n", encoding="utf-8")
    pip = (python, "-m", "pip", "--quiet", "--disable-pip-version-check")
    run(*pip, "install", "--no-deps", "--no-build-isolation", "--editable", ROOT, cwd=tmp_path)
    run(environment / "bin" / "logbook", "demo", "--into", "demo", cwd=tmp_path)
    assert_demo_stands(tmp_path / "demo")
