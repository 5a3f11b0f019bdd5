"""Colours brought to sRGB, in which browsers show what says nothing of its colours.

One surprising decision: a camera set to the wider space of the DCF standard often embeds no profile and only
says so in Exif, by "R03". Read as sRGB its pictures look dull, so they are given that space's profile.
"""

from collections.abc import Sequence
from functools import lru_cache
from io import BytesIO
from struct import pack
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from PIL import Image as Pillow
    from PIL.ImageCms import ImageCmsProfile

EXIF, INTEROPERABILITY = 0x8769, 0xA005  # tags of Exif that point to further tags (CIPA DC-008)
COLOUR_SPACE, SRGB = 0xA001, 1  # 1 is sRGB, 0xFFFF uncalibrated
INTEROPERABILITY_INDEX, WIDE = (
    1,
    "R03",
)  # the optional colour space of DCF 2.0 (CIPA DC-009), Adobe RGB (1998)
WIDE_COLORANTS = ((0.60974, 0.31111, 0.01947), (0.20528, 0.62567, 0.06087), (0.14919, 0.06322, 0.74457))
WIDE_GAMMA = (
    563 / 256
)  # Adobe RGB (1998) Color Image Encoding, version 2005-05, as the colorants (XYZ at D50)
D50 = (0.9642, 1.0, 0.82491)  # the white of the profile connection space (ICC.1)
GREY = "GRAY"  # the colour space in the header of a grey profile


def in_srgb(picture: "Pillow.Image", profile: bytes | None) -> "Pillow.Image":
    """Return a picture in sRGB, by its profile where it has one that can be used.

    Relative colorimetric with black point compensation: a colour that sRGB has stays what it is, one beyond
    it becomes the nearest at the edge, and the darkest ink becomes black.
    """
    converted = _converted(picture, profile) if profile else None
    return converted or picture.convert("RGB")


def profile_of(picture: "Pillow.Image") -> bytes | None:
    """Return an opened picture's profile: the one it carries, or that of the wide space which Exif names."""
    carried = picture.info.get("icc_profile")
    if isinstance(carried, bytes) and carried:
        return carried
    try:
        exif = picture.getexif()
        says = exif.get_ifd(EXIF).get(COLOUR_SPACE)
        index = (
            exif.get_ifd(INTEROPERABILITY).get(INTEROPERABILITY_INDEX) if says not in (None, SRGB) else None
        )
    except Exception:  # Pillow raises almost anything on damaged tags
        return None
    named = index.decode("ascii", "replace") if isinstance(index, bytes) else str(index or "")
    return wide_profile() if named.rstrip("\x00 ") == WIDE else None


@lru_cache(maxsize=1)
def wide_profile() -> bytes:
    """Return a profile of the optional colour space of DCF."""
    return matrix_profile(WIDE_COLORANTS, pack(">4s4xIH2x", b"curv", 1, round(WIDE_GAMMA * 256)))


def matrix_profile(colorants: Sequence[Sequence[float]], curve: bytes) -> bytes:
    """Return an ICC profile (ICC.1:2001-04) of a red, green and blue, XYZ at D50, with one curve for all.

    `curve` is a whole element of the type `curv`.
    """
    parts = [(b"desc", _description(b"RGB")), (b"cprt", pack(">4s4x", b"text") + b"None\x00")]
    parts += [(b"wtpt", _xyz(D50))]
    parts += [(name, _xyz(of)) for name, of in zip((b"rXYZ", b"gXYZ", b"bXYZ"), colorants, strict=True)]
    parts += [(name, curve) for name in (b"rTRC", b"gTRC", b"bTRC")]
    at = 128 + 4 + 12 * len(parts)
    table, content = pack(">I", len(parts)), b""
    for name, part in parts:
        table += pack(">4sII", name, at + len(content), len(part))
        content += part + bytes(-len(part) % 4)
    header = pack(">I4xI4s4s4s12x4s", at + len(content), 0x02400000, b"mntr", b"RGB ", b"XYZ ", b"acsp")
    header = (header + bytes(28) + _fixed(D50)).ljust(128, b"\x00")
    return header + table + content


def _converted(picture: "Pillow.Image", profile: bytes) -> "Pillow.Image | None":
    """The picture by its profile; None where the profile is broken or of another kind of picture."""
    from PIL import ImageCms

    try:
        source = ImageCms.ImageCmsProfile(BytesIO(profile))
        if source.profile.xcolor_space.strip() == GREY and picture.mode == "RGB":
            picture = picture.convert("L")  # it was grey before it came to stand on paper
        return ImageCms.profileToProfile(
            picture,
            source,
            _srgb(),
            renderingIntent=ImageCms.Intent.RELATIVE_COLORIMETRIC,
            outputMode="RGB",
            flags=ImageCms.Flags.BLACKPOINTCOMPENSATION,
        )
    except (ImageCms.PyCMSError, OSError, ValueError, TypeError):
        return None


@lru_cache(maxsize=1)
def _srgb() -> "ImageCmsProfile":
    from PIL import ImageCms

    return ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB"))


def _fixed(values: Sequence[float]) -> bytes:
    """Numbers as ICC's s15Fixed16."""
    return b"".join(pack(">i", round(value * 65536)) for value in values)


def _xyz(values: Sequence[float]) -> bytes:
    return pack(">4s4x", b"XYZ ") + _fixed(values)


def _description(name: bytes) -> bytes:
    return pack(">4s4xI", b"desc", len(name) + 1) + name + b"\x00" + bytes(4 + 4 + 2 + 1 + 67)
