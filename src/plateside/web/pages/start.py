"""Start: the shoots in this folder, the demo, and a first run that walks from nothing to 'when is my light'."""

import datetime as dt
from collections.abc import Mapping
from pathlib import Path
from typing import Any
from urllib.parse import quote

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import BaseRoute, Route

from plateside.demo.data import demo_folder, demo_shot_count, make_demo
from plateside.model.errors import InputError
from plateside.tasks.report import as_json
from plateside.tasks.serve.menu import in_menu, put_into_menu
from plateside.tasks.studio.first_outside import USUAL_OUTSIDE
from plateside.tasks.studio.first_run import (
    begin_first_shoot,
    begin_next_shoot,
    free_name,
    kind_of_dish,
    usual_answers,
    wrong_answers,
)
from plateside.tasks.studio.first_sketched import Sketched, first_sketch
from plateside.tasks.studio.listed_shoots import shoot_key, shoots_listed
from plateside.web.answers import body, endpoint, page
from plateside.web.shown.start import Begun, FirstRunShown, KindSaid, StartShown, Wrong
from plateside.web.tool import Tool
from plateside.web.work.start import STAGE
from plateside.words import first_run as words
from plateside.words.counting import in_letters
from plateside.words.studio import no_such_shoot

COMPASS = ("north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west")


def routes(tool: Tool) -> list[BaseRoute]:
    """The page, the first run, places, opening, the demo."""
    return [
        Route("/start", endpoint(tool, _page)),
        Route("/start/new", endpoint(tool, _first_run)),
        Route("/start/new", endpoint(tool, _begin), methods=["POST"]),
        Route("/start/check", endpoint(tool, _check), methods=["POST"]),
        Route("/start/kind", endpoint(tool, _kind)),
        Route("/start/sketch", endpoint(tool, _sketch), methods=["POST"]),
        Route("/start/next", endpoint(tool, _next), methods=["POST"]),
        Route("/start/cities", endpoint(tool, _cities)),
        Route("/start/open", endpoint(tool, _open), methods=["POST"]),
        Route("/start/demo", endpoint(tool, _demo), methods=["POST"]),
        Route("/start/menu", endpoint(tool, _menu), methods=["POST"]),
        Route("/start/end", endpoint(tool, _end), methods=["POST"]),
        Route("/start/demo/whole", endpoint(tool, _whole_demo), methods=["POST"]),
    ]


def _page(_request: Request, tool: Tool) -> Response:
    shoots = shoots_listed(tool.home, tool.shoots())
    here = "" if tool.root is None else shoot_key(tool.home, tool.root)
    given: StartShown = {
        "stages": words.DEMO_STAGES,
        "stage": STAGE,
        "shoots": as_json(shoots),
        "day": usual_answers(dt.date.today())["date"],
    }
    return page(
        tool, "start.html", "start", "Your shoots", shoots=shoots, here=here, home=tool.home.name, data=given,
        wanted=in_letters(demo_shot_count()), in_menu=in_menu(),
    )  # fmt: skip


def _first_run(_request: Request, tool: Tool) -> Response:
    data: FirstRunShown = {
        "usual": usual_answers(dt.date.today()),
        "compass": COMPASS,
        "outside_usual": as_json(USUAL_OUTSIDE),
    }
    return page(tool, "start_new.html", "start", words.TITLE, data=data, ask=words.ASK, home=tool.home.name)


async def _begin(request: Request, tool: Tool) -> Begun:
    sent = await body(request)
    if not sent.get("folder"):
        sent["folder"] = free_name(tool.home, sent.text("dish"))
    report = begin_first_shoot(tool.home, sent)
    await tool.open(report.folder)
    return {"next": _day_of(sent), "said": report.lines()}


async def _check(request: Request, _tool: Tool) -> Wrong:
    sent = await body(request)
    return {"wrong": wrong_answers(sent, sent.text("question"))}


def _kind(request: Request, _tool: Tool) -> KindSaid:
    """The shape that a dish's name speaks of."""
    return {"kind": kind_of_dish(request.query_params.get("dish", "")[:200])}


async def _sketch(request: Request, _tool: Tool) -> Sketched:
    sent = await body(request)
    return first_sketch(sent.text("step"), sent)


async def _next(request: Request, tool: Tool) -> Begun:
    sent = await body(request)
    if not sent.get("folder"):
        sent["folder"] = free_name(tool.home, sent.text("dish"))
    report = begin_next_shoot(tool.home, _root(tool, sent.get("studio_of")), sent)
    await tool.open(report.folder)
    return {"next": _day_of(sent), "said": report.lines()}


async def _cities(request: Request, tool: Tool) -> Any:
    work = "start.choose" if request.query_params.get("whole") else "start.cities"
    return await tool.looking.ask(work, {"text": request.query_params.get("q", "")})


async def _open(request: Request, tool: Tool) -> Begun:
    root = _root(tool, (await body(request)).get("shoot"))
    day = next((t.date for t in shoots_listed(tool.home, [root]) if not t.wrong), "")
    await tool.open(root)
    # a shoot that is still to come is opened at its own light; today's is one press away
    return {"next": _day_of({"date": day}) if day > dt.date.today().isoformat() else "/light"}


async def _demo(_request: Request, tool: Tool) -> Begun:
    await tool.open(make_demo(tool.home))
    return {"next": "/light"}


async def _menu(_request: Request, _tool: Tool) -> Any:
    return await run_in_threadpool(put_into_menu)


async def _end(_request: Request, tool: Tool) -> Any:
    tool.end_server()
    return {"ended": True}


async def _whole_demo(_request: Request, tool: Tool) -> Any:
    target = demo_folder(tool.home).parent
    return tool.jobs.begin(tool.long, "start.demo", {"target": str(target)}).status()


def _day_of(sent: Mapping[str, Any]) -> str:
    """The light of the day you gave (it was judged: the shoot is made)."""
    return f"/light?day={quote(str(sent['date']).strip())}"


def _keys(tool: Tool) -> dict[str, Path]:
    return {shoot_key(tool.home, root): root for root in tool.shoots()}


def _root(tool: Tool, key: Any) -> Path:
    """The folder of a shoot of the list; nothing else can be opened."""
    root = _keys(tool).get(key) if isinstance(key, str) else None
    if root is None:
        raise InputError(no_such_shoot())
    return root
