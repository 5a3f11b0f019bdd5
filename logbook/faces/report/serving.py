"""Showing a finished report in a browser of this machine, over loopback only.

One surprising decision: only plain files that the report lists as its own are served, by their own names;
there are no listings, links are not followed, and a request that names another host is refused, so that a
page from elsewhere cannot read the report through the reader's browser.
"""

from http import HTTPStatus
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from urllib.parse import unquote, urlsplit

from logbook.domain.errors import OutputError, WrongUseError
from logbook.faces.report.handing import listed_file

LOOPBACK = "127.0.0.1"
_SELF = {LOOPBACK, "localhost"}
_TYPES = {
    ".html": "text/html; charset=utf-8",
    ".css": "text/css; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",
    ".csv": "text/csv; charset=utf-8",
    ".svg": "image/svg+xml",
    ".json": "application/json",
    ".geojson": "application/geo+json",
    ".jpg": "image/jpeg",
    ".png": "image/png",
    ".woff2": "font/woff2",
    ".txt": "text/plain; charset=utf-8",
}


def type_of(path: Path) -> str:
    """Return what kind of file a report's file is, as a browser is told."""
    return _TYPES.get(path.suffix.lower(), "application/octet-stream")


def check_address(host: str, port: int) -> None:
    """Refuse any address but this machine's own; raises WrongUseError."""
    if host not in _SELF:
        raise WrongUseError(
            f'A report is served on this machine only, not on "{host}"; leave out --host, '
            "or make a --zip to send."
        )
    if not 0 <= port <= 65535:
        raise WrongUseError(f"There is no port {port}; choose one from 1024 to 65535.")


def server_for(folder: Path, host: str = LOOPBACK, port: int = 0) -> ThreadingHTTPServer:
    """Return a server of one folder that already listens on loopback; port 0 takes a free one.

    Raises WrongUseError for any other address, OutputError where the port cannot be had.
    """
    check_address(host, port)
    try:
        return ThreadingHTTPServer((LOOPBACK, port), _handler_for(folder.resolve()))
    except OSError as error:
        why = str(error.strerror).lower()
        raise OutputError(f"Port {port} cannot be used ({why}); choose another with --port.") from None


def _handler_for(folder: Path) -> type[BaseHTTPRequestHandler]:
    class Handler(BaseHTTPRequestHandler):
        server_version, sys_version = "report", ""

        def do_GET(self) -> None:
            self._answer(with_content=True)

        def do_HEAD(self) -> None:
            self._answer(with_content=False)

        def _answer(self, with_content: bool) -> None:
            host = self.headers.get("Host", "").partition(":")[0]
            if host not in _SELF:
                self.send_error(HTTPStatus.MISDIRECTED_REQUEST)
                return
            name = unquote(urlsplit(self.path).path).lstrip("/") or "index.html"
            path = listed_file(folder, name)
            if path is None:
                self.send_error(HTTPStatus.NOT_FOUND)
                return
            content = path.read_bytes()
            self.send_response(HTTPStatus.OK)
            self.send_header("Content-Type", type_of(path))
            self.send_header("Content-Length", str(len(content)))
            self.send_header("X-Content-Type-Options", "nosniff")
            self.send_header("Cache-Control", "no-store")
            self.end_headers()
            if with_content:
                self.wfile.write(content)

        def log_message(self, format: str, *args: object) -> None:  # noqa: A002 - the library's own name
            """Say nothing: the terminal belongs to the person."""

    return Handler
