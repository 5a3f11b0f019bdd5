"""A report as one file for a mail: the folder's pages and pictures in a zip beside it.

One surprising decision: the same report gives the same bytes: fixed dates, sorted names.
"""

from pathlib import Path
from zipfile import ZIP_DEFLATED, ZIP_STORED, ZipFile, ZipInfo

from logbook.domain.names import slug_of
from logbook.faces.report.writing import LIST_NAME
from logbook.store.outputs import Purpose, put_whole

MARK = b"shoot-logbook report"  # the zip's comment, for whoever wonders what made it
_EARLIEST = (1980, 1, 1, 0, 0, 0)  # the first date a zip can hold (APPNOTE 6.3, 4.4.6)
_REGULAR = 0o100644  # a plain file that all may read
_UNIX = 3  # the system whose permissions the entry gives (APPNOTE 6.3, 4.4.2)
_PACKED_ALREADY = {".jpg", ".png", ".webp"}


def zip_report(folder: Path, *, is_private: bool = False) -> Path:
    """Write DIR.zip beside a report and return it; inside, everything lies in one folder of a plain name.

    Raises OutputError where a file that is not a zip of ours stands in the way, or nothing can be written.
    """
    folder = folder.expanduser().resolve()
    target = folder.with_name(f"{folder.name}.zip")
    with (
        put_whole(target, Purpose("zipped report", is_private)) as building,
        ZipFile(building, "w") as archive,
    ):
        archive.comment = MARK
        for path in sorted(folder.rglob("*")):
            name = path.relative_to(folder).as_posix()
            if path.is_file() and not path.is_symlink() and name != LIST_NAME:
                entry = ZipInfo(f"{slug_of(folder.name)}/{name}", _EARLIEST)
                entry.create_system = _UNIX
                entry.external_attr = _REGULAR << 16
                entry.compress_type = ZIP_STORED if path.suffix in _PACKED_ALREADY else ZIP_DEFLATED
                archive.writestr(entry, path.read_bytes())
    return target
