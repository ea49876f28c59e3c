"""Photographs added on a page, from the laptop or a paired device: in parts, so that a broken connection goes on.

POST /set/add          {name, size, changed_ms} -> {key, have}
POST /set/add/{key}    ?at=N&size=N, the bytes from there on (application/octet-stream) -> {key, have}, or
                       with the last part {done, name, already, said}
POST /set/add/{key}/stop
"""

from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.routing import BaseRoute, Route

from plateside.model.errors import InputError
from plateside.tasks.set import adding
from plateside.web.answers import body, endpoint
from plateside.web.asker import asker
from plateside.web.tool import Tool
from plateside.words.set.adding import NOT_BEGUN


def routes(tool: Tool) -> list[BaseRoute]:
    """Begin, go on, stop."""
    return [
        Route("/set/add", endpoint(tool, _begin), methods=["POST"]),
        Route("/set/add/{key}", endpoint(tool, _part), methods=["POST"]),
        Route("/set/add/{key}/stop", endpoint(tool, _stop), methods=["POST"]),
    ]


async def _begin(request: Request, tool: Tool) -> Any:
    sent = await body(request)
    name, size, changed = sent.text("name"), sent.whole("size"), sent.whole("changed_ms")
    return await run_in_threadpool(adding.begin, tool.shoot, asker.get(), name, size, changed)


async def _part(request: Request, tool: Tool) -> Any:
    at, size = (_number(request, name) for name in ("at", "size"))
    part = await request.body()
    key = request.path_params["key"]
    now = await run_in_threadpool(adding.add_part, tool.shoot, key, at, size, part)
    if not now.whole:
        return now
    return await tool.looking.ask("frames.put_in", {"root": str(tool.shoot), "key": key, "size": size})


def _stop(request: Request, tool: Tool) -> Any:
    adding.give_up(tool.shoot, request.path_params["key"])
    return {"stopped": True}


def _number(request: Request, name: str) -> int:
    given = request.query_params.get(name, "")
    if not (given.isascii() and given.isdecimal() and len(given) < 12):
        raise InputError(NOT_BEGUN)
    return int(given)
