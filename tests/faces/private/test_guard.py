"""Nobody reaches the book but the browser that came with the key, and its own pages in it."""

import socket
from pathlib import Path

import pytest

from logbook.faces.private.guard import HEADERS, Guard, Refusal
from logbook.faces.private.serving import PrivatePages
from tests.faces.private.visitor import Visitor

TITLE = "High valley in autumn"
UNDO = "/undo"


def test_without_the_key_nothing_of_the_book_is_told(pages: PrivatePages) -> None:
    stranger = Visitor(pages.port)
    for path in ("/", "/trip/high-valley-autumn", "/brought/desk.css", "/nothing", "/?key=wrong", "/?key="):
        answer = stranger.ask(path)
        assert answer.status == 403
        assert TITLE not in answer.text
        assert "Set-Cookie" not in answer.headers


def test_the_key_opens_the_pages_once(pages: PrivatePages) -> None:
    first, second = Visitor(pages.port), Visitor(pages.port)
    assert first.come_in(pages.address()).status == 303
    assert TITLE in first.ask("/").text
    replayed = second.come_in(pages.address())
    assert (replayed.status, second.cookie) == (403, "")
    assert str(Refusal.KEY) in replayed.text
    assert TITLE in first.ask("/").text, "the first browser goes on"


def test_the_key_may_come_from_a_file_of_the_persons_own(pages: PrivatePages) -> None:
    visitor = Visitor(pages.port, headers={"Sec-Fetch-Site": "cross-site"})
    answer = visitor.come_in(pages.address("/trip/high-valley-autumn"))
    assert (answer.status, visitor.cookie != "") == (200, True)
    assert 'content="0;url=/trip/high-valley-autumn"' in answer.text, "a page of ours leads on"
    assert TITLE not in answer.text
    assert visitor.ask("/").status == 403, "and whatever comes from elsewhere is refused as before"


def test_the_cookie_stays_with_the_browser_and_its_own_pages(pages: PrivatePages) -> None:
    answer = Visitor(pages.port).come_in(pages.address())
    flags = {part.strip() for part in answer.headers["Set-Cookie"].split(";")[1:]}
    assert flags == {"HttpOnly", "Path=/", "SameSite=Strict"}
    assert pages.guard.key not in answer.headers["Set-Cookie"], "the cookie is another secret"


def test_a_key_leads_only_to_pages_of_the_book(pages: PrivatePages) -> None:
    answer = Visitor(pages.port).ask(f"/?key={pages.guard.key}&to=//elsewhere.example/")
    assert answer.headers["Location"] == "/"


@pytest.mark.parametrize("host", ["localhost", "rebound.example", "127.0.0.1", "127.0.0.1:1", "[::1]:1", ""])
def test_a_name_that_was_rebound_to_this_machine_is_refused(
    pages: PrivatePages, visitor: Visitor, host: str
) -> None:
    answer = visitor.ask("/", Host=f"{host}:{pages.port}" if ":" not in host else host)
    if host == "127.0.0.1":
        assert answer.status == 200
        return
    assert answer.status in (400, 403)
    assert TITLE not in answer.text


@pytest.mark.parametrize(
    "origin", [None, "null", "http://elsewhere.example", "http://127.0.0.1:1", "https://127.0.0.1"]
)
def test_a_form_of_another_site_changes_nothing(visitor: Visitor, origin: str | None) -> None:
    token = visitor.token()
    answer = visitor.ask(UNDO, "POST", [("token", token)], Origin=origin)
    assert answer.status == 403
    assert str(Refusal.ELSEWHERE) in answer.text


def test_the_newer_loopback_is_ours_as_well_and_no_way_around(pages: PrivatePages) -> None:
    inside = Visitor(pages.port, name="[::1]")
    assert inside.ask("/").status == 403
    assert inside.come_in(pages.address()).status == 303
    assert inside.token()
    assert inside.send(UNDO).status in (303, 422), "our own form, whatever there is to take back"
    older = f"http://127.0.0.1:{pages.port}"
    assert str(Refusal.ELSEWHERE) in inside.ask(UNDO, "POST", [("token", inside.token())], Origin=older).text
    assert inside.ask("/", Host=f"localhost:{pages.port}").status == 403


