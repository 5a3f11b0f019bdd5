"""The demo's pages keep the published rules: accessibility, HTML, contrast, colour blindness, paper.

Outside judges: axe-core (npm `axe-core`) in Chromium, and the Nu HTML checker (npm `vnu-jar`) in Java; both
are installed into `.node` by `.ci/run`.
"""

import json
import re
import shutil
import subprocess
from collections.abc import Iterator, Mapping
from functools import cache
from itertools import pairwise
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from logbook.faces.main import status_of
from tests.examples import slow
from tests.faces.axe import AXE, violations_of
from tests.faces.demo_pages import AUDIENCES, EVERY, SOME, pages_of

if TYPE_CHECKING:
    from playwright.sync_api import Browser

ROOT = Path(__file__).parents[3]
NU = ROOT / ".node" / "node_modules" / "vnu-jar" / "build" / "dist" / "vnu.jar"
STYLES = [ROOT / "templates" / "report" / name for name in ("light.css", "style.css")]
SHEETS = ("2025-10-14", "2025-10-18")  # days of the sample trip
# The checker takes its own address for the policy's `file:`, and does not work out the digest that lets a
# sheet's own style in; in Chromium both are tested.
POLICIES = (
    "Resource violates Content Security Policy (meta tag)",
    "Inline style violates Content Security Policy",
)

# WCAG 2.2, success criteria 1.4.3 (text) and 1.4.11 (what is not text but carries meaning).
TEXT, GRAPHIC = 4.5, 3.0

# Which colour stands on which, as custom properties of the style sheet: text, then what is drawn.
TEXT_ON = [(text, ground) for text in ("text", "quiet", "ink") for ground in ("ground", "paper", "fold")] + [
    ("paper", "ink"),  # the archive's band
    *(("room-text", "room"), ("room-quiet", "room"), ("room-ink", "room")),  # the large view
]
DRAWN_ON = [(line, ground) for line in ("ink", "quiet", "text") for ground in ("ground", "paper", "fold")] + [
    ("light-night", "light-day"),
    *((f"light-{kind}", "light-day") for kind in ("astronomical", "nautical")),  # a pattern on its colour
    *((f"light-{kind}", "light-night") for kind in ("golden", "civil", "blue")),
]  # the day strip
LIGHTS = ("night", "astronomical", "nautical", "blue", "civil", "golden", "day")  # from dark to bright

# G. M. Machado, M. M. Oliveira, L. A. F. Fernandes: A Physiologically-based Model for Simulation of Color
# Vision Deficiency, IEEE Transactions on Visualization and Computer Graphics 15 (6), 2009; matrices of
# severity 1.0 for linear RGB, equal to the table in the package colorspacious 1.1.2; each keeps grey grey,
# which a slip would break.
MACHADO: Mapping[str, tuple[tuple[float, float, float], ...]] = {
    "protanopia": (
        (0.152286, 1.052583, -0.204868),
        (0.114503, 0.786281, 0.099216),
        (-0.003882, -0.048116, 1.051998),
    ),
    "deuteranopia": (
        (0.367322, 0.860646, -0.227968),
        (0.280085, 0.672501, 0.047413),
        (-0.011820, 0.042940, 0.968881),
    ),
    "tritanopia": (
        (1.255528, -0.076749, -0.178779),
        (-0.078411, 0.930809, 0.147602),
        (0.004733, 0.691367, 0.303900),
    ),
    # Greyscale print keeps relative luminance: the coefficients of IEC 61966-2-1 (sRGB) in every channel.
    "greyscale": ((0.2126, 0.7152, 0.0722),) * 3,
}
Colour = tuple[float, float, float]  # linear sRGB, 0 to 1


@pytest.fixture(scope="module")
def sheets(demo: Path, tmp_path_factory: pytest.TempPathFactory) -> list[Path]:
    """Field sheets of the sample trip."""
    folder = tmp_path_factory.mktemp("sheets")
    book = ["--book", str(shutil.copy(demo / "book.sqlite", tmp_path_factory.mktemp("demo")))]
    for day in SHEETS:
        into = ["--into", str(folder / f"{day}.html")]
        assert status_of([*book, "sheet", "high-valley-autumn", "--on", day, *into]) == 0
    return sorted(folder.iterdir())


def violations(browser: "Browser", paths: list[Path], scheme: Any) -> list[str]:
    """What axe-core finds on pages, wide and on a phone."""
    context = browser.new_context(color_scheme=scheme, bypass_csp=True)
    page = context.new_page()
    found: list[str] = []
    for path in paths:
        page.goto(path.resolve().as_uri())
        found += violations_of(page, path.name)
    context.close()
    return found


