"""A report as one file for a mail: the folder's pages and pictures in a zip beside it.

One surprising decision: the same report gives the same bytes: fixed dates, sorted names. It holds what was
built and searched and nothing that a person put beside it, and the report's list without the trip's id, by
which an unpacked report is known as such.
"""

from dataclasses import replace
from pathlib import Path
from zipfile import ZIP_DEFLATED, ZIP_STORED, ZipFile, ZipInfo

from logbook.domain.errors import OutputError
from logbook.domain.names import slug_of
from logbook.intake.report_list import LIST_NAME, digest, list_text, read_list
from logbook.store.outputs import Purpose, put_whole

MARK = b"shoot-logbook report"  # the zip's comment, for whoever wonders what made it
_EARLIEST = (1980, 1, 1, 0, 0, 0)  # the first date a zip can hold (APPNOTE 6.3, 4.4.6)
_REGULAR = 0o100644  # a plain file that all may read
_UNIX = 3  # the system whose permissions the entry gives (APPNOTE 6.3, 4.4.2)
_PACKED_ALREADY = {".jpg", ".png", ".webp"}


def zip_report(folder: Path, target: Path | None = None, *, is_private: bool = False) -> Path:
    """Write `target`, or DIR.zip beside a report, and return it; inside, all lies in one plain folder.

    Raises OutputError where the folder is not as it was built, a file that is not a zip of ours stands in the
    way, or nothing can be written.
    """
    folder = folder.expanduser().resolve()
    target = target or folder.with_name(f"{folder.name}.zip")
    listed = read_list(folder)
    if listed is None:
        raise OutputError(f"{folder} is not a report made by this program; build it again.")
    with (
        put_whole(target, Purpose("zipped report", is_private)) as building,
        ZipFile(building, "w") as archive,
    ):
        archive.comment = MARK
        for name in sorted(listed.digests):
            content = (folder / name).read_bytes()
            if digest(content) != listed.digests[name]:
                raise OutputError(f"{folder / name} was changed by hand since it was built; build it again.")
            _add(archive, f"{slug_of(folder.name)}/{name}", content)
        own = list_text(replace(listed, trip_id=None, mine=frozenset()))
        _add(archive, f"{slug_of(folder.name)}/{LIST_NAME}", own.encode())
    return target


def _add(archive: ZipFile, name: str, content: bytes) -> None:
    entry = ZipInfo(name, _EARLIEST)
    entry.create_system = _UNIX
    entry.external_attr = _REGULAR << 16
    entry.compress_type = ZIP_STORED if Path(name).suffix in _PACKED_ALREADY else ZIP_DEFLATED
    archive.writestr(entry, content)
