"""Withheld places stay out of every byte of a report."""

import re
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from logbook.domain.account import TripAccount
from logbook.domain.discretion import NAME_STRUCK, POSITION_STRUCK, Discretion, account_for
from logbook.domain.fields import facts_of
from logbook.domain.plain_text import plain
from logbook.domain.words import Audience, Disclosure
from logbook.faces.report import BuiltReport
from logbook.faces.report.where import WITHHELD, place_name
from logbook.services.leaks.secrets import secrets_of
from logbook.services.leaks.words import read

OTHERS = [Audience.CLIENT, Audience.STUDENTS]
SECRETS = re.compile(
    rb"hollow.{0,12}arch|owl.{0,12}wood|otter.{0,12}shelf|heron.{0,12}seat|61\.23|7\.654|eyrie|crawl in"
    rb"|adders|nesting|tell nobody|behind the mill|Far side of Eib|\b123(\xc2\xb0|\.0(?!vh)| deg)|south-east",
    re.IGNORECASE | re.DOTALL,
)
TELLTALE = (
    "Left Hollow Arch, HOLLOW  ARCH's back, hollow-arch, *Hollow* **Arch**, Hollow\nArch, Hollow&nbsp;Arch, "
    "#HollowArch, owl-wood, OWL WOOD; then the Otter Shelf (heron-seat) at 61.23456, -7.65432 "
    "or [here](https://maps.example/?q=61.23456,-7.65432), 61° 14′ 4″ N."
)


NO_FREE_TEXT = {"id", "trip_id", "zone", "level", "slug", "path", "hash", "format"}
NO_FREE_TEXT |= {"private_names", "may_say"}  # what is struck, and what may stand


def every_text(record: Any) -> Any:
    """Return a record whose free text all tells of the withheld place."""
    free = {
        name: _fit(name) if field.type is str else (_fit("title"),)
        for name, field in facts_of(type(record)).items()
        if field.type in (str, tuple[str, ...])
        and name not in NO_FREE_TEXT
        and not name.endswith(("_id", "_ids"))
    }
    return replace(record, **free)


def _fit(name: str) -> str:
    return TELLTALE.replace("\n", " ")[:190] if name == "title" else TELLTALE


def telltale(account: TripAccount) -> TripAccount:
    """Return the account with the withheld place named in all free text of everything else."""
    hidden = {"withheld", "shelf"}
    return replace(
        account,
        trip=every_text(account.trip),
        sites={key: site if key in hidden else every_text(site) for key, site in account.sites.items()},
        viewpoints={key: v if key in hidden else every_text(v) for key, v in account.viewpoints.items()},
        shots=tuple(map(every_text, account.shots)),
        outcomes={key: every_text(outcome) for key, outcome in account.outcomes.items()},
        visits=tuple(map(every_text, account.visits)),
        conditions=tuple(map(every_text, account.conditions))
        + tuple(replace(every_text(c), viewpoint_id="shelf", site_id=None) for c in account.conditions),
        lessons=tuple(map(every_text, account.lessons)),
        days=tuple(map(every_text, account.days)),
        keepers=tuple(
            replace(every_text(k), latitude_deg=61.23456, longitude_deg=-7.65432) for k in account.keepers
        ),
    )


@pytest.mark.slow
@pytest.mark.parametrize("audience", OTHERS)
def test_a_withheld_place_is_absent_byte_for_byte(
    account: TripAccount, build: Callable[..., BuiltReport], audience: Audience
) -> None:
    folder = build(telltale(account), audience).index.parent
    for path in folder.rglob("*"):
        assert not SECRETS.search(path.name.encode())
        if path.is_file():
            assert not SECRETS.search(path.read_bytes()), path


def test_the_photographer_is_shown_what_is_withheld_from_others(
    account: TripAccount, build: Callable[..., BuiltReport], texts: Callable[[BuiltReport], str]
) -> None:
    shown = texts(build(account, Audience.ARCHIVE))
    for secret in ("Hollow Arch", "Otter Shelf", "61.23456° N", "the eyrie", "tell nobody", "crawl in"):
        assert secret in shown


@pytest.mark.parametrize("audience", OTHERS)
def test_pictures_of_a_withheld_place_are_shown_without_place_or_direction(
    account: TripAccount, build: Callable[..., BuiltReport], audience: Audience
) -> None:
    report = build(account, audience)
    page = next(p for p in report.pages if p.name == "picture-003.html")  # slug order: gone, one, two
    html = page.read_text(encoding="utf-8")
    assert "<img" in html
    assert "Facing" not in html
    assert WITHHELD not in html


def test_an_area_place_is_rounded_to_a_tenth_of_a_degree_and_says_so(
    account: TripAccount, build: Callable[..., BuiltReport], texts: Callable[[BuiltReport], str]
) -> None:
    shown = texts(build(account, Audience.STUDENTS))
    assert "near 47.3° N, 13.0° E" in shown
    assert shown.count("“Near” means a position rounded on purpose to a tenth of a degree.") == 1
    assert "47.333" not in shown
    assert "47.12345° N" in shown  # the exact one stays exact


def test_coordinates_of_an_area_place_are_struck_from_text(account: TripAccount) -> None:
    say = Discretion(account, Audience.CLIENT)
    assert say.scrub("at 47.3341 and 12.9871") == f"at {POSITION_STRUCK} and {POSITION_STRUCK}"
    assert say.scrub("f/2.8 for 47.3 s at 1013.251 hPa") == "f/2.8 for 47.3 s at 1013.251 hPa"


