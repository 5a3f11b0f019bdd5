"""Hostile text executes nothing and narrow screens need no sideways scrolling, in a real browser."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from logbook.domain.account import TripAccount
from logbook.domain.words import Audience
from logbook.faces.report import BuiltReport
from tests.examples import slow

HOSTILE = (
    "<script>window.struck=1</script><img src=x onerror='window.struck=2'><svg onload='window.struck=3'>"
    '"><script>window.struck=4</script> [x](javascript:window.struck=5) {{ 7*7 }} {% raw %} '
    "![p](https://elsewhere.example/p.gif) ../../../etc/passwd "
    "\u202e\u05e9\u05dc\u05d5\u05dd \U0001f98c\U0001f3fd "
    "</style></title></textarea><base href='https://elsewhere.example/'>"
)


def hostile(account: TripAccount) -> TripAccount:
    """Return the account with hostile text in what every audience is shown."""
    long = HOSTILE + "x" * 10_000
    return replace(
        account,
        trip=replace(
            account.trip, title=HOSTILE[:190], summary=long, brief=long, slug="../../up", rights=HOSTILE
        ),
        shots=tuple(
            replace(s, title=HOSTILE[:190], intent=long, slug="../up", notes=long) for s in account.shots
        ),
        sites={key: replace(s, title=HOSTILE[:190], slug=f"../{key}") for key, s in account.sites.items()},
        visits=tuple(replace(visit, journal=long) for visit in account.visits),
        conditions=tuple(replace(c, note=long, source=HOSTILE) for c in account.conditions),
        keepers=tuple(
            replace(
                k,
                caption=HOSTILE,
                alternative=HOSTILE,
                note=long,
                slug="../../k",
                file="../../f",
                filters=(HOSTILE,),
            )
            for k in account.keepers
        ),
        lessons=tuple(replace(lesson, text=long) for lesson in account.lessons),
    )


@pytest.mark.parametrize(
    ("audience", "width"),
    [
        (Audience.ARCHIVE, 360),
        *slow((Audience.CLIENT, 360), (Audience.STUDENTS, 360), (Audience.CLIENT, 1280)),
        *slow((Audience.STUDENTS, 1280), (Audience.ARCHIVE, 1280)),
    ],
)
def test_hostile_text_runs_nothing_loads_nothing_and_stays_within_the_page(
    account: TripAccount,
    build: Callable[..., BuiltReport],
    browser: Any,
    audience: Audience,
    width: int,
    tmp_path: Any,
) -> None:
    report = build(hostile(account), audience)
    page = browser.new_page(viewport={"width": width, "height": 740})
    asked: list[str] = []
    complaints: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.on("dialog", lambda dialog: complaints.append(dialog.message))
    page.on("console", lambda message: complaints.append(message.text))
    for path in report.pages:
        page.goto(path.as_uri())
        assert page.evaluate("window.struck") is None
        across, room = page.evaluate(
            "[document.documentElement.scrollWidth, document.documentElement.clientWidth]"
        )
        assert across <= room, path
    page.close()
    root = report.index.parent.as_uri()
    assert asked
    assert all(url.startswith(root) for url in asked), asked
    assert complaints == []  # the security policy had nothing to stop either
    assert {path.name for path in tmp_path.iterdir()} == {"originals", "report"}


@pytest.mark.slow
def test_the_large_pictures_turn_by_arrow_key_and_without_script_by_link(
    account: TripAccount, build: Callable[..., BuiltReport], browser: Any
) -> None:
    report = build(account)
    page = browser.new_page()
    page.goto((report.index.parent / "pages" / "picture-002.html").as_uri())
    page.keyboard.press("ArrowRight")
    page.wait_for_url("**/picture-003.html")
    page.keyboard.press("Escape")
    page.wait_for_url("**/index.html#picture-3")
    page.close()
    silent = browser.new_context(java_script_enabled=False).new_page()
    silent.goto((report.index.parent / "pages" / "picture-002.html").as_uri())
    silent.click("text=Next")
    silent.wait_for_url("**/picture-003.html")
    silent.click("text=Back to the report")
    silent.wait_for_url("**/index.html#picture-3")
    silent.close()


@pytest.mark.slow
def test_nothing_is_lost_on_paper(
    account: TripAccount, build: Callable[..., BuiltReport], browser: Any
) -> None:
    report = build(account, Audience.STUDENTS)
    page = browser.new_page()
    page.goto(report.index.as_uri())
    shown = "Array.from(document.querySelectorAll('main h2, main h3, main p, main td, main dd, main figure'))"
    # Links, pictures shown before, and running heads that the first spread has
    on_screen_only = ".contents, .download, section:has(> .contact), article.spread + article.spread .running"
    hidden = f"{shown}.filter(e => !e.closest('{on_screen_only}') && !e.getClientRects().length).length"
    page.emulate_media(media="print")
    assert page.evaluate(hidden) == 0
    page.close()
