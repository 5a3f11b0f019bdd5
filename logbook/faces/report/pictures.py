"""Pictures for the pages: each original decoded once, turned upright, brought to sRGB, saved in three widths.

One surprising decision: files are named by a digest of the original's hash, so that neither a file name nor
the hash itself, by which an original could be recognised, leaves the book.
"""

import hashlib
import warnings
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from dataclasses import dataclass
from importlib import import_module
from io import BytesIO
from multiprocessing import get_context
from os import cpu_count
from pathlib import Path
from typing import TYPE_CHECKING

from logbook.faces.report.models import Candidate, Image

if TYPE_CHECKING:
    from PIL import Image as Pillow

WIDTHS_PX = (480, 960, 1600)  # a phone's column, a page of the spread, the large view
QUALITY = 85  # JPEG quality; above it files grow faster than anyone sees (common practice, no source)
RECIPE = b"report picture 1"  # change it when the same original would give other files
FEW = 4  # pictures; below this a second process costs more than it saves
PAPER = (255, 255, 255)  # what shows through a transparent picture

SHAPES = (
    50, 56, 60, 67, 71, 75, 80, 90, 100, 111, 125, 133, 140, 150, 160, 178, 190, 200, 220, 240, 270, 300,
)  # fmt: skip  # width to height in hundredths, as in the style sheet

_DIRECT = {"JPEG", "TIFF", "PNG", "WEBP", "GIF", "BMP", "HEIC", "HEIF", "AVIF", ""}


@dataclass(frozen=True, slots=True)
class Original:
    """One original: whose it is, where it lies, what it contains."""

    keeper_id: str
    path: str
    hash: str
    format: str


@dataclass(frozen=True, slots=True)
class Prepared:
    """What became of one original: an image, or the reason why there is none."""

    keeper_id: str
    image: Image | None
    why: str = ""


def prepare_all(
    originals: Iterable[Original], folder: Path, progress: Callable[[int, int], None] | None = None
) -> dict[str, Prepared]:
    """Write every original's widths into `folder`; return by keeper id what became of each.

    A missing or unreadable original is a reason, never an error; OSError means `folder` cannot be written.
    """
    wanted = list(originals)
    prepared: dict[str, Prepared] = {}
    for done in _each(wanted, folder):
        prepared[done.keeper_id] = done
        if progress:
            progress(len(prepared), len(wanted))
    return prepared


def _each(wanted: list[Original], folder: Path) -> Iterator[Prepared]:
    workers = min(cpu_count() or 1, len(wanted))
    finished = 0
    if len(wanted) >= FEW and workers > 1:
        try:
            with ProcessPoolExecutor(workers, mp_context=get_context("spawn")) as pool:
                for done in pool.map(prepare, wanted, [folder] * len(wanted)):
                    finished += 1
                    yield done
        except BrokenProcessPool:
            pass  # a script without a main guard, or a picture that took its process down: go on in this one
    for original in wanted[finished:]:
        yield prepare(original, folder)


def prepare(original: Original, folder: Path) -> Prepared:
    """Write one original's widths into `folder` without any metadata."""
    from PIL import Image as Pillow

    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # damaged tags are no concern of a page
            upright = _upright(original)
    except FileNotFoundError:
        return Prepared(original.keeper_id, None, "the original is no longer there")
    except Pillow.DecompressionBombError:
        return Prepared(original.keeper_id, None, "the original is too large to read safely")
    except Exception as error:  # decoders raise almost anything on a damaged file
        return Prepared(original.keeper_id, None, f"the original cannot be read ({type(error).__name__})")
    name = hashlib.blake2b(original.hash.encode(), key=RECIPE, digest_size=10).hexdigest()
    widths = [*(width for width in WIDTHS_PX if width < upright.width), min(upright.width, WIDTHS_PX[-1])]
    candidates, height = [], 0
    for width in dict.fromkeys(widths):
        height = max(1, round(upright.height * width / upright.width))
        sized = upright.resize((width, height), Pillow.Resampling.LANCZOS, reducing_gap=3.0)
        path = f"pictures/{name}-{width}.jpg"
        buffer = BytesIO()
        sized.save(buffer, "JPEG", quality=QUALITY, progressive=True, optimize=True)
        (folder / Path(path).name).write_bytes(buffer.getvalue())
        candidates.append(Candidate(path, width))
    shape = min(SHAPES, key=lambda one: abs(one - 100 * upright.width / upright.height))
    return Prepared(original.keeper_id, Image(tuple(candidates), candidates[-1].width_px, height, shape))


def _upright(original: Original) -> "Pillow.Image":
    """Decode once; return an upright sRGB picture that carries nothing but its pixels."""
    from PIL import Image as Pillow
    from PIL import ImageOps

    with _open(original) as opened:
        opened.seek(0)
        across = max(WIDTHS_PX)
        share = across / min(opened.size)  # wide enough whichever way it is turned
        if share < 1:
            opened.draft(
                "RGB", (round(opened.width * share), round(opened.height * share))
            )  # JPEG decodes smaller
        turned = ImageOps.exif_transpose(opened)
        upright = _in_srgb(turned)
    bare = Pillow.new("RGB", upright.size)
    bare.paste(upright)
    return bare


def _open(original: Original) -> "Pillow.Image":
    from PIL import Image as Pillow

    path = Path(original.path)
    if original.format.upper() in {"HEIC", "HEIF"}:
        import_module("pillow_heif").register_heif_opener()
    if original.format.upper() in _DIRECT:
        return Pillow.open(path)
    if not path.exists():
        raise FileNotFoundError(path)
    rawpy = import_module("rawpy")
    with rawpy.imread(str(path)) as raw:
        preview = raw.extract_thumb()
        if preview.format == rawpy.ThumbFormat.JPEG:
            return Pillow.open(BytesIO(preview.data))
        return Pillow.fromarray(preview.data)


def _in_srgb(picture: "Pillow.Image") -> "Pillow.Image":
    """Return an 8-bit sRGB picture; a profile that cannot be used is left out of account."""
    from PIL import Image as Pillow
    from PIL import ImageCms

    profile = picture.info.get("icc_profile")
    if picture.mode.startswith("I;16") or picture.mode in ("I", "F"):
        picture = picture.convert("I").point(lambda value: value / 256).convert("L")
        profile = None
    if picture.mode in ("P", "PA", "LA", "La", "RGBa"):
        picture = picture.convert("RGBA")
    if picture.mode == "RGBA":
        paper = Pillow.new("RGB", picture.size, PAPER)
        paper.paste(picture, mask=picture.getchannel("A"))
        picture = paper
    if profile and picture.mode in ("RGB", "CMYK", "L", "LAB"):
        try:
            source = ImageCms.ImageCmsProfile(BytesIO(profile))
            converted = ImageCms.profileToProfile(
                picture, source, ImageCms.createProfile("sRGB"), outputMode="RGB"
            )
        except (ImageCms.PyCMSError, OSError, ValueError):
            converted = None
        if converted:
            return converted
    return picture.convert("RGB")
