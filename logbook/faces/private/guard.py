"""Who may ask for a page: the browser that came with the key, and pages of ours in it; nobody else.

One surprising decision: the key in the address works once. It is exchanged for a cookie at the first visit,
so that an address left in a history or a log opens nothing afterwards. Whoever brings it need not come from a
page of ours: it is read off a terminal, or off a file of the person's own.
"""

import secrets
from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from hmac import compare_digest
from threading import Lock

KEY_BYTES = 32  # of randomness in a key, a cookie or a form's token
SAFE_METHODS = ("GET", "HEAD")
OWN_FETCHES = ("same-origin", "none")  # Sec-Fetch-Site of our pages, and of an address typed or opened
POLICY = "Content-Security-Policy"
HEADERS = {
    POLICY: (
        "default-src 'none'; img-src 'self'; style-src 'self'; script-src 'self'; font-src 'self'; "
        "connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
    ),
    "Cache-Control": "no-store",
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Referrer-Policy": "same-origin",  # with no-referrer a browser gives our own forms the origin "null"
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
}


class Refusal(StrEnum):
    """Why a request is not answered, as the page says it."""

    HOST = "This address is not the one that logbook open printed."
    KEY = (
        "These pages are private. Open the address that logbook open printed; it works once, in one browser. "
        "To use another browser, close the book and open it again."
    )
    ELSEWHERE = "A page on another site asked for this; nothing was changed."
    FORM = "This form is from an earlier session; nothing was changed. Reload the page."


@dataclass(slots=True)
class Guard:
    """The secrets of one run, and the one place that compares them.

    `hosts` are our addresses with their port, as a browser writes them; the first is the one that is printed.
    """

    hosts: tuple[str, ...]
    key: str = field(default_factory=lambda: secrets.token_urlsafe(KEY_BYTES))
    token: str = field(default_factory=lambda: secrets.token_urlsafe(KEY_BYTES))
    cookie_name: str = field(default_factory=lambda: f"logbook-{secrets.token_hex(8)}")
    _cookie: str = field(default_factory=lambda: secrets.token_urlsafe(KEY_BYTES))
    _lock: Lock = field(default_factory=Lock)
    _is_spent: bool = False

    @property
    def origin(self) -> str:
        """Where our own pages come from, as a browser says it of a form."""
        return f"http://{self.hosts[0]}"

    def exchange(self, key: str) -> str | None:
        """Return the cookie for the key, the first time; None for a wrong key or a second time."""
        with self._lock:
            if self._is_spent or not compare_digest(key.encode(), self.key.encode()):
                return None
            self._is_spent = True
            return self._cookie

    def refusal(self, method: str, headers: Mapping[str, str], cookie: str, token: str) -> Refusal | None:
        """Return why a request is refused, or None where it may be answered."""
        if (because := self.not_ours(headers)) is not None:
            return because
        if not compare_digest(cookie.encode(), self._cookie.encode()):
            return Refusal.KEY
        if method in SAFE_METHODS:
            return None
        if "Origin" not in headers:  # where there is one, it was looked at already
            return Refusal.ELSEWHERE
        return None if compare_digest(token.encode(), self.token.encode()) else Refusal.FORM

    def not_ours(self, headers: Mapping[str, str]) -> Refusal | None:
        """Return why a request did not come to us, or not from our pages, whoever sent it."""
        if (because := self.not_to_us(headers)) is not None:
            return because
        return None if comes_from_us(headers) else Refusal.ELSEWHERE

    def not_to_us(self, headers: Mapping[str, str]) -> Refusal | None:
        """Return why a request was meant for another address, or was sent by a script of another one."""
        host = headers.get("Host")
        if host not in self.hosts:
            return Refusal.HOST
        return None if headers.get("Origin", f"http://{host}") == f"http://{host}" else Refusal.ELSEWHERE


def comes_from_us(headers: Mapping[str, str]) -> bool:
    """Whether a request comes from a page of ours or from nowhere, as far as the browser says."""
    return headers.get("Sec-Fetch-Site", "none") in OWN_FETCHES
