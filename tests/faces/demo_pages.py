"""The pages of the demo's reports: in the quick tests the first page and a few of the pictures' own."""

from pathlib import Path

from tests.examples import slow

AUDIENCES = ("client", "students", "archive")
# A picture's page is like another's; each is looked at with `-m slow`.
WHICH = [slice(None, None, 8), *slow(slice(None))]


def pages_of(demo: Path, audience: str) -> list[Path]:
    """Return every page of one report, the first page first."""
    return sorted((demo / audience).rglob("*.html"))
