"""Coming in at this laptop: the key from the terminal is changed for a cookie, once."""

from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import BaseRoute, Route

from plateside.web.answers import body, endpoint, page
from plateside.web.guard.desk import PAGE
from plateside.web.shown.start import LetIn
from plateside.web.tool import Tool
from plateside.words.serving import TITLES

YEAR_S = 365 * 24 * 3600


def routes(tool: Tool) -> list[BaseRoute]:
    """The page that says how to open Plateside, and the exchange."""
    return [
        Route(PAGE, endpoint(tool, _page)),
        Route(PAGE, endpoint(tool, _come_in), methods=["POST"]),
    ]


def _page(_request: Request, tool: Tool) -> Response:
    return page(tool, "desk.html", "desk", TITLES["desk"], stranger=True)


async def _come_in(request: Request, tool: Tool) -> LetIn | Response:
    # a page that was opened from elsewhere comes without the cookie; what it asks itself comes with it
    if request.state.is_paired:
        return {"to": "/"}
    key = str((await body(request)).get("key", ""))[:200]
    if not key:
        return {"to": ""}
    cookie = tool.desk.let_in(key)
    to: LetIn = {"to": "/"}
    answer = JSONResponse(to)
    # 127.0.0.1 is never left, so there is no https: the cookie cannot be marked Secure
    answer.set_cookie(tool.desk.cookie_name, cookie, max_age=YEAR_S, httponly=True, samesite="strict")
    return answer
