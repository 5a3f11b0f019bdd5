"""Who may ask for a page: the browser that came with the key, and pages of ours in it; nobody else.

One surprising decision: the key in the address works once. It is exchanged for a cookie at the first visit,
so that an address left in a history, a log or a list of processes opens nothing afterwards.
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
HEADERS = {
    "Content-Security-Policy": (
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
    ELSEWHERE = "A page of another site asked for this; nothing was changed."
    FORM = "This form is from an earlier session; nothing was changed. Load the page again."


@dataclass(slots=True)
class Guard:
    """The secrets of one run, and the one place that compares them; `host` is the address with its port."""

    host: str
    key: str = field(default_factory=lambda: secrets.token_urlsafe(KEY_BYTES))
    token: str = field(default_factory=lambda: secrets.token_urlsafe(KEY_BYTES))
    cookie_name: str = field(default_factory=lambda: f"logbook-{secrets.token_hex(8)}")
    _cookie: str = field(default_factory=lambda: secrets.token_urlsafe(KEY_BYTES))
    _lock: Lock = field(default_factory=Lock)
    _is_spent: bool = False

    @property
    def origin(self) -> str:
        """Where our own pages come from, as a browser says it of a form."""
        return f"http://{self.host}"

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
        if headers.get("Origin") != self.origin:
            return Refusal.ELSEWHERE
        return None if compare_digest(token.encode(), self.token.encode()) else Refusal.FORM

    def not_ours(self, headers: Mapping[str, str]) -> Refusal | None:
        """Return why a request did not come to us, or not from our pages, whoever sent it."""
        if headers.get("Host") != self.host:
            return Refusal.HOST
        origin = headers.get("Origin")
        if origin is not None and origin != self.origin:
            return Refusal.ELSEWHERE
        return None if headers.get("Sec-Fetch-Site", "none") in OWN_FETCHES else Refusal.ELSEWHERE
