"""Requests in, answers out: JSON bodies read, errors of ours turned into words and a status, pages drawn."""

import asyncio
import inspect
import logging
from collections.abc import Awaitable, Callable, Coroutine, Sequence
from typing import Any

import jinja2
from markupsafe import Markup
from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import ClientDisconnect, Request
from starlette.responses import HTMLResponse, JSONResponse, RedirectResponse, Response
from starlette.types import Scope

from plateside.model.errors import Cancelled, InputError, PlatesideError
from plateside.tasks.report import as_json
from plateside.tasks.serve.damage_said import damage_now
from plateside.tasks.serve.menu import in_menu
from plateside.tasks.serve.shoots import frames_folder_said
from plateside.tasks.studio.edit_fields import NotListedError
from plateside.web.asker import at_desk
from plateside.web.own_files import OWN_FILES
from plateside.web.sent import Sent, plain_words, read_json
from plateside.web.tool import NoShoot, Tool, script_data
from plateside.web.trouble import trouble_of
from plateside.web.workers.worker import WorkError
from plateside.words.menu import AT_THE_LAPTOP, FROM_THE_MENU, by_command
from plateside.words.sent import ADDRESS
from plateside.words.serving import FAULT, NO_SHOOT, NOBODY_WAITS, TITLES

LOOK_S = 0.25
"""How often it is looked whether somebody still waits."""
_log = logging.getLogger("plateside")
Handler = Callable[[Request, Tool], Any | Awaitable[Any]]

_pages = jinja2.Environment(
    loader=jinja2.PackageLoader("plateside.web"),
    autoescape=True,
    undefined=jinja2.StrictUndefined,
    trim_blocks=True,
    lstrip_blocks=True,
)
_pages.filters["script_data"] = lambda value: Markup(script_data(value))  # noqa: S704 - script_data leaves nothing to end the element

STAGES = (
    ("studio", "Studio"), ("light", "Light"), ("plan", "Plan"), ("set", "Set"), ("choose", "Choose"),
    ("finish", "Finish"), ("deliver", "Deliver"),
)  # fmt: skip


def page(tool: Tool, template: str, stage: str, title: str, **values: Any) -> HTMLResponse:
    """Draw a page. `stage` is the one whose link is marked; values are the template's own."""
    text = _pages.get_template(template).render(
        stages=STAGES,
        stage=stage,
        title=title,
        at_desk=at_desk(),
        shoot_name=tool.root.resolve().name if tool.root and not values.get("stranger") else "",
        own="/static" if values.get("stranger") else OWN_FILES.place(),
        **{
            "stranger": False,
            "damaged": [] if values.get("stranger") else damage_now(),
            "not_kept": "" if values.get("stranger") else tool.keeping.why_not(tool.root or tool.home),
            "shoot_mark": "" if values.get("stranger") else tool.shoot_mark,
            "change_token": "" if values.get("stranger") else tool.keys.change_token,
            "start_again": "" if values.get("stranger") else _start_again(tool),
            **values,
        },
    )
    return HTMLResponse(text)


def _start_again(tool: Tool) -> str:
    """How Plateside is started again once it has ended: said by the page, which then has nobody to ask."""
    if not at_desk():
        return AT_THE_LAPTOP
    return FROM_THE_MENU if in_menu() else by_command(tool.home)


def frames_folder(request: Request, tool: Tool) -> str:
    """The folder from which frames are taken, whole; a device of the network is not told where it lies."""
    if not at_desk():
        return ""
    return str(frames_folder_said(tool.shoot))


