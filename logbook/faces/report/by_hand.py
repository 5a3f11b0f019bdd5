"""What a person did in a report's folder by hand: noticed by the list of digests, refused or kept aside.

One surprising decision: what is kept is linked into the new report before that takes its place, so that there
is no moment at which a kill could lose it; and it is noted in the report's list as a person's own, so that it
is asked about once, stays from then on, and is never packed or served.
"""

import os
import shutil
import stat
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from itertools import count
from pathlib import Path

from logbook.domain.errors import OutputError
from logbook.intake.report_list import LIST_NAME, digest, read_list

ASIDE = ".mine"
NAMED = 3  # files that a refusal names
_FOLDERS = {"pictures", "pages", "trips"}  # of a report's own, and possibly empty
_LEFT_BY_SYSTEMS = {".ds_store", "thumbs.db", "desktop.ini", ".directory"}

Digests = dict[str, tuple[tuple[int, int, int], str]]  # by name: size, instant of change and number; digest


@dataclass(frozen=True, slots=True)
class ByHand:
    """What is not as the program left it; paths inside the folder, those of folders end with a slash."""

    changed: tuple[str, ...] = ()
    added: tuple[str, ...] = ()
    removed: tuple[str, ...] = ()
    mine: tuple[str, ...] = ()  # what was kept before
    digests: Mapping[str, str] = field(default_factory=dict)  # of what was changed

    @property
    def is_news(self) -> bool:
        """Whether there is anything that nobody was told of."""
        return bool(self.changed or self.added or self.removed)


def by_hand(folder: Path, known: Digests) -> ByHand:
    """Return what a person did in a report's folder; `known` remembers digests from one look to the next."""
    listed = read_list(folder)
    if listed is None:
        return ByHand()
    present = dict(_present(folder))
    changed = {}
    for name, wanted in listed.digests.items():
        if name in present and wanted and (found := _digest(present[name], name, known)) != wanted:
            changed[name] = found
    own = {name for name in present if name.rstrip("/") not in listed.digests}
    return ByHand(
        tuple(sorted(changed)),
        tuple(sorted(own - listed.mine)),
        tuple(sorted(name for name in listed.digests if name not in present)),
        tuple(sorted(own & listed.mine)),
        changed,
    )


def not_listed(folder: Path) -> tuple[str, ...]:
    """Return what lies in a report's folder and is not of the report as it was built."""
    found = by_hand(folder, {})
    return tuple(sorted((*found.changed, *found.added, *found.mine)))


def refuse(folder: Path, found: ByHand) -> None:
    """Raise OutputError that says what a person did; pass where that was nothing."""
    if not found.is_news:
        return
    told = {
        f"{_few(found.changed)} changed": f"what you changed becomes {found.changed[0]}{ASIDE}"
        if found.changed
        else "",
        f"{_few(found.added)} added": "what you added stays" if found.added else "",
        f"{_few(found.removed)} removed": "what you removed comes back" if found.removed else "",
    }
    what = ", ".join(words for words, then in told.items() if then)
    then = ", ".join(filter(None, told.values()))
    raise OutputError(
        f"The report in {folder} was changed by hand since it was built ({what}); move your own work "
        f"elsewhere, or add --keep-mine: {then}."
    )


def carry(folder: Path, found: ByHand, building: Path, made: Mapping[str, str]) -> frozenset[str]:
    """Put what is a person's own into a new report, and return its names there.

    `made` are the digests of the new report's files. Raises OSError where something cannot be kept.
    """
    kept = set()
    for name in (*found.mine, *found.added):  # first, so that what was kept before keeps its name
        if name.endswith("/"):
            _make_folders(folder, building, Path(name))
            kept.add(name)
        else:
            kept.add(_put(folder, name, building, name))
    for name in found.changed:
        if found.digests[name] != made.get(name):  # else the new report says the same
            kept.add(_put(folder, name, building, f"{name}{ASIDE}"))
    return frozenset(kept)


def _few(names: Iterable[str]) -> str:
    names = list(names)
    more = f" and {len(names) - NAMED} more" if len(names) > NAMED else ""
    return ", ".join(f'"{name}"' for name in names[:NAMED]) + more


def _present(folder: Path) -> Iterator[tuple[str, Path]]:
    """Yield all files, links and empty folders in a report's folder but what nobody put there."""
    for path in folder.rglob("*"):
        name = path.relative_to(folder).as_posix()
        if name == LIST_NAME or path.name.lower() in _LEFT_BY_SYSTEMS:
            continue
        if path.is_symlink() or not path.is_dir():
            yield name, path
        elif not _is_made(name) and all(one.name.lower() in _LEFT_BY_SYSTEMS for one in path.iterdir()):
            yield f"{name}/", path


def _is_made(folder: str) -> bool:
    """Whether the program makes a folder of this name in a report, or in a trip of one of all trips."""
    above, _, name = folder.rpartition("/")
    return name in _FOLDERS and (not above or (above.startswith("trips/") and above.count("/") == 1))


def _digest(path: Path, name: str, known: Digests) -> str:
    """The digest of a plain file; of anything else a word that is the digest of nothing."""
    status = path.lstat()
    if not stat.S_ISREG(status.st_mode):
        return "not a file"
    state = (status.st_size, status.st_mtime_ns, status.st_ino)
    if name not in known or known[name][0] != state:
        known[name] = (state, digest(path.read_bytes()))
    return known[name][1]


def _put(folder: Path, name: str, building: Path, wanted: str) -> str:
    """Link a file or link into another folder by a name like the wanted one that is free there; return it."""
    free = next(one for one in _names(wanted) if not os.path.lexists(building / one))
    to = building / free
    _make_folders(folder, building, Path(name).parent)
    try:
        os.link(folder / name, to, follow_symlinks=False)
    except OSError:
        shutil.copy2(folder / name, to, follow_symlinks=False)
    return free


def _names(name: str) -> Iterator[str]:
    """Yield a name and others for where it is taken: a, a.mine, a.mine-2; or a.mine, a.mine-2."""
    yield name
    aside = name
    if not name.endswith(ASIDE):
        aside = f"{name}{ASIDE}"
        yield aside
    for number in count(2):
        yield f"{aside}-{number}"


def _make_folders(folder: Path, building: Path, name: Path) -> None:
    """Make the folders of a path, with the dates and rights that they have in the old report."""
    for one in (*reversed(name.parents), name):
        to = building / one
        if not to.is_dir():
            to.mkdir()
            shutil.copystat(folder / one, to, follow_symlinks=False)
