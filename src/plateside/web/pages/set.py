"""The set: one word, one shape, one next act, for a tablet two metres away."""

import threading
from pathlib import Path
from typing import Any

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import BaseRoute, Route

from plateside.model.errors import InputError
from plateside.tasks.report import as_json
from plateside.tasks.set.adding import addable_endings
from plateside.tasks.set.folders import folder_examples, named_folders
from plateside.tasks.set.now import OnSet
from plateside.tasks.set.safe import safe_now
from plateside.web.answers import body, endpoint, frames_folder, page
from plateside.web.asker import at_desk
from plateside.web.shown.set import screen
from plateside.web.tool import Tool
from plateside.words.set import refusals

_on_set: dict[Path, OnSet] = {}
_lock = threading.Lock()


def routes(tool: Tool) -> list[BaseRoute]:
    """The page, its screen as JSON, what is drawn on a frame, the grey card, the light, the lamp check."""
    return [
        Route("/set", endpoint(tool, _page)),
        Route("/set/now", endpoint(tool, _now)),
        Route("/set/marks/{frame}", endpoint(tool, _marks)),
        Route("/set/changed/{frame}", endpoint(tool, _changed)),
        Route("/set/card/{frame}", endpoint(tool, _card)),
        Route("/set/light/{shot}", endpoint(tool, _light)),
        Route("/set/layers/{shot}", endpoint(tool, _layers)),
        Route("/set/clearing", endpoint(tool, _clearing)),
        Route("/set/lamp-off", endpoint(tool, _lamp_off), methods=["POST"]),
    ]


def _screen(tool: Tool) -> dict[str, Any]:
    sent: dict[str, Any] = as_json(
        screen(_on(tool).now(), tool.watch, tool.watcher.words, safe_now(tool.shoot))
    )
    return sent


def _on(tool: Tool) -> OnSet:
    root = tool.shoot
    with _lock:
        if root not in _on_set:
            _on_set.clear()
            _on_set[root] = OnSet(root)
        return _on_set[root]


def judging_newest(tool: Tool) -> bool:
    """Whether the newest frame of the current shot waits for its verdict from a watcher that runs."""
    return tool.watch and not tool.watcher.words and _on(tool).newest_waits()


def _page(request: Request, tool: Tool) -> Response:
    return page(
        tool,
        "set.html",
        "set",
        "Set",
        now=_screen(tool),
        frames_dir=frames_folder(request, tool),
        endings=",".join(addable_endings()),
        places=named_folders(tool.shoot) if at_desk() else None,
        examples=folder_examples(),
    )


def _now(_request: Request, tool: Tool) -> Any:
    return _screen(tool)


async def _marks(request: Request, tool: Tool) -> Any:
    return await tool.looking.ask("frames.marks", {"root": str(tool.shoot), "frame": frame_asked(request)})


async def _changed(request: Request, tool: Tool) -> Any:
    return await tool.looking.ask("frames.changed", {"root": str(tool.shoot), "frame": frame_asked(request)})


async def _card(request: Request, tool: Tool) -> Any:
    """Where she touched: ?across=0.5&down=0.4."""
    try:
        across, down = (float(request.query_params.get(name, "")) for name in ("across", "down"))
    except ValueError:
        across = down = -1.0
    if not (0 <= across <= 1 and 0 <= down <= 1):
        raise InputError(refusals.SAY_WHERE_TOUCHED)
    asked = {"root": str(tool.shoot), "frame": frame_asked(request), "across": across, "down": down}
    return await tool.looking.ask("frames.card", asked)


async def _light(request: Request, tool: Tool) -> Any:
    return await tool.long.ask("frames.light", {"root": str(tool.shoot), "shot": request.path_params["shot"]})


async def _layers(request: Request, tool: Tool) -> Any:
    return await tool.looking.ask(
        "frames.layers", {"root": str(tool.shoot), "shot": request.path_params["shot"]}
    )


async def _clearing(_request: Request, tool: Tool) -> Any:
    return await tool.looking.ask("frames.clearing", {"root": str(tool.shoot)})


async def _lamp_off(request: Request, tool: Tool) -> Any:
    sent = await body(request)
    asked = {"root": str(tool.shoot), "shot": sent.text("shot"), "frame": sent.text("frame")}
    return await tool.looking.ask("frames.lamp_off", asked)


def frame_asked(request: Request) -> str:
    """The frame that a request's path names. Raises InputError for what cannot be one."""
    frame: str = request.path_params["frame"]
    if not (8 <= len(frame) <= 64 and frame.isascii() and frame.isalnum()):
        raise InputError(refusals.NO_SUCH_FRAME)
    return frame
