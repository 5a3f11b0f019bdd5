"""Folders that a person types on a page; they are of this machine, as the pages are."""

from pathlib import Path

from logbook.domain.errors import WrongUseError


def folder_typed(text: str) -> Path:
    """Return the folder of a whole path, `~` being the person's own; raises WrongUseError for anything else.

    A page stands in no folder, so that a part of a path would lead to wherever the program was started.
    """
    typed = text.strip()
    if not typed:
        raise WrongUseError("Enter the path of the folder first.")
    try:
        path = Path(typed).expanduser()
    except RuntimeError as error:
        raise WrongUseError(f'"{typed}" is not a user\'s folder; enter the full path.') from error
    if not path.is_absolute() or "\0" in typed:
        raise WrongUseError(f'"{typed}" is not a full path; start it with ~ or {Path.cwd().anchor}.')
    return path
