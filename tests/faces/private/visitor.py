"""A visitor of the private pages: sends exactly what a test says, header by header."""

import re
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from html import unescape
from http.client import HTTPConnection
from urllib.parse import urlencode, urlsplit


@dataclass(frozen=True)
class Answer:
    """What came back."""

    status: int
    headers: dict[str, str]
    body: bytes

    @property
    def text(self) -> str:
        """The body as text."""
        return self.body.decode("utf-8")


@dataclass
class Visitor:
    """Somebody on this machine; as our own browser where nothing else is said."""

    port: int
    cookie: str = ""
    headers: dict[str, str] = field(default_factory=dict)
    name: str = "127.0.0.1"

    @property
    def origin(self) -> str:
        """Where our pages come from."""
        return f"http://{self.name}:{self.port}"

    def ask(
        self, path: str, method: str = "GET", form: list[tuple[str, str]] | None = None, **headers: str | None
    ) -> Answer:
        """Ask for a page; a header None is not sent."""
        sent: dict[str, str | None] = {"Host": f"{self.name}:{self.port}", "Cookie": self.cookie or None}
        sent |= self.headers
        body = None
        if form is not None:
            body = urlencode(form)
            sent |= {"Content-Type": "application/x-www-form-urlencoded", "Origin": self.origin}
            sent |= {"Content-Length": str(len(body))}
        sent |= {name.replace("_", "-"): value for name, value in headers.items()}
        connection = HTTPConnection(self.name.strip("[]"), self.port, timeout=60)
        connection.putrequest(method, path, skip_host=True, skip_accept_encoding=True)
        for name, value in sent.items():
            if value is not None:
                connection.putheader(name, value)
        connection.endheaders(body.encode() if body is not None else None)
        response = connection.getresponse()
        answer = Answer(response.status, dict(response.getheaders()), response.read())
        connection.close()
        return answer

    def come_in(self, address: str) -> Answer:
        """Open the printed address and keep the cookie."""
        parts = urlsplit(address)
        answer = self.ask(f"{parts.path}?{parts.query}")
        if cookie := answer.headers.get("Set-Cookie"):
            self.cookie = cookie.partition(";")[0]
        return answer

    def token(self, path: str = "/") -> str:
        """The token in the forms of a page."""
        found = re.search(r'name="token" value="([^"]+)"', self.ask(path).text)
        assert found is not None
        return found[1]

    def send(self, path: str, **fields: str) -> Answer:
        """Send a form of a page, as its buttons do."""
        return self.ask(path, "POST", [("token", self.token()), *fields.items()])

    def send_pairs(self, path: str, pairs: list[tuple[str, str]]) -> Answer:
        """Send a form whose names repeat or hold what Python's do not."""
        return self.ask(path, "POST", [("token", self.token()), *pairs])


def plain(answer: Answer) -> str:
    """The words of a page."""
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", answer.text)).split())


def until(is_so: Callable[[], bool], longest_s: float = 120.0) -> None:
    """Wait until something is so; a test fails where it never is."""
    end = time.monotonic() + longest_s
    while not is_so():
        assert time.monotonic() < end, "it took too long"
        time.sleep(0.05)
