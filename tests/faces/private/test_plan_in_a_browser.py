"""The plan in Chromium: arrow keys, rows pasted from a spreadsheet, one undo, light that follows."""

from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from logbook.faces.private.serving import PrivatePages
from logbook.services.plans.cells import COLUMNS
from tests.faces.axe import AXE, WIDTHS_PX, violations_of
from tests.faces.private.test_in_a_browser import go
from tests.faces.private.test_plan import PAGE, shots

if TYPE_CHECKING:
    from playwright.sync_api import Page


PASTED = (
    "Mill at dusk\tquarry ledge\t14.10.2025\t18:10\t18:50\t24\t11\t2\t100\tnd8 + nd8\ttripod\tessential\r\n"
    'Ford\t\t15.10.2025\t\t\t\t\t\t\t\t\t\t\t"two lines\nand a ""quoted"" word"\r\n'
    "Weir\r\n"
)


def paste(page: "Page", text: str) -> None:
    """Paste a text where the focus is, as a spreadsheet gives it."""
    page.evaluate(
        """text => { const clipboardData = new DataTransfer(); clipboardData.setData("text/plain", text);
        const how = {clipboardData, bubbles: true, cancelable: true};
        document.activeElement.dispatchEvent(new ClipboardEvent("paste", how)); }""",
        text,
    )


def focused(page: "Page") -> str:
    """The id of the cell that has the focus."""
    return str(page.evaluate("document.activeElement.id"))


@pytest.mark.slow
def test_arrow_keys_go_from_cell_to_cell(pages: PrivatePages, page: "Page", book_path: Path) -> None:
    go(page, pages, PAGE)
    ids = page.eval_on_selector_all("tr[data-row]", "rows => rows.map(row => row.dataset.row)")
    page.locator(f"[id='{ids[3]}-title']").focus()
    for key, at in (
        ("ArrowDown", f"{ids[4]}-title"),
        ("Enter", f"{ids[5]}-title"),
        ("ArrowUp", f"{ids[4]}-title"),
        ("ArrowRight", f"{ids[4]}-viewpoint"),
        ("ArrowRight", f"{ids[4]}-on_date"),
        ("ArrowLeft", f"{ids[4]}-viewpoint"),
    ):
        page.keyboard.press(key)
        assert focused(page) == at, key
    page.keyboard.press("End")
    page.keyboard.press("ArrowLeft")
    assert focused(page) == f"{ids[4]}-viewpoint", "within a text an arrow moves the caret"
    page.locator(f"[id='{ids[0]}-title']").focus()
    page.keyboard.press("ArrowUp")
    page.keyboard.press("ArrowLeft")
    assert focused(page) == f"{ids[0]}-title", "the table ends at its edges"


@pytest.mark.slow
def test_rows_of_a_spreadsheet_are_pasted_saved_and_taken_back_by_a_key(
    pages: PrivatePages, page: "Page", book_path: Path
) -> None:
    go(page, pages, PAGE)
    page.locator("#new-0-title").focus()
    paste(page, PASTED)
    assert page.locator("#new-2-title").input_value() == "Weir"
    assert page.locator("#new-3-title").input_value() == "", "and the next empty row"
    page.keyboard.press("Control+Enter")
    page.get_by_text("3 shots planned.").wait_for()
    made = shots(book_path)
    mill, ford = made["mill-at-dusk"], made["ford"]
    assert (mill.iso, mill.filters, str(mill.window_from)) == (100, ("nd8", "nd8"), "18:10:00")
    assert ford.notes == 'two lines\nand a "quoted" word'
    assert focused(page) == f"{mill.id}-title", "the page goes on where one was"
    page.evaluate("document.activeElement.blur()")
    page.keyboard.press("u")
    page.get_by_text("Undone: plan for high-valley-autumn.").wait_for()
    assert len(shots(book_path)) == 20


@pytest.mark.slow
def test_a_column_of_a_spreadsheet_is_pasted_over_cells_that_are_there(
    pages: PrivatePages, page: "Page", book_path: Path
) -> None:
    go(page, pages, PAGE)
    first, second = page.eval_on_selector_all("tr[data-row]", "rows => rows.map(row => row.dataset.row)")[:2]
    page.locator(f"[id='{first}-iso']").focus()
    paste(page, "3200\n6400\n")
    with page.expect_request(lambda one: one.method == "POST") as asked:
        page.keyboard.press("Control+Enter")
    body = asked.value.post_data or ""
    assert body.count("cell%3A") == len(COLUMNS) * 3, "two rows that were touched and the empty one are sent"
    page.get_by_text("2 shots changed.").wait_for()
    isos = {one.id: one.iso for one in shots(book_path).values()}
    assert (isos[first], isos[second]) == (3200, 6400)


@pytest.mark.slow
def test_a_refused_cell_keeps_its_text_and_can_be_mended(
    pages: PrivatePages, page: "Page", book_path: Path
) -> None:
    go(page, pages, PAGE)
    pan = shots(book_path)["pan-mirror"]
    page.locator(f"[id='{pan.id}-iso']").fill("a lot")
    page.keyboard.press("Control+Enter")
    page.locator(f"[id='why-{pan.id}-iso']").wait_for()
    cell = page.locator(f"[id='{pan.id}-iso']")
    assert (cell.input_value(), cell.get_attribute("aria-invalid")) == ("a lot", "true")
    assert focused(page) == f"{pan.id}-iso", "it is ready to be mended"
    cell.fill("400")
    page.keyboard.press("Control+Enter")
    page.get_by_text("1 shot changed.").wait_for()
    assert shots(book_path)["pan-mirror"].iso == 400


@pytest.mark.slow
def test_light_and_verdicts_follow_without_being_asked_for(pages: PrivatePages, page: "Page") -> None:
    go(page, pages, PAGE)
    days = page.locator("tbody[data-day]").count()
    page.wait_for_function("() => !document.querySelector('[data-strip-of] a')", timeout=60_000)
    assert page.locator(".drawing svg.wide").count() == days
    told = page.eval_on_selector_all("[data-about-of]", "all => all.map(one => one.textContent.trim())")
    assert len(told) == 20
    assert all(told)


@pytest.mark.slow
@pytest.mark.skipif(not AXE.is_file(), reason="axe-core is not installed in .node")
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_no_violation_in_the_table(
    pages: PrivatePages, page: "Page", browser: Any, scheme: Any
) -> None:
    state = page.context.storage_state()
    context = browser.new_context(color_scheme=scheme, bypass_csp=True, storage_state=state)
    judged = context.new_page()
    go(judged, pages, PAGE)
    judged.wait_for_function("() => !document.querySelector('[data-strip-of] a')", timeout=60_000)
    found = violations_of(judged, PAGE)
    judged.locator("[id$='-iso']").first.fill("a lot")
    judged.keyboard.press("Control+Enter")
    judged.locator("td .refusal").wait_for()
    found += violations_of(judged, "a refused cell")
    for width in WIDTHS_PX:
        judged.set_viewport_size({"width": width, "height": 800})
        wide = judged.evaluate("document.documentElement.scrollWidth")
        if wide > width:
            found.append(f"the table is {wide} px wide at {width} px")
    context.close()
    assert found == [], "\n".join(found[:20])
