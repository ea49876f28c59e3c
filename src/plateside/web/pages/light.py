"""The light: when it is, the day hour by hour, what would change it, the year, and pictures of the set in it."""

import base64
import zlib
from collections.abc import Mapping
from dataclasses import asdict
from datetime import date
from typing import Any, Literal, TypedDict

from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import BaseRoute, Route

from plateside.model.errors import InputError
from plateside.tasks.light.choice import (
    CIE_NAMES,
    SKY_FILES,
    LightChoice,
    Offered,
    answer_cache,
    cached_picture,
    choice_of,
    clock_words,
    day_words,
    kept_year_key,
    key_of,
    light_cache,
    offered,
    settings_key,
    take_sky_away,
)
from plateside.tasks.plan.from_light import plan_by
from plateside.tasks.set.journal_rows import last_row
from plateside.web.answers import body, endpoint, page, while_waited_for
from plateside.web.tool import Tool
from plateside.words.light import refusals

LARGEST_TEXT = 8_000_000
"""A weather file of a year by the hour is 1.6 MB."""
LONGEST_MOMENT = 40
QUALITIES = ("rough", "clean")
WHAT_IFS = ("boards", "hours", "apertures")


class YearNotKept(TypedDict):
    """The year is still to be worked out."""

    kept: Literal[False]
    key: str
    """Of what it is the year: another room, sky or need has another."""


def routes(tool: Tool) -> list[BaseRoute]:
    """The page, its answers, its long work and its pictures."""
    return [
        Route("/light", endpoint(tool, _page)),
        Route("/light/day", endpoint(tool, _day)),
        Route("/light/moment", endpoint(tool, _moment)),
        Route("/light/week", endpoint(tool, _week)),
        Route("/light/what-ifs", endpoint(tool, _what_ifs)),
        Route("/light/year", endpoint(tool, _cached_year)),
        Route("/light/year", endpoint(tool, _year), methods=["POST"]),
        Route("/light/plan", endpoint(tool, _to_plan), methods=["POST"]),
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
        cie_skies=CIE_NAMES, sky_files=[k for k in SKY_FILES if k in there.skies],
        offered=there, chosen=chosen, at=clock_words(request.query_params.get("at", "")),
        given={
            "row": last_row(tool.shoot),
            "today": there.today.isoformat(), "clock": there.clock, "shoot_day": there.shoot_day.isoformat(),
            "own_sky": there.own_sky, "shots": list(there.shots), "spot_of_shot": there.spot_of_shot,
        },
    )  # fmt: skip


async def _to_plan(request: Request, tool: Tool) -> Any:
    """Plan by what is set here: {for, lux, fill, sun} -> {shots: the names of those that ask for it now}."""
    sent = await body(request)
    choice = _choice({name: sent.text(name) for name in ("for", "lux", "fill", "sun")})
    shots = plan_by(
        tool.shoot, choice.shot, choice.spot, least_lx=choice.at_least_lx,
        fill_stops=choice.at_most_key_fill_stops, direct_sun=not choice.no_direct_sun,
    )  # fmt: skip
    return {"shots": shots}


def _known(tool: Tool, chosen: Mapping[str, str], today: date) -> Any:
    """The day's answer when it is kept: the page then opens with it."""
    try:
        key = key_of(tool.shoot, _choice(chosen), "day", chosen["day"], today.isoformat())
    except InputError:
        return None
    return answer_cache(tool.shoot).get(key)


def _settled(sent: Mapping[str, str], there: Offered) -> dict[str, str]:
    """The choices as the form shows them: what the address says and the shoot still has."""
    kind, _, name = sent.get("for", "").partition(":")
    known = {"spot": there.spots, "shot": there.shots}.get(kind, ())
    day = sent.get("day", "")
    return {
        "for": f"{kind}:{name}" if name in known else f"spot:{there.spots[0]}" if there.spots else "",
        "sky": sky if (sky := sent.get("sky", "")) in (*there.skies, *CIE_NAMES) else there.own_sky,
        # a shoot that is still to come is what the light is asked for
        "day": _day_or(day, max(there.shoot_day, there.today)),
        "lux": sent.get("lux", ""),
        "sun": "yes" if sent.get("sun") == "yes" else "",
        "fill": sent.get("fill", ""),
    }


def _day_or(words: str, other: date) -> str:
    try:
        return day_words(words)
    except InputError:
        return other.isoformat()


def _choice(sent: Mapping[str, Any]) -> LightChoice:
    kind, _, name = str(sent.get("for") or "").partition(":")
    return choice_of({**sent, "spot": name if kind == "spot" else "", "shot": name if kind == "shot" else ""})


def _args(tool: Tool, sent: Mapping[str, Any], **more: Any) -> dict[str, Any]:
    return {"root": str(tool.shoot), "choice": asdict(_choice(sent)), **more}


def _day_of(sent: Mapping[str, Any]) -> str:
    return day_words(str(sent.get("day") or ""))


