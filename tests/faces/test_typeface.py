"""The type that travels: small, complete for its scripts, licensed, and on a sheet only what it needs."""

import re
from base64 import b64decode
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
from PIL import ImageFont

from logbook.faces.resources import resource
from logbook.faces.typeface import type_beside, type_within

TEMPLATES = resource("templates")
MOST_BYTES = 160_000  # what the fonts of a report together may weigh
REPORTS = {
    "Latin": "Old bridge",
    "Latin, Greek and Cyrillic": "Škocjan Πύλη Мост",
    "Vietnamese": "Cổng Škocjan",
}
_DATA = re.compile(r'url\("data:font/woff2;base64,([A-Za-z0-9+/=]+)"\)')


def fonts_in(style: str) -> list[bytes]:
    return [b64decode(data) for data in _DATA.findall(style)]


@pytest.mark.parametrize("scripts", REPORTS)
def test_the_fonts_of_a_report_weigh_no_more_than_a_small_picture(scripts: str) -> None:
    beside = type_beside(TEMPLATES, set(REPORTS[scripts]))
    files = sum(len(content) for name, content in beside.items() if name.endswith(".woff2"))
    assert files + sum(map(len, fonts_in(beside["type/type.css"].decode()))) <= MOST_BYTES


def test_a_report_brings_the_scripts_of_its_pages_alone() -> None:
    names = {name for name in type_beside(TEMPLATES, set("Old Мост")) if name.endswith(".woff2")}
    assert {name.rpartition("-")[2] for name in names} == {"cyrillic.woff2"}
    assert names < set(type_beside(TEMPLATES))


def test_a_report_brings_each_font_once_as_data_or_as_a_file() -> None:
    beside = type_beside(TEMPLATES)
    style = beside["type/type.css"].decode()
    files = {name for name in beside if name.endswith(".woff2")}
    assert {f"type/{name}" for name in re.findall(r'url\("([\w-]+\.woff2)"\)', style)} == files
    every = sorted(path.read_bytes() for path in (TEMPLATES / "type").glob("*.woff2"))
    assert sorted([*fonts_in(style), *(beside[name] for name in files)]) == every


def test_the_licence_lies_beside_the_fonts_and_the_style_names_it() -> None:
    beside = type_beside(TEMPLATES)
    assert b"SIL OPEN FONT LICENSE Version 1.1" in beside["type/OFL.txt"]
    assert b"SIL Open Font Licence 1.1" in beside["type/type.css"]


@pytest.mark.parametrize(
    ("text", "faces"),
    [
        ("Old bridge, 1/125 s", 4),
        ("Škocjan", 8),
        ("Πύλη", 4),
        ("Мост", 4),
        ("Old Мост", 8),
        ("Cổng", 8),
        ("橋", 0),
    ],
    ids=["Latin", "more Latin", "Greek", "Cyrillic", "two scripts", "Vietnamese", "a script that it lacks"],
)
def test_a_page_in_one_file_carries_the_faces_of_its_own_scripts(text: str, faces: int) -> None:
    assert len(fonts_in(type_within(TEMPLATES, text))) == faces


def test_every_sign_that_a_face_claims_is_drawn_by_it() -> None:
    """Pillow draws each sign; one that a font lacks looks like a sign that no font has."""
    style = (TEMPLATES / "type" / "type.css").read_text(encoding="utf-8")
    for name in re.findall(r'url\("([\w-]+\.woff2)"\)', style):
        font = ImageFont.truetype(BytesIO((TEMPLATES / "type" / name).read_bytes()), 24)
        lacking = bytes(font.getmask("\U000f0000"))
        wanted = {
            "latin": "AZaz09–’“„€−′×·",
            "more": "ČčŁłŐőȘț",
            "greek": "ΑΩαωά",
            "cyrillic": "АЯаяЁ",
            "vietnamese": "ƠơƯưẠạẤấỔổỰựỹ₫",
        }
        script = next(one for one in wanted if one in name.rsplit("-", maxsplit=1)[-1])
        assert [sign for sign in wanted[script] if bytes(font.getmask(sign)) == lacking] == [], name


@pytest.mark.slow
def test_the_type_is_there_at_the_first_drawing_and_nothing_moves(demo: Path, browser: Any) -> None:
    page = browser.new_page(viewport={"width": 1280, "height": 800})
    page.add_init_script(
        "window.moved = 0; new PerformanceObserver(list => list.getEntries().forEach("
        "one => window.moved += one.value)).observe({type: 'layout-shift', buffered: true})"
    )
    page.goto((demo / "client" / "index.html").as_uri())
    page.wait_for_load_state("networkidle")
    assert page.evaluate("document.fonts.check('16px Alegreya')")
    assert page.evaluate("window.moved") < 0.01
    page.close()