def endpoint(tool: Tool, handler: Handler) -> Callable[[Request], Awaitable[Response]]:
    """A Starlette endpoint from `handler(request, tool)`.

    A plain function runs beside the loop, in a thread. What it gives back that is no Response becomes JSON.
    Errors of ours become {"error": ..., "mistakes": [...]} with 422 (input), 409 (stopped) or 503 (not done).
    """

    async def run(request: Request) -> Response:
        answer = await answered(request)
        return answer if at_desk() else _unnamed(answer, tool)

    async def answered(request: Request) -> Response:
        try:
            _judge_address(request)
            if inspect.iscoroutinefunction(handler):
                got = await handler(request, tool)
            else:
                got = await run_in_threadpool(handler, request, tool)
        except NoShoot:
            if _wants_page(request):
                return RedirectResponse("/start", 303)
            return error_answer(NO_SHOOT, 409)
        except PlatesideError as error:
            return _refused(error, tool, request)
        except HTTPException:
            raise
        except ClientDisconnect:
            # it went before it had said all: there is nobody to answer, and nothing went wrong here
            return Response(status_code=400)
        except Exception:  # told on the page, and in the terminal why; the server goes on
            _log.exception("Plateside failed at %s", request.url.path)
            return _refused(WorkError(FAULT, "fault", []), tool, request)
        return got if isinstance(got, Response) else JSONResponse(as_json(got))

    return run


def _unnamed(answer: Response, tool: Tool) -> Response:
    """The answer with every folder of this machine by its own name only."""
    said = getattr(answer, "body", b"")
    # nothing to cut in pictures; files are handed out as they are
    if said and not str(answer.media_type).startswith("image/"):
        answer.body = tool.places.unnamed(bytes(said), tool.root)
        answer.headers["content-length"] = str(len(answer.body))
    return answer


def turned_away(scope: Scope, tool: Tool, words: str) -> Response:
    """The answer to a request that is not made from a tablet."""
    if not _wants_page(Request(scope)):
        return error_answer(words, 403)
    drawn = page(tool, "trouble.html", "", TITLES["laptop only"], words=words, mistakes=[])
    drawn.status_code = 403
    return drawn


def _judge_address(request: Request) -> None:
    """What is in the address can be words of ours. Raises InputError."""
    said = [
        *request.path_params.values(),
        *(each for pair in request.query_params.multi_items() for each in pair),
    ]
    if not all(plain_words(str(each)) for each in said):
        raise InputError(ADDRESS)


async def while_waited_for(request: Request, work: Coroutine[Any, Any, Any]) -> Any:
    """Wait for work that is of no use once the one who asked has gone on: then it is stopped.

    Raises WorkError ("stopped"), which nobody reads.
    """
    task = asyncio.ensure_future(work)
    try:
        while not task.done():
            await asyncio.wait({task}, timeout=LOOK_S)
            if not task.done() and await request.is_disconnected():
                raise WorkError(NOBODY_WAITS, "stopped", [])
        return task.result()
    finally:
        task.cancel()


async def body(request: Request) -> Sent:
    """The JSON object a page sent. Raises InputError when it is none: sent.py."""
    return read_json(await request.body())


def error_answer(words: str, status: int, mistakes: Sequence[Any] = (), field: str = "") -> JSONResponse:
    """An error as pages get it; `field` names the one on the page that it is about."""
    trouble = {"error": words, "mistakes": list(mistakes)}
    return JSONResponse({**trouble, "field": field} if field else trouble, status)


def _refused(error: PlatesideError, tool: Tool, request: Request) -> Response:
    kind = error.kind if isinstance(error, WorkError) else ""
    status = 503
    if isinstance(error, NotListedError):
        return turned_away(request.scope, tool, error.words)
    if kind == "stopped" or isinstance(error, Cancelled):
        status = 409
    elif kind == "fault":
        status = 500
    elif kind == "busy":
        status = 429
    elif kind == "input" or isinstance(error, InputError):
        status = 422
    words, mistakes = trouble_of(error)
    if kind == "ending" and not _wants_page(request):
        # the page waits until the next server is there, and asks again
        return JSONResponse({"error": error.words, "mistakes": [], "ending": True}, 503)
    said = words if at_desk() else tool.places.sentence(words, tool.root)
    if _wants_page(request):
        drawn = page(tool, "trouble.html", "", TITLES["to fix"], words=said, mistakes=mistakes)
        drawn.status_code = status
        return drawn
    return error_answer(said, status, mistakes, getattr(error, "field", ""))


def _wants_page(request: Request) -> bool:
    return request.method == "GET" and "text/html" in request.headers.get("accept", "")
