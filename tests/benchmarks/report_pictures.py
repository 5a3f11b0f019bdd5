"""A report's pictures: built, built again, and what a reader's first screen costs, as ratios of one run.

Run: python tests/benchmarks/report_pictures.py [originals]. Needs Debian's libvips-tools (and Chromium for
the bytes). Exits with 1 when a ratio misses its aim. The originals are drawn into a temporary folder, 24
megapixels and 11 MB each, with detail and grain, so that decoding costs what a camera's JPEG costs.
"""

import random
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import replace
from datetime import UTC, date, datetime
from hashlib import sha256
from os import cpu_count
from pathlib import Path
from resource import RUSAGE_CHILDREN, RUSAGE_SELF, getrusage
from typing import Any

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from logbook.domain.account import TripAccount
from logbook.domain.keeper import Keeper
from logbook.domain.shot import Shot
from logbook.domain.trip import Trip
from logbook.domain.words import Audience
from logbook.faces.report import build_report
from logbook.faces.report.pictures import QUALITY, WIDTHS_PX, Original, prepare_all

TEMPLATES = Path(__file__).resolve().parents[2] / "templates"
SIZE_PX = (6000, 4000)  # 24 megapixels
PICTURES_AIM = 0.6  # of vipsthumbnail's processor time, which a busy machine leaves as it is
REBUILD_AIM = 0.05  # of the full build's processor time
FIRST_SCREEN_AIM = 600_000  # bytes, with FIRST_SCREEN_PICTURES pictures
FIRST_SCREEN_PICTURES = 40
PICTURES_OF_A_SHOT = 5
NOW = datetime(2031, 10, 20, tzinfo=UTC)
DAY = date(2031, 10, 14)


