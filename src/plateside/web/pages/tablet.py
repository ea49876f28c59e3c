"""Tablets beside the set: let them in at the laptop, pair at the tablet."""

import io
from typing import Any

import segno
from starlette.requests import Request
from starlette.responses import JSONResponse, RedirectResponse, Response
from starlette.routing import BaseRoute, Route

from plateside.tasks.report import as_json
from plateside.web.answers import body, endpoint, page
from plateside.web.guard.guard import COOKIE
from plateside.web.shown.start import DeviceShown, LetIn, TabletShown
from plateside.web.tool import Tool
from plateside.words.serving import NO_CODE, TITLES

YEAR_S = 365 * 24 * 3600


def routes(tool: Tool) -> list[BaseRoute]:
    """/tablet at the laptop; /pair at the tablet."""
    return [
        Route("/tablet", endpoint(tool, _page)),
        Route("/tablet/now", endpoint(tool, _now)),
        Route("/tablet/code.svg", endpoint(tool, _code)),
        Route("/tablet/invite", endpoint(tool, _invite), methods=["POST"]),
        Route("/tablet/close", endpoint(tool, _close), methods=["POST"]),
        Route("/tablet/forget", endpoint(tool, _forget), methods=["POST"]),
        Route("/pair", endpoint(tool, _pair_page)),
        Route("/pair", endpoint(tool, _pair), methods=["POST"]),
    ]


def _page(_request: Request, tool: Tool) -> Response:
    return page(tool, "tablet.html", "tablet", TITLES["tablet"], given=as_json(_now(_request, tool)))


def _now(_request: Request, tool: Tool) -> TabletShown:
    invitation = tool.devices.invitation() if tool.network.url else None
    return {
        "url": tool.network.url,
        "code": " ".join(invitation.secret[i : i + 4] for i in (0, 4, 8)) if invitation else "",
        "seconds": round(tool.devices.seconds_left()) if invitation else 0,
        "devices": [DeviceShown(d.number, d.name, d.since) for d in tool.devices.all()],
    }


def _code(_request: Request, tool: Tool) -> Response:
    invitation = tool.devices.invitation()
    if invitation is None or not tool.network.url:
        return JSONResponse({"error": NO_CODE, "mistakes": []}, 404)
    code = segno.make(f"{tool.network.url}pair#{invitation.secret}", error="m", micro=False)
    svg = io.BytesIO()
    code.save(svg, kind="svg", scale=8, border=4, dark="black", light="white")
    return Response(svg.getvalue(), media_type="image/svg+xml")


async def _invite(request: Request, tool: Tool) -> Any:
    await tool.network.open()
    tool.devices.invite()
    return _now(request, tool)


async def _close(request: Request, tool: Tool) -> Any:
    await tool.network.close()
    return _now(request, tool)


async def _forget(request: Request, tool: Tool) -> Any:
    sent = await body(request)
    tool.devices.forget(sent.whole("number", 0))
    # a stream that is open already would go on: all streams end, and those still paired come back
    tool.live.send_away()
    return _now(request, tool)


def _pair_page(request: Request, tool: Tool) -> Response:
    if request.state.is_paired:
        return RedirectResponse("/set" if tool.root else "/start", 303)
    return page(tool, "pair.html", "pair", TITLES["pair"], stranger=True)


async def _pair(request: Request, tool: Tool) -> Response:
    sent = await body(request)
    address = request.client.host if request.client else ""
    cookie = tool.devices.pair(sent.text("secret")[:64], sent.text("name")[:200], address)
    tool.live.say("devices", {})
    to: LetIn = {"to": "/set"}
    answer = JSONResponse(to)
    # plain http on the home network: the cookie cannot be marked Secure
    answer.set_cookie(COOKIE, cookie, max_age=YEAR_S, httponly=True, samesite="strict")
    return answer
