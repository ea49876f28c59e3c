"""The light: when it is, the day hour by hour, what would change it, the year, and pictures of the set in it."""

import base64
import zlib
from collections.abc import Mapping
from dataclasses import asdict
from datetime import date
from typing import Any

from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import BaseRoute, Route

from plateside.model.errors import InputError
from plateside.tasks.light.choice import (
    CIE_SKIES,
    SKY_FILES,
    Choice,
    Offered,
    choice_of,
    clock_told,
    day_told,
    kept_answers,
    kept_light,
    kept_picture,
    kept_year_key,
    key_of,
    offered,
    take_sky_away,
)
from plateside.tasks.set.journal_rows import last_row
from plateside.web.answers import body, endpoint, page, while_waited_for
from plateside.web.tool import Tool

LARGEST_TEXT = 8_000_000
"""A weather file of a year by the hour is 1.6 MB."""
LONGEST_MOMENT = 40
QUALITIES = ("rough", "clean")
WHAT_IFS = ("boards", "hours", "apertures")


def routes(tool: Tool) -> list[BaseRoute]:
    """The page, its answers, its long work and its pictures."""
    return [
        Route("/light", endpoint(tool, _page)),
        Route("/light/day", endpoint(tool, _day)),
        Route("/light/moment", endpoint(tool, _moment)),
        Route("/light/week", endpoint(tool, _week)),
        Route("/light/what-ifs", endpoint(tool, _what_ifs)),
        Route("/light/year", endpoint(tool, _kept_year)),
        Route("/light/year", endpoint(tool, _year), methods=["POST"]),
        Route("/light/sky", endpoint(tool, _give_sky), methods=["POST"]),
        Route("/light/sky/away", endpoint(tool, _sky_away), methods=["POST"]),
        Route("/light/picture", endpoint(tool, _draw), methods=["POST"]),
        Route("/light/picture/{key}.jpg", endpoint(tool, _picture)),
    ]


def _page(request: Request, tool: Tool) -> Response:
    there = offered(tool.shoot)
    chosen = _settled(request.query_params, there)
    return page(
        tool, "light.html", "light", "Light", known=_known(tool, chosen, there.today),
        cie_skies=CIE_SKIES, sky_files=[k for k in SKY_FILES if k in there.skies],
        offered=there, chosen=chosen, at=clock_told(request.query_params.get("at", "")),
        given={
            "row": last_row(tool.shoot),
            "today": there.today.isoformat(), "clock": there.clock, "shoot_day": there.shoot_day.isoformat(),
            "own_sky": there.own_sky, "shots": list(there.shots), "spot_of_shot": there.spot_of_shot,
        },
    )  # fmt: skip


def _known(tool: Tool, chosen: Mapping[str, str], today: date) -> Any:
    """The day's answer when it is kept: the page then opens with it."""
    try:
        key = key_of(tool.shoot, _choice(chosen), "day", chosen["day"], today.isoformat())
    except InputError:
        return None
    return kept_answers(tool.shoot).get(key)


def _settled(told: Mapping[str, str], there: Offered) -> dict[str, str]:
    """The choices as the form shows them: what the address says and the shoot still has."""
    kind, _, name = told.get("for", "").partition(":")
    known = {"spot": there.spots, "shot": there.shots}.get(kind, ())
    day = told.get("day", "")
    return {
        "for": f"{kind}:{name}" if name in known else f"spot:{there.spots[0]}" if there.spots else "",
        "sky": sky if (sky := told.get("sky", "")) in (*there.skies, *CIE_SKIES) else there.own_sky,
        "day": _day_or(day, there.today),
        "lux": told.get("lux", ""),
        "sun": "yes" if told.get("sun") == "yes" else "",
        "fill": told.get("fill", ""),
    }


def _day_or(words: str, other: date) -> str:
    try:
        return day_told(words)
    except InputError:
        return other.isoformat()


def _choice(told: Mapping[str, Any]) -> Choice:
    kind, _, name = str(told.get("for") or "").partition(":")
    return choice_of({**told, "spot": name if kind == "spot" else "", "shot": name if kind == "shot" else ""})


def _args(tool: Tool, told: Mapping[str, Any], **more: Any) -> dict[str, Any]:
    return {"root": str(tool.shoot), "choice": asdict(_choice(told)), **more}


def _day_of(told: Mapping[str, Any]) -> str:
    return day_told(str(told.get("day") or ""))


def _moment_of(told: Mapping[str, Any]) -> str:
    words = str(told.get("moment") or "")
    # with or without an offset: whether there is such a moment is judged where the studio's zone is known
    if len(words) > LONGEST_MOMENT:
        raise InputError(f"'{words[:40]}' is no day and hour; write it like 2027-07-15T13:30.")
    return words


