"""Studio: the room drawn to scale and changed in place, its gear as lists; a broken file is mended line by line."""

from typing import Any

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import BaseRoute, Route

from plateside.model.errors import InputError, SettingsError
from plateside.tasks.edit import ChangedElsewhereError, read_settings, settings_file, version_of
from plateside.tasks.edit_mend import mend_line, to_mend
from plateside.tasks.fields import by_path
from plateside.tasks.report import as_json
from plateside.web.answers import body, endpoint, page, told_error
from plateside.web.tool import Tool


def routes(tool: Tool) -> list[BaseRoute]:
    """The page, the file's version (asked every few seconds), lines to mend."""
    return [
        Route("/studio", endpoint(tool, _page)),
        Route("/studio/version", endpoint(tool, _version)),
        Route("/studio/mend", endpoint(tool, _mend_page)),
        Route("/studio/mend", endpoint(tool, _mend), methods=["POST"]),
    ]


def _page(request: Request, tool: Tool) -> Response:
    try:
        now = read_settings(tool.shoot, "studio")
    except SettingsError:
        return _mend_page(request, tool)
    data = {"now": as_json(now), "tables": as_json(by_path("studio")), "shoot": _shoot(tool)}
    return page(tool, "studio.html", "studio", "Studio", data=data)


def _shoot(tool: Tool) -> Any:
    """The shoot, whose boards are placed here; None while it has something to mend."""
    try:
        return as_json(read_settings(tool.shoot, "shoot"))
    except SettingsError:
        return None


def _version(_request: Request, tool: Tool) -> Any:
    return {"version": version_of(settings_file(tool.shoot, "studio"))}


def _mend_page(request: Request, tool: Tool) -> Response:
    which = _which(request.query_params.get("which", "studio"))
    version, file, lines = to_mend(tool.shoot, which)
    data = {"which": which, "seen": version}
    return page(tool, "studio_mend.html", "studio", f"{file}: to mend", data=data, file=file, lines=lines)


async def _mend(request: Request, tool: Tool) -> Any:
    told = await body(request)
    which, line, text = _which(str(told.get("which", ""))), told.get("line"), told.get("text")
    if not isinstance(line, int) or isinstance(line, bool) or not isinstance(text, str):
        raise InputError("A line to mend has its number and its text.")
    try:
        left = mend_line(
            tool.shoot, which, line, text, str(told.get("seen", "")), below=told.get("below") is True
        )
    except ChangedElsewhereError as error:
        return told_error(str(error), 409)
    tool.live.say("settings", {"which": which, "version": ""})
    return {"left": left}


def _which(which: str) -> str:
    if which not in ("studio", "shoot"):
        raise InputError("The settings are 'studio' and 'shoot'.")
    return which
