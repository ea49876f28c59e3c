"""Deliver: crops and words of every picture, what is left to fix, the delivery made, its files, packages."""

from pathlib import Path
from typing import Any

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import BaseRoute, Route

from plateside.model.errors import InputError
from plateside.tasks.deliver.shown import FIELDS, delivery_shown, packages, words_checked
from plateside.tasks.finish.shown import finished_picture
from plateside.tasks.report import as_json
from plateside.web.answers import body, endpoint, page
from plateside.web.asker import at_desk
from plateside.web.downloads import download
from plateside.web.shown.deliver import deliver_shown, words_shown
from plateside.web.tool import Tool
from plateside.words.deliver import refusals


def routes(tool: Tool) -> list[BaseRoute]:
    """The page, crops, words checked, delivery, packages, the files."""
    return [
        Route("/deliver", endpoint(tool, _page)),
        Route("/deliver/standing", endpoint(tool, _standing)),
        Route("/deliver/crops/{shot}", endpoint(tool, _crops)),
        Route("/deliver/crop", endpoint(tool, _crop), methods=["POST"]),
        Route("/deliver/words", endpoint(tool, _words), methods=["POST"]),
        Route("/deliver/run", endpoint(tool, _run), methods=["POST"]),
        Route("/deliver/pack", endpoint(tool, _pack), methods=["POST"]),
        Route("/deliver/verify", endpoint(tool, _verify), methods=["POST"]),
        Route("/deliver/files/{path:path}", endpoint(tool, _file)),
    ]


def _page(_request: Request, tool: Tool) -> Response:
    # a device of the network does not learn the shoot's folder
    shoot_dir = str(tool.shoot.resolve()) if at_desk() else ""
    return page(tool, "deliver.html", "deliver", "Deliver", given=delivering(tool.shoot), shoot_dir=shoot_dir)


def _standing(_request: Request, tool: Tool) -> Any:
    return delivering(tool.shoot)


def delivering(root: Path) -> dict[str, Any]:
    """What the page shows; each thing left to fix with the place where it is fixed."""
    sent: dict[str, Any] = as_json(deliver_shown(delivery_shown(root)))
    return sent


def _asked(root: Path, shot: str) -> dict[str, Any]:
    picture = finished_picture(root, shot)
    return {"root": str(root), "shot": shot, "file": picture["file"], "version": picture["version"]}


async def _crops(request: Request, tool: Tool) -> Any:
    return await tool.looking.ask("results.crops", _asked(tool.shoot, request.path_params["shot"]))


async def _crop(request: Request, tool: Tool) -> Any:
    sent = await body(request)
    box = sent.numbers("box", 4)
    if not (all(-1 <= v <= 2 for v in box) and min(box[2:]) > 0):
        raise InputError(refusals.CROP_IS_FOUR)
    asked = _asked(tool.shoot, sent.text("shot"))
    return await tool.looking.ask("results.crop", {**asked, "channel": sent.text("channel"), "box": box})


async def _words(request: Request, tool: Tool) -> Any:
    sent = await body(request)
    edited = {name: sent.text(name) for name in FIELDS}
    return words_shown(words_checked(tool.shoot, sent.text("shot"), edited))


async def _run(_request: Request, tool: Tool) -> Any:
    return tool.jobs.begin(tool.long, "results.deliver", {"root": str(tool.shoot)}).status()


async def _pack(request: Request, tool: Tool) -> Any:
    sent = await body(request)
    args = {"root": str(tool.shoot), "archive": sent.flag("archive"), "channels": sent.texts("channels")}
    return tool.jobs.begin(tool.long, "results.pack", args).status()


async def _verify(request: Request, tool: Tool) -> Any:
    name = (await body(request)).text("package")
    if name and name not in packages(tool.shoot):
        raise InputError(refusals.NO_SUCH_PACKAGE)
    return tool.jobs.begin(tool.long, "results.verify", {"root": str(tool.shoot), "package": name}).status()


def _file(request: Request, tool: Tool) -> Response:
    return download(tool.shoot / "delivery", request.path_params["path"])