async def _day(request: Request, tool: Tool) -> Any:
    told, root = request.query_params, tool.shoot
    day, today = _day_of(told), offered(root).today.isoformat()
    small = told.get("small") == "yes"
    key = key_of(root, _choice(told), "day and curve", day, today, small)
    found = kept_answers(root).get(key)
    if found is None:
        found = await tool.quick.ask("light.day", _args(tool, told, day=day, today=today, small=small))
        kept_answers(root).put(key, found)
    return found


async def _moment(request: Request, tool: Tool) -> Any:
    told = request.query_params
    moment = _moment_of(told)
    section = told.get("section") != "no"
    return await tool.quick.ask("light.moment", _args(tool, told, at=moment, section=section))


async def _week(request: Request, tool: Tool) -> Any:
    told, root = request.query_params, tool.shoot
    day, choice = _day_of(told), _choice(told)
    key = key_of(root, choice, "week", day)
    found = kept_answers(root).get(key)
    if found is None:
        found = await while_waited_for(request, tool.long.ask("light.week", _args(tool, told, day=day)))
        kept_answers(root).put(key, found)
    return found


async def _what_ifs(request: Request, tool: Tool) -> Any:
    told, root = request.query_params, tool.shoot
    moment, choice = _moment_of(told), _choice(told)
    key = key_of(root, choice, "what-ifs", moment)
    found = kept_answers(root).get(key)
    if found is None:
        # the first one builds the room anew for each change: seconds that the hour must not wait for
        found = await while_waited_for(request, tool.long.ask("light.what_if", _args(tool, told, at=moment)))
        kept_answers(root).put(key, found)
    return found


def _kept_year(request: Request, tool: Tool) -> Any:
    """The year when it is kept; {"kept": false} when it is still to be worked out."""
    year = int(_day_of(request.query_params)[:4])
    key = kept_year_key(tool.shoot, _choice(request.query_params), year)
    found = kept_light(tool.shoot).get_bytes(key, ".json")
    return {"kept": False} if found is None else Response(found, media_type="application/json")


async def _year(request: Request, tool: Tool) -> Any:
    told = await body(request)
    return tool.jobs.begin(tool.long, "light.year", _args(tool, told, year=int(_day_of(told)[:4]))).told()


def _unpacked(packed: Any) -> str:
    """Her file's text, from gzip in base64. Raises InputError for what is none, or larger than a year by the hour."""
    try:
        data = base64.b64decode(str(packed), validate=True)
        opener = zlib.decompressobj(31)
        text = opener.decompress(data, LARGEST_TEXT)
    except (ValueError, zlib.error):
        raise InputError("The file did not come through whole. Give it again.") from None
    if not opener.eof:
        raise InputError(f"That file is too large: at most {LARGEST_TEXT // 1_000_000} MB.")
    # a sheet saved as "Unicode text" has two bytes a letter
    wide = "utf-16" if text[:2] in (b"\xff\xfe", b"\xfe\xff") else "utf-8"
    try:
        return text.decode(wide)
    except UnicodeDecodeError:
        return text.decode("latin-1")


async def _give_sky(request: Request, tool: Tool) -> Any:
    told = await body(request)
    args = {"root": str(tool.shoot), "text": _unpacked(told.text("packed")), "day": _day_of(told)}
    return await tool.quick.ask("light.sky_file", args)


async def _sky_away(request: Request, tool: Tool) -> Any:
    take_sky_away(tool.shoot, (await body(request)).text("kind"))
    return {}


async def _draw(request: Request, tool: Tool) -> Any:
    told = await body(request)
    quality, what_if, at = told.text("quality"), told.text("what_if"), clock_told(told.text("at"))
    if quality not in QUALITIES or what_if not in ("", *WHAT_IFS) or not at:
        raise InputError("A picture is asked for with a time of day, and a quality: rough or clean.")
    args = _args(tool, told, day=_day_of(told), at=at, quality=quality, what_if=what_if)
    args["choice"]["shot"] = told.text("shot")
    return tool.jobs.begin(tool.drawing, "light.picture", args).told()


def _picture(request: Request, tool: Tool) -> Response:
    data = kept_picture(tool.shoot, request.path_params["key"])
    if data is None:
        return JSONResponse(
            {"error": "That picture is not kept any more. Draw it again.", "mistakes": []}, 404
        )
    return Response(data, media_type="image/jpeg", headers={"cache-control": "private, max-age=86400"})
