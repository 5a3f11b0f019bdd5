"""What holds for every page and form, also for one that is added: the application lists them, not a test."""

import json
import re
from collections.abc import Iterator
from dataclasses import replace
from itertools import repeat
from pathlib import Path
from urllib.parse import quote

import pytest

from logbook.faces.private import trips
from logbook.faces.private.guard import HEADERS, Refusal
from logbook.faces.private.serving import PrivatePages
from tests.faces.private.conftest import served
from tests.faces.private.routes import Elements, Form, Route, routes
from tests.faces.private.visitor import Answer, Visitor
from tests.services.night.sittings import dump_of
from tests.trials.planting.trip import book_of, planted, records

TEMPLATE, FILLED = "{{ 6187 * 7919 }}", "48994853"
ENDINGS = ("/undo", "/close")  # after which there may be nothing left to walk through
HOSTILE = f'"><script src=//elsewhere.example></script><img src=x onerror=alert(1)>{TEMPLATE}'


@pytest.fixture
def hostile_book(tmp_path: Path) -> Path:
    """A book in which others wrote, wherever one can write."""
    (tmp_path / "pictures").mkdir()
    made = planted(records(tmp_path / "pictures"), HOSTILE, repeat(HOSTILE))
    keepers = tuple(replace(one, file=f"{HOSTILE}.JPG") for one in made["keepers"])
    said = json.dumps({"text": HOSTILE, "word": "stated"})
    answers = tuple(replace(one, key="journal", answer=said) for one in made["night_answers"])
    return book_of(tmp_path / "hostile.sqlite", {**made, "keepers": keepers, "night_answers": answers}).path


@pytest.fixture
def hostile_pages(hostile_book: Path, tmp_path: Path) -> Iterator[PrivatePages]:
    """Its pages."""
    yield from served(hostile_book, tmp_path / "cache")


@pytest.fixture
def hostile_visitor(hostile_pages: PrivatePages) -> Visitor:
    """Whoever looks at them."""
    visitor = Visitor(hostile_pages.port)
    visitor.come_in(hostile_pages.address())
    return visitor


def of_method(pages: PrivatePages, book: Path, method: str) -> list[Route]:
    """The routes of a method, those last after which there is nothing left."""
    found = [one for one in routes(pages, book) if one.method == method]
    return sorted(found, key=lambda one: one.path in ENDINGS and ENDINGS.index(one.path) + 1)


def assert_shut(answer: Answer, where: str) -> None:
    """Nothing is kept by the browser, guessed, framed or run that is not ours."""
    for name, value in HEADERS.items():
        if name != "Content-Security-Policy":
            assert answer.headers.get(name) == value, f"{where}: {name}"
    policy = answer.headers["Content-Security-Policy"]
    assert policy.startswith("default-src 'none'"), where
    assert "unsafe-eval" not in policy, where
    assert not re.search(r"script-src[^;]*unsafe", policy), where


def assert_ours_alone(answer: Answer, where: str) -> None:
    """Nothing that others wrote became an element or an attribute of a page."""
    if not answer.headers["Content-Type"].startswith("text/html"):
        return
    for name, found in Elements(answer.text).seen:
        assert not [key for key in found if key.startswith("on") or key == "style"], where
        assert name not in ("style", "iframe", "object", "base"), where
        if name == "script":
            assert (found.get("src") or "").startswith("/brought/"), where
        if name in ("img", "a", "form", "link"):
            address = found.get("src") or found.get("href") or found.get("action") or ""
            assert re.match(r"(?:/(?!/)|[?#]|$)", address), f"{where}: {address}"
    assert FILLED not in answer.text, where


def test_every_page_is_there_shut_tight_and_changes_nothing(
    pages: PrivatePages, visitor: Visitor, book_path: Path
) -> None:
    before = dump_of(book_path)
    found = of_method(pages, book_path, "GET")
    assert len(found) > 7
    for route in found:
        answer = visitor.ask(route.path)
        assert answer.status in (200, 404), f"{route.path}: {answer.text}"
        assert_shut(answer, route.path)
        assert_ours_alone(answer, route.path)
        assert_shut(visitor.ask(f"{route.path}/nothing"), route.path)
    assert dump_of(book_path) == before


