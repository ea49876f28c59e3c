"""One server for the tests of a worker: each opens its own shoot on it, and finds what computes already started."""

from dataclasses import dataclass, field, replace
from pathlib import Path

from tests.browser.serving import Served, lasting_port, serve
from tests.web.requests import change, get


@dataclass
class SharedServer:
    """Started with the first shoot, and anew after a test that ended it or left work on it."""

    home: Path
    """Where the tests' folders are: a shoot lies two levels below at most, as the start page finds it."""
    _server: Served | None = field(default=None, repr=False)

    def open(self, root: Path) -> Served:
        """The server with this shoot open, as pressed on the start page."""
        if self._server is None or self._server.process.poll() is not None:
            self._server = serve(self.home, "--no-watch", port=lasting_port())
        answer = change(self._server, "/start/open", {"shoot": root.relative_to(self.home).as_posix()})
        assert answer.status == 200, answer.body
        return replace(self._server, root=root)

    def leave(self) -> None:
        """The test is over: what still works for it is not left to the next one."""
        if self._server is None or self._server.process.poll() is not None:
            return
        jobs = get(self._server, "/work").json["jobs"]
        if any(job["state"] in ("waiting", "running") for job in jobs):
            self.stop()

    def stop(self) -> None:
        if self._server is not None:
            self._server.stop()
            self._server = None