@pytest.mark.parametrize("site", ["cross-site", "same-site"])
def test_what_another_site_fetches_is_refused(visitor: Visitor, site: str) -> None:
    assert visitor.ask("/", Sec_Fetch_Site=site).status == 403
    assert visitor.ask("/", Sec_Fetch_Site="same-origin").status == 200


@pytest.mark.parametrize("token", ["", "wrong", "é"])
def test_a_form_without_its_token_changes_nothing(visitor: Visitor, token: str) -> None:
    answer = visitor.ask(UNDO, "POST", [("token", token)])
    assert (answer.status, str(Refusal.FORM) in answer.text) == (403, True)


def test_a_token_of_another_run_is_refused(pages: PrivatePages, visitor: Visitor) -> None:
    assert visitor.ask(UNDO, "POST", [("token", Guard((f"127.0.0.1:{pages.port}",)).token)]).status == 403


@pytest.mark.parametrize("cookie", ["", "logbook=wrong", "é=ü"])
def test_another_cookie_is_refused(visitor: Visitor, cookie: str) -> None:
    name = visitor.cookie.partition("=")[0]
    for sent in (cookie, f"{name}=wrong", f"{name}="):
        assert visitor.ask("/", Cookie=sent.encode().decode("latin-1")).status == 403


@pytest.mark.parametrize("method", ["PUT", "DELETE", "PATCH", "OPTIONS", "TRACE", "CONNECT"])
def test_other_methods_do_nothing(visitor: Visitor, method: str) -> None:
    answer = visitor.ask("/", method)
    assert answer.status in (400, 403, 404, 405, 501)
    assert TITLE not in answer.text


def test_every_answer_is_shut_tight(pages: PrivatePages, visitor: Visitor) -> None:
    refused = Visitor(pages.port).ask("/")
    for answer in (refused, visitor.ask("/"), visitor.ask("/nothing"), visitor.ask("/brought/desk.js")):
        for name, value in HEADERS.items():
            assert answer.headers[name] == value
        assert "Server" not in answer.headers, "no banner"
    assert "unsafe" not in HEADERS["Content-Security-Policy"]
    html = visitor.ask("/trip/high-valley-autumn").text
    assert "<style" not in html
    assert " style=" not in html
    assert "onclick" not in html


@pytest.mark.parametrize(
    "path",
    [
        "/brought/../../pyproject.toml",
        "/brought/..%2f..%2fpyproject.toml",
        "/brought/%2e%2e/private/evening.html",
        "/brought//etc/passwd",
        "/brought/",
        "/picture/../../book.sqlite/small",
        "/picture/nobody/small",
        "/picture/nobody/huge",
        "/trip/nobody",
        "/trip/high-valley-autumn/evening/yesterday",
    ],
)
def test_there_is_no_way_to_other_files(visitor: Visitor, path: str) -> None:
    answer = visitor.ask(path)
    assert answer.status == 404
    assert "Traceback" not in answer.text


def test_too_much_is_refused_before_it_is_read(visitor: Visitor) -> None:
    answer = visitor.ask(UNDO, "POST", [("token", "x")], Content_Length="3000000")
    assert answer.status == 413


def test_only_this_machine_is_listened_to(pages: PrivatePages) -> None:
    tables = [
        Path("/proc/net", name).read_text(encoding="ascii").splitlines()[1:] for name in ("tcp", "tcp6")
    ]
    local = [line.split()[1] for lines in tables for line in lines if line.split()[3] == "0A"]
    ours = {one.partition(":")[0] for one in local if one.endswith(f":{pages.port:04X}")}
    assert ours == {"0100007F", "00000000000000000000000001000000"}
    with pytest.raises(ConnectionError), socket.create_connection((_own_address(), pages.port), timeout=2):
        pass


def _own_address() -> str:
    """An address of this machine that others could reach, or one of loopback that is not ours."""
    try:
        found = socket.gethostbyname(socket.gethostname())
    except OSError:  # a machine that does not know its own name
        return "127.0.0.2"
    return "127.0.0.2" if found == "127.0.0.1" else found
