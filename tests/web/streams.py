"""A page's event stream, read plainly: WHATWG HTML, 9.2 Server-sent events."""

import http.client
import json
import threading
import time
from collections.abc import Callable
from typing import Any

from tests.browser.serving import PATIENT_MS, Served


class Stream:
    """One open stream; events come in as (kind, id or None, data)."""

    def __init__(
        self,
        served: Served,
        after: int | None = None,
        last_event_id: int | None = None,
        address: str = "127.0.0.1",
        of: str = "",
    ) -> None:
        self._connection = http.client.HTTPConnection(address, served.port, timeout=PATIENT_MS / 1000)
        path = "/events" if after is None else f"/events?after={after}" + (f"&of={of}" if of else "")
        self._connection.request(
            "GET", path, headers={
                "Cookie": served.cookie,
                **({} if last_event_id is None else {"Last-Event-ID": str(last_event_id)}),
            },
        )  # fmt: skip
        self._answer = self._connection.getresponse()
        assert self._answer.status == 200
        assert self._answer.headers["content-type"].startswith("text/event-stream")
        self.events: list[tuple[str, int | None, Any]] = []
        self.times: list[float] = []
        self._thread = threading.Thread(target=self._read, daemon=True)
        self._thread.start()

    def _read(self) -> None:
        kind, number, data = "message", None, ""
        try:
            while line := self._answer.readline():
                name, _, value = line.decode().rstrip("\n").partition(": ")
                if name == "event":
                    kind = value
                elif name == "id":
                    number = int(value)
                elif name == "data":
                    data += value
                elif not name and data:
                    self.events.append((kind, number, json.loads(data)))
                    self.times.append(time.monotonic())
                    kind, number, data = "message", None, ""
        except (OSError, http.client.HTTPException, ValueError, AttributeError):
            return

    def rows(self) -> list[int]:
        """Numbers of the rows that came, in order."""
        return [n for kind, n, _ in list(self.events) if kind == "row" and n is not None]

    def wait(self, true: Callable[[], bool], seconds: float = PATIENT_MS / 1000) -> None:
        end = time.monotonic() + seconds
        while not true():
            assert time.monotonic() < end, f"not within {seconds} s; had {self.events[-3:]}"
            time.sleep(0.01)

    def close(self) -> None:
        sock = self._connection.sock
        if sock is not None:
            import socket

            sock.shutdown(socket.SHUT_RDWR)
        self._thread.join(5)
        self._answer.close()
        self._connection.close()
