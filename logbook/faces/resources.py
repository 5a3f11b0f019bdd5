"""Where templates and the sample trip lie: in the package when it came from a wheel, else at the root.

One surprising decision: the packaged place is looked at first, then the checkout's root, because an editable
install does not carry the folders that a wheel does.
"""

from pathlib import Path

from logbook.domain.errors import LogbookError

_PACKAGE = Path(__file__).resolve().parent.parent


def resource(name: str) -> Path:
    """Return the folder `templates` or `sample_trip`; raises LogbookError where the install lacks it."""
    for place in (_PACKAGE / f"_{name}", _PACKAGE.parent / name):
        if place.is_dir():
            return place
    raise LogbookError(f"This installation lacks its {name} folder; install the program again.")
