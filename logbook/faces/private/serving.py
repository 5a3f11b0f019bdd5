"""Serving the private pages: a port of this machine alone, for as long as somebody works with them.

One surprising decision: the socket is bound before the address is printed, so that nobody else can take the
port between the two, and the address that is printed always answers.
"""

import logging
import socket
import sys
import webbrowser
from collections.abc import Callable
from pathlib import Path
from threading import Thread
from typing import TYPE_CHECKING, Any

from logbook.domain.errors import LogbookError
from logbook.faces.private.guard import Guard
from logbook.faces.private.workplace import LARGEST_FORM_BYTES, Workplace, application, maker_in
from logbook.store.book import Book
from logbook.store.changes.journal import Run

if TYPE_CHECKING:
    from waitress.server import BaseWSGIServer

LOOPBACK = "127.0.0.1"
THREADS = 6  # requests at a time: a page and the pictures that it waits for
HEADER_BYTES = 32 * 1024
WAITING = 64  # connections that wait until they are taken


class PrivatePages:
    """One run of the pages: its socket, its secrets, and the address that opens it."""

    def __init__(self, open_book: Callable[[Run], Book], templates: Path, cache: Path, port: int = 0) -> None:
        """Bind a port of this machine, a random one where `port` is 0; LogbookError where it is taken."""
        self._socket = _bound(port)
        self.port: int = self._socket.getsockname()[1]
        self.guard = Guard(f"{LOOPBACK}:{self.port}")
        self.workplace = Workplace(open_book, templates, maker_in(cache), self.guard, self.close)
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
            sockets=[self._socket],
            threads=THREADS,
            ident=None,
            max_request_body_size=LARGEST_FORM_BYTES,
            max_request_header_size=HEADER_BYTES,
            expose_tracebacks=False,
            clear_untrusted_proxy_headers=True,
        )
        if not self._is_closing:  # somebody may have closed it before it began
            self._server.run()
        self._server.task_dispatcher.shutdown()

    def close(self) -> None:
        """Stop answering, after the answer that is on its way."""
        self._is_closing = True
        if self._server is not None:
            Thread(target=self._end, daemon=True).start()

    def _end(self) -> None:
        from time import sleep

        sleep(0.2)  # s, for the last answer to reach the browser
        assert self._server is not None
        self._server.trigger.pull_trigger(self._hang_up)  # in the thread that answers

    def _hang_up(self) -> None:
        """End every connection, those too that a browser holds open for later."""
        from waitress.wasyncore import close_all

        close_all(self._connections, ignore_all=True)


def _bound(port: int) -> socket.socket:
    listening = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    try:
        if sys.platform != "win32":  # there, the option would let another program share the port
            listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        listening.bind((LOOPBACK, port))
        listening.listen(WAITING)
    except (OSError, OverflowError) as error:
        listening.close()
        why = getattr(error, "strerror", None) or "it is out of range"
        raise LogbookError(
            f"Port {port} cannot be used ({why}); without --port a free one is taken."
        ) from error
    return listening


def show(address: str) -> bool:
    """Open the address in the person's browser; False where there is none."""
    try:
        return webbrowser.open(address)
    except (webbrowser.Error, OSError):
        return False
