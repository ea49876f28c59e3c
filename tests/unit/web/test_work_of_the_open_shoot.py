"""A page is told of the open shoot's work only: what another shoot began is not begun again for this one."""

import json
from pathlib import Path
from typing import Any

from plateside.web.app import make_app
from plateside.web.guard.keys import Keys
from plateside.web.tool import Tool
from tests.web import loops


async def _told(tool: Tool) -> list[dict[str, Any]]:
    """GET /work, as the app answers it."""
    sent: list[Any] = []

    async def receive() -> Any:
        return {"type": "http.request", "body": b"", "more_body": False}

    async def hear(message: Any) -> None:
        sent.append(message)

    scope = {
        "type": "http", "method": "GET", "path": "/work", "raw_path": b"/work", "query_string": b"", "root_path": "",
        "headers": [(b"host", b"h")], "client": ("127.0.0.1", 50000), "server": ("h", 80), "scheme": "http",
        "http_version": "1.1", "state": {"who": "desk", "is_desk": True},
    }  # fmt: skip
    await make_app(tool)(scope, receive, hear)
    assert sent[0]["status"] == 200
    jobs: list[dict[str, Any]] = json.loads(b"".join(m.get("body", b"") for m in sent[1:]))["jobs"]
    return jobs


def test_work_of_another_shoot_is_not_told(tmp_path: Path) -> None:
    one, other = tmp_path / "one", tmp_path / "other"
    for root in (one, other):
        root.mkdir()

    async def look() -> None:
        tool = Tool(tmp_path, one, Keys("k" * 43), watch=False)
        try:
            tool.jobs.begin(tool.long, "results.finish", {"root": str(one), "kind": "jpeg", "match_to": ""})
            tool.jobs.begin(tool.long, "start.demo", {"target": str(tmp_path)})
            assert {job["work"] for job in await _told(tool)} == {"results.finish", "start.demo"}
            tool.root = other
            assert {job["work"] for job in await _told(tool)} == {"start.demo"}
            tool.root = None
            assert {job["work"] for job in await _told(tool)} == {"start.demo"}
        finally:
            for job in tool.jobs.all():
                tool.jobs.stop(job.number)
            await tool.end_waiting()

    loops.run(look())
