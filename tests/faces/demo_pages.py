"""The pages of the demo's reports: in the quick tests the first page and a few others."""

from pathlib import Path

from tests.examples import slow

AUDIENCES = ("client", "students", "archive")
# A picture's page is like another's; each is looked at with `-m slow`.
WHICH = [slice(None, None, 4), *slow(slice(None))]


def pages_of(demo: Path, audience: str) -> list[Path]:
    """Return every page of one report, the first page first, then those of text."""
    return [*text_pages(demo / audience), *sorted((demo / audience / "pages").glob("*.html"))]


def text_pages(report: Path) -> list[Path]:
    """Return the pages of a report beside the large views, the first page first."""
    return sorted(report.glob("*.html"), key=lambda path: (path.name != "index.html", path.name))
