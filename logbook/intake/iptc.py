"""IPTC-IIM: captions and credits as press software has written them since before XMP.

One surprising decision: text whose character set is not declared is UTF-8 where it can be, else Windows
Latin-1, because that is what was written. Source: IPTC-NAA Information Interchange Model version 4.2,
records 1 and 2; Photoshop file format, image resource 0x0404.
"""

from collections.abc import Iterator

from logbook.intake.marks import Marks, caption_of, keywords_of, line_of, place_of

_MOST_DATASETS = 5000
_RESOURCES = b"8BIM"
_IIM = 0x0404  # the resource that holds IIM datasets
_CHARACTER_SET = (1, 90)
_UTF8 = b"\x1b%G"  # the escape sequence of ISO 2022 for UTF-8
_TITLE, _KEYWORD, _BY_LINE, _CITY, _SUBLOCATION = 5, 25, 80, 90, 92  # datasets of record 2
_STATE, _COUNTRY, _HEADLINE, _CREDIT, _COPYRIGHT, _CAPTION = 95, 101, 105, 110, 116, 120


def read_iptc(data: bytes) -> Marks:
    """The marks among IIM datasets, bare or within Photoshop's resources; what is damaged is left out."""
    datasets = list(_datasets(b"".join(_resources(data)) if data.startswith(_RESOURCES) else data))
    is_utf8 = any(key == _CHARACTER_SET and value == _UTF8 for key, value in datasets)
    found: dict[int, list[str]] = {}
    for (record, number), value in datasets:
        if record == 2:
            found.setdefault(number, []).append(_text(value, is_utf8))

    def one(number: int) -> str | None:
        return next(iter(found.get(number, [])), None)

    return Marks(
        keywords=keywords_of(found.get(_KEYWORD, [])),
        caption=caption_of(one(_TITLE) or one(_HEADLINE), one(_CAPTION)),
        place=place_of(one(number) for number in (_SUBLOCATION, _CITY, _STATE, _COUNTRY)),
        credit=line_of(one(_CREDIT) or "; ".join(found.get(_BY_LINE, []))),
        copyright=line_of(one(_COPYRIGHT)),
    )


def _text(value: bytes, is_utf8: bool) -> str:
    try:
        return value.decode("utf-8")
    except UnicodeDecodeError:
        return value.decode("utf-8" if is_utf8 else "cp1252", "replace")


def _resources(data: bytes) -> Iterator[bytes]:
    """The IIM datasets within Photoshop's resources."""
    at = 0
    while data[at : at + 4] == _RESOURCES and at + 12 <= len(data):
        kind = int.from_bytes(data[at + 4 : at + 6], "big")
        named = 1 + data[at + 6]
        at += 6 + named + named % 2  # the name is padded to an even length
        length = int.from_bytes(data[at : at + 4], "big")
        at += 4
        if kind == _IIM:
            yield data[at : at + length]
        at += length + length % 2


def _datasets(data: bytes) -> Iterator[tuple[tuple[int, int], bytes]]:
    """Record and number of each dataset, and its value."""
    at = 0
    for _ in range(_MOST_DATASETS):
        if data[at : at + 1] != b"\x1c" or at + 5 > len(data):
            return
        key = (data[at + 1], data[at + 2])
        length = int.from_bytes(data[at + 3 : at + 5], "big")
        at += 5
        if length & 0x8000:  # an extended dataset: its length has a length
            width = length & 0x7FFF
            if width > 4:
                return
            length = int.from_bytes(data[at : at + width], "big")
            at += width
        yield key, data[at : at + length]
        at += length
