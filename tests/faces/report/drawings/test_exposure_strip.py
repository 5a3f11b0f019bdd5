"""The strip of exposures draws the scene's light, and an unknown filter as unknown."""

import re
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from fractions import Fraction
from typing import Any
from xml.etree import ElementTree

import pytest

from logbook.domain.account import TripAccount
from logbook.domain.camera import ExposureMode
from logbook.domain.discretion import account_for
from logbook.domain.words import Audience
from logbook.faces.report.drawings.exposure_strip import exposure_strip
from logbook.faces.report.models import Drawing
from logbook.faces.report.order import put_in_order

DAY = date(2031, 10, 14)


@pytest.fixture
def exposed(account: TripAccount) -> TripAccount:
    """Three pictures of EV 12 light: bare, behind six stops, behind nobody knows what."""
    base = replace(
        account.keepers[0], f_number=8.0, exposure_s=Fraction(1, 64), iso=100, filters=(), bias_stops=None,
        exposure_mode=ExposureMode.MANUAL,
    )  # fmt: skip
    taken = base.taken_local
    assert taken is not None
    behind = replace(base, id="two", slug="two", exposure_s=Fraction(1), filters=("nd8", "nd8"))
    unknown = replace(base, id="gone", slug="gone", filters=None)
    return replace(account, keepers=(base, behind, unknown))


def strip(account: TripAccount) -> Drawing:
    return exposure_strip(put_in_order(account_for(account, Audience.STUDENTS)), DAY)[0]


def circles(drawn: Drawing) -> list[tuple[str, float]]:
    root = ElementTree.fromstring(str(drawn.wide))
    return [(one.attrib["class"], float(one.attrib["cy"])) for one in root if one.tag == "circle"]


def test_filtered_and_bare_pictures_of_one_light_stand_level(exposed: TripAccount) -> None:
    # f/8 at 1/64 s, ISO 100: EV 6 + 6 = 12; at 1 s behind two filters of three stops: 6 + 0 + 6 = 12
    # (APEX, ISO 2720 and Exif Annex C).
    drawn = strip(exposed)
    dots = dict.fromkeys(y for kind, y in circles(drawn) if kind == "known")
    assert len(dots) == 1
    root = ElementTree.fromstring(str(drawn.wide))
    scale = {one.text: float(one.attrib["y"]) - 4 for one in root if (one.text or "").startswith("EV ")}
    assert next(iter(dots)) == pytest.approx(scale["EV 12"], abs=0.11)


def test_what_the_filters_took_is_a_bar_of_that_many_stops(exposed: TripAccount) -> None:
    root = ElementTree.fromstring(str(strip(exposed).wide))
    scale = sorted(
        (int(re.sub("EV ", "", str(one.text)).replace("−", "-")), float(one.attrib["y"]))
        for one in root
        if (one.text or "").startswith("EV ")
    )
    per_stop = (scale[0][1] - scale[-1][1]) / (scale[-1][0] - scale[0][0])
    bars = [float(one.attrib["height"]) for one in root if one.attrib.get("class") == "taken-off"]
    assert bars == [pytest.approx(6 * per_stop, abs=0.3)]


def test_unknown_filters_are_drawn_hollow_and_said_in_words(exposed: TripAccount) -> None:
    drawn = strip(exposed)
    assert [kind for kind, _ in circles(drawn)].count("hollow") == 1
    assert "filters unknown" in str(drawn.wide)
    assert "hollow dot" in drawn.note
    assert sum("filters unknown" in line for line in drawn.said) == 1


def test_no_filter_is_said_as_none(exposed: TripAccount) -> None:
    assert "no filter" in str(strip(exposed).wide)


def test_a_bracket_is_one_line_over_its_pictures(exposed: TripAccount) -> None:
    drawn = strip(exposed)
    assert str(drawn.wide).count('class="set"') == 1
    assert sum("part of a bracket" in line for line in drawn.said) == 2


def test_many_pictures_go_on_several_rows_that_fit_the_width(exposed: TripAccount) -> None:
    many = tuple(
        replace(exposed.keepers[0], id=f"k{n}", slug=f"k{n:02d}", filters=("nd8",) if n % 3 else None)
        for n in range(60)
    )
    drawn = strip(replace(exposed, keepers=many, sets=()))
    for svg in (drawn.wide, drawn.narrow):
        root = ElementTree.fromstring(str(svg))
        width = float(root.attrib["viewBox"].split()[2])
        assert all(float(one.attrib["cx"]) < width for one in root if one.tag == "circle")
        assert sum(one.tag == "circle" for one in root) == 60


def test_a_filter_named_like_markup_is_escaped(exposed: TripAccount, changed: Callable[..., Any]) -> None:
    hostile = changed(exposed, "keepers", "two", filters=('"><script>x</script>',))
    drawn = strip(hostile)
    assert "<script" not in str(drawn.wide)
    ElementTree.fromstring(str(drawn.wide))


def test_a_day_without_known_exposures_has_no_strip(exposed: TripAccount) -> None:
    order = put_in_order(account_for(exposed, Audience.STUDENTS))
    assert exposure_strip(order, date(2031, 10, 15)) == ()


def test_a_day_on_which_no_filter_was_used_or_known_has_no_strip(exposed: TripAccount) -> None:
    for stack in (None, ()):
        bare = replace(exposed, keepers=tuple(replace(one, filters=stack) for one in exposed.keepers))
        assert exposure_strip(put_in_order(account_for(bare, Audience.STUDENTS)), DAY) == ()
