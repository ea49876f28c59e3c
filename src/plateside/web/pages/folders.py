"""The second disk and the memory card, named at the laptop, and the frames folder opened in a window of its own.

GET  /set/folders        disks and cards that are plugged in
POST /set/folders        {second_disk?, memory_card?} -> {said, version}
POST /set/open-frames    -> {said}
A tablet may do none of it: these are places on the laptop.
"""

from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.routing import BaseRoute, Route

from plateside.tasks.set.folders import FIELDS, name_folders, offered, open_frames_folder
from plateside.web.answers import body, endpoint
from plateside.web.tool import Tool


def routes(tool: Tool) -> list[BaseRoute]:
    """What is plugged in, naming, opening."""
    return [
        Route("/set/folders", endpoint(tool, _offered)),
        Route("/set/folders", endpoint(tool, _name), methods=["POST"]),
        Route("/set/open-frames", endpoint(tool, _open), methods=["POST"]),
    ]


def _offered(_request: Request, _tool: Tool) -> Any:
    return offered()


async def _name(request: Request, tool: Tool) -> Any:
    sent = await body(request)
    named = {field: sent.text(field) for field in FIELDS if field in sent}
    found = await run_in_threadpool(name_folders, tool.shoot, named)
    tool.places.opened(tool.root)
    tool.live.say("settings", {"which": "shoot", "version": found.version})
    return found


def _open(_request: Request, tool: Tool) -> Any:
    return {"said": open_frames_folder(tool.shoot)}
