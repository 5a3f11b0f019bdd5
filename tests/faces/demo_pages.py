"""The pages of the demo's reports: in the quick tests the first page and a few others."""

from pathlib import Path

AUDIENCES = ("client", "students", "archive")
# A day's page is like another's, and a picture's still more; each is looked at with `-m slow`.
SOME, EVERY = (3, 12), (1, 1)  # each so many-th page of text, and of a picture


def pages_of(demo: Path, audience: str, which: tuple[int, int] = EVERY) -> list[Path]:
    """Return pages of one report, all of them unless said otherwise: the first one, text, pictures."""
    texts, pictures = text_pages(demo / audience), sorted((demo / audience / "pages").glob("*.html"))
    return [*texts[:: which[0]], *pictures[:: which[1]]]


def text_pages(report: Path) -> list[Path]:
    """Return the pages of a report beside the large views, the first page first."""
    return sorted(report.glob("*.html"), key=lambda path: (path.name != "index.html", path.name))