@pytest.mark.skipif(not AXE.is_file(), reason="axe-core is not installed in .node")
@pytest.mark.parametrize(
    ("audience", "scheme", "which"),
    [
        ("client", "light", SOME),
        *slow(*((one, scheme, EVERY) for one in AUDIENCES for scheme in ("light", "dark"))),
    ],
)
def test_axe_finds_no_violation(
    demo: Path, browser: "Browser", audience: str, scheme: Any, which: tuple[int, int]
) -> None:
    found = violations(browser, pages_of(demo, audience, which), scheme)
    assert found == [], "\n".join(found[:20])


@pytest.mark.slow
@pytest.mark.skipif(not AXE.is_file(), reason="axe-core is not installed in .node")
def test_axe_finds_no_violation_on_a_field_sheet(sheets: list[Path], browser: "Browser") -> None:
    found = violations(browser, sheets, "light")
    assert found == [], "\n".join(found[:20])


@pytest.mark.skipif(not AXE.is_file(), reason="axe-core is not installed in .node")
@pytest.mark.parametrize("scheme", ["light", *slow("dark")])
def test_axe_finds_no_violation_on_the_page_over_all_trips(
    all_trips: Path, browser: "Browser", scheme: Any
) -> None:
    found = violations(browser, [all_trips / "index.html"], scheme)
    assert found == [], "\n".join(found[:20])


@pytest.mark.slow
@pytest.mark.skipif(not shutil.which("java"), reason="Java is not installed")
@pytest.mark.skipif(not NU.is_file(), reason="the Nu HTML checker is not installed in .node")
def test_the_nu_html_checker_finds_no_error_but_one_that_was_made(
    demo: Path, sheets: list[Path], all_trips: Path, tmp_path: Path
) -> None:
    bad = tmp_path / "bad.html"  # in the same run, as Java takes long to start
    bad.write_text("<!doctype html><html lang=en><title>x</title><p><div></p></html>", encoding="utf-8")
    pages = [str(path) for audience in AUDIENCES for path in pages_of(demo, audience)]
    pages += map(str, (*sheets, all_trips / "index.html"))
    assert len(pages) > 60
    done = subprocess.run(
        ["java", "-jar", str(NU), "--format", "json", "--stdout", "--exit-zero-always", *pages, str(bad)],
        capture_output=True,
        text=True,
        timeout=300,
    )
    messages = json.loads(done.stdout)["messages"]
    made = [one for one in messages if one["url"].endswith(bad.name)]
    assert any(one["type"] == "error" for one in made)
    told = [
        f"{m['url'].rsplit('/', 2)[-2:]} {m.get('lastLine')}: {m['message']}"
        for m in messages
        if m not in made and not m["message"].startswith(POLICIES)
    ]
    assert told == []


def style() -> str:
    """The style sheets with colours, in the order in which pages have them."""
    return "".join(path.read_text(encoding="utf-8") for path in STYLES)


@cache
def palettes() -> dict[str, dict[str, str]]:
    """The colours by scheme: light, dark and print; each `:root` belongs to the rule around it."""
    css = style()
    found: dict[str, dict[str, str]] = {"light": {}, "dark": {}, "print": {}}
    for block in _roots(css):
        before = css[: block.start()]
        around = before[before.rfind("@media") :] if "@media" in before else ""
        inside = around.count("{") > around.count("}")
        scheme = "light" if not inside else "print" if around.startswith("@media print") else "dark"
        assert not inside or scheme == "print" or "(prefers-color-scheme: dark)" in around.partition("{")[0]
        found[scheme] |= re.findall(r"--([\w-]+):\s*(#[0-9a-fA-F]{3,8})", block[1])
    assert all(found.values())
    return {scheme: found["light"] | colours for scheme, colours in found.items()}


def _roots(css: str) -> Iterator[re.Match[str]]:
    return re.finditer(r":root\s*\{([^}]*)\}", css)


def linear(hexadecimal: str) -> Colour:
    """An sRGB colour in linear light (IEC 61966-2-1; WCAG 2.2's threshold 0.04045)."""
    digits = hexadecimal.lstrip("#")
    full = "".join(d * 2 for d in digits) if len(digits) == 3 else digits
    values = [int(full[at : at + 2], 16) / 255 for at in (0, 2, 4)]
    red, green, blue = (v / 12.92 if v <= 0.04045 else ((v + 0.055) / 1.055) ** 2.4 for v in values)
    return red, green, blue


