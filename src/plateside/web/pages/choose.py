"""Choose: sheets of frames by shot, what the tool would choose, two to four frames compared in step."""

import re
from pathlib import Path
from typing import Any

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import BaseRoute, Route

from plateside.files.journal.state import read_state
from plateside.model.errors import InputError
from plateside.tasks.standing import standing
from plateside.web.answers import body, endpoint, page
from plateside.web.tool import Tool

MOST_AT_ONCE = 48
"""Small pictures made by one job: between two of them other long work may begin."""
_THUMB = re.compile(r"([0-9A-Za-z]{8,64})-thumb\.jpg")


def routes(tool: Tool) -> list[BaseRoute]:
    """The page, its sheets anew, small pictures made, the tool's own choice."""
    return [
        Route("/choose", endpoint(tool, _page)),
        Route("/choose/sheets", endpoint(tool, _sheets)),
        Route("/choose/pictures", endpoint(tool, _pictures), methods=["POST"]),
        Route("/choose/proposal", endpoint(tool, _proposal), methods=["POST"]),
    ]


def _page(_request: Request, tool: Tool) -> Response:
    return page(tool, "choose.html", "choose", "Choose", given=sheets(tool.shoot))


def _sheets(_request: Request, tool: Tool) -> Any:
    return sheets(tool.shoot)


def sheets(root: Path) -> dict[str, Any]:
    """All shots and frames, short: what is empty is left out, two thousand frames are some 300 kB."""
    now = standing(root)
    there = _thumbs(root)
    frames = []
    for frame in now.frames:
        told: dict[str, Any] = {"id": frame.id, "name": frame.name, "shot": frame.shot}
        told |= {
            name: value
            for name, value in (
                ("word", frame.word), ("act", frame.act), ("pressed", frame.pressed), ("guessed", frame.guessed),
                ("reference", frame.reference), ("seen", frame.id in there),
            )
            if value
        }  # fmt: skip
        frames.append(told)
    shots = [{"name": s.name, "hero": s.hero, "alternate": s.alternate} for s in now.shots]
    return {"row": now.row, "title": now.title, "shots": shots, "frames": frames}


def _thumbs(root: Path) -> set[str]:
    folder = root / ".plateside" / "seen"
    if not folder.is_dir():
        return set()
    return {found[1] for entry in folder.iterdir() if (found := _THUMB.fullmatch(entry.name))}


async def _pictures(request: Request, tool: Tool) -> Any:
    wanted = (await body(request)).get("frames")
    if not isinstance(wanted, list) or not 1 <= len(wanted) <= MOST_AT_ONCE:
        raise InputError(f"Between 1 and {MOST_AT_ONCE} frames at once.")
    names = read_state(tool.shoot).landed
    frames = {f: names[f] for f in wanted if isinstance(f, str) and f in names}
    if not frames:
        raise InputError("None of these frames has landed in this shoot.")
    args = {"root": str(tool.shoot), "frames": frames, "size": "thumb"}
    return tool.jobs.begin(tool.long, "frames.seen", args).told()


async def _proposal(_request: Request, tool: Tool) -> Any:
    return tool.jobs.begin(tool.long, "results.choose", {"root": str(tool.shoot)}).told()
