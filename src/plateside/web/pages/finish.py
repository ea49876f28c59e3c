"""Finish: the series made; each picture before and after at the same place and size; the series in one row."""

import base64
import math
from pathlib import Path
from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import BaseRoute, Route

from plateside.model.errors import InputError
from plateside.tasks.finish import retouched_adding
from plateside.tasks.finish.shown import (
    HAND_LIMITS,
    finished_picture,
    finished_preview,
    finishing,
    plain_preview,
    preview,
    profile_of,
)
from plateside.tasks.report import as_json
from plateside.tasks.set.press import corners_given
from plateside.web.answers import body, endpoint, page
from plateside.web.asker import asker
from plateside.web.downloads import download
from plateside.web.sent import is_number
from plateside.web.shown.finish import finish_shown
from plateside.web.tool import Tool
from plateside.words import finish as words
from plateside.words import lens as lens_words
from plateside.words.set.adding import NOT_BEGUN

KINDS = ("tiff", "jpeg")


def routes(tool: Tool) -> list[BaseRoute]:
    """The page, where finishing stands, the work, pictures to look at, the files themselves."""
    return [
        Route("/finish", endpoint(tool, _page)),
        Route("/finish/standing", endpoint(tool, _standing)),
        Route("/finish/run", endpoint(tool, _run), methods=["POST"]),
        Route("/finish/pictures/{shot}/{size}.jpg", endpoint(tool, _picture)),
        Route("/finish/plain/{shot}/{size}.jpg", endpoint(tool, _plain)),
        Route("/finish/hand/{shot}.jpg", endpoint(tool, _hand)),
        Route("/finish/square", endpoint(tool, _square), methods=["POST"]),
        Route("/finish/files/{path:path}", endpoint(tool, _file)),
        Route("/finish/chart", endpoint(tool, _chart), methods=["POST"]),
        Route("/finish/retouched", endpoint(tool, _retouched), methods=["POST"]),
        Route("/finish/retouched/{key}", endpoint(tool, _retouched_part), methods=["POST"]),
    ]


def _page(_request: Request, tool: Tool) -> Response:
    return page(tool, "finish.html", "finish", "Finish", given=as_json(finish_shown(finishing(tool.shoot))))


def _standing(_request: Request, tool: Tool) -> Any:
    return finish_shown(finishing(tool.shoot))


async def _run(request: Request, tool: Tool) -> Any:
    sent = await body(request)
    kind, match_to = sent.text("kind", "tiff"), sent.text("match_to")
    if kind not in KINDS:
        raise InputError(words.no_kind(kind, KINDS))
    args = {"root": str(tool.shoot), "kind": kind, "match_to": match_to}
    return tool.jobs.begin(tool.long, "results.finish", args).status()


async def _chart(request: Request, tool: Tool) -> Any:
    """{frame, corners} -> the chart in that frame: looked for (no corners), or read there. Nothing is written."""
    sent = await body(request)
    corners = corners_given(sent.get("corners"))
    args = {"root": str(tool.shoot), "frame": sent.text("frame"), "corners": corners}
    return await tool.looking.ask("results.chart", args)


async def _picture(request: Request, tool: Tool) -> Response:
    size, root = request.path_params["size"], tool.shoot
    picture = finished_picture(root, request.path_params["shot"])
    file, version = picture["file"], picture["version"]
    path = finished_preview(root, file, version, size)
    args = {"root": str(root), "file": file, "version": version, "size": size}
    return await _shown(tool, path, "results.shown", args, lasting=request.query_params.get("v") == version)


async def _plain(request: Request, tool: Tool) -> Response:
    """The raw of a finished picture, developed with the camera's own white balance and matched to nothing."""
    size, root = request.path_params["size"], tool.shoot
    picture = finished_picture(root, request.path_params["shot"])
    frame = str(picture["frame_id"])
    if not picture["from_raw"]:
        raise InputError(words.NOT_FROM_A_RAW)
    args = {"root": str(root), "frame": frame, "size": size}
    profile = await run_in_threadpool(profile_of, root, frame)
    path = plain_preview(root, frame, size, profile)
    # another chart makes another picture of the same frame
    lasting = request.query_params.get("v") == picture["made_from_key"]
    return await _shown(tool, path, "results.plain", args, lasting=lasting)


