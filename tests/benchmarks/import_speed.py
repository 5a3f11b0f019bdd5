"""Taking in ten thousand keepers, database included, against ExifTool reading the same files in the same run.

Run: python -m tests.benchmarks.import_speed [files]. Needs ExifTool (Debian libimage-exiftool-perl). Exits
with 1 when an aim is missed. The files are small JPEGs with a full Exif block and some XMP, each with another
moment, drawn into a temporary folder; both programs read them from the page cache, this one twice (metadata
and hash). Memory is the peak of a process that takes in a tenth of the files, and of one that takes in all.
"""

import json
import resource
import shutil
import subprocess
import sys
import tempfile
import time
from datetime import UTC, datetime, timedelta
from io import BytesIO
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

FILES = 10_000
TIME_AIM = 0.35  # of ExifTool's wall time
MEMORY_AIM = 1.15  # of the peak with a tenth of the files
SLACK_MB = 12  # what a list of paths may cost
XMP = (
    '<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">'
    '<rdf:Description xmlns:xmp="http://ns.adobe.com/xap/1.0/" xmp:Rating="{rating}" xmp:Label="Red"/>'
    "</rdf:RDF></x:xmpmeta>"
)


def say(text: str) -> None:
    """Print a line."""
    sys.stdout.write(f"{text}\n")


def draw(folder: Path, count: int) -> None:
    """Write `count` pictures as a camera and an editor leave them."""
    import piexif
    from PIL import Image

    plain = BytesIO()
    Image.new("RGB", (160, 120), (120, 140, 90)).save(plain, "JPEG")
    body = plain.getvalue()[2:]
    start = datetime(2031, 10, 14, 6, tzinfo=UTC)
    for number in range(count):
        taken = f"{start + timedelta(seconds=7 * number):%Y:%m:%d %H:%M:%S}"
        exif = piexif.dump(
            {
                "0th": {
                    piexif.ImageIFD.Make: "Halvern",
                    piexif.ImageIFD.Model: "Thistle",
                    piexif.ImageIFD.Orientation: 1,
                },
                "Exif": {
                    piexif.ExifIFD.DateTimeOriginal: taken,
                    piexif.ExifIFD.OffsetTimeOriginal: "+05:00",
                    piexif.ExifIFD.ExposureTime: (1, 30 + number % 500),
                    piexif.ExifIFD.FNumber: (8, 1),
                    piexif.ExifIFD.ISOSpeedRatings: 200,
                    piexif.ExifIFD.FocalLength: (24, 1),
                    piexif.ExifIFD.ExposureBiasValue: (0, 1),
                    piexif.ExifIFD.ExposureProgram: 1,
                    piexif.ExifIFD.MeteringMode: 5,
                    piexif.ExifIFD.LensModel: "Halvern Reed",
                },
                "GPS": {
                    piexif.GPSIFD.GPSLatitudeRef: "N",
                    piexif.GPSIFD.GPSLatitude: ((38, 1), (30, 1), (number % 60, 1)),
                    piexif.GPSIFD.GPSLongitudeRef: "E",
                    piexif.GPSIFD.GPSLongitude: ((71, 1), (30, 1), (0, 1)),
                },
            }
        )
        packet = b"http://ns.adobe.com/xap/1.0/\0" + XMP.format(rating=number % 6).encode()
        segments = b"".join(b"\xff\xe1" + (len(one) + 2).to_bytes(2, "big") + one for one in (exif, packet))
        (folder / f"TRN_{number:05}.JPG").write_bytes(b"\xff\xd8" + segments + body)


def take(folder: Path, book: Path) -> None:
    """Take the pictures in; print seconds and the peak of memory in MB."""
    from logbook.services import kinds, records
    from logbook.services.keepers.importing import take_in
    from logbook.store.book import Book

    opened = Book(book, lambda: datetime.now(UTC), create=True)
    records.add(opened, kinds.TRIP, {"title": "Valley", "zone": "Asia/Dushanbe"}, "valley")
    began = time.perf_counter()
    done = take_in(opened, folder, trip=None)
    taken_s = time.perf_counter() - began
    peak_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    say(json.dumps({"s": taken_s, "mb": peak_mb, "added": done.added, "refused": len(done.refused)}))


def taken(folder: Path, book: Path) -> dict[str, float]:
    """Take the pictures in, in a process of its own."""
    done = subprocess.run(
        [sys.executable, __file__, "--take", str(folder), str(book)],
        capture_output=True,
        text=True,
        check=True,
    )
    result: dict[str, float] = json.loads(done.stdout)
    return result


def main() -> int:
    """Run all and print the ratios."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else FILES
    exiftool = shutil.which("exiftool")
    if exiftool is None:
        say("ExifTool is not installed (Debian libimage-exiftool-perl).")
        return 1
    with tempfile.TemporaryDirectory() as scratch:
        few, all_ = Path(scratch, "few"), Path(scratch, "all")
        for folder, files in ((few, count // 10), (all_, count)):
            folder.mkdir()
            draw(folder, files)
        small = taken(few, Path(scratch, "few.sqlite"))
        ours_s, theirs_s = [], []
        for turn in range(2):
            whole = taken(all_, Path(scratch, f"all-{turn}.sqlite"))
            assert whole["added"] == count, whole
            ours_s.append(whole["s"])
            began = time.perf_counter()
            subprocess.run(
                [exiftool, "-fast2", "-json", str(all_)],
                stdout=subprocess.DEVNULL,
                stderr=subprocess.DEVNULL,
                check=True,
            )
            theirs_s.append(time.perf_counter() - began)
    ratio = min(ours_s) / min(theirs_s)
    say(f"{count} files: {min(ours_s):.1f} s here, {min(theirs_s):.1f} s in ExifTool")
    say(f"ratio {ratio:.2f} (aim {TIME_AIM})")
    say(f"peak memory: {small['mb']:.0f} MB for {count // 10}, {whole['mb']:.0f} MB for {count}")
    is_flat = whole["mb"] <= MEMORY_AIM * small["mb"] + SLACK_MB
    return 0 if ratio <= TIME_AIM and is_flat else 1


if __name__ == "__main__":
    if sys.argv[1:2] == ["--take"]:
        take(Path(sys.argv[2]), Path(sys.argv[3]))
    else:
        sys.exit(main())
