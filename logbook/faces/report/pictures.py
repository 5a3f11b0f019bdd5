"""Pictures for the pages: each original decoded once, turned upright, brought to sRGB, saved in three widths.

One surprising decision: files are named by a digest of the original's hash, so that neither a file name nor
the hash itself, by which an original could be recognised, leaves the book, and so that the widths a report
already has are known again (`reuse`) whatever became of the original meanwhile.
"""

import hashlib
import warnings
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from dataclasses import dataclass
from io import BytesIO
from multiprocessing import get_context, parent_process
from os import _exit, cpu_count
from pathlib import Path
from threading import Thread
from typing import TYPE_CHECKING

from logbook.faces.report.models import Candidate, Image
from logbook.intake.previews import MissingExtraError, TooLargeError, open_picture
from logbook.services.picture_files import real_path

if TYPE_CHECKING:
    from PIL import Image as Pillow

WIDTHS_PX = (480, 720, 1600)  # a small plate, a page of the spread or a phone, the large view
QUALITY = 82  # JPEG quality; above it files grow faster than anyone sees (common practice, no source)
RECIPE = b"report picture 2"  # change it when the same original would give other files
FEW = 4  # pictures of 24 megapixels; below this a second process costs more than it saves (measured)
PAPER = (255, 255, 255)  # what shows through a transparent picture
LYING = (5, 6, 7, 8)  # values of Exif's Orientation for a picture stored on its side (CIPA DC-008)

SHAPES = (
    50, 56, 60, 67, 71, 75, 80, 90, 100, 111, 125, 133, 140, 150, 160, 178, 190, 200, 220, 240, 270, 300,
)  # fmt: skip  # width to height in hundredths, as in the style sheet


@dataclass(frozen=True, slots=True)
class Original:
    """One original: whose it is, where it lies, what it contains."""

    keeper_id: str
    path: str
    hash: str
    format: str
    orientation: int | None = None  # as the book says, for pictures and previews that do not say


@dataclass(frozen=True, slots=True)
class Prepared:
    """What became of one original: an image, or the reason why there is none."""

    keeper_id: str
    image: Image | None
    why: str = ""


def prepare_all(
    originals: Iterable[Original],
    folder: Path,
    progress: Callable[[int, int], None] | None = None,
    earlier: Callable[[str, Path], Image | None] = lambda _name, _folder: None,
) -> dict[str, Prepared]:
    """Write every original's widths into `folder`; return by keeper id what became of each.

    `earlier` takes a picture's name and puts what an earlier report has of it into the folder, else returns
    None. A missing or unreadable original is a reason, never an error; OSError means that `folder` cannot be
    written.
    """
    wanted = list(originals)
    prepared: dict[str, Prepared] = {}
    left = []
    for original in wanted:
        if image := earlier(name_of(original), folder):
            prepared[original.keeper_id] = Prepared(original.keeper_id, image)
        else:
            left.append(original)
    if progress and prepared:
        progress(len(prepared), len(wanted))
    for done in _each(left, folder):
        prepared[done.keeper_id] = done
        if progress:
            progress(len(prepared), len(wanted))
    return prepared


def name_of(original: Original) -> str:
    """Return the name that all widths of an original share."""
    return hashlib.blake2b(original.hash.encode(), key=RECIPE, digest_size=10).hexdigest()


def widths_of(widest_px: int) -> tuple[int, ...]:
    """Return the widths that are made of a picture: never wider than it is."""
    return (*(width for width in WIDTHS_PX if width < widest_px), min(widest_px, WIDTHS_PX[-1]))[
        : len(WIDTHS_PX)
    ]


def image_of(name: str, width_px: int, height_px: int) -> Image:
    """Return the image for a page, from the size of its widest file."""
    shape = min(SHAPES, key=lambda one: abs(one - 100 * width_px / height_px))
    candidates = tuple(Candidate(f"pictures/{name}-{width}.jpg", width) for width in widths_of(width_px))
    return Image(candidates, width_px, height_px, shape)


def _each(wanted: list[Original], folder: Path) -> Iterator[Prepared]:
    workers = min(cpu_count() or 1, len(wanted))
    finished = 0
    if len(wanted) >= FEW and workers > 1:
        try:
            context = get_context("spawn")
            with ProcessPoolExecutor(workers, context, _end_with_the_program) as pool:
                for done in pool.map(prepare, wanted, [folder] * len(wanted)):
                    finished += 1
                    yield done
        except BrokenProcessPool:
            pass  # a script without a main guard, or a picture that took its process down: go on in this one
    for original in wanted[finished:]:
        yield prepare(original, folder)