async def _hand(request: Request, tool: Tool) -> Response:
    """The finished picture with what a hand just set, as the address says it.

    A browser may keep it only where the address names what it was made of: it may have changed since the page was told.
    """
    hand = {name: _figure(request.query_params.get(name, "0")) for name in HAND_LIMITS}
    if wrong := [name for name, most in HAND_LIMITS.items() if not abs(hand[name]) <= most]:
        raise InputError(words.beyond_the_hand(wrong[0], HAND_LIMITS[wrong[0]]))
    args = {"root": str(tool.shoot), "shot": request.path_params["shot"], "hand": hand}
    shown = await tool.looking.ask("results.hand", args)
    lasting = request.query_params.get("v") == shown["version"]
    keep = "private, max-age=300" if lasting else "no-store"
    return Response(base64.b64decode(shown["jpeg"]), media_type="image/jpeg", headers={"cache-control": keep})


async def _square(request: Request, tool: Tool) -> Any:
    """{shot, corners, shape} -> {row, said}: four corners in its frame; none: by the set card. `shape` 0: not known."""
    sent = await body(request)
    corners, shape = sent.get("corners"), sent.number("shape")
    if not isinstance(corners, list) or len(corners) not in (0, 8) or not all(is_number(v) for v in corners):
        raise InputError(lens_words.NOT_SQUARE["crossed"])
    args = {"root": str(tool.shoot), "shot": sent.text("shot"), "corners": corners, "shape": shape}
    return await tool.looking.ask("results.square", args)


def _figure(text: str) -> float:
    try:
        return float(text)
    except ValueError:
        return math.nan


async def _shown(tool: Tool, path: Path, work: str, args: dict[str, Any], *, lasting: bool) -> Response:
    data = await run_in_threadpool(preview, path)
    if data is None:
        await tool.looking.ask(work, args)
        data = await run_in_threadpool(preview, path)
    if data is None:
        return JSONResponse({"error": words.NOT_SHOWN, "mistakes": []}, 404)
    return _cached_jpeg(data, lasting=lasting)


def _cached_jpeg(data: bytes, *, lasting: bool) -> Response:
    headers = {"cache-control": "private, max-age=31536000, immutable"} if lasting else {}
    return Response(data, media_type="image/jpeg", headers=headers)


async def _retouched(request: Request, tool: Tool) -> Any:
    """{name, size, changed_ms} -> {key, have}: a retouched file is to come, in parts."""
    sent = await body(request)
    name, size, changed = sent.text("name"), sent.whole("size"), sent.whole("changed_ms")
    return await run_in_threadpool(retouched_adding.begin, tool.shoot, asker.get(), name, size, changed)


async def _retouched_part(request: Request, tool: Tool) -> Any:
    """?at=N&size=N&changed_ms=N, the bytes from there on -> {key, have}, or with the last {done, name, code, said}."""
    at, size, changed = (_whole(request, name) for name in ("at", "size", "changed_ms"))
    part, key = await request.body(), request.path_params["key"]
    now = await run_in_threadpool(retouched_adding.add_part, tool.shoot, key, at, size, part)
    if not now.whole:
        return now
    args = {"root": str(tool.shoot), "key": key, "size": size, "changed_ms": changed}
    return await tool.looking.ask("results.retouched", args)


def _whole(request: Request, name: str) -> int:
    given = request.query_params.get(name, "")
    if not (given.isascii() and given.isdecimal() and len(given) < 16):
        raise InputError(NOT_BEGUN)
    return int(given)


def _file(request: Request, tool: Tool) -> Response:
    return download(tool.shoot / "finished", request.path_params["path"])
