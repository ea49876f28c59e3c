"""A shot added on the Set page: POST /set/shot {what, angle, sharp, after} -> {shot}."""

from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.routing import BaseRoute, Route

from plateside.tasks.set.shot_added import add_shot
from plateside.web.answers import body, endpoint
from plateside.web.asker import at_desk
from plateside.web.guard.tablets_may import FIELDS
from plateside.web.tool import Tool


def routes(tool: Tool) -> list[BaseRoute]:
    """The one route."""
    return [Route("/set/shot", endpoint(tool, _add), methods=["POST"])]


async def _add(request: Request, tool: Tool) -> Any:
    sent = await body(request)
    what, angle, sharp, after = (sent.text(name) for name in ("what", "angle", "sharp", "after"))
    listed = None if at_desk() else FIELDS
    added = await run_in_threadpool(add_shot, tool.shoot, what, angle, sharp, after, listed)
    tool.live.say("settings", {"which": "shoot", "version": added.edited.version})
    return {"shot": added.shot}