def _end_with_the_program() -> None:
    """Let a helper process end when the program is killed; it would wait for work for ever."""
    Thread(target=_wait_for_its_end, daemon=True).start()


def _wait_for_its_end() -> None:
    program = parent_process()
    if program is not None:
        program.join()
        _exit(1)


def prepare(original: Original, folder: Path) -> Prepared:
    """Write one original's widths into `folder` without any metadata."""
    from PIL import Image as Pillow

    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # damaged tags are no concern of a page
            upright = _upright(original)
    except FileNotFoundError:
        return Prepared(original.keeper_id, None, "the original is no longer there")
    except (MissingExtraError, TooLargeError) as error:
        return Prepared(original.keeper_id, None, str(error))
    except Exception as error:  # decoders raise almost anything on a damaged file
        return Prepared(original.keeper_id, None, f"the original cannot be read ({type(error).__name__})")
    name, sized = name_of(original), upright
    for width in reversed(widths_of(upright.width)):  # each from the next wider: half the work, same look
        if width != upright.width:
            height = max(1, round(upright.height * width / upright.width))
            sized = sized.resize((width, height), Pillow.Resampling.LANCZOS, reducing_gap=3.0)
        buffer = BytesIO()
        sized.save(buffer, "JPEG", quality=QUALITY, progressive=True, optimize=True)
        (folder / f"{name}-{width}.jpg").write_bytes(buffer.getvalue())
    return Prepared(original.keeper_id, image_of(name, *upright.size))


def _upright(original: Original) -> "Pillow.Image":
    """Decode once; return the widest upright sRGB picture, which carries nothing but its pixels."""
    from PIL import Image as Pillow

    found = open_picture(real_path(original.path), original.format, original.orientation)
    turn = found.orientation
    with found.picture as opened:
        opened.seek(0)
        lies = turn in LYING
        width, height = opened.size[::-1] if lies else opened.size
        across = min(width, WIDTHS_PX[-1])
        high = max(1, round(height * across / width))
        target = (high, across) if lies else (across, high)
        opened.draft("RGB", target)  # a JPEG decodes smaller, but never smaller than this
        shown = _as_seen(opened)
        if shown.size != target:
            shown = shown.resize(target, Pillow.Resampling.LANCZOS, reducing_gap=3.0)
        upright = _in_srgb(_turned(shown, turn), opened.info.get("icc_profile"))
    bare = Pillow.new("RGB", upright.size)
    bare.paste(upright)
    return bare


def _turned(picture: "Pillow.Image", orientation: int | None) -> "Pillow.Image":
    """Return a picture the right way up (the values of Exif's Orientation, CIPA DC-008)."""
    from PIL import Image as Pillow

    turns = Pillow.Transpose
    how = {
        2: turns.FLIP_LEFT_RIGHT,
        3: turns.ROTATE_180,
        4: turns.FLIP_TOP_BOTTOM,
        5: turns.TRANSPOSE,
        6: turns.ROTATE_270,
        7: turns.TRANSVERSE,
        8: turns.ROTATE_90,
    }.get(orientation or 1)
    return picture if how is None else picture.transpose(how)


def _as_seen(picture: "Pillow.Image") -> "Pillow.Image":
    """Return a picture in a mode that can be made smaller: eight bits, no palette, on paper."""
    from PIL import Image as Pillow

    if picture.mode.startswith("I;16") or picture.mode in ("I", "F"):
        return picture.convert("I").point(lambda value: value / 256).convert("L").convert("RGB")
    if picture.mode in ("P", "PA", "LA", "La", "RGBa"):
        picture = picture.convert("RGBA")
    if picture.mode == "RGBA":
        paper = Pillow.new("RGB", picture.size, PAPER)
        paper.paste(picture, mask=picture.getchannel("A"))
        return paper
    if picture.mode in ("RGB", "CMYK", "L", "LAB"):
        picture.load()
        return picture
    return picture.convert("RGB")


def _in_srgb(picture: "Pillow.Image", profile: bytes | None) -> "Pillow.Image":
    """Return an sRGB picture; a profile that cannot be used is left out of account."""
    from PIL import ImageCms

    if profile:
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
