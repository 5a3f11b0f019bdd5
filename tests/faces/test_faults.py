"""What a disk can do to a book: full, read-only, without locks; each one sentence, the book sound after."""

import os
import resource
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.examples import slow

SMALL_KIB = 2560  # KiB; holds the demo's book once, and not twice

NO_LOCKS = r"""
#define _GNU_SOURCE
#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <stdarg.h>
#define REFUSING(name) \
  int name(int fd, int cmd, ...) { \
    static int (*real)(int, int, ...); \
    if (!real) real = dlsym(RTLD_NEXT, #name); \
    va_list rest; va_start(rest, cmd); void *what = va_arg(rest, void *); va_end(rest); \
    if (cmd == F_SETLK || cmd == F_SETLKW || cmd == F_GETLK) { errno = REASON; return -1; } \
    return real(fd, cmd, what); \
  }
REFUSING(fcntl)
REFUSING(fcntl64)
"""


def run(book: Path, *arguments: str, limit_bytes: int | None = None, **environment: str) -> tuple[int, str]:
    """Run the program; `limit_bytes` is the size at which files stop growing."""

    def limit() -> None:
        if limit_bytes is not None:
            resource.setrlimit(resource.RLIMIT_FSIZE, (limit_bytes, limit_bytes))

    done = subprocess.run(
        [sys.executable, "-m", "logbook", "--book", str(book), *arguments],
        capture_output=True,
        text=True,
        env={**os.environ, **environment},
        cwd=Path(__file__).parents[2],
        preexec_fn=limit,
        timeout=120,
    )
    assert "Traceback" not in done.stderr
    assert "mistake of ours" not in done.stderr
    return done.returncode, done.stderr


@pytest.fixture
def full_disk(tmp_path: Path, demo: Path) -> Iterator[tuple[Path, int | None]]:
    """A book with little room beside it: a small file system where one may be mounted, else a limit."""
    folder = tmp_path / "small"
    folder.mkdir()
    options = ["-t", "tmpfs", "-o", f"size={SMALL_KIB}k", "tmpfs", str(folder)]
    mounted = (
        shutil.which("mount") and subprocess.run(["mount", *options], capture_output=True).returncode == 0
    )
    book = folder / "book.sqlite"
    shutil.copyfile(demo / "book.sqlite", book)
    yield book, None if mounted else book.stat().st_size
    if mounted:
        subprocess.run(["umount", str(folder)], check=True)


LONG = "A long word of the evening. " * 4000


@pytest.mark.parametrize(
    "command",
    [
        ["undo"],
        *slow(
            ["backup"],
            ["trip", "edit", "high-valley-autumn", "--brief", LONG, "--summary", LONG, "--purpose", LONG],
        ),
    ],
    ids=lambda command: command[0],
)
def test_a_full_disk_costs_one_sentence_and_nothing_else(
    full_disk: tuple[Path, int | None], command: list[str]
) -> None:
    book, limit = full_disk
    if command[0] == "trip" and limit is None:
        (book.parent / "other").write_bytes(b"x" * (shutil.disk_usage(book.parent).free - 100_000))
    status, said = run(book, *command, limit_bytes=limit)
    assert status == 1
    assert len(said.strip().splitlines()) == 1
    assert "full" in said or "make room" in said.lower()
    for left in (book.parent / "other", *book.parent.glob("*.backups/*")):
        assert not left.name.endswith((".partial", "-journal"))
        left.unlink(missing_ok=True)
    status, said = run(book, "check")
    assert status == 0, said
    folder = book.with_name("book.sqlite.backups")
    assert not folder.exists() or list(folder.iterdir()) == []


@pytest.mark.slow
@pytest.mark.parametrize("reason", ["ENOLCK", "EOPNOTSUPP"])
@pytest.mark.parametrize("command", [["trip", "list"], ["trip", "add", "X"], ["check"]], ids=" ".join)
def test_a_folder_without_locking_costs_one_sentence(
    tmp_path: Path, demo: Path, reason: str, command: list[str]
) -> None:
    compiler = shutil.which("cc") or shutil.which("gcc")
    if compiler is None:
        pytest.skip("no C compiler, which makes a file system that refuses locks")
    (tmp_path / "refusing.c").write_text(f"#define REASON {reason}\n{NO_LOCKS}")
    library = str(tmp_path / "refusing.so")
    subprocess.run(
        [compiler, "-shared", "-fPIC", "-o", library, str(tmp_path / "refusing.c"), "-ldl"], check=True
    )
    book = tmp_path / "book.sqlite"
    shutil.copyfile(demo / "book.sqlite", book)
    before = book.read_bytes()
    status, said = run(book, *command, LD_PRELOAD=library)
    assert status == 1
    assert "does not support file locking" in said
    assert len(said.strip().splitlines()) == 1
    assert book.read_bytes() == before


@pytest.mark.slow
def test_a_read_only_folder_costs_one_sentence(tmp_path: Path, demo_book: Path) -> None:
    mounted = tmp_path / "card"
    mounted.mkdir()
    shutil.copyfile(demo_book, mounted / "book.sqlite")
    if os.geteuid() == 0:
        bound = subprocess.run(
            ["mount", "--bind", "-o", "ro", str(mounted), str(mounted)], capture_output=True
        )
        if bound.returncode:
            pytest.skip("nothing may be mounted here, and nothing is read-only for this user")
    else:
        (mounted / "book.sqlite").chmod(0o444)
        mounted.chmod(0o555)
    try:
        for command in (["trip", "add", "X"], ["backup"], ["undo"], ["restore", str(demo_book)]):
            status, said = run(mounted / "book.sqlite", *command)
            assert status == 1, command
            assert len(said.strip().splitlines()) == 1, said
    finally:
        if os.geteuid() == 0:
            subprocess.run(["umount", str(mounted)], check=True)
        else:
            mounted.chmod(0o755)
    assert run(mounted / "book.sqlite", "check")[0] == 0
