"""A phone of the classroom, as far as the server can tell: an address, cookies, forms with their token."""

from __future__ import annotations

import http.client
import re
from dataclasses import dataclass, field
from urllib.parse import urlencode

from trainer.web.access import COOKIE

TOKEN = re.compile(r'name="csrf_token" value="([^"]+)"')
KEY = re.compile(r'name="key" value="([^"]+)"')


@dataclass(frozen=True, slots=True)
class Reply:
    """What came back: status, where it leads, the page."""

    status: int
    location: str
    page: str


@dataclass
class Phone:
    """One browser on one machine of the network. It keeps its connection, as browsers do."""

    port: int
    address: str = "127.0.0.1"
    cookies: dict[str, str] = field(default_factory=dict)
    token: str = ""
    seconds: float = 30
    _line: http.client.HTTPConnection | None = None

    def signed_in(self, token: str) -> Phone:
        """This phone with a sign-in that was made in the store."""
        self.cookies[COOKIE] = token
        return self

    def get(self, path: str) -> Reply:
        """Ask for a page. Raises OSError or HTTPException where nobody answers."""
        return self._ask("GET", path, None)

    def send(self, path: str, form: dict[str, str]) -> Reply:
        """Send a form with this browser's own token."""
        if not self.token:
            self.get("/join")
        return self._ask("POST", path, urlencode({"csrf_token": self.token, **form}))

    def send_and_hang_up(self, path: str, form: dict[str, str]) -> None:
        """Send a form and lose the network before the reply is read."""
        line = self._connected()
        body = urlencode({"csrf_token": self.token, **form})
        line.request("POST", path, body, self._headers(body))
        self.hang_up()

    def hang_up(self) -> None:
        """Let go of the connection."""
        if self._line is not None:
            self._line.close()
        self._line = None

    def _ask(self, method: str, path: str, body: str | None) -> Reply:
        line = self._connected()
        try:
            line.request(method, path, body, self._headers(body))
            answer = line.getresponse()
            page = answer.read().decode("utf-8", "replace")
        except (OSError, http.client.HTTPException):
            self.hang_up()
            raise
        self._remember(answer.headers.get_all("Set-Cookie") or [], page)
        return Reply(answer.status, answer.headers.get("Location", ""), page)

    def _connected(self) -> http.client.HTTPConnection:
        if self._line is None:
            self._line = http.client.HTTPConnection(
                "127.0.0.1", self.port, timeout=self.seconds, source_address=(self.address, 0)
            )
        return self._line

    def _headers(self, body: str | None) -> dict[str, str]:
        host = f"127.0.0.1:{self.port}"
        cookies = "; ".join(f"{name}={value}" for name, value in self.cookies.items())
        form = {"Origin": f"http://{host}", "Content-Type": "application/x-www-form-urlencoded"}
        return {"Host": host, "Cookie": cookies, **(form if body is not None else {})}

    def _remember(self, cookies: list[str], page: str) -> None:
        for cookie in cookies:
            name, _, value = cookie.split(";")[0].partition("=")
            self.cookies[name] = value
        found = TOKEN.search(page)
        if found:
            self.token = found[1]
