"""Serving the private pages: a port of this machine alone, for as long as somebody works with them.

One surprising decision: the sockets are bound before the address is printed, so that nobody else can take the
port between the two, and the address that is printed always answers. Where the machine has the newer loopback
as well, both are ours: another program there could pose as these pages.
"""

import errno
import logging
import socket
import sys
import webbrowser
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from datetime import datetime
from html import escape
from pathlib import Path
from tempfile import TemporaryDirectory
from threading import Thread
from typing import TYPE_CHECKING, Any

from logbook.domain.errors import LogbookError
from logbook.faces.private.bench import Bench
from logbook.faces.private.guard import Guard
from logbook.faces.private.workplace import LARGEST_FORM_BYTES, Workplace, application, maker_in
from logbook.faces.report.site import environment
from logbook.store.book import Book
from logbook.store.connections import Sharing
from logbook.store.rights import make_file

if TYPE_CHECKING:
    from waitress.server import BaseWSGIServer

LOOPBACK = "127.0.0.1"
LOOPBACK_6 = "::1"
BINDINGS = 8  # random ports that are tried until one is free on both loopbacks
THREADS = 6  # requests at a time: a page and the pictures that it waits for
HEADER_BYTES = 32 * 1024
LAST_ANSWER_S = 0.2  # for the answer that is on its way to reach the browser
WAITING = 64  # connections that wait until they are taken


class PrivatePages:
    """One run of the pages: its socket, its secrets, and the address that opens it."""

    def __init__(
        self, book: Path, now: Callable[[], datetime], templates: Path, cache: Path, port: int = 0
    ) -> None:
        """Bind a port of this machine, a random one where `port` is 0; LogbookError where it is taken."""
        self._sockets = _bound(port)
        self.port: int = self._sockets[0].getsockname()[1]
        names = (LOOPBACK, f"[{LOOPBACK_6}]")[: len(self._sockets)]
        self.guard = Guard(tuple(f"{name}:{self.port}" for name in names))
        self.workplace = Workplace(
            lambda run: Book(book, now, create=False, run=run, sharing=Sharing.READINGS),
            templates,
            environment(templates),
            maker_in(cache),
            self.guard,
            self.close,
            Bench(cache.with_name("reports")),
        )
        self._server: BaseWSGIServer | None = None
        self._connections: dict[int, Any] = {}
        self._is_closing = False

    def address(self, path: str = "/") -> str:
        """Return the address that opens the pages once; it goes on to a page of them."""
        from urllib.parse import quote

        to = "" if path == "/" else f"&to={quote(path)}"
        return f"{self.guard.origin}/?key={self.guard.key}{to}"

    def serve(self) -> None:
        """Answer until somebody closes the book."""
        from waitress.server import create_server

        logging.getLogger("waitress").setLevel(logging.ERROR)  # short waits are routine
        self._server = create_server(
            application(self.workplace),
            map=self._connections,
            sockets=self._sockets,
            threads=THREADS,
            ident=None,
            max_request_body_size=LARGEST_FORM_BYTES,
            max_request_header_size=HEADER_BYTES,
            expose_tracebacks=False,
            clear_untrusted_proxy_headers=True,
        )
        try:
            if not self._is_closing:  # somebody may have closed it before it began
                self._server.run()
        finally:
            self._server.task_dispatcher.shutdown()
            self.workplace.jobs.stop()
            self.workplace.bench.clear()

    def close(self) -> None:
        """Stop answering, after the answer that is on its way."""
        self._is_closing = True
        if self._server is not None:
            Thread(target=self._end, daemon=True).start()

    def _end(self) -> None:
        from time import sleep

        from waitress.trigger import trigger

        sleep(LAST_ANSWER_S)
        waker = next((one for one in list(self._connections.values()) if isinstance(one, trigger)), None)
        if waker is not None:  # nobody closed them before
            waker.pull_trigger(self._hang_up)  # in the thread that answers

    def _hang_up(self) -> None:
        """End every connection, those too that a browser holds open for later."""
        from waitress.wasyncore import close_all

        close_all(self._connections, ignore_all=True)


def _bound(port: int) -> list[socket.socket]:
    """Return sockets listening on one port of both loopbacks, or of IPv4 alone on a machine without IPv6."""
    for left in reversed(range(1 if port else BINDINGS)):
        try:
            return _on_both(port)
        except (OSError, OverflowError) as error:
            if not left:
                why = getattr(error, "strerror", None) or "it is out of range"
                raise LogbookError(
                    f"Port {port} cannot be used ({why}); without --port a free one is used."
                ) from error
    raise AssertionError


def _on_both(port: int) -> list[socket.socket]:
    first = _listening(socket.AF_INET, LOOPBACK, port)
    try:
        return [first, _listening(socket.AF_INET6, LOOPBACK_6, first.getsockname()[1])]
    except OSError as error:
        if error.errno in (errno.EAFNOSUPPORT, errno.EADDRNOTAVAIL):
            return [first]
        first.close()
        raise


def _listening(family: socket.AddressFamily, address: str, port: int) -> socket.socket:
    listening = socket.socket(family, socket.SOCK_STREAM)
    try:
        if sys.platform != "win32":  # there, the option would let another program share the port
            listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        listening.bind((address, port))
        listening.listen(WAITING)
    except (OSError, OverflowError):
        listening.close()
        raise
    return listening


@contextmanager
def letter(address: str) -> Iterator[str]:
    """Yield the address of a file of the person's own that leads a browser to the pages.

    What a program is called with stands in the list of processes, for everybody on the machine to read; one
    file that its owner alone may read does not show the key.
    """
    with TemporaryDirectory(prefix="logbook-") as folder:
        path = Path(folder, "open.html")
        make_file(path)
        path.write_text(
            f'<!doctype html><meta charset="utf-8"><title>Your logbook</title>'
            f'<meta http-equiv="refresh" content="0;url={escape(address)}">'
            f'<p><a href="{escape(address)}">Open your logbook</a>',
            encoding="utf-8",
        )
        yield path.as_uri()


def show(address: str) -> None:
    """Open an address in the person's browser, where there is one."""
    with suppress(webbrowser.Error, OSError):
        webbrowser.open(address)
