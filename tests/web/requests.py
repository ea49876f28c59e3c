"""Requests as an attacker, a tablet or the desk would send them: plain http.client, nothing tidied up."""

import http.client
import json
import re
from dataclasses import dataclass
from typing import Any

from tests.browser.serving import PATIENT_MS, Served


@dataclass(frozen=True)
class Answer:
    status: int
    headers: dict[str, str]
    body: bytes

    @property
    def json(self) -> Any:
        return json.loads(self.body)


def send(
    address: str,
    port: int,
    method: str,
    path: str,
    headers: dict[str, str] | None = None,
    body: bytes | None = None,
    source: str = "",
) -> Answer:
    """One request on a connection of its own, from the address `source`. The path is sent as it is."""
    connection = http.client.HTTPConnection(
        address, port, timeout=PATIENT_MS / 1000, source_address=(source, 0) if source else None
    )
    try:
        connection.putrequest(method, path, skip_host=True, skip_accept_encoding=True)
        given = {"Host": f"{address}:{port}", **(headers or {})}
        if body is not None:
            given.setdefault("Content-Length", str(len(body)))
        for name, value in given.items():
            connection.putheader(name, value)
        connection.endheaders(body)
        got = connection.getresponse()
        return Answer(got.status, {k.lower(): v for k, v in got.getheaders()}, got.read())
    finally:
        connection.close()


def get(served: Served, path: str, **headers: str) -> Answer:
    """GET at the desk."""
    own = {"Cookie": served.cookie, **{k.replace("_", "-"): v for k, v in headers.items()}}
    return send("127.0.0.1", served.port, "GET", path, own)


def token(served: Served) -> str:
    """The change token, read from a page as a page's script does."""
    page = get(served, "/tablet").body.decode()
    found = re.search(r'name="plateside-token" content="([^"]+)"', page)
    assert found
    return found[1]


def change(
    served: Served,
    path: str,
    data: Any,
    *,
    address: str = "127.0.0.1",
    port: int = 0,
    **headers: str,
) -> Answer:
    """A change as our own page sends it; any header can be given otherwise."""
    port = port or served.port
    own = {
        "Origin": f"http://{address}:{port}", "Content-Type": "application/json",
        "X-Plateside-Token": token(served), "Cookie": served.cookie,
        **{k.replace("_", "-"): v for k, v in headers.items()},
    }  # fmt: skip
    return send(address, port, "POST", path, own, json.dumps(data).encode())
