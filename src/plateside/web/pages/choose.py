"""Choose: sheets of frames by shot, what the tool would choose, two to four frames compared in step."""

import re
from typing import Any

from starlette.requests import Request
from starlette.responses import HTMLResponse, JSONResponse, Response
from starlette.routing import BaseRoute, Route

from plateside.model.errors import InputError
from plateside.tasks.choose.sheets import LastSheets, Sheets, strip_picture, strip_style
from plateside.tasks.choose.thumbnails import landed_names
from plateside.tasks.serve.damage_said import damage_now
from plateside.tasks.standing import FrameStanding
from plateside.web.answers import body, endpoint, frames_folder, page
from plateside.web.asker import at_desk
from plateside.web.pages.frames import FOREVER
from plateside.web.shown.choose import sheets_shown
from plateside.web.tool import Tool
from plateside.words.choose import frame_phrase, headline_sentence, word_phrase
from plateside.words.set import refusals

MOST_AT_ONCE = 48
"""Small pictures made by one job: between two of them other long work may begin."""
SIZES = {"small": 240, "middle": 120, "large": 48}
"""Sizes of the pictures, and how many stand in the page as it is sent, until a browser has said how many it shows."""
MOST_SENT = 400
_COOKIE = "plateside_sheets"
"""Size and how many of them fill this screen, as in 'small.228': choose/sheets.js writes it."""
_STYLE = re.compile(r"[0-9a-f]{16}\.css")


def routes(tool: Tool) -> list[BaseRoute]:
    """The page, its sheets anew, small pictures made and joined by the strip, the tool's own choice."""
    last_sheets = LastSheets()
    drawn: dict[tuple[object, ...], tuple[Sheets, bytes]] = {}

    # `def`, so that they are read beside the loop: the journal is long
    def whole(request: Request, tool: Tool) -> Response:
        sheets = last_sheets.sheets(tool.shoot)
        size, first = asked_size(request.cookies.get(_COOKIE, ""))
        frames_dir = "" if sheets.now.frames else frames_folder(request, tool)
        # with what every page says of the disk, and of what is damaged now
        asked = (size, first, frames_dir, at_desk(), tool.keeping.why_not(tool.shoot), *damage_now())
        before = drawn.get(asked)
        if before is None or before[0] is not sheets:
            drawn.clear()
            before = drawn[asked] = sheets, bytes(_page(tool, sheets, size, first, frames_dir).body)
        return HTMLResponse(before[1])

    def sheets(_request: Request, tool: Tool) -> Any:
        return sheets_shown(last_sheets.sheets(tool.shoot).packed())

    def strips(_request: Request, tool: Tool) -> Any:
        return last_sheets.sheets(tool.shoot).packed_strips()

    return [
        Route("/choose", endpoint(tool, whole)),
        Route("/choose/sheets", endpoint(tool, sheets)),
        Route("/choose/strips", endpoint(tool, strips)),
        Route("/choose/strips", endpoint(tool, _join), methods=["POST"]),
        Route("/choose/strips/{name}", endpoint(tool, _strip)),
        Route("/choose/pictures", endpoint(tool, _pictures), methods=["POST"]),
        Route("/choose/proposal", endpoint(tool, _proposal), methods=["POST"]),
    ]


def _page(tool: Tool, sheets: Sheets, size: str, first: int, frames_dir: str) -> Response:
    groups = first_cards(sheets, first)
    strips = list(dict.fromkeys(c["strip"] for g in groups for c in g["cards"] if c["strip"]))
    return page(
        tool, "choose.html", "choose", "Choose",
        given=vars(sheets_shown(sheets.packed())),
        groups=groups, strips=strips, style=sheets.style, size=size, sizes=list(SIZES),
        frames_dir=frames_dir,
        frames=len(sheets.now.frames),
        headline=headline_sentence(
            len(sheets.now.frames), sum(1 for s in sheets.now.shots if s.select), len(sheets.now.shots)
        ),
    )  # fmt: skip


def asked_size(cookie: str) -> tuple[str, int]:
    """The size of the pictures that this browser asked for last, and how many of them to send in the page itself."""
    size, _, count = cookie.partition(".")
    if size not in SIZES:
        size, count = "middle", ""
    return size, min(max(int(count), 12), MOST_SENT) if count.isdecimal() and len(count) < 5 else SIZES[size]


def first_cards(sheets: Sheets, most: int) -> list[dict[str, Any]]:
    """Each shot with its numbers, and the first `most` cards in all: these are seen before any script has run."""
    groups: list[dict[str, Any]] = [
        {"name": s.name, "frames": [f for f in sheets.now.frames if f.shot == s.name]} for s in sheets.now.shots
    ]  # fmt: skip
    names = {g["name"] for g in groups}
    rest = [f for f in sheets.now.frames if f.shot not in names]
    if rest:
        groups.append({"name": "", "frames": rest})
    left = most
    for group in groups:
        frames = group.pop("frames")
        group["cards"] = [_card(sheets, f) for f in frames[:left]]
        group["count"] = len(frames)
        group["good"] = sum(f.word == "good" for f in frames)
        group["kept"] = sum(f.pressed == "kept" for f in frames)
        left -= len(group["cards"])
    return groups


def _card(sheets: Sheets, frame: FrameStanding) -> dict[str, Any]:
    """One card as choose/cards.js fills it."""
    strip, place = sheets.strip_of(frame.id)
    role = sheets.role(frame)
    said = word_phrase(frame.word, frame.chart)
    return {
        "id": frame.id, "strip": strip, "place": place, "role": role, "word": frame.word, "pressed": frame.pressed,
        "said": said, "label": frame_phrase(frame.name, said, role, frame.pressed),
        "single": not strip and frame.id in sheets.thumbnails,
    }  # fmt: skip


async def _strip(request: Request, tool: Tool) -> Response:
    name = str(request.path_params["name"])
    if _STYLE.fullmatch(name):
        # the name only says which strips the page knew of: all that are there stand in it
        return Response(strip_style(tool.shoot), media_type="text/css", headers=FOREVER)
    data = strip_picture(tool.shoot, name.removesuffix(".jpg"))
    if data is None:
        return JSONResponse({"error": refusals.NO_SUCH_PICTURE, "mistakes": []}, 404)
    return Response(data, media_type="image/jpeg", headers=FOREVER)


async def _join(_request: Request, tool: Tool) -> Any:
    return tool.jobs.begin(tool.long, "frames.strips", {"root": str(tool.shoot)}).status()


async def _pictures(request: Request, tool: Tool) -> Any:
    wanted = (await body(request)).get("frames")
    if not isinstance(wanted, list) or not 1 <= len(wanted) <= MOST_AT_ONCE:
        raise InputError(refusals.between_frames(MOST_AT_ONCE))
    names = landed_names(tool.shoot)
    frames = {f: names[f] for f in wanted if isinstance(f, str) and f in names}
    if not frames:
        raise InputError(refusals.NONE_LANDED)
    args = {"root": str(tool.shoot), "frames": frames, "size": "thumb"}
    return tool.jobs.begin(tool.long, "frames.thumbnails", args).status()


async def _proposal(_request: Request, tool: Tool) -> Any:
    return tool.jobs.begin(tool.long, "results.choose", {"root": str(tool.shoot)}).status()
