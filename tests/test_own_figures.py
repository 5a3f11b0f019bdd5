"""The figures in help, docstrings, pages, tests and sample are our own.

One recorded exposure, which everybody tells, is kept in a single check; a search of the whole tree finds
its settings together in no other place.
"""

import re
from functools import cache
from pathlib import Path

import pytest

from tests.intake.reading import read_picture

ROOT = Path(__file__).parents[1]
ONE_CHECK = ROOT / "tests" / "truth" / "test_common_practice.py"
SEARCHED = ("logbook", "templates", "tests", "sample_trip", "README.md", "DEVELOPERS.md", "pyproject.toml")
TEXTS = {".py", ".md", ".toml", ".txt", ".html", ".j2", ".json", ".css", ".js", ".csv", ".jinja"}
NEAR = 70  # characters


def f_number(mark: str) -> str:
    number = rf"{mark}(?:\.0)?(?![\d./])"
    return rf"(?:\bf/?{number}|(?:f_number|f-number|aperture)[\"']?[\s=:,(\"']+{number}|Settings\({number})"


def seconds(*times: str) -> str:
    """A time as people write it, as an option takes it, or as a fraction in code."""
    typed = "|".join(
        rf"{re.escape(one)}\s?s\b|exposure(?:_s)?[\"']?[\s=:,\"']+{re.escape(one)}\b" for one in times
    )
    coded = "|".join(rf"Fraction\({one.replace('/', ', ')}\)" for one in times)
    return rf"(?:(?<![\d./])(?:{typed})|{coded})"


def near(one: str, other: str) -> re.Pattern[str]:
    return re.compile(rf"{one}.{{0,{NEAR}}}?{other}|{other}.{{0,{NEAR}}}?{one}", re.IGNORECASE)


FACTOR_FOUR = r"(?<![a-z])nd[\s-]?4(?![\d-])"
FOCAL = r"(?:(?<![\d.-])16(?:\.0)?\s?mm\b|focal(?:_mm)?[\"']?[\s=:,\"']+16(?![\d-]))"
COMBINATIONS = {
    "two filters of factor four": re.compile(
        rf"{FACTOR_FOUR}[\s\"',;+&]+(?:and\s+)?{FACTOR_FOUR}|(?:\b2\s?x?|\btwo)\s+{FACTOR_FOUR}"
        rf"|{FACTOR_FOUR}\s?x\s?2\b|\btwo\s+filters\s+of\s+factor\s+(?:four|4)\b",
        re.IGNORECASE,
    ),
    "its exposure and its wishes": near(f_number("22"), seconds("1/2", "1", "2")),
    "its focal length": near(FOCAL, f_number("22")),
    "its light without filters": near(f_number("22"), seconds("1/30")),
    "its first equivalent": near(f_number("13"), seconds("1/100")),
    "its second equivalent": near(f_number("14"), seconds("1/80")),
}


@cache
def texts() -> dict[Path, str]:
    """Every text of the tree but this one, its white space made single blanks."""
    found: dict[Path, str] = {}
    for name in SEARCHED:
        start = ROOT / name
        for path in [start] if start.is_file() else sorted(start.rglob("*")):
            if path.is_file() and path.suffix in TEXTS and path != Path(__file__):
                found[path] = " ".join(path.read_text(encoding="utf-8", errors="replace").split())
    return found


@pytest.mark.slow
@pytest.mark.parametrize("what", COMBINATIONS)
def test_the_recorded_settings_stand_together_in_one_check_only(what: str) -> None:
    pattern = COMBINATIONS[what]
    found = {
        str(path.relative_to(ROOT)): match[0]
        for path, text in texts().items()
        if (match := pattern.search(text))
    }
    assert found.pop(str(ONE_CHECK.relative_to(ROOT)), None), "the search finds what it looks for"
    assert found == {}


def test_no_picture_of_the_sample_was_taken_with_them() -> None:
    pictures = sorted((ROOT / "sample_trip").rglob("*.JPG"))
    assert len(pictures) > 30
    for path in pictures:
        facts = read_picture(path)
        assert facts.f_number is not None, path
        assert facts.f_number < 20, path