@pytest.mark.parametrize(
    "text", ["N47.3341 E12.9871", "47,3341 / 12,9871", "geo:47.3341,12.9871", "47.33, 12.99", "47° 20' N"]
)
def test_coordinates_are_struck_however_they_are_written(account: TripAccount, text: str) -> None:
    left = Discretion(account, Audience.CLIENT).scrub(f"the hide ({text}), at dusk")
    assert POSITION_STRUCK in left
    assert not re.search("33|98|99|20'", left)
    assert left.startswith("the hide (")
    assert left.endswith("), at dusk")


@pytest.mark.parametrize(
    ("text", "left"),
    [
        ("Archery at the Hollow", "Archery at the Hollow"),
        ("The hollow arches", f"The {NAME_STRUCK}"),
        ("hollow archway", "hollow archway"),
        ("Hollow Arch.", f"{NAME_STRUCK}."),
        ("to hollow_arch!", f"to {NAME_STRUCK}!"),
        ("ÉOWL-WOOD", "ÉOWL-WOOD"),
    ],
)
def test_names_are_struck_at_word_boundaries_only(account: TripAccount, text: str, left: str) -> None:
    assert Discretion(account, Audience.CLIENT).scrub(text) == left


def test_a_name_typed_with_combining_accents_is_struck_too(
    account: TripAccount, changed: Callable[..., TripAccount]
) -> None:
    accented = changed(account, "sites", "withheld", title="Caf\u00e9 Nid")
    assert Discretion(accented, Audience.CLIENT).scrub(plain("at cafe\u0301 nid")) == f"at {NAME_STRUCK}"


def test_a_withheld_place_of_another_trip_is_struck_too(account: TripAccount) -> None:
    elsewhere = replace(account, withheld_names=("Secret Tarn", "secret-tarn"))
    assert Discretion(elsewhere, Audience.STUDENTS).scrub("as at Secret Tarn") == f"as at {NAME_STRUCK}"
    assert Discretion(elsewhere, Audience.ARCHIVE).scrub("as at Secret Tarn") == "as at Secret Tarn"


def test_a_site_withheld_by_the_trip_is_withheld(account: TripAccount) -> None:
    quiet = replace(account, trip=replace(account.trip, location_shown=Disclosure.WITHHELD))
    shown = account_for(quiet, Audience.CLIENT)
    ledge, bend, _ = (one.viewpoint_id for one in shown.shots)
    assert place_name(shown, bend) == WITHHELD
    assert place_name(shown, ledge) == "Quarry ledge, Quarry bridge"


def test_a_name_made_of_patterns_is_taken_literally(
    account: TripAccount, changed: Callable[..., TripAccount]
) -> None:
    odd = changed(account, "sites", "withheld", title="(.*)[", slug="+")
    assert Discretion(odd, Audience.CLIENT).scrub("a (.*)[ b") == f"a {NAME_STRUCK} b"


@pytest.mark.parametrize("audience", OTHERS)
def test_a_view_towards_a_withheld_place_is_neither_told_nor_drawn(
    account: TripAccount,
    changed: Callable[..., TripAccount],
    build: Callable[..., BuiltReport],
    texts: Callable[[BuiltReport], str],
    audience: Audience,
) -> None:
    near = changed(account, "sites", "withheld", latitude_deg=47.08, longitude_deg=12.67)
    shown = texts(build(near, audience))
    assert "Quarry ledge" in shown
    assert not re.search(r"faces|looks south|225°|class=.cone|class=.facing", shown)


@pytest.mark.slow
def test_scrubbing_a_long_hostile_text_takes_no_time(account: TripAccount) -> None:
    import time

    say = Discretion(account, Audience.CLIENT)
    start = time.process_time()
    say.scrub("hollow " * 20_000 + "hollow" + "-" * 50_000)
    assert time.process_time() - start < 2  # s; a pattern that backtracks would take minutes


def test_the_report_lists_itself_without_foreign_names(
    account: TripAccount, build: Callable[..., BuiltReport]
) -> None:
    listed = Path(build(account).index.parent / ".logbook-report").read_text(encoding="utf-8").splitlines()
    assert all(
        re.fullmatch(
            r"(pictures/[0-9a-f]{20}-\d+\.jpg|pages/picture-\d{3}\.html|(type/)?[A-Za-z-]+\.[a-z0-9]+)", name
        )
        for name in (line.partition("\t")[0] for line in listed[2:])
    )
    assert listed[1] == "for client of trip trip"


def test_a_withheld_place_that_only_a_file_names_is_struck_too(account: TripAccount) -> None:
    keepers = tuple(
        replace(one, place="Heron pool, Far valley, Eib") if one.slug == "two" else one
        for one in account.keepers
    )
    named = replace(account, keepers=keepers)
    say = Discretion(named, Audience.CLIENT)
    assert say.scrub("Dusk at the heron pool.") == f"Dusk at the {NAME_STRUCK}."
    assert say.scrub("Heron pool, far valley, Eib") == NAME_STRUCK
    assert "heron pool" in Discretion(named, Audience.ARCHIVE).scrub("the heron pool")
    assert list(secrets_of(named).names.in_text(read("the heron-pool")))
