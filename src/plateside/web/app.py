"""The app: every page's routes, the event stream, the files that pages are made of."""

import contextlib
import importlib
from collections.abc import AsyncGenerator, AsyncIterator
from typing import Any

from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.middleware.gzip import GZipMiddleware
from starlette.requests import Request
from starlette.responses import JSONResponse, RedirectResponse, Response, StreamingResponse
from starlette.routing import BaseRoute, Mount, Route

from plateside.model.errors import InputError
from plateside.web.answers import endpoint, error_answer, page, turned_away
from plateside.web.asker import at_desk
from plateside.web.guard.tablets_may import JOBS, TabletsMay
from plateside.web.own_files import OWN_FILES
from plateside.web.tool import Tool
from plateside.web.workers.jobs import JobsShown
from plateside.words.serving import (
    FAULT,
    LAPTOP_ONLY,
    NO_PAGE,
    NOT_DONE_HERE,
    ROW_NOT_WHOLE,
    TITLES,
    WORK_UNKNOWN,
)

ROOMS = (
    "start",
    "studio",
    "light",
    "plan",
    "set",
    "adding",
    "set_shot",
    "folders",
    "closer",
    "choose",
    "finish",
    "deliver",
    "frames",
    "tablet",
    "desk",
)
"""Modules of plateside.web.pages; each has `routes(tool) -> list[BaseRoute]`."""


def make_app(tool: Tool) -> Starlette:
    """The whole app for one tool, without its guard."""

    @contextlib.asynccontextmanager
    async def life(_app: Starlette) -> AsyncIterator[None]:
        await tool.start()
        yield
        await tool.stop()

    routes: list[BaseRoute] = [
        Route("/", endpoint(tool, _home)),
        Route("/events", endpoint(tool, _events)),
        Route("/work", endpoint(tool, _jobs)),
        Route("/work/{job:int}", endpoint(tool, _job)),
        Route("/work/{job:int}/stop", endpoint(tool, _stop), methods=["POST"]),
        Mount("/static", OWN_FILES),
    ]
    for name in ROOMS:
        module = importlib.import_module(f"plateside.web.pages.{name}")
        routes += module.routes(tool)

    async def missing(_request: Request, _error: Exception) -> Response:
        drawn = page(tool, "trouble.html", "", TITLES["missing"], words=NO_PAGE, mistakes=[])
        drawn.status_code = 404
        return drawn

    async def no(_request: Request, error: Exception) -> Response:
        if not isinstance(error, HTTPException):
            return JSONResponse({"error": FAULT, "mistakes": []}, 500)
        words = NOT_DONE_HERE if error.status_code == 405 else error.detail
        return JSONResponse({"error": words, "mistakes": []}, error.status_code, headers=error.headers)

    app = Starlette(
        routes=routes, lifespan=life, exception_handlers={404: missing, HTTPException: no, Exception: no}
    )
    app.add_middleware(GZipMiddleware, minimum_size=1500)
    app.add_middleware(
        TabletsMay,
        elsewhere=lambda: tool.places.elsewhere(tool.root),
        refused=lambda scope, words: turned_away(scope, tool, words),
    )
    return app


def _home(_request: Request, tool: Tool) -> Response:
    return RedirectResponse("/start" if tool.root is None else "/light", 303)


async def _events(request: Request, tool: Tool) -> Response:
    after_row = request.headers.get("last-event-id") or request.query_params.get("after", "")
    if after_row and not (after_row.isascii() and after_row.isdecimal() and len(after_row) < 19):
        raise InputError(ROW_NOT_WHOLE)
    drawn_of = request.query_params.get("of", "")
    stream = (
        tool.live.sent_on(tool.shoot.name)
        if drawn_of and tool.root and drawn_of != tool.shoot_mark
        else tool.live.stream(int(after_row) if after_row else None)
    )
    if not at_desk():
        stream = _unnamed(stream, tool)
    return StreamingResponse(stream, media_type="text/event-stream", headers={"x-accel-buffering": "no"})


async def _unnamed(stream: AsyncGenerator[bytes, None], tool: Tool) -> AsyncGenerator[bytes, None]:
    """What is told to the network: every folder of this machine by its own name only."""
    async with contextlib.aclosing(stream):
        async for after_row in stream:
            yield tool.places.unnamed(after_row, tool.root)


async def _jobs(_request: Request, tool: Tool) -> JobsShown:
    # work of a shoot that was open before goes on, but no page of this one takes it for its own and begins it here
    here = {None, str(tool.root)}
    return {"jobs": [job.status() for job in tool.jobs.all() if job.args.get("root") in here]}


async def _job(request: Request, tool: Tool) -> Any:
    job = tool.jobs.get(int(request.path_params["job"]))
    if job is None:
        return JSONResponse({"error": WORK_UNKNOWN, "mistakes": [], "server": tool.jobs.server}, 404)
    return job.status(with_result=True)


async def _stop(request: Request, tool: Tool) -> Any:
    number = int(request.path_params["job"])
    job = tool.jobs.get(number)
    if job is not None and job.work not in JOBS and not at_desk():
        return error_answer(LAPTOP_ONLY, 403)
    job = tool.jobs.stop(number)
    return job.status() if job else {"job": 0, "state": "stopped"}