def contrast(one: Colour, other: Colour) -> float:
    """Contrast ratio by WCAG 2.2, "contrast ratio" and "relative luminance"."""
    bright, dark = sorted((0.2126 * r + 0.7152 * g + 0.0722 * b for r, g, b in (one, other)), reverse=True)
    return (bright + 0.05) / (dark + 0.05)


def seen(colour: Colour, matrix: tuple[tuple[float, float, float], ...]) -> Colour:
    red, green, blue = (
        min(1.0, max(0.0, sum(weight * part for weight, part in zip(row, colour, strict=True))))
        for row in matrix
    )
    return red, green, blue


def test_the_formula_gives_the_ratios_that_are_known() -> None:
    """WCAG 2.2: black on white is 21:1 by definition; #767676 on white is known to pass just at 4.54:1."""
    assert contrast(linear("#000"), linear("#fff")) == pytest.approx(21, abs=1e-9)
    assert contrast(linear("#767676"), linear("#ffffff")) == pytest.approx(4.54, abs=0.005)


@pytest.mark.parametrize("matrix", MACHADO.values(), ids=MACHADO)
def test_a_matrix_keeps_grey_grey(matrix: tuple[tuple[float, float, float], ...]) -> None:
    """Each row sums to 1, as in the published table; tolerance: its last digit, three times."""
    assert [sum(row) for row in matrix] == pytest.approx([1, 1, 1], abs=2e-5)


@pytest.mark.parametrize("scheme", ["light", "dark", "print"])
@pytest.mark.parametrize(("text", "ground"), TEXT_ON)
def test_text_stands_out_enough(scheme: str, text: str, ground: str) -> None:
    colours = palettes()[scheme]
    assert contrast(linear(colours[text]), linear(colours[ground])) >= TEXT


@pytest.mark.parametrize("scheme", ["light", "dark", "print"])
@pytest.mark.parametrize(("line", "ground"), DRAWN_ON)
@pytest.mark.parametrize("vision", MACHADO)
def test_what_is_drawn_stands_out_for_every_eye_and_on_a_black_and_white_printer(
    scheme: str, line: str, ground: str, vision: str
) -> None:
    colours, matrix = palettes()[scheme], MACHADO[vision]
    ratio = contrast(seen(linear(colours[line]), matrix), seen(linear(colours[ground]), matrix))
    assert ratio >= GRAPHIC


@pytest.mark.parametrize("scheme", ["light", "dark", "print"])
@pytest.mark.parametrize("vision", MACHADO)
def test_each_light_of_the_day_strip_is_told_from_the_next(scheme: str, vision: str) -> None:
    """By a fifth in luminance; no standard asks it of neighbours that are named, hatched and outlined too."""
    colours, matrix = palettes()[scheme], MACHADO[vision]
    shades = [seen(linear(colours[f"light-{kind}"]), matrix) for kind in LIGHTS]
    brightness = [contrast(one, (0.0, 0.0, 0.0)) for one in shades]
    assert brightness == sorted(brightness)
    assert all(contrast(one, other) >= 1.2 for one, other in pairwise(shades))


def test_every_colour_of_the_style_sheet_is_judged_here() -> None:
    """A colour that is added must be paired above, or be named as one that carries no meaning."""
    judged = {name for pair in TEXT_ON + DRAWN_ON for name in pair}
    decorative = {"rule", "room-rule"}  # hairlines between what headings and space already part
    for scheme, colours in palettes().items():
        assert set(colours) - judged - decorative == set(), scheme


def test_no_colour_stands_outside_the_custom_properties() -> None:
    css = re.sub(r"/\*.*?\*/", "", style(), flags=re.DOTALL)
    rest = css
    for root in _roots(css):
        rest = rest.replace(root[0], "")
    assert re.findall(r"#[0-9a-fA-F]{3,8}\b(?!\s*(?:td|th|tbody|,|\{))|\b(?:rgb|hsl|oklch)a?\(", rest) == []


def test_headings_do_not_skip_a_level(demo: Path) -> None:
    for audience in AUDIENCES:
        for path in pages_of(demo, audience):
            levels = [int(level) for level in re.findall(r"<h([1-6])\b", path.read_text(encoding="utf-8"))]
            assert levels[0] == 1
            assert all(after <= before + 1 for before, after in pairwise(levels)), path
