"""Frames as pictures, presses as rows, settings as they are edited: what several pages need."""

from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import BaseRoute, Route

from plateside.model.errors import InputError
from plateside.tasks.choose.thumbnails import landed_names, thumbnail
from plateside.tasks.report import as_json
from plateside.tasks.set.press import SomebodyElseError, press, take_back
from plateside.tasks.standing import standing
from plateside.tasks.studio.edit import (
    ChangedElsewhereError,
    Edited,
    change_settings,
    read_settings,
    undo_change,
)
from plateside.tasks.studio.edit_request import changes_from
from plateside.web.answers import body, endpoint
from plateside.web.asker import at_desk
from plateside.web.guard.tablets_may import FIELDS
from plateside.web.sent import Sent
from plateside.web.tool import Tool
from plateside.words.set import refusals

FOREVER = {"cache-control": "private, max-age=31536000, immutable"}
"""A frame is named by its content, so its picture never changes."""


def routes(tool: Tool) -> list[BaseRoute]:
    """Pictures, the standing, presses, settings."""
    return [
        Route("/frames/{frame}/{size}.jpg", endpoint(tool, _picture)),
        Route("/standing", endpoint(tool, _standing)),
        Route("/press", endpoint(tool, _press), methods=["POST"]),
        Route("/press/undo", endpoint(tool, _undo), methods=["POST"]),
        Route("/settings/{which}", endpoint(tool, _read)),
        Route("/settings/{which}", endpoint(tool, _change), methods=["POST"]),
        Route("/settings/{which}/undo", endpoint(tool, _undo_change), methods=["POST"]),
    ]


async def _picture(request: Request, tool: Tool) -> Response:
    frame, size = request.path_params["frame"], request.path_params["size"]
    root = tool.shoot
    # a sheet asks for two hundred at once: a few kilobytes read here cost less than a thread's hand-over
    data = (
        thumbnail(root, frame, size)
        if size == "thumb"
        else await run_in_threadpool(thumbnail, root, frame, size)
    )
    if data is None:
        name = landed_names(root).get(frame)
        if name is None:
            return JSONResponse({"error": refusals.NOT_LANDED, "mistakes": []}, 404)
        await tool.looking.ask(
            "frames.thumbnails", {"root": str(root), "frames": {frame: name}, "size": size}
        )
        data = thumbnail(root, frame, size)
    if data is None:
        return JSONResponse({"error": refusals.CANNOT_BE_SHOWN, "mistakes": []}, 404)
    return Response(data, media_type="image/jpeg", headers=FOREVER)


def _standing(_request: Request, tool: Tool) -> Any:
    return standing(tool.shoot)


async def _press(request: Request, tool: Tool) -> Any:
    sent = await body(request)
    try:
        data = sent.things("data")
        # beside the loop: the disk may be slow, and another writer may hold the journal for a moment
        return await run_in_threadpool(press, tool.shoot, sent.text("kind"), data, _row(sent))
    except SomebodyElseError as error:
        return _somebody_else(error)


async def _undo(request: Request, tool: Tool) -> Any:
    try:
        return await run_in_threadpool(take_back, tool.shoot, _row(await body(request)))
    except SomebodyElseError as error:
        return _somebody_else(error)


def _somebody_else(error: SomebodyElseError) -> Response:
    row = {"n": error.row.number, "kind": error.row.kind, "data": as_json(error.row.data)}
    return JSONResponse({"error": str(error), "mistakes": [], "row": row}, 409)


def _row(sent: Sent) -> int:
    version = sent.whole("version")
    if version < 0:
        raise InputError(refusals.PRESS_WITHOUT_ROW)
    return version


def _which(request: Request) -> str:
    which: str = request.path_params["which"]
    if which not in ("studio", "shoot"):
        raise InputError(refusals.settings_are(("studio", "shoot")))
    return which


def _read(request: Request, tool: Tool) -> Any:
    return read_settings(tool.shoot, _which(request))


async def _change(request: Request, tool: Tool) -> Any:
    sent = await body(request)
    which = _which(request)
    changes = changes_from(sent.get("changes", []))
    try:
        edited = await run_in_threadpool(
            change_settings, tool.shoot, which, changes, sent.text("version"),
            listed=None if at_desk() else FIELDS, within=(tool.shoot, tool.home),
        )  # fmt: skip
        if at_desk():
            tool.places.opened(tool.root)
    except ChangedElsewhereError as error:
        return _now(error, tool, which)
    _tell(tool, edited)
    return edited


async def _undo_change(request: Request, tool: Tool) -> Any:
    sent, which = await body(request), _which(request)
    try:
        listed = None if at_desk() else FIELDS
        edited = await run_in_threadpool(undo_change, tool.shoot, which, sent.text("version"), listed=listed)
        if at_desk():
            tool.places.opened(tool.root)
    except ChangedElsewhereError as error:
        return _now(error, tool, which)
    _tell(tool, edited)
    return edited


def _tell(tool: Tool, edited: Edited) -> None:
    for each in (edited, edited.also):
        if each is not None:
            tool.live.say("settings", {"which": each.which, "version": each.version})


def _now(error: ChangedElsewhereError, tool: Tool, which: str) -> Response:
    answer = {"error": str(error), "mistakes": [], "now": as_json(read_settings(tool.shoot, which))}
    return JSONResponse(answer, 409)
