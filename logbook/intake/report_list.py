"""The list that a finished report keeps of its own files, by which it is known again wherever it lies.

One surprising decision: a report is known by this list and never by its name, and file by file. What a person
put into the same folder is theirs, also where it is a picture.
"""

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from logbook.domain.words import Audience

LIST_NAME = ".logbook-report"
FIRST_LINE = "shoot-logbook report"
_FOR, _OF = "for ", " of trip "
_MINE = "mine"  # in the place of a digest: a person's own, which stays whatever is built


@dataclass(frozen=True, slots=True)
class Listed:
    """What a report says of itself: its files with a digest of each, for whom it is, of which trip."""

    digests: Mapping[str, str]  # by path inside the folder; "" where an older report gave none
    audience: Audience | None = None
    trip_id: str | None = None
    mine: frozenset[str] = field(default_factory=frozenset)  # a person's own files, which were kept before


@dataclass(frozen=True, slots=True)
class MadeReport:
    """Where in which report a folder lies."""

    root: Path
    names: frozenset[str]  # of the report's own files, by path inside it
    within: str = ""  # the folder's own path inside it, with a slash at its end

    def has(self, name: str) -> bool:
        """Whether a file of the folder is the report's own."""
        return f"{self.within}{name}" in self.names

    def below(self, name: str) -> "MadeReport":
        """Return the same for a folder in the folder."""
        return MadeReport(self.root, self.names, f"{self.within}{name}/")


def digest(content: bytes) -> str:
    """Return the digest by which a file of a report is known again."""
    return hashlib.blake2b(content, digest_size=16).hexdigest()


def read_list(folder: Path) -> Listed | None:
    """Return what a report of ours says of itself, or None where the folder is none."""
    path = folder / LIST_NAME
    try:
        if not path.is_file():
            return None
        lines = path.read_text(encoding="utf-8").splitlines()
    except (FileNotFoundError, NotADirectoryError, UnicodeDecodeError):
        return None
    if not lines or lines[0] != FIRST_LINE:
        return None
    audience, trip_id = None, None
    if len(lines) > 1 and lines[1].startswith(_FOR):
        word, _, trip_id = lines.pop(1).removeprefix(_FOR).partition(_OF)
        audience = Audience(word) if word in list(Audience) else None
    told = {name: what for name, _, what in (line.partition("\t") for line in lines[1:]) if _is_inside(name)}
    mine = frozenset(name for name, what in told.items() if what == _MINE)
    digests = {name: what for name, what in told.items() if what != _MINE}
    return Listed(digests, audience, trip_id or None, mine)


def list_text(listed: Listed) -> str:
    """Return the list as it is written, without a person's own files whose names no line can hold."""
    lines = [FIRST_LINE]
    if listed.audience is not None:
        lines.append(f"{_FOR}{listed.audience}{_OF}{listed.trip_id or ''}")
    lines += [f"{name}\t{listed.digests[name]}" for name in sorted(listed.digests)]
    lines += [f"{name}\t{_MINE}" for name in sorted(listed.mine) if _fits_a_line(name)]
    return "\n".join(lines) + "\n"


def report_around(folder: Path) -> MadeReport | None:
    """Return in which report a folder lies, or None where neither it nor a folder above it is one.

    A folder that cannot be asked counts as none.
    """
    try:
        here = folder.resolve()
        for root in (here, *here.parents):
            if (listed := read_list(root)) is not None:
                within = here.relative_to(root).as_posix()
                return MadeReport(root, frozenset(listed.digests), "" if within == "." else f"{within}/")
    except (OSError, RuntimeError):  # a link that leads round in a circle
        return None
    return None


def _is_inside(name: str) -> bool:
    return not name.startswith("/") and ".." not in name.split("/")


def _fits_a_line(name: str) -> bool:
    try:
        return name.encode().decode().splitlines() == [name] and "\t" not in name
    except UnicodeEncodeError:  # a name that is not text
        return False
