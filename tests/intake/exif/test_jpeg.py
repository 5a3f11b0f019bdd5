"""Walking through the segments of a JPEG file, strictly and as decoders do."""

import time
from io import BytesIO

import pytest
from PIL import Image

from logbook.intake.exif.jpeg import END, FRAMES, SCAN, Segment, segments


def picture(*, progressive: bool = False) -> bytes:
    stream = BytesIO()
    Image.effect_noise((64, 48), 90).convert("RGB").save(stream, "JPEG", progressive=progressive)
    return stream.getvalue()


def walked(data: bytes, *, lenient: bool = False) -> list[Segment]:
    return list(segments(BytesIO(data), lenient=lenient))


@pytest.mark.parametrize("lenient", [False, True])
def test_a_picture_has_a_frame_scans_and_an_end(lenient: bool) -> None:
    markers = [one.marker for one in walked(picture(progressive=True), lenient=lenient)]
    assert sum(marker in FRAMES for marker in markers) == 1
    assert markers.count(SCAN) > 3
    assert markers[-1] == END


def test_at_each_segment_its_content_may_be_read_or_left() -> None:
    data = picture()
    stream = BytesIO(data)
    sizes = [
        (int.from_bytes(head[3:5]), int.from_bytes(head[1:3]))
        for one in segments(stream)
        if one.marker in FRAMES and (head := stream.read(5))
    ]
    assert sizes == [(64, 48)]


def test_what_stands_between_segments_ends_a_strict_walk_and_no_lenient_one() -> None:
    data = picture()
    spoilt = data[:2] + b"nonsense\xff\x00" + data[2:]
    assert walked(spoilt) == []
    assert walked(spoilt, lenient=True) == walked(data)


def test_a_file_that_is_cut_short_has_no_end() -> None:
    data = picture(progressive=True)
    for at in range(2, len(data) - 1, 7):
        assert END not in [one.marker for one in walked(data[:at])]


@pytest.mark.parametrize("filler", [b"\xff\xe0\x00\x02", b"\xff\x01", b"\xff\xff", b"\xff\x00", b"\x00"])
@pytest.mark.parametrize("lenient", [False, True])
def test_time_grows_no_faster_than_the_file(filler: bytes, lenient: bool) -> None:
    began = time.process_time()
    for one in segments(BytesIO(b"\xff\xd8" + filler * 100_000), lenient=lenient):
        assert one.length == 0
    assert time.process_time() - began < 5
