"""The app as a paired tablet meets it, without a network between."""

import json
from pathlib import Path
from typing import Any

from starlette.applications import Starlette

from plateside.web.app import make_app
from plateside.web.guard.guard import COOKIE, Guard, Listener
from plateside.web.guard.keys import Keys
from plateside.web.guard.rates import Buckets
from plateside.web.tool import Tool
from tests.web import loops

HOST = "127.0.0.2:8766"


class Paired:
    """The app as a paired tablet meets it, without a network between."""

    def __init__(self, root: Path) -> None:
        self.tool = Tool(root, root, Keys("k" * 43), watch=False)
        self.app: Starlette = make_app(self.tool)
        self.cookie = self.tool.devices.pair(self.tool.devices.invite().secret, "tablet")
        listener = Listener(frozenset({HOST}), is_desk=False)
        self.guard = Guard(
            self.app, self.tool.keys, self.tool.desk, self.tool.devices, listener, Buckets(lambda: 0.0)
        )

    def ask(self, method: str, path: str, told: Any = None, accept: str = "*/*") -> tuple[int, bytes]:
        body = json.dumps(told).encode()
        headers = {
            "host": HOST, "cookie": f"{COOKIE}={self.cookie}", "origin": f"http://{HOST}", "accept": accept,
            "x-plateside-token": self.tool.keys.change_token, "content-type": "application/json",
        }  # fmt: skip
        scope = {
            "type": "http", "method": method, "path": path, "raw_path": path.encode(), "query_string": b"",
            "root_path": "", "headers": [(k.encode(), v.encode()) for k, v in headers.items()],
            "client": ("127.0.0.2", 50000), "server": ("127.0.0.2", 8766), "scheme": "http",
            "http_version": "1.1",
        }  # fmt: skip
        sent: list[Any] = []

        async def receive() -> Any:
            return {"type": "http.request", "body": body, "more_body": False}

        async def hear(message: Any) -> None:
            sent.append(message)

        loops.run(self.guard(scope, receive, hear))
        return sent[0]["status"], b"".join(m.get("body", b"") for m in sent[1:])
