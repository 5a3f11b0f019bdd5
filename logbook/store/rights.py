"""Who may read what the program writes: files and folders for their owner alone, from their first byte on.

One surprising decision: rights are set, not asked for, because a umask would take from them or leave more;
what is there already keeps the rights that somebody gave it.
"""

import os
from contextlib import suppress
from pathlib import Path

OWN_FILE = 0o600  # read and written by its owner, unseen by anybody else (POSIX, chmod)
OWN_FOLDER = 0o700  # the same for a folder, which is also entered
_READ_BY_OWNER = 0o400
_RIGHTS = 0o777


def make_file(path: Path, rights: int | None = OWN_FILE) -> None:
    """Make an empty file; with None it gets what the person's umask leaves.

    Raises FileExistsError where it is there already, and OSError.
    """
    wished = 0o666 if rights is None else rights
    os.close(os.open(path, os.O_CREAT | os.O_EXCL | os.O_WRONLY, wished))
    if rights is not None:
        path.chmod(rights)


def make_folder(path: Path) -> None:
    """Make a folder for its owner alone, with those above it; one that is there stays as it is."""
    with suppress(FileExistsError):
        path.parent.mkdir(parents=True, exist_ok=True)
        path.mkdir(OWN_FOLDER)
        path.chmod(OWN_FOLDER)
    if not path.is_dir():
        raise NotADirectoryError(20, "Not a directory", str(path))


def of_copy(original: Path) -> int:
    """Return the rights of a copy that stays private: never wider than those of its original."""
    return original.stat().st_mode & OWN_FILE | _READ_BY_OWNER


def rights_of(path: Path) -> int:
    """Return who may read, write and run a file."""
    return path.stat().st_mode & _RIGHTS


def keep_folder_private(folder: Path) -> None:
    """Give a folder and all that lies in it to its owner alone."""
    for path in (folder, *folder.rglob("*")):
        if not path.is_symlink():
            path.chmod(OWN_FOLDER if path.is_dir() else OWN_FILE)