def draw(path: Path, seed: int) -> None:
    """Draw one original: shapes at every scale, a sky, and grain as of ISO 400."""
    from PIL import Image, ImageChops, ImageDraw

    chance = random.Random(seed)
    scene = Image.linear_gradient("L").resize(SIZE_PX)
    scene = Image.merge("RGB", [scene.point(lambda v, k=k: int(v * k)) for k in (0.7, 0.8, 1.0)])
    pen = ImageDraw.Draw(scene)
    for _ in range(4000):
        x, y, size = chance.randrange(6000), chance.randrange(4000), int(2 ** chance.uniform(2, 9))
        colour = tuple(chance.randrange(256) for _ in range(3))
        pen.ellipse((x, y, x + size, y + size // 2), fill=colour)
    grain = Image.effect_noise(SIZE_PX, 9).convert("RGB")
    ImageChops.add(scene, grain, scale=1, offset=-128).save(path, quality=93)


def timed(work: Callable[[], object]) -> float:
    """Return the wall time of some work in s."""
    started = time.perf_counter()
    work()
    return time.perf_counter() - started


def worked(work: Callable[[], object]) -> tuple[float, float]:
    """Return the wall and the processor time of some work in s, with that of the processes it started."""

    def spent() -> float:
        both = [getrusage(of) for of in (RUSAGE_SELF, RUSAGE_CHILDREN)]
        return sum(one.ru_utime + one.ru_stime for one in both)

    before = spent()
    wall_s = timed(work)
    return wall_s, spent() - before


def with_vips(originals: Sequence[Path], folder: Path) -> None:
    """The outside floor: the same widths, quality and kind of JPEG, one process a core."""
    cores = cpu_count() or 1
    how = f"[Q={QUALITY},optimize_coding,interlace,strip]"
    for width in WIDTHS_PX:
        shares = [originals[start::cores] for start in range(cores)]
        running = [
            subprocess.Popen(
                ["vipsthumbnail", "--size", f"{width}x", "-o", f"{folder}/%s-{width}.jpg{how}", *share]
            )
            for share in shares
            if share
        ]
        if any(one.wait() for one in running):
            raise SystemExit("vipsthumbnail failed")


def account_of(originals: Sequence[Path]) -> TripAccount:
    """A trip whose keepers are the originals, a handful for each planned shot."""
    record: dict[str, Any] = {"created": NOW, "updated": NOW, "trip_id": "trip"}
    trip = Trip(id="trip", created=NOW, updated=NOW, slug="bench", title="Bench", starts_on=DAY, ends_on=DAY)
    shots = [f"shot-{number}" for number in range(-(-len(originals) // PICTURES_OF_A_SHOT))]
    return TripAccount(
        trip=replace(trip, summary="Five days in one valley.", brief="Forty pictures for a calendar."),
        sites={},
        viewpoints={},
        shots=tuple(Shot(id=slug, slug=slug, title=slug, intent="Calm water", **record) for slug in shots),
        keepers=tuple(
            Keeper(
                id=path.stem,
                slug=path.stem.lower(),
                shot_id=shots[number // PICTURES_OF_A_SHOT],
                file=path.name,
                path=str(path),
                hash=sha256(path.read_bytes()).hexdigest(),
                size_bytes=path.stat().st_size,
                format="JPEG",
                caption=f"Caption of {number}",
                taken_local=datetime(2031, 10, 14, 17, number // 60, number % 60),  # noqa: DTZ001
                **record,
            )
            for number, path in enumerate(originals)
        ),
    )


def first_screen_bytes(folder: Path) -> int | None:
    """Bytes that a reader's browser asks for before it scrolls (1280 x 800); None without Chromium."""
    chromium = shutil.which("chromium")
    if not chromium:
        return None
    from playwright.sync_api import sync_playwright

    asked: set[Path] = set()
    with sync_playwright() as running:
        browser = running.chromium.launch(executable_path=chromium, args=["--no-sandbox", "--disable-gpu"])
        page = browser.new_page(viewport={"width": 1280, "height": 800})
        page.on("request", lambda request: asked.add(Path(request.url.removeprefix("file://"))))
        page.goto((folder / "index.html").as_uri(), wait_until="networkidle")
        browser.close()
    return sum(path.stat().st_size for path in asked if path.is_file())


def main(count: int) -> int:
    """Print the ratios."""
    with tempfile.TemporaryDirectory(prefix="report-pictures-") as scratch:
        folder = Path(scratch)
        originals = [folder / f"SCN_{number:04d}.jpg" for number in range(count)]
        with ProcessPoolExecutor() as pool:
            list(pool.map(draw, originals, range(count)))
        megabytes = sum(path.stat().st_size for path in originals) / 1e6
        print(f"{count} originals of 24 megapixels, {megabytes / count:.1f} MB each, {cpu_count()} cores")  # noqa: T201
        return _measured(folder, originals)


def _measured(folder: Path, originals: list[Path]) -> int:
    for name in ("vips", "ours"):
        (folder / name).mkdir()
    account = account_of(originals)
    wanted = [Original(k.id, k.path, k.hash, k.format) for k in account.keepers]
    floor_s, floor_cpu_s = worked(lambda: with_vips(originals, folder / "vips"))
    ours_s, ours_cpu_s = worked(lambda: prepare_all(wanted, folder / "ours"))
    sizes = [sum(p.stat().st_size for p in (folder / name).iterdir()) / 1e6 for name in ("vips", "ours")]
    print(  # noqa: T201
        f"pictures: {ours_cpu_s:.1f} s of processors, {ours_cpu_s / floor_cpu_s:.2f} of vipsthumbnail's "
        f"{floor_cpu_s:.1f} s (aim {PICTURES_AIM}); by the clock {ours_s / floor_s:.2f} of {floor_s:.1f} s; "
        f"{sizes[1]:.0f} MB against {sizes[0]:.0f} MB"
    )

    def build(of: TripAccount) -> None:
        build_report(of, Audience.CLIENT, folder / "report", templates=TEMPLATES)

    first = replace(account.keepers[0], caption="Another caption")
    full_s, full_cpu_s = worked(lambda: build(account))
    again_s, again_cpu_s = worked(lambda: build(replace(account, keepers=(first, *account.keepers[1:]))))
    print(  # noqa: T201
        f"one caption changed: {again_cpu_s:.2f} s of processors, {again_cpu_s / full_cpu_s:.3f} of the full "
        f"{full_cpu_s:.1f} s (aim {REBUILD_AIM}); by the clock {again_s / full_s:.3f} of {full_s:.1f} s"
    )
    few = replace(account, keepers=account.keepers[:FIRST_SCREEN_PICTURES])
    build(few)
    first_bytes = first_screen_bytes(folder / "report")
    print(  # noqa: T201
        f"first screen with {len(few.keepers)} pictures: {first_bytes} bytes (aim {FIRST_SCREEN_AIM})"
    )
    missed = ours_cpu_s > PICTURES_AIM * floor_cpu_s or again_cpu_s > REBUILD_AIM * full_cpu_s
    return int(missed or (first_bytes or 0) > FIRST_SCREEN_AIM)


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]) if len(sys.argv) > 1 else 100))