def _moment_of(sent: Mapping[str, Any]) -> str:
    words = str(sent.get("moment") or "")
    # with or without an offset: whether there is such a moment is judged where the studio's zone is known
    if len(words) > LONGEST_MOMENT:
        raise InputError(refusals.no_moment(words[:LONGEST_MOMENT]))
    return words


async def _day(request: Request, tool: Tool) -> Any:
    sent, root = request.query_params, tool.shoot
    day, today = _day_of(sent), offered(root).today.isoformat()
    small = sent.get("small") == "yes"
    key = key_of(root, _choice(sent), "day and curve", day, today, small)
    found = answer_cache(root).get(key)
    if found is None:
        found = await tool.quick.ask("light.day", _args(tool, sent, day=day, today=today, small=small))
        answer_cache(root).put(key, found)
    return {**found, "settings": settings_key(root)}


async def _moment(request: Request, tool: Tool) -> Any:
    sent = request.query_params
    moment = _moment_of(sent)
    section = sent.get("section") != "no"
    return await tool.quick.ask("light.moment", _args(tool, sent, at=moment, section=section))


async def _week(request: Request, tool: Tool) -> Any:
    sent, root = request.query_params, tool.shoot
    day, choice = _day_of(sent), _choice(sent)
    key = key_of(root, choice, "week", day)
    found = answer_cache(root).get(key)
    if found is None:
        found = await while_waited_for(request, tool.long.ask("light.week", _args(tool, sent, day=day)))
        answer_cache(root).put(key, found)
    return found


async def _what_ifs(request: Request, tool: Tool) -> Any:
    sent, root = request.query_params, tool.shoot
    moment, choice = _moment_of(sent), _choice(sent)
    key = key_of(root, choice, "what-ifs", moment)
    found = answer_cache(root).get(key)
    if found is None:
        # the first one builds the room anew for each change: seconds that the hour must not wait for
        found = await while_waited_for(request, tool.long.ask("light.what_if", _args(tool, sent, at=moment)))
        answer_cache(root).put(key, found)
    return found


def _cached_year(request: Request, tool: Tool) -> Any:
    """The year when it is kept; {"kept": false} when it is still to be worked out."""
    year = int(_day_of(request.query_params)[:4])
    key = kept_year_key(tool.shoot, _choice(request.query_params), year)
    found = light_cache(tool.shoot).get_bytes(key, ".json")
    not_kept: YearNotKept = {"kept": False, "key": key}
    return not_kept if found is None else Response(found, media_type="application/json")


async def _year(request: Request, tool: Tool) -> Any:
    sent = await body(request)
    return tool.jobs.begin(tool.long, "light.year", _args(tool, sent, year=int(_day_of(sent)[:4]))).status()


def _unpacked(packed: Any) -> str:
    """Your file's text, from gzip in base64. Raises InputError for what is none, or larger than a year by the hour."""
    try:
        data = base64.b64decode(str(packed), validate=True)
        opener = zlib.decompressobj(31)
        text = opener.decompress(data, LARGEST_TEXT)
    except (ValueError, zlib.error):
        raise InputError(refusals.FILE_CUT) from None
    if not opener.eof:
        raise InputError(refusals.file_too_large(LARGEST_TEXT))
    # a sheet saved as "Unicode text" has two bytes a letter
    wide = "utf-16" if text[:2] in (b"\xff\xfe", b"\xfe\xff") else "utf-8"
    try:
        return text.decode(wide)
    except UnicodeDecodeError:
        return text.decode("latin-1")


async def _give_sky(request: Request, tool: Tool) -> Any:
    sent = await body(request)
    args = {"root": str(tool.shoot), "text": _unpacked(sent.text("packed")), "day": _day_of(sent)}
    return await tool.quick.ask("light.sky_file", args)


async def _sky_away(request: Request, tool: Tool) -> Any:
    take_sky_away(tool.shoot, (await body(request)).text("kind"))
    return {}


async def _draw(request: Request, tool: Tool) -> Any:
    sent = await body(request)
    quality, what_if, at = sent.text("quality"), sent.text("what_if"), clock_words(sent.text("at"))
    if quality not in QUALITIES or what_if not in ("", *WHAT_IFS) or not at:
        raise InputError(refusals.PICTURE_NEEDS_AN_HOUR)
    args = _args(tool, sent, day=_day_of(sent), at=at, quality=quality, what_if=what_if)
    args["choice"]["shot"] = sent.text("shot")
    return tool.jobs.begin(tool.drawing, "light.picture", args).status()


def _picture(request: Request, tool: Tool) -> Response:
    data = cached_picture(tool.shoot, request.path_params["key"])
    if data is None:
        return JSONResponse({"error": refusals.PICTURE_GONE, "mistakes": []}, 404)
    return Response(data, media_type="image/jpeg", headers={"cache-control": "private, max-age=86400"})
