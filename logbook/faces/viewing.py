"""Pictures shown by a program outside: the system's viewer, or the one that LOGBOOK_VIEWER names.

One surprising decision: a viewer gets copies in a folder of their own, named in order, so that an original
can neither be changed by it nor be given a rating beside it.
"""

import os
import shlex
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path
from shutil import copyfile

from logbook.domain.errors import LogbookError
from logbook.domain.keeper import Keeper
from logbook.services.keepers.thumbnails import LARGE_PX, Thumbnails

VIEWER = "LOGBOOK_VIEWER"  # the variable that names a viewer
STARTING_S = 1.0  # s within which a viewer that cannot be run has ended


def show_pictures(keepers: Sequence[Keeper], folder: Path) -> int:
    """Show copies of pictures, laid into a folder; return of how many there was none.

    Raises LogbookError where no viewer can be run, or there is nothing to show.
    """
    from platformdirs import user_cache_path

    small = Thumbnails(user_cache_path("logbook", appauthor=False) / "pictures")
    small.make(keepers, LARGE_PX)
    files = []
    for number, keeper in enumerate(keepers, 1):
        made = small.of(keeper, LARGE_PX)
        if made is not None:
            files.append(folder / f"{number:03} {Path(keeper.file).stem}.jpg")
            copyfile(made, files[-1])
    if not files:
        raise LogbookError("There is no picture to show: the originals are not on this machine.")
    _run(files)
    return len(keepers) - len(files)


def _run(files: Sequence[Path]) -> None:
    named = os.environ.get(VIEWER)
    if named is None and sys.platform == "win32":
        os.startfile(files[0])  # noqa: S606 (a picture that was written just now)
        return
    try:
        command = [*shlex.split(named), *map(str, files)] if named else _of_system(files)
        started = subprocess.Popen(
            command, stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
        )
        status = started.wait(STARTING_S)
    except subprocess.TimeoutExpired:
        return  # it is open
    except (OSError, ValueError):
        status = 1
    if status:
        viewer = named or _of_system(files)[0]
        raise LogbookError(f'The viewer "{viewer}" could not be run; name another in {VIEWER}.')


def _of_system(files: Sequence[Path]) -> list[str]:
    """The system's own: it takes the first picture and pages on to those beside it, or takes all."""
    return ["open", *map(str, files)] if sys.platform == "darwin" else ["xdg-open", str(files[0])]