@pytest.mark.slow
def test_every_form_asks_for_cookie_origin_and_token(
    pages: PrivatePages, visitor: Visitor, book_path: Path
) -> None:
    before = dump_of(book_path)
    token = ("token", visitor.token())
    stranger = Visitor(pages.port)
    for route in routes(pages, book_path):
        assert_refused(stranger.ask(route.path), Refusal.KEY, route)
        assert_refused(visitor.ask(route.path, Sec_Fetch_Site="cross-site"), Refusal.ELSEWHERE, route)
        if route.method == "POST":
            elsewhere = "http://elsewhere.example"
            assert_refused(stranger.ask(route.path, "POST", [token]), Refusal.KEY, route)
            assert_refused(visitor.ask(route.path, "POST", [token], Origin=None), Refusal.ELSEWHERE, route)
            assert_refused(
                visitor.ask(route.path, "POST", [token], Origin=elsewhere), Refusal.ELSEWHERE, route
            )
            for wrong in ([], [("token", "wrong")]):
                assert_refused(visitor.ask(route.path, "POST", wrong), Refusal.FORM, route)
    assert dump_of(book_path) == before


def assert_refused(answer: Answer, why: Refusal, route: Route) -> None:
    """It is refused, for that reason, and tells nothing."""
    assert (answer.status, str(why) in answer.text) == (403, True), f"{route}: {answer.status} {answer.text}"
    assert_shut(answer, route.path)


@pytest.mark.slow
def test_every_form_is_answered_when_it_comes_empty(
    pages: PrivatePages, visitor: Visitor, book_path: Path
) -> None:
    token = ("token", visitor.token())
    for route in of_method(pages, book_path, "POST"):
        answer = visitor.ask(route.path, "POST", [token])
        assert answer.status < 500, f"{route.path}: {answer.text}"
        assert answer.status != 403, route.path
        assert_shut(answer, route.path)


def questions_of_addresses() -> set[str]:
    """What pages ask of an address behind its question mark, as their source says."""
    package = Path(trips.__file__).parent
    return {
        name
        for module in package.glob("*.py")
        for name in re.findall(r'args\.get(?:list)?\(\s*"(\w+)"', module.read_text(encoding="utf-8"))
    }


@pytest.mark.slow
def test_what_others_wrote_is_text_on_every_page(
    hostile_pages: PrivatePages, hostile_visitor: Visitor, hostile_book: Path
) -> None:
    asked = questions_of_addresses()
    assert {"day", "order"} <= asked
    query = "&".join(f"{name}={quote(HOSTILE)}" for name in sorted(asked - {"key"}))
    seen = 0
    for route in of_method(hostile_pages, hostile_book, "GET"):
        for path in (route.path, f"{route.path}?{query}"):
            answer = hostile_visitor.ask(path)
            assert answer.status < 500, f"{path}: {answer.text}"
            assert_ours_alone(answer, path)
            seen += answer.headers["Content-Type"].startswith("text/html") and TEMPLATE in answer.text
    assert seen > 5, "the pages show what was written"


@pytest.mark.slow
def test_whatever_is_typed_into_every_form_is_text(
    hostile_pages: PrivatePages, hostile_visitor: Visitor, hostile_book: Path
) -> None:
    sent = 0
    for route in of_method(hostile_pages, hostile_book, "GET"):
        answer = hostile_visitor.ask(route.path)
        if not answer.headers["Content-Type"].startswith("text/html"):
            continue
        for form in Elements(answer.text).forms:
            path = form.action or route.path
            if path in ENDINGS or form.method != "post":
                continue
            for pressed in pressed_in(form):
                typed = [(name, HOSTILE) for name in form.typed]
                became = hostile_visitor.ask(path, "POST", [*form.fields, *typed, *pressed])
                assert became.status < 500, f"{path} {pressed}: {became.text}"
                assert became.status != 403, path
                assert_shut(became, path)
                assert_ours_alone(became, f"{path} {pressed}")
                sent += 1
    assert sent > 8


def pressed_in(form: Form) -> list[list[tuple[str, str]]]:
    """The buttons of a form to press, one of each kind; none for a form that has no named one."""
    kinds = {(name, value.partition(":")[0]): (name, value) for name, value in form.buttons}
    return [[one] for one in kinds.values()] or [[]]
