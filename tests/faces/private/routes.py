"""Every route of the private pages as the application itself lists them, and every form as a page shows it.

Whoever adds a page meets the tests that walk these. What an address holds that nobody has named here yet
fails them: say in `ARGUMENTS` what it may be.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field
from html.parser import HTMLParser
from pathlib import Path

from logbook.faces.private.serving import PrivatePages
from logbook.faces.private.workplace import application
from logbook.store.book import Book
from tests.services.night.sittings import now

ARGUMENTS = {"size": "small", "name": "desk.css", "audience": "client", "wanted": "commands"}


@dataclass(frozen=True)
class Route:
    """One way in: the name of what answers it, its method, and an address that is there."""

    name: str
    method: str
    path: str


def routes(pages: PrivatePages, book: Path) -> Iterator[Route]:
    """Yield every route of the application with an address of its own."""
    with Book(book, now, create=False).reading() as desk:
        keepers = [one for one in desk.keepers.all() if one.place_time]
        last = max(keepers, key=lambda one: one.place_time or now())
        trip = desk.trips.get(last.trip_id)
    assert trip is not None
    assert last.place_time is not None
    found = ARGUMENTS | {"slug": trip.slug, "day": str(last.place_time.date()), "keeper_id": last.id}
    app = application(pages.workplace)
    addresses = app.url_map.bind(pages.guard.hosts[0])
    for rule in app.url_map.iter_rules():
        assert set(rule.arguments) <= set(found), f"{rule} holds what ARGUMENTS does not name"
        assert rule.methods is not None
        methods = rule.methods - {"HEAD", "OPTIONS"}
        assert methods <= {"GET", "POST"}, f"{rule} takes {methods}; a form knows no others"
        path = addresses.build(
            rule.endpoint, {name: found[name] for name in rule.arguments}, next(iter(methods))
        )
        yield from (Route(rule.endpoint, method, path) for method in sorted(methods))


@dataclass
class Form:
    """A form of a page: where it goes, what stands in its fields, what one may type, and its buttons."""

    action: str
    method: str
    fields: list[tuple[str, str]] = field(default_factory=list)
    typed: list[str] = field(default_factory=list)
    buttons: list[tuple[str, str]] = field(default_factory=list)


class Elements(HTMLParser):
    """The elements of a page with their attributes, and its forms, as a browser reads them."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.seen: list[tuple[str, dict[str, str | None]]] = []
        self.forms: list[Form] = []
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note an element."""
        found = dict(attrs)
        self.seen.append((tag, found))
        if tag == "form":
            self.forms.append(Form(found.get("action") or "", found.get("method") or "get"))
        name, value = found.get("name"), found.get("value") or ""
        if not self.forms or not name or "disabled" in found:
            return
        form = self.forms[-1]
        if tag == "button":
            form.buttons.append((name, value))
        elif found.get("type") in ("hidden", "checkbox", "radio"):
            form.fields.append((name, value))
        elif tag in ("input", "textarea", "select"):
            form.typed.append(name)
