"""Pictures for the pages: each original decoded once, upright, in sRGB, in several widths.

One surprising decision: files are named by a digest of the original's hash, so that neither a file name nor
the hash itself, by which an original could be recognised, leaves the book, and so that the widths a report
already has are known again (`reuse`) whatever became of the original meanwhile.
"""

import hashlib
from collections.abc import Callable, Iterable
from contextlib import closing
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path

from logbook.faces.report.models import Candidate, Image
from logbook.intake import renditions
from logbook.intake.renditions import Another, Asked, Rendition, made_of
from logbook.intake.workers import Ended, in_helpers
from logbook.services.keepers.picture_files import real_path

WIDTHS_PX = (480, 720, 1080, 1600, 2400, 3200)  # from a small plate to the large view on a fine screen
QUALITY = 82  # JPEG quality; above it files grow faster than anyone sees (common practice, no source)
RECIPE = b"report picture 6"  # change it when the same original would give other files
FEW = 4  # pictures of 24 megapixels; below this a second helper costs more than it saves (measured)
TONES = 4  # steps of red, green and blue, as in the style sheet


@dataclass(frozen=True, slots=True)
class Original:
    """One original: whose it is, where it lies, what it contains."""

    keeper_id: str
    path: str
    hash: str
    format: str
    orientation: int | None = None  # as the book says, for pictures and previews that do not say
    size_bytes: int | None = None


@dataclass(frozen=True, slots=True)
class Prepared:
    """What became of one original: an image, or the reason why there is none."""

    keeper_id: str
    image: Image | None
    why: str = ""
    is_changed: bool = False  # what lies there is not what the book recorded


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
    most = 1 if len(left) < FEW else None
    with closing(in_helpers(made_of, [_asked(one) for one in left], most)) as results:
        for original, made in zip(left, results, strict=True):
            prepared[original.keeper_id] = _kept(original, made, folder)
            if progress:
                progress(len(prepared), len(wanted))
    return prepared


def name_of(original: Original) -> str:
    """Return the name that all widths of an original share."""
    return hashlib.blake2b(original.hash.encode(), key=RECIPE, digest_size=10).hexdigest()


def widths_of(widest_px: int) -> tuple[int, ...]:
    """Return the widths that a page's pictures have, never wider than the original."""
    return renditions.widths_of(widest_px, WIDTHS_PX)


def image_of(name: str, width_px: int, height_px: int, narrowest: bytes) -> Image:
    """Return the image for a page, from the size of its widest file and the content of its narrowest."""
    candidates = tuple(Candidate(f"pictures/{name}-{width}.jpg", width) for width in widths_of(width_px))
    return Image(candidates, width_px, height_px, tone_of(narrowest))


def tone_of(content: bytes) -> str:
    """Return a JPEG's mean colour in quarters of red, green and blue, "t132", or "" where it has none."""
    from PIL import Image as Pillow

    try:
        with Pillow.open(BytesIO(content), formats=["JPEG"]) as opened:
            opened.draft("RGB", (1, 1))  # the smallest that a JPEG decodes to
            mean = opened.convert("RGB").resize((1, 1), Pillow.Resampling.BOX).tobytes()
    except (OSError, ValueError):
        return ""
    return "t" + "".join(str(channel * TONES // 256) for channel in mean)


def _asked(original: Original) -> Asked:
    return Asked(
        real_path(original.path),
        original.hash,
        original.size_bytes,
        original.format,
        original.orientation,
        WIDTHS_PX,
        QUALITY,
    )


def _kept(original: Original, made: Rendition | Ended, folder: Path) -> Prepared:
    """Write what a helper made of an original, or keep the reason why it made nothing."""
    if isinstance(made, Ended):
        return Prepared(original.keeper_id, None, made.why, isinstance(made, Another))
    name = name_of(original)
    for width, content in made.files:
        (folder / f"{name}-{width}.jpg").write_bytes(content)
    return Prepared(original.keeper_id, image_of(name, *made.size_px, made.files[0][1]))
