"""Looking closely at a frame on the Set page, and a client's layout over it.

GET  /set/closer/{frame}                          crops, what a delivery will lack, test frame, level
GET  /set/closer/{frame}/size                     how large it is, pixel for pixel
GET  /set/closer/{frame}/levels                   histogram and headroom
GET  /set/closer/{frame}/{column}-{row}.jpg       one part of it at full size
GET  /set/closer/{frame}/{which}.png              what is clipped or sharp, as a mask
GET  /set/closer/{frame}/{which}/{column}-{row}.png   one part of that
GET  /set/layout/{shot}                           the shot's layout
GET  /set/layout/{shot}/{key}.png                 its page, drawn
POST /set/layout/{shot}/file                      ?name=, its bytes: brought in, at the laptop
POST /set/layout/{shot}/page                      {page}
POST /set/layout/{shot}/away
"""

import asyncio
import base64
import time
from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import BaseRoute, Route

from plateside.model.errors import CouldNotError
from plateside.tasks.set import layout
from plateside.web.answers import body, endpoint
from plateside.web.pages.frames import FOREVER
from plateside.web.pages.set import frame_asked, judging_newest
from plateside.web.tool import Tool
from plateside.words.set.closer import NO_LAYOUT, WAIT_FOR_VERDICT

LOOK_S, MOST_S = 0.15, 20.0
"""How often, and how long at most, the newest frame's verdict is waited for."""


def routes(tool: Tool) -> list[BaseRoute]:
    """Of a frame, and of a shot's layout."""
    return [
        Route("/set/closer/{frame}", endpoint(tool, _facts)),
        Route("/set/closer/{frame}/size", endpoint(tool, _size)),
        Route("/set/closer/{frame}/levels", endpoint(tool, _levels)),
        Route("/set/closer/{frame}/{column:int}-{row:int}.jpg", endpoint(tool, _tile)),
        Route("/set/closer/{frame}/{which}.png", endpoint(tool, _mask)),
        Route("/set/closer/{frame}/{which}/{column:int}-{row:int}.png", endpoint(tool, _mask)),
        Route("/set/layout/{shot}", endpoint(tool, _layout)),
        Route("/set/layout/{shot}/{key}.png", endpoint(tool, _layout_picture)),
        Route("/set/layout/{shot}/file", endpoint(tool, _layout_file), methods=["POST"]),
        Route("/set/layout/{shot}/page", endpoint(tool, _layout_page), methods=["POST"]),
        Route("/set/layout/{shot}/away", endpoint(tool, _layout_away), methods=["POST"]),
    ]


async def _asked(request: Request, tool: Tool, work: str) -> Any:
    """The work's answer; the newest frame's verdict comes first. Raises WorkError, CouldNotError, InputError."""
    args = {"root": str(tool.shoot), "frame": frame_asked(request)}
    args |= {k: v for k, v in request.path_params.items() if k != "frame"}
    until = time.monotonic() + MOST_S
    while await run_in_threadpool(judging_newest, tool):
        if time.monotonic() > until:
            raise CouldNotError(WAIT_FOR_VERDICT)
        await asyncio.sleep(LOOK_S)
    return await tool.looking.ask(f"closer.{work}", args)


async def _facts(request: Request, tool: Tool) -> Any:
    return await _asked(request, tool, "facts")


async def _size(request: Request, tool: Tool) -> Any:
    return await _asked(request, tool, "size")


async def _levels(request: Request, tool: Tool) -> Any:
    return await _asked(request, tool, "levels")


async def _tile(request: Request, tool: Tool) -> Response:
    return _picture(await _asked(request, tool, "tile"), "image/jpeg")


async def _mask(request: Request, tool: Tool) -> Response:
    return _picture(await _asked(request, tool, "mask"), "image/png")


def _picture(text: str, kind: str) -> Response:
    return Response(base64.b64decode(text), media_type=kind, headers=FOREVER)


def _layout(request: Request, tool: Tool) -> Any:
    return layout.layout_shown(tool.shoot, request.path_params["shot"])


def _layout_picture(request: Request, tool: Tool) -> Response:
    data = layout.layout_picture(tool.shoot, request.path_params["shot"], request.path_params["key"])
    if data is None:
        return JSONResponse({"error": NO_LAYOUT, "mistakes": []}, 404)
    return Response(data, media_type="image/png", headers=FOREVER)


async def _layout_file(request: Request, tool: Tool) -> Any:
    shot, name = request.path_params["shot"], request.query_params.get("name", "")
    data = await request.body()
    came = await run_in_threadpool(layout.layout_arrives, tool.shoot, shot, data, name)
    args = {"root": str(tool.shoot), "shot": shot, "came": str(came), "name": name}
    return await tool.looking.ask("closer.layout", args)


async def _layout_page(request: Request, tool: Tool) -> Any:
    args = {"root": str(tool.shoot), "shot": request.path_params["shot"]}
    return await tool.looking.ask("closer.layout_page", {**args, "page": (await body(request)).whole("page")})


async def _layout_away(request: Request, tool: Tool) -> Any:
    return await run_in_threadpool(layout.put_layout_away, tool.shoot, request.path_params["shot"])
