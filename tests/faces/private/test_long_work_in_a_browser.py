"""Long work in Chromium: a report built with and without script, looked at in place, and downloaded."""

from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from logbook.faces.private.serving import PrivatePages
from tests.faces.axe import AXE, violations_of
from tests.faces.private.test_in_a_browser import go
from tests.faces.private.test_sending import few
from tests.services.night.sittings import TRIP

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

SEND = f"/trip/{TRIP}/send/client"
__all__ = ["few"]  # a fixture


@pytest.mark.slow
def test_a_report_is_built_seen_and_downloaded_by_keyboard(
    pages: PrivatePages, page: "Page", few: Path
) -> None:
    go(page, pages, SEND)
    page.get_by_role("button", name="Build the report").focus()
    page.keyboard.press("Enter")
    link = page.get_by_role("link", name="See it")
    link.wait_for(timeout=120_000)
    assert page.evaluate("document.activeElement.id") in ("ended", "")
    with page.context.expect_page() as opened:
        link.press("Enter")
    report = opened.value
    report.wait_for_load_state()  # a page that is not there yet cannot be loaded again
    faults: list[str] = []
    report.on("console", lambda said: faults.append(said.text) if said.type == "error" else None)
    report.reload()
    report.wait_for_load_state("networkidle")
    assert faults == []
    assert report.evaluate("[...document.images].every(one => one.complete && one.naturalWidth > 0)")
    assert report.evaluate("document.fonts.size > 0 && document.fonts.check('1em Alegreya')")
    with page.expect_download() as kept:
        page.get_by_role("link", name="Download it as a zip").click()
    assert kept.value.suggested_filename == f"{TRIP}-client.zip"
    assert few.exists()


@pytest.mark.slow
def test_without_script_a_link_looks_again(
    pages: PrivatePages, page: "Page", browser: "Browser", few: Path
) -> None:
    context = browser.new_context(java_script_enabled=False, storage_state=page.context.storage_state())
    plain = context.new_page()
    go(plain, pages, SEND)
    plain.get_by_role("button", name="Build the report").click()
    for _ in range(600):
        if not plain.get_by_role("link", name="See how far it is").count():
            break
        plain.get_by_role("link", name="See how far it is").click()
        plain.wait_for_timeout(200)
    assert plain.get_by_role("link", name="See it").count() == 1
    context.close()
    assert few.exists()


@pytest.mark.slow
@pytest.mark.skipif(not AXE.is_file(), reason="axe-core is not installed in .node")
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_no_violation_while_work_is_under_way_and_after(
    pages: PrivatePages, page: "Page", browser: "Browser", scheme: "str"
) -> None:
    context = browser.new_context(
        color_scheme="dark" if scheme == "dark" else "light",
        bypass_csp=True,
        storage_state=page.context.storage_state(),
        java_script_enabled=True,
    )
    judged = context.new_page()
    judged.route("**/working.js", lambda route: route.abort())  # the page stands still while it is judged
    go(judged, pages, SEND)
    judged.get_by_role("button", name="Build the report").click()
    found = violations_of(judged, "under way")
    for _ in range(600):
        if judged.get_by_role("link", name="See it").count():
            break
        judged.wait_for_timeout(300)
        judged.reload()
    found += violations_of(judged, "built")
    context.close()
    assert found == []
