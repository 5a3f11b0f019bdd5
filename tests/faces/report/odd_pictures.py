"""Pictures of odd shapes, sizes, turns and formats: those of real files, and drawn ones, odder still."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path

from PIL import Image, ImageDraw

from logbook.domain.account import TripAccount
from logbook.domain.keeper import Keeper
from tests.faces.report.conftest import keeper

CAMERAS = Path("/usr/share/gocode/src/github.com/rwcarlsen/goexif/exif/samples")
OTHERS = Path(__file__).parents[2] / "intake" / "files" / "cameras"
DRAWN = {
    "panorama": (7000, 1000),
    "long": (2600, 1000),
    "tower": (500, 2500),
    "stamp": (100, 75),
    "speck": (4, 20),
    "strip": (700, 100),
    "square": (1500, 1500),
    "camera": (2400, 1600),
    "upright": (1600, 2400),
}
BEGUN = datetime(2031, 10, 14, 8)  # noqa: DTZ001 - the place's wall time is naive


def drawn(folder: Path, name: str, size: tuple[int, int], turn: int = 0) -> Path:
    """Draw a scene with something at every edge, so that a cut would be seen."""
    path = folder / f"{name}.jpg"
    width, height = size
    sky = Image.linear_gradient("L").resize(size)
    scene = Image.merge("RGB", [sky.point(lambda v, k=k: int(v * k) + 40) for k in (0.5, 0.6, 0.8)])
    pen = ImageDraw.Draw(scene)
    unit = max(2, min(size) // 6)
    for at in range(0, width, 2 * unit):
        hue = (60 + (at * 7 + turn * 31) % 180, 90, 200 - (at * 5) % 120)
        pen.ellipse((at, height // 3, at + unit, height // 3 + unit), fill=hue)
        pen.rectangle((at, height - unit, at + unit, height), fill=(hue[2], hue[0], 60))
    pen.rectangle((0, 0, width - 1, height - 1), outline=(250, 240, 200), width=max(1, unit // 8))
    scene.save(path, quality=90)
    return path


def camera_pictures() -> list[Path]:
    """Files of real programs and cameras that hold pixels: every turn of Exif, grey, raw, HEIC, a profile."""
    turned = [CAMERAS / f"f{turn}-exif.jpg" for turn in range(1, 9)]
    found = [
        CAMERAS / "has-lens-info.jpg",
        CAMERAS / "geodegrees_as_string.jpg",
        CAMERAS.parent / "sample1.jpg",
    ]
    ours = [OTHERS / name for name in ("zPug_3.heic", "Panasonic.rw2", "XMP.jpg", "PNG.png")]
    return [*turned, *found, *ours]


def odd_mix(folder: Path) -> list[Path]:
    """The cameras' pictures and the drawn ones, mixed."""
    made = [drawn(folder, name, size) for name, size in DRAWN.items()]
    real = camera_pictures()
    mixed: list[Path] = []
    for at, path in enumerate(real):
        mixed.append(path)
        mixed += made[at : at + 1]
    return mixed + made[len(real) :]


def many(folder: Path, count: int) -> list[Path]:
    """As many drawn pictures of usual and some odd shapes."""
    shapes = [(900, 600), (900, 600), (600, 900), (800, 600), (900, 506), (1400, 400), (160, 800), (90, 70)]
    return [drawn(folder, f"many-{at}", shapes[at * 5 % len(shapes)], at) for at in range(count)]


def with_pictures(account: TripAccount, paths: list[Path], *, captioned: bool = False) -> TripAccount:
    """The trip with these pictures only, one every ten minutes."""
    return replace(account, keepers=tuple(_keepers(paths, captioned=captioned)), sets=(), outcomes={})


def _keepers(paths: list[Path], *, captioned: bool) -> Iterator[Keeper]:
    for at, path in enumerate(paths):
        yield keeper(
            f"k{at}",
            str(path),
            format={"jpg": "JPEG", "heic": "HEIC", "rw2": "RW2", "png": "PNG"}[path.suffix[1:].lower()],
            taken_local=BEGUN + timedelta(minutes=10 * at),
            caption=f"What was seen in picture {at}." if captioned and at % 3 else None,
            viewpoint_id="ledge" if at % 4 else "bend",
        )
