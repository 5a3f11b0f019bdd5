"""Day files as files: any mark, any line ends, and one sentence about what is no text."""

from pathlib import Path

import pytest

from logbook.domain.errors import UnreadableFileError
from logbook.intake.dayfile import parse_day_file, read_day_file
from tests.intake.dayfile.lines import EVENING, FRONT


def test_a_file_is_read_with_or_without_mark_and_with_any_line_ends(tmp_path: Path) -> None:
    expected = parse_day_file(EVENING)
    for encoding in ("utf-8", "utf-8-sig", "utf-16"):
        for end in ("\n", "\r\n", "\r"):
            path = tmp_path / "day.md"
            path.write_bytes(EVENING.replace("\n", end).encode(encoding))
            assert read_day_file(path) == expected


def test_a_windows_1252_file_is_read_and_says_so(tmp_path: Path) -> None:
    path = tmp_path / "day.md"
    path.write_bytes((FRONT + "Über den Steg – naß.").encode("cp1252"))
    day = read_day_file(path)
    assert day.sections[0].journal == "Über den Steg – naß."
    assert "Windows-1252" in day.loose[0].why


@pytest.mark.parametrize(
    "content", [b"\x00\x01\x02", b"\x89PNG\r\n\x1a\n\x00", b"a" * 2_000_001, b"\x81\xff"]
)
def test_what_is_no_text_is_refused_in_one_line(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "day.md"
    path.write_bytes(content)
    with pytest.raises(UnreadableFileError, match=r"^[^\n]+\.$"):
        read_day_file(path)


def test_a_missing_file_and_a_folder_are_refused_in_one_line(tmp_path: Path) -> None:
    for path in (tmp_path / "none.md", tmp_path):
        with pytest.raises(UnreadableFileError, match=r"^[^\n]*(?:no file|cannot be read)[^\n]+\.$"):
            read_day_file(path)
