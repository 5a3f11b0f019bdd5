"""Long and unfolding inputs: how their cost grows, as ratios of one run.

Run: python -m tests.benchmarks.long_inputs. Exits with 1 when an aim is missed. Processor time is counted, so
that a busy machine says the same as an idle one; memory is the peak of a process of its own.
"""

import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from hashlib import sha256
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

DAY_AIM = 6.0  # of the time of a quarter of the entries; the square would be 16
AGAIN_AIM = 0.5  # of the first import's time
TRACK_AIM = 6.0  # of the memory with a quarter of the points
POINT_AIM_BYTES = 400  # of memory for each point of a long track


def say(text: str) -> None:
    """Print a line."""
    sys.stdout.write(f"{text}\n")


def processor_s(work: Callable[[], object]) -> float:
    """Return the processor time of some work in s."""
    begun = time.process_time()
    work()
    return time.process_time() - begun


def day_files(folder: Path) -> bool:
    """A day of 1,000 observations and one of 4,000: read, read again, edited in every line."""
    from logbook.services.dayfiles.days import read_day
    from tests.services.conftest import valley_book
    from tests.services.dayfiles.test_long_days import day

    costs = []
    for entries in (1000, 4000):
        book, path = valley_book(folder / f"{entries}.sqlite"), folder / f"{entries}.md"
        cost = []
        for said in ("people", "people", "walkers"):
            path.write_text(day(entries, "one stay", said))
            cost.append(processor_s(lambda book=book, path=path: read_day(book, path)))  # type: ignore[misc]
        costs.append(cost)
    ratios = [long / short for short, long in zip(*costs, strict=True)]
    for what, short, long, ratio in zip(("read", "again", "edited"), *costs, ratios, strict=True):
        grown = f"{ratio:.1f} of 1,000's {short:.1f} s (aim {DAY_AIM})"
        say(f"day file {what}: 4,000 entries {long:.1f} s, {grown}")
    return bool(max(ratios) <= DAY_AIM)


def tracks(folder: Path) -> bool:
    """A track of 75,000 points and one of 300,000: the memory that reading takes."""
    peaks = []
    for points in (75_000, 300_000):
        path, at = folder / f"{points}.gpx", datetime(2031, 10, 14, 5, tzinfo=UTC)
        with path.open("w") as file:
            file.write('<gpx version="1.1" creator="bench"><trk><trkseg>')
            for n in range(points):
                file.write(
                    f'<trkpt lat="{47 + n * 1e-6:.6f}" lon="12.5"><ele>{800 + n % 100}</ele>'
                    f"<time>{at + timedelta(seconds=n):%Y-%m-%dT%H:%M:%SZ}</time></trkpt>"
                )
            file.write("</trkseg></trk></gpx>")
        asked = [sys.executable, "-m", "tests.benchmarks.long_inputs", str(path)]
        peaks.append(int(subprocess.run(asked, capture_output=True, check=True, cwd=ROOT).stdout))
    ratio, each = peaks[1] / peaks[0], peaks[1] / 300_000
    say(f"track: 300,000 points {peaks[1] / 1e6:.0f} MB, {ratio:.1f} of 75,000 (aim {TRACK_AIM}),")
    say(f"  {each:.0f} bytes a point (aim {POINT_AIM_BYTES})")
    return ratio <= TRACK_AIM and each <= POINT_AIM_BYTES


def peak_of_reading(path: Path) -> int:
    """Return how many bytes the peak of this process grows by while it reads a track."""
    import gpxpy  # noqa: F401 - it is loaded before the count begins

    from logbook.intake.tracks import read_track

    before = _peak_bytes()
    read_track(path)
    return _peak_bytes() - before


def _peak_bytes() -> int:
    """The most memory of this process; what Linux's getrusage tells began with the one that started it."""
    status = Path("/proc/self/status")
    if status.exists():
        return int(status.read_text().partition("VmHWM:")[2].split()[0]) * 1024
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss


def imports(folder: Path) -> bool:
    """A folder of 1,000 pictures taken in, and taken in again."""
    from logbook.services.keepers.importing import take_in
    from tests.benchmarks.import_speed import draw
    from tests.services.conftest import valley_book

    (folder / "pictures").mkdir()
    draw(folder / "pictures", 1000)
    book = valley_book(folder / "import.sqlite")
    first, again = (
        processor_s(lambda: take_in(book, folder / "pictures", trip=None)) for _ in ("first", "again")
    )
    say(f"import again: {again:.2f} s, {again / first:.2f} of the first {first:.2f} s (aim {AGAIN_AIM})")
    return again <= AGAIN_AIM * first


def unfolding(folder: Path) -> bool:
    """Small pictures that unfold: what becomes of each, and the processor time of its helper."""
    from logbook.intake.renditions import Asked, made_of
    from logbook.intake.workers import Ended, in_helpers
    from tests.intake.hostile import flat_png, many_scans

    kinds = {
        "scans.jpg": ("JPEG", many_scans((2000, 1500), 3000)),
        "pixels.png": ("PNG", flat_png(12_800, 12_800, depth=1, colour=3)),
    }
    for name, (kind, content) in kinds.items():
        (folder / name).write_bytes(content)
        before = resource.getrusage(resource.RUSAGE_CHILDREN)
        asked = Asked(folder / name, sha256(content).hexdigest(), len(content), kind, None, (480, 1600), 82)
        (done,) = in_helpers(made_of, [asked])
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        used = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
        became = done.why if isinstance(done, Ended) else "made smaller"
        say(f"{name}, {len(content) // 1000} kB: {used:.1f} s; {became}")
    return True


def main() -> int:
    """Print the ratios."""
    with tempfile.TemporaryDirectory(prefix="long-inputs-") as scratch:
        met = [work(Path(scratch)) for work in (unfolding, day_files, imports, tracks)]
    return int(not all(met))


if __name__ == "__main__":
    if len(sys.argv) > 1:
        say(str(peak_of_reading(Path(sys.argv[1]))))
        sys.exit(0)
    sys.exit(main())
