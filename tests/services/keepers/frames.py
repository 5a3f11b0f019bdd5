"""Raw files, sidecars and the keeper of a book, for the tests of a frame's files."""

from pathlib import Path
from typing import Any

import piexif

from logbook.domain.keeper import Keeper
from logbook.services.keepers.keeping import list_keepers
from logbook.store.book import Book

TAKEN = "2031:10:14 17:42:05"


def raw(path: Path, *, taken: str = TAKEN, model: str = "Thistle", lens: str = "") -> Path:
    """A raw file as far as its metadata goes: a TIFF structure."""
    exif: dict[int, Any] = {
        piexif.ExifIFD.DateTimeOriginal: taken,
        piexif.ExifIFD.ExposureTime: (1, 125),
        piexif.ExifIFD.FNumber: (8, 1),
        piexif.ExifIFD.ISOSpeedRatings: 200,
    }
    if lens:
        exif[piexif.ExifIFD.LensModel] = lens
    main = {piexif.ImageIFD.Make: "Halvern", piexif.ImageIFD.Model: model}
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(piexif.dump({"0th": main, "Exif": exif})[6:])
    return path


def sidecar(
    path: Path, *, rating: int | None = None, label: str = "", words: tuple[str, ...] = (), title: str = ""
) -> Path:
    """An XMP file as editors write it beside a picture."""
    told = f' xmp:Rating="{rating}"' if rating is not None else ""
    told += f' xmp:Label="{label}"' if label else ""
    bag = "".join(f"<rdf:li>{word}</rdf:li>" for word in words)
    inner = f"<dc:subject><rdf:Bag>{bag}</rdf:Bag></dc:subject>" if words else ""
    inner += f"<dc:title><rdf:Alt><rdf:li>{title}</rdf:li></rdf:Alt></dc:title>" if title else ""
    path.write_text(
        '<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">'
        '<rdf:Description xmlns:xmp="http://ns.adobe.com/xap/1.0/" '
        f'xmlns:dc="http://purl.org/dc/elements/1.1/"{told}>{inner}</rdf:Description></rdf:RDF></x:xmpmeta>',
        encoding="utf-8",
    )
    return path


def the_keeper(book: Book) -> Keeper:
    (found,) = list_keepers(book, None, {}).records
    assert isinstance(found, Keeper)
    return found


def names(keeper: Keeper) -> list[str]:
    return [Path(one.path).name for one in keeper.companions]
