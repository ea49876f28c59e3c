"""The Plan page: recipe and shots edited in place, the day's light and hours, set-up cards, sheets to print."""

from typing import Any

from markupsafe import Markup
from starlette.requests import Request
from starlette.responses import FileResponse, JSONResponse, Response
from starlette.routing import BaseRoute, Route

from plateside.model.errors import InputError
from plateside.tasks.plan.metered import metered_lx
from plateside.tasks.plan.page_shown import file_versions, paper_style, plan_shown
from plateside.tasks.plan.picture_cache import picture_path, planned_picture
from plateside.web.answers import body, endpoint, page
from plateside.web.pages.frames import FOREVER
from plateside.web.tool import Tool
from plateside.words.plan import refusals


def routes(tool: Tool) -> list[BaseRoute]:
    """The page, the day behind it, its pictures, its papers."""
    return [
        Route("/plan", endpoint(tool, _page)),
        Route("/plan/day", endpoint(tool, _day)),
        Route("/plan/lux", endpoint(tool, _read_lx), methods=["POST"]),
        Route("/plan/versions", endpoint(tool, _versions)),
        Route("/plan/picture", endpoint(tool, _begin_picture), methods=["POST"]),
        Route("/plan/ready", endpoint(tool, _make_ready), methods=["POST"]),
        Route("/plan/picture/{key}/{quality}.jpg", endpoint(tool, _picture)),
        Route("/plan/call-sheet", endpoint(tool, _call_sheet)),
        Route("/plan/call-sheet.pdf", endpoint(tool, _call_sheet_pdf)),
        Route("/plan/card/{shot}", endpoint(tool, _card)),
        Route("/plan/paper.css", endpoint(tool, _paper_css)),
        Route("/plan/set-card-{paper}.pdf", endpoint(tool, _set_card)),
    ]


def _page(_request: Request, tool: Tool) -> Response:
    given = {**plan_shown(tool.shoot), "lux": tool.read_lx}
    dish = given["saved"]["value"]["recipe"]["title"]
    return page(tool, "plan.html", "plan", "Plan", given=given, dish=dish)


async def _day(_request: Request, tool: Tool) -> Any:
    return await tool.quick.ask("plan.day", _args(tool))


def _args(tool: Tool, **more: str) -> dict[str, Any]:
    return {"root": str(tool.shoot), "lux": tool.read_lx, **more}


async def _read_lx(request: Request, tool: Tool) -> Any:
    """Plan by a light that was read, or with null by the predicted one again; nothing is written down.

    {lux: number or null}, or {by: {f_number, shutter, iso, off}}: what the camera's meter says off a card.
    """
    sent = await body(request)
    by, lux = sent.get("by"), sent.get("lux")
    if by is not None:
        lux = metered_lx(by)
    elif lux is not None and (isinstance(lux, bool) or not isinstance(lux, int | float)):
        raise InputError(refusals.LUX_RANGE)
    if lux is not None and not 0.01 <= lux <= 200000:
        raise InputError(refusals.LUX_RANGE)
    tool.read_lx = lux
    return {"lux": lux}


def _versions(_request: Request, tool: Tool) -> Any:
    return file_versions(tool.shoot)


async def _begin_picture(request: Request, tool: Tool) -> Any:
    sent = await body(request)
    shot, key, quality = (sent.text(name) for name in ("shot", "key", "quality"))
    picture_path(tool.shoot, key, quality)
    args = _args(tool, shot=shot, key=key, quality=quality)
    return tool.jobs.begin(tool.drawing, "plan.picture", args).status()


async def _make_ready(_request: Request, tool: Tool) -> Any:
    """Begun with the page: what its first picture would wait for. Only starting the renderer, nothing is drawn."""
    await tool.drawing.ask("plan.ready", _args(tool))
    return {}


def _picture(request: Request, tool: Tool) -> Response:
    data = planned_picture(tool.shoot, request.path_params["key"], request.path_params["quality"])
    if data is None:
        return JSONResponse({"error": refusals.NOT_DRAWN, "mistakes": []}, 404)
    return Response(data, media_type="image/jpeg", headers=FOREVER)


async def _call_sheet(_request: Request, tool: Tool) -> Response:
    return _paper(tool, await tool.quick.ask("plan.paper", _args(tool)), "/plan/call-sheet.pdf")


async def _call_sheet_pdf(_request: Request, tool: Tool) -> Response:
    printed = await tool.quick.ask("plan.call_sheet_pdf", _args(tool))
    return _pdf(printed["path"])


async def _card(request: Request, tool: Tool) -> Response:
    return _paper(tool, await tool.quick.ask("plan.paper", _args(tool, shot=request.path_params["shot"])))


def _paper(tool: Tool, sheet: dict[str, str], pdf: str = "") -> Response:
    # paper/sheet_html.py escapes every word
    inside = Markup(sheet["body"])  # noqa: S704
    return page(
        tool, "plan_paper.html", "plan", sheet["title"], language=sheet["language"], inside=inside, pdf=pdf
    )


def _paper_css(_request: Request, _tool: Tool) -> Response:
    return Response(paper_style(), media_type="text/css", headers={"cache-control": "no-cache"})


async def _set_card(request: Request, tool: Tool) -> Response:
    paper = str(request.path_params["paper"])
    if paper not in ("A4", "A5", "Letter"):
        raise InputError(refusals.CARD_PAPERS)
    printed = await tool.quick.ask("plan.set_card", {"root": str(tool.shoot), "paper": paper})
    return _pdf(printed["path"])


def _pdf(path: str) -> Response:
    return FileResponse(
        path,
        media_type="application/pdf",
        filename=path.replace("\\", "/").rsplit("/", 1)[-1],
        content_disposition_type="inline",
        headers={"cache-control": "no-cache"},
    )
