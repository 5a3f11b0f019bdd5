"""A report is served on loopback alone: its own files and nothing else."""

import threading
from collections.abc import Callable, Iterator
from http.client import HTTPConnection, HTTPResponse
from pathlib import Path

import pytest

from logbook.domain.account import TripAccount
from logbook.domain.errors import OutputError, WrongUseError
from logbook.faces.report import BuiltReport
from logbook.faces.report.serving import server_for

Ask = Callable[..., HTTPResponse]


@pytest.fixture
def folder(account: TripAccount, build: Callable[..., BuiltReport]) -> Path:
    return build(account).index.parent


@pytest.fixture
def ask(folder: Path) -> Iterator[Ask]:
    """Ask the server for a path, as sent."""
    server = server_for(folder)
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()

    def asked(path: str, host: str | None = None, method: str = "GET") -> HTTPResponse:
        line = HTTPConnection("127.0.0.1", server.server_port, timeout=10)
        line.putrequest(method, path, skip_host=host is not None)
        if host is not None:
            line.putheader("Host", host)
        line.endheaders()
        return line.getresponse()

    yield asked
    server.shutdown()
    server.server_close()
    thread.join()


@pytest.mark.slow
def test_its_pages_and_pictures_are_served(ask: Ask, folder: Path) -> None:
    assert ask("/").read() == (folder / "index.html").read_bytes()
    picture = next((folder / "pictures").iterdir())
    answer = ask(f"/pictures/{picture.name}")
    assert (answer.status, answer.getheader("Content-Type")) == (200, "image/jpeg")
    assert ask("/style.css", method="HEAD").read() == b""


@pytest.mark.slow
@pytest.mark.parametrize(
    "path",
    [
        "/pictures/", "/pictures", "/pages/", "/.logbook-report", "/../originals/one.jpg",
        "/%2e%2e/originals/one.jpg", "/pages/../../originals/one.jpg", "//etc/passwd", "/link.html",
    ],
)  # fmt: skip
def test_nothing_else_is(ask: Ask, folder: Path, path: str) -> None:
    (folder / "link.html").symlink_to("/etc/hostname")
    assert ask(path).status == 404


@pytest.mark.slow
def test_a_listed_name_in_a_folder_that_became_a_link_is_not_served(
    ask: Ask, folder: Path, tmp_path: Path
) -> None:
    picture = next((folder / "pictures").iterdir()).name
    (tmp_path / "others").mkdir()
    (tmp_path / "others" / picture).write_bytes(b"of somebody else")
    (folder / "pictures").rename(tmp_path / "own")
    (folder / "pictures").symlink_to(tmp_path / "others")
    assert ask(f"/pictures/{picture}").status == 404


@pytest.mark.slow
@pytest.mark.parametrize("host", ["evil.example", "evil.example:80", "", "192.168.1.4"])
def test_a_request_in_another_hosts_name_is_refused(ask: Ask, host: str) -> None:
    assert ask("/", host).status == 421


@pytest.mark.slow
def test_nothing_can_be_sent_to_it(ask: Ask) -> None:
    assert ask("/", method="POST").status == 501


@pytest.mark.parametrize("host", ["0.0.0.0", "::", "192.168.1.4", "report.example", ""])
def test_any_other_address_is_refused_with_one_sentence(folder: Path, host: str) -> None:
    with pytest.raises(WrongUseError, match="on this machine only") as refused:
        server_for(folder, host)
    assert "\n" not in str(refused.value)


def test_it_listens_on_loopback_only(folder: Path) -> None:
    with server_for(folder, "localhost") as server:
        assert server.server_address[0] == "127.0.0.1"


def test_a_taken_port_is_refused(folder: Path) -> None:
    with server_for(folder) as server, pytest.raises(OutputError, match="choose another with --port"):
        server_for(folder, port=server.server_port)
    with pytest.raises(WrongUseError, match="no port 70000"):
        server_for(folder, port=70_000)
