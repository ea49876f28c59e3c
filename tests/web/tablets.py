"""A tablet as it is paired, by plain requests."""

import json

from tests.browser.serving import Served
from tests.web.requests import Answer, get, send

TABLET = "127.0.0.2"


def secret_of(served: Served) -> str:
    return str(get(served, "/tablet/now").json["code"]).replace(" ", "")


def pair(port: int, secret: str, origin: str = "", source: str = "") -> Answer:
    headers = {"Origin": origin or f"http://{TABLET}:{port}", "Content-Type": "application/json"}
    body = json.dumps({"secret": secret, "name": "T"}).encode()
    return send(TABLET, port, "POST", "/pair", headers, body, source)
